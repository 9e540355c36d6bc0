"""What the cells of a farm file may hold: quantities, shares, calendar days, names."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticCustomError

from fieldsim.quantities import KINDS, UNIT_SYSTEMS, factor, parse, unit, with_unit
from fieldsim.season import CalendarDay, parse_calendar_day

__all__ = [
    "Area",
    "Count",
    "Day",
    "Days",
    "Delay",
    "Depth",
    "Distance",
    "Efficiency",
    "FuelPrice",
    "Label",
    "Latitude",
    "Length",
    "LossRate",
    "MachineLife",
    "Money",
    "MoneyPerArea",
    "Overlap",
    "Part",
    "Power",
    "Rain",
    "Rate",
    "RowSpacing",
    "Share",
    "Speed",
    "TestWeight",
    "Time",
    "Title",
    "Wage",
    "Wait",
    "Width",
    "WorkTime",
    "YearlyHours",
    "Years",
    "YesNo",
    "fault",
    "name_problem",
]

MOST_DEGREES = 4000  # growing degrees of a long season [degC day]
MOST_LATITUDE = 66  # degrees: beyond it there is no field crop, and days without sunset

NAME = re.compile(r"[^\W_][\w .\-]{0,39}")


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
    return (
        "a name has 1 to 40 letters, digits, spaces, dots, dashes and underscores, "
        "and begins with a letter or digit"
    )


def _rounded(number: float) -> str:
    return f"{float(f'{number:.3g}'):,.10g}"


def _in_both(number: float, kind: str) -> str:
    """Return a bound in the units of both systems."""
    us, metric = (
        with_unit(_rounded(number * factor(kind, s)), unit(kind, s)) for s in UNIT_SYSTEMS
    )
    return us if us == metric else f"{us} ({metric})"


def _out_of_bounds(number: float, kind: str, least: float, most: float, zero: bool) -> str:
    """Return what is wrong with a number; empty if nothing."""
    if number < 0 and zero:
        return "must not be negative"
    if number <= 0 and not zero:
        return "must be above 0"
    if 0 < number < least:
        return f"is too small: at least {_in_both(least, kind)} is allowed"
    return f"is too large: at most {_in_both(most, kind)} is allowed" if number > most else ""


def _quantity(kind: str, *, least: float = 0.0, most: float, zero: bool = False) -> Any:
    """Return the validator of a quantity of one kind within bounds (in internal units).

    The bounds are far beyond any farm's numbers; they keep the arithmetic sound. `zero` says
    whether 0 is allowed.
    """
    example = KINDS[kind].example

    def read(value: object) -> float:
        try:
            number = parse(value, kind)
        except ValueError as error:
            raise fault(str(error), f"write {example}") from None
        problem = _out_of_bounds(number, kind, least, most, zero)
        if problem:
            raise fault(problem, f"write a value such as {example}")
        return number

    return _entry(read, example)


def _share(value: object, *, least: float = 0.0, most: float = 1.0, kind: str = "share") -> float:
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
        number = value
    if not least <= number <= most:
        bounds = f"from {least:g} to {most:g} ({100 * least:g} % to {100 * most:g} %)"
        raise fault(f"a share {bounds} is allowed", repair)
    return float(number)


def _rate_with_unit(value: str, repair: str) -> float:
    try:
        return parse(value, "rate")
    except ValueError as error:
        raise fault(str(error), repair) from None


def _day(value: object) -> CalendarDay:
    repair = 'write it as "20 Apr"'
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


@dataclass(frozen=True)
class Wait:
    """A time to wait: whole days, or growing degrees where `degrees` is given [degC day]."""

    days: int = 0
    degrees: float | None = None


def _wait(value: object) -> Wait:
    """Read a time in whole days or in growing degrees."""
    if isinstance(value, str) and "deg" in value:
        repair = f"write {KINDS['growing_degrees'].example}"
        try:
            degrees = parse(value, "growing_degrees")
        except ValueError as error:
            raise fault(str(error), repair) from None
        if not 0 <= degrees <= MOST_DEGREES:
            most = _in_both(MOST_DEGREES, "growing_degrees").replace("_day", " days")
            raise fault(f"from 0 to {most} are allowed", repair)
        return Wait(0, degrees)
    return Wait(_whole_days(value))


def _latitude(value: object) -> float:
    repair = f"write {KINDS['latitude'].example}, south below 0"
    try:
        latitude = parse(value, "latitude")
    except ValueError as error:
        raise fault(str(error), repair) from None
    if not -MOST_LATITUDE <= latitude <= MOST_LATITUDE:
        raise fault(f"from -{MOST_LATITUDE} to {MOST_LATITUDE} degrees are allowed", repair)
    return latitude


def _count(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 100:
        raise fault("not a whole number from 0 to 100", "write a number such as 1")
    return value


def _printable(text: str, most: int) -> str:
    if not 1 <= len(text) <= most:
        raise fault(f"must have 1 to {most} letters", "write a plain, short text")
    if not text.isprintable():
        raise fault("holds a line break or another sign that cannot be shown", "write it plainly")
    return text


def _entry(read: Callable[[object], object], example: str) -> Any:
    return BeforeValidator(read), Field(examples=[example])


Area = Annotated[float, *_quantity("area", least=1e-3, most=1e6)]
Length = Annotated[float, *_quantity("length", least=1, most=1e5)]
Width = Annotated[float, *_quantity("width", least=0.1, most=200)]
RowSpacing = Annotated[float, *_quantity("row_spacing", least=0.05, most=5)]
Distance = Annotated[float, *_quantity("distance", most=1000, zero=True)]
Speed = Annotated[float, *_quantity("speed", least=0.1, most=100)]
Time = Annotated[float, *_quantity("time", most=24, zero=True)]
WorkTime = Annotated[float, *_quantity("time", least=0.01, most=24)]
Power = Annotated[float, *_quantity("power", least=0.1, most=2000)]
YearlyHours = Annotated[float, *_quantity("time", most=8784, zero=True)]
MachineLife = Annotated[float, *_quantity("time", most=1e5, zero=True)]
FuelPrice = Annotated[float, *_quantity("fuel_price", most=1e3, zero=True)]
Years = Annotated[int, Field(ge=0, le=60, examples=["5"])]
Money = Annotated[float, *_quantity("money", most=1e9, zero=True)]
MoneyPerArea = Annotated[float, *_quantity("money_per_area", most=1e6, zero=True)]
Wage = Annotated[float, *_quantity("wage", most=1e4, zero=True)]
TestWeight = Annotated[float, *_quantity("test_weight", least=0.01, most=3)]
LossRate = Annotated[float, *_quantity("loss_rate", most=1, zero=True)]
Share = Annotated[float, *_entry(_share, '"65 %" or 0.65')]
Efficiency = Annotated[float, *_entry(partial(_share, least=0.01), '"65 %" or 0.65')]
Overlap = Annotated[float, *_entry(partial(_share, most=0.9), '"2 %" or 0.02')]
Rate = Annotated[float, *_entry(partial(_share, kind="rate"), '"6 %"')]
Day = Annotated[CalendarDay, *_entry(_day, '"20 Apr"')]
Days = Annotated[int, *_entry(_whole_days, '"5 days"')]
Delay = Annotated[Wait, *_entry(_wait, '"21 days"')]
Latitude = Annotated[float, *_entry(_latitude, '"42 degrees"')]
Depth = Annotated[float, *_quantity("depth", least=0.01, most=1)]
Rain = Annotated[float, *_quantity("rain", least=0.1, most=100)]
YesNo = Annotated[bool, Field(examples=["true"])]
Count = Annotated[int, *_entry(_count, "1")]
Title = Annotated[str, AfterValidator(partial(_printable, most=100))]
Label = Annotated[str, AfterValidator(partial(_printable, most=60))]
