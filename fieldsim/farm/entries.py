"""What the cells of a farm file may hold: quantities, shares, calendar days, names."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticCustomError

from fieldsim.quantities import KINDS, parse
from fieldsim.season import CalendarDay, parse_calendar_day

__all__ = [
    "Area",
    "Count",
    "Day",
    "Days",
    "Distance",
    "Length",
    "LossRate",
    "Money",
    "MoneyPerArea",
    "Part",
    "Power",
    "Rate",
    "RowSpacing",
    "Share",
    "Speed",
    "TestWeight",
    "Time",
    "Wage",
    "Width",
    "fault",
    "name_problem",
]

NAME = re.compile(r"\w[\w .\-]{0,39}")


class Part(BaseModel):
    """A part of the farm: unknown fields are errors, and nothing is converted silently."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)


def fault(problem: str, repair: str) -> PydanticCustomError:
    """Return the error of one entry: what is wrong, and what to write instead."""
    return PydanticCustomError("fieldsim", "{problem}", {"problem": problem, "repair": repair})


def name_problem(name: str) -> str:
    """Return what is wrong with a name given by the user; empty if nothing."""
    if NAME.fullmatch(name):
        return ""
    return "a name has 1 to 40 letters, digits, spaces, dots, dashes and underscores"


def _bounds(number: float, least: float, most: float, above: float) -> str:
    if number <= above:
        return "must be above 0"
    if number < least:
        return "must not be negative"
    return "is too large" if number > most else ""


def _quantity(
    kind: str, *, above: float = -math.inf, least: float = -math.inf, most: float = math.inf
) -> Any:
    """Return the validator of a quantity of one kind within bounds (in internal units)."""
    example = KINDS[kind].example

    def read(value: object) -> float:
        try:
            number = parse(value, kind)
        except ValueError as error:
            raise fault(str(error), f"write {example}") from None
        problem = _bounds(number, least, most, above)
        if problem:
            raise fault(problem, f"write a value such as {example}")
        return number

    return _entry(read, example)


def _share(value: object, *, most: float = 1.0, kind: str = "share") -> float:
    """Read a share: a bare number from 0 to 1, or per cent as text."""
    repair = 'write a number such as 0.08, or "8 %"'
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise fault("not a share", repair)
    if isinstance(value, str):
        try:
            number = parse(value, "share")
        except ValueError as error:
            if kind == "share":
                raise fault(str(error), repair) from None
            number = _rate_with_unit(value, repair)
    else:
        number = float(value)
    if not 0 <= number <= most:
        raise fault("a share lies between 0 and 1 (0 % and 100 %)", repair)
    return number


def _rate_with_unit(value: str, repair: str) -> float:
    try:
        return parse(value, "rate")
    except ValueError as error:
        raise fault(str(error), repair) from None


def _day(value: object) -> CalendarDay:
    repair = 'write the day and the month as a word, as "20 Apr"'
    if not isinstance(value, str):
        raise fault("not a day of the calendar", repair)
    try:
        return parse_calendar_day(value)
    except ValueError as error:
        raise fault(str(error), repair) from None


def _whole_days(value: object) -> int:
    repair = 'write whole days, as "21 days"'
    try:
        number = parse(value, "days")
    except ValueError as error:
        raise fault(str(error), repair) from None
    if number < 0 or number > 366 or number != int(number):
        raise fault("not a whole number of days from 0 to 366", repair)
    return int(number)


def _count(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 100:
        raise fault("not a whole number from 0 to 100", "write a number such as 1")
    return value


def _entry(read: Callable[[object], object], example: str) -> Any:
    return BeforeValidator(read), Field(examples=[example])


Area = Annotated[float, *_quantity("area", above=0, most=1e6)]
Length = Annotated[float, *_quantity("length", above=0, most=1e5)]
Width = Annotated[float, *_quantity("width", above=0, most=200)]
RowSpacing = Annotated[float, *_quantity("row_spacing", above=0, most=5)]
Distance = Annotated[float, *_quantity("distance", least=0, most=1000)]
Speed = Annotated[float, *_quantity("speed", above=0, most=100)]
Time = Annotated[float, *_quantity("time", least=0, most=24)]
Power = Annotated[float, *_quantity("power", above=0, most=2000)]
Money = Annotated[float, *_quantity("money", least=0, most=1e9)]
MoneyPerArea = Annotated[float, *_quantity("money_per_area", least=0, most=1e6)]
Wage = Annotated[float, *_quantity("wage", least=0, most=1e4)]
TestWeight = Annotated[float, *_quantity("test_weight", above=0, most=3)]
LossRate = Annotated[float, *_quantity("loss_rate", least=0, most=1)]
Share = Annotated[float, *_entry(_share, '"65 %" or 0.65')]
Rate = Annotated[float, *_entry(lambda value: _share(value, kind="rate"), '"6 %"')]
Day = Annotated[CalendarDay, *_entry(_day, '"20 Apr"')]
Days = Annotated[int, *_entry(_whole_days, '"21 days"')]
Count = Annotated[int, *_entry(_count, "1")]
