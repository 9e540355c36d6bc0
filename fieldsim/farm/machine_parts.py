"""Machines and tractors as parts of the farm."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from fieldsim.farm.entries import Money, Part, Power, RowSpacing, Share, Speed, Time, Width, fault
from fieldsim.quantities import area_covered

__all__ = ["Fill", "Machine", "Owned", "TimeElementsPart", "Tractor"]


class Fill(Part):
    """One material carried: hopper or tank, rate an area, and the time of one fill [h]."""

    hopper: Annotated[str, Field(examples=['"900 lb"'])]
    rate: Annotated[str, Field(examples=['"200 lb/acre"'])]
    time: Time

    @model_validator(mode="after")
    def _gives_an_area(self) -> Fill:
        try:
            area_covered(self.hopper, self.rate)
        except ValueError as error:
            repair = 'write hopper = "900 lb" and rate = "200 lb/acre"'
            raise fault(str(error), repair) from None
        return self


class TimeElementsPart(Part):
    """Field efficiency built up: headland turn [h], overlap and adjustment [shares], fills."""

    turn: Time
    overlap: Share = 0.0
    adjustment: Share = 0.0
    fills: dict[str, Fill] = Field(default_factory=dict)


class Owned(Part):
    """What it costs to own: price [$], years kept, and the share of the price got back."""

    price: Money = 0.0
    years: Annotated[int, Field(ge=1, le=60, examples=["12"])] = 12
    salvage: Share = 0.0


class Machine(Owned):
    """An implement: working width, speed [km/h], field efficiency, and what it costs to own."""

    operations: Annotated[list[str], Field(min_length=1)]
    rows: Annotated[int, Field(ge=1, le=100, examples=["6"])] | None = None
    row_spacing: RowSpacing | None = None
    width: Width | None = None
    pattern: Literal["check_row", "hill_drop", "drill"] | None = None
    speed: Speed | None = None
    field_efficiency: Share | None = None
    time: TimeElementsPart | None = None
    tractor_power: Power | None = None
    road_speed: Speed | None = None
    fold_time: Time = 0.0

    @model_validator(mode="after")
    def _whole(self) -> Machine:
        by_rows = self.rows is not None and self.row_spacing is not None
        any_rows = self.rows is not None or self.row_spacing is not None
        if by_rows == (self.width is not None) or any_rows != by_rows:
            repair = 'write rows = 6 and row_spacing = "30 in", or width = "15 ft"'
            raise fault("give either rows with row_spacing, or width", repair)
        if (self.field_efficiency is None) == (self.time is None):
            repair = 'write field_efficiency = "65 %"'
            raise fault("give either field_efficiency or the time elements", repair)
        if self.field_efficiency == 0:
            raise fault("a field efficiency of 0 does no work", 'write field_efficiency = "65 %"')
        if self.speed is None and self.pattern is None:
            raise fault("a speed is needed", 'write speed = "5 mph"')
        return self

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
