"""Machines and tractors as parts of the farm."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, ValidationInfo, field_validator, model_validator

from fieldsim.farm.entries import (
    Count,
    Days,
    Depth,
    Efficiency,
    MachineLife,
    Money,
    MoneyPerArea,
    Overlap,
    Part,
    Power,
    RowSpacing,
    Share,
    Speed,
    Time,
    Width,
    YearlyHours,
    Years,
    YesNo,
    fault,
)
from fieldsim.machines.power import Drive, Surface
from fieldsim.machines.remaining_value import HOURS_OF_A_YEAR
from fieldsim.quantities import area_covered, split

__all__ = ["Custom", "DraftPart", "Fill", "Machine", "Owned", "TimeElementsPart", "Tractor"]

Pattern = Literal["check_row", "hill_drop", "drill"]
Placement = Annotated[
    Literal["with_seed", "beside_seed", "broadcast"], Field(examples=['"beside_seed"'])
]


LEAST_FILL, MOST_FILL = 1e-3, 1e6  # land that one fill covers [ha]


class Fill(Part):
    """One material carried: hopper or tank, rate an area, and the time of one fill [h].

    `helpers` stand by at each fill beside the operator and are paid for its time. Fertilizer in the
    seed furrow says so (`placement`), with its share of nitrogen and potash together, for the
    caution.
    """

    hopper: Annotated[str, Field(examples=['"900 lb"'])]
    rate: Annotated[str, Field(examples=['"200 lb/acre"'])]
    time: Time
    helpers: Count = 0
    placement: Placement | None = None
    nitrogen_and_potash: Share | None = None

    @field_validator("hopper", "rate")
    @classmethod
    def _amount(cls, text: str, info: ValidationInfo) -> str:
        example = cls.model_fields[str(info.field_name)].examples
        repair = f"write a value such as {(example or [''])[0]}"
        try:
            amount = split(text).magnitude
        except ValueError as error:
            raise fault(str(error), repair) from None
        if amount <= 0:
            raise fault("must be above 0", repair)
        return text

    @model_validator(mode="after")
    def _covers_an_area(self) -> Fill:
        repair = 'write both in one unit, as hopper = "900 lb" and rate = "200 lb/acre"'
        try:
            area = area_covered(self.hopper, self.rate)
        except ValueError as error:
            raise fault(str(error), repair) from None
        if not LEAST_FILL <= area <= MOST_FILL:
            much = "next to no land" if area < LEAST_FILL else "more land than any farm has"
            problem = f'"{self.hopper}" at "{self.rate}" covers {much}'
            raise fault(problem, "write what the machine holds, and what goes on an area")
        return self


class TimeElementsPart(Part):
    """Field efficiency built up: headland turn [h], overlap and adjustment [shares], fills."""

    turn: Annotated[Time, Field(examples=['"25 s"'])]
    overlap: Overlap = 0.0
    adjustment: Share = 0.0
    fills: dict[str, Fill] = Field(default_factory=dict)


class Owned(Part):
    """What it costs to own: price paid [$], years kept, and what it is worth then.

    Repairs and remaining value go by the price of a new one (`list_price`; default: the price paid)
    and by the `age` [years] and the `hours` [h] at which it was bought. `salvage`, a share of the
    price paid, takes the place of the remaining value of its class.
    """

    price: Money = 0.0
    list_price: Money | None = None
    years: Annotated[int, Field(ge=1, le=60, examples=["12"])] = 12
    age: Years = 0
    hours: MachineLife = 0.0
    salvage: Share | None = None

    @field_validator("hours")
    @classmethod
    def _of_its_age(cls, hours: float, info: ValidationInfo) -> float:
        age = info.data.get("age")
        if age is not None and hours > age * HOURS_OF_A_YEAR:
            years = "at an age of 0 years" if age == 0 else f"are more than {age} years have"
            raise fault(f"{hours:,.0f} h {years}", "write its age in years, as age = 5")
        return hours


class Custom(Part):
    """A machine hired with its operator and tractor: rate an area [$/ha], days till it comes."""

    rate: MoneyPerArea
    arrives_after: Days = 0


class DraftPart(Part):
    """What an implement is to pull: its kind, the depth of its tools, their distance [m].

    The surface is that on which the tractor drives.
    """

    machine: Annotated[str, Field(examples=['"planter_drawn_seed_only"'])]
    depth: Depth | None = None
    spacing: RowSpacing | None = None
    surface: Annotated[Surface, Field(examples=['"tilled"'])] = "tilled"


class Machine(Owned):
    """An implement: working width, speed [km/h], field efficiency, and what it costs to own.

    Its class gives repairs and remaining value. The tractor it needs is told by `tractor_power`, or
    worked out from its `draft`; with `allow_slower` it goes only as fast as the option's
    tractor can pull it. `daily_service` is spent before the first work of each day, and a machine
    that `comes_home` drives out and back each day.
    """

    class_: Annotated[str | None, Field(alias="class", examples=['"planter"'])] = None
    operations: Annotated[list[str], Field(min_length=1, examples=['["plant"]'])]
    rows: Annotated[int, Field(ge=1, le=100, examples=["6"])] | None = None
    row_spacing: RowSpacing | None = None
    width: Width | None = None
    pattern: Pattern | None = None
    speed: Speed | None = None
    field_efficiency: Efficiency | None = None
    time: TimeElementsPart | None = None
    tractor_power: Power | None = None
    draft: DraftPart | None = None
    allow_slower: YesNo = False
    daily_service: Time = 0.0
    comes_home: YesNo = False
    transport_width: Width | None = None
    custom: Custom | None = None
    road_speed: Speed | None = None
    fold_time: Time = 0.0

    @property
    def working_width(self) -> float:
        """Working width [m]."""
        if self.width is not None:
            return self.width
        assert self.rows is not None
        assert self.row_spacing is not None
        return self.rows * self.row_spacing


class Tractor(Owned):
    """A tractor: PTO power [kW], how it drives, and what it costs to own.

    Of a tractor with `other_hours` of work in a year [h], this work bears its share of the hours.
    """

    power: Power
    drive: Annotated[Drive, Field(examples=['"two_wheel"'])] = "two_wheel"
    other_hours: YearlyHours = 0.0
