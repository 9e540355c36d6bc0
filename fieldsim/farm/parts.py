"""The other parts of a farm, as checked and frozen: numbers in the internal unit of their kind."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from fieldsim.farm.entries import (
    Area,
    Count,
    Day,
    Delay,
    Distance,
    FuelPrice,
    Label,
    Latitude,
    Length,
    Part,
    Rate,
    Share,
    Title,
    Wage,
    Wait,
    Width,
    WorkTime,
    YesNo,
    fault,
)
from fieldsim.machines.draft import Texture
from fieldsim.season import CalendarDay

__all__ = [
    "LONG_DAY",
    "LUBRICANTS",
    "Crew",
    "FarmField",
    "Heading",
    "Helper",
    "MoneySection",
    "Operation",
    "Option",
]

LUBRICANTS = 0.15  # of the cost of fuel: Edwards, Iowa State University Extension PM 710 (A3-29)
LONG_DAY = 12.0  # hours of work an operator that call for a caution; common practice, no source

Weekday = Literal["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]


def _priority(value: object) -> object:
    if isinstance(value, str) and value != "loss":
        repair = 'write "loss", or the operations in order, as ["plant", "till"]'
        raise fault("not one of the words allowed", repair)
    return ["loss"] if value == "loss" else value


Priority = Annotated[list[str], BeforeValidator(_priority)]


class Heading(Part):
    """The lines at the top of the file: name, units, the crop year and its season, priority."""

    name: Annotated[Title, Field(examples=['"Our farm"'])]
    units: Annotated[Literal["us", "metric"], Field(examples=['"us"'])]
    crop_year: Annotated[int, Field(ge=1900, le=2200, examples=["2026"])]
    first_day: Day = CalendarDay(4, 1)
    last_day: Day = CalendarDay(7, 31)
    latitude: Latitude | None = None
    priority: Annotated[Priority, Field(examples=['["plant", "till"]'])]


class FarmField(Part):
    """A field of one crop: area [ha], row length [m], distance [km] and gate width [m].

    Draft goes by the texture of the soil.
    """

    area: Area
    crop: Annotated[str, Field(examples=['"corn"'])]
    soil: str | None = None
    row_length: Length | None = None
    distance: Distance = 0.0
    gate_width: Width | None = None
    texture: Annotated[Texture, Field(examples=['"medium"'])] = "medium"


class Operation(Part):
    """An operation on one crop: what it follows, when it may be done, and hours a day [h].

    In the farm file one entry serves several crops; where crops differ, a field holds a table with
    a value for each crop. `lag` and `latest_after_planting` are days or growing degrees; work that
    `needs_warm_soil` waits for the season's warm day; with a latitude in the file, daylight bounds
    the hours of work that is not done `after_dark`.

    `weed_control` is the share of the weeds that work after planting removes. From `wet_from` on
    planting goes on where the soil is too wet, for the `wet_share` of the farm's days.
    """

    kind: Annotated[Literal["tillage", "planting", "cultivating"], Field(examples=['"planting"'])]
    hours_per_day: WorkTime
    follows: str | None = None
    lag: Delay = Wait()
    earliest: Day | None = None
    latest: Day | None = None
    latest_after_planting: Delay | None = None
    needs_warm_soil: YesNo = False
    after_dark: YesNo = False
    weed_control: Share = 0.0
    wet_from: Day | None = None


class Helper(Part):
    """A part-time helper who turns up on a day with a probability."""

    probability: Share


class Crew(Part):
    """Own operators, the hours each works on a day [h], days off, and part-time helpers."""

    operators: Count
    hours_per_day: WorkTime
    days_off: list[Weekday] = Field(default_factory=list, examples=['["Sunday"]'])
    helpers: dict[str, Helper] = Field(default_factory=dict)


class Option(Part):
    """A set of machines and tractors, with how many of each, and the operators who run them."""

    label: Annotated[Label, Field(examples=['"6 rows"'])] | None = None
    machines: Annotated[dict[str, Count], Field(min_length=1, examples=["{ planter = 1 }"])]
    tractors: dict[str, Count] = Field(default_factory=dict, examples=["{ tractor = 1 }"])
    operators: Count | None = None


class MoneySection(Part):
    """Prices of the whole farm: wage [$/h], real interest, and yearly shares of the price.

    Without a fuel price [$/L] fuel is not counted; lubricants are a share of its cost.
    """

    wage: Wage
    labor_above_machine_hours: Share = 0.0
    interest: Rate
    taxes_insurance_housing: Rate = 0.0
    fuel_price: FuelPrice | None = None
    lubricants: Share = LUBRICANTS
