"""Machines and tractors as parts of the farm."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, ValidationInfo, field_validator, model_validator

from fieldsim.farm.entries import (
    Efficiency,
    Money,
    Overlap,
    Part,
    Power,
    RowSpacing,
    Share,
    Speed,
    Time,
    Width,
    fault,
)
from fieldsim.quantities import area_covered, split

__all__ = ["Fill", "Machine", "Owned", "TimeElementsPart", "Tractor"]

Pattern = Literal["check_row", "hill_drop", "drill"]


LEAST_FILL, MOST_FILL = 1e-3, 1e6  # land that one fill covers [ha]


class Fill(Part):
    """One material carried: hopper or tank, rate an area, and the time of one fill [h]."""

    hopper: Annotated[str, Field(examples=['"900 lb"'])]
    rate: Annotated[str, Field(examples=['"200 lb/acre"'])]
    time: Time

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
    """What it costs to own: price [$], years kept, and the share of the price got back."""

    price: Money = 0.0
    years: Annotated[int, Field(ge=1, le=60, examples=["12"])] = 12
    salvage: Share = 0.0


class Machine(Owned):
    """An implement: working width, speed [km/h], field efficiency, and what it costs to own."""

    operations: Annotated[list[str], Field(min_length=1, examples=['["plant"]'])]
    rows: Annotated[int, Field(ge=1, le=100, examples=["6"])] | None = None
    row_spacing: RowSpacing | None = None
    width: Width | None = None
    pattern: Pattern | None = None
    speed: Speed | None = None
    field_efficiency: Efficiency | None = None
    time: TimeElementsPart | None = None
    tractor_power: Power | None = None
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
    """A tractor: PTO power [kW] and what it costs to own."""

    power: Power
