"""What stands on the equipment shelf, as checked and frozen parts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from fieldsim.farm.entries import (
    Efficiency,
    MachineLife,
    Money,
    Part,
    Power,
    RowSpacing,
    Speed,
    Time,
    Title,
    Width,
    Years,
    fault,
)
from fieldsim.machines.power import Drive
from fieldsim.quantities import split

__all__ = ["Hopper", "Implement", "Offer", "Shelf", "ShelfTractor"]


def _amount(text: str) -> str:
    repair = 'write a value such as "480000 seeds" or "900 lb"'
    try:
        held = split(text).magnitude
    except ValueError as error:
        raise fault(str(error), repair) from None
    if held <= 0:
        raise fault("must be above 0", repair)
    return text


class Hopper(Part):
    """What all hoppers or tanks for one material hold, as text, and the time of one fill [h]."""

    hopper: Annotated[str, AfterValidator(_amount), Field(examples=['"900 lb"'])]
    time: Time


class Offer(Part):
    """What the machines of a shelf have in common: the price asked [$], and what a used one is."""

    name: Title
    price: Money
    list_price: Money | None = None
    age: Years = 0
    hours: MachineLife = 0.0
    years: Annotated[int, Field(ge=1, le=60, examples=["12"])] | None = None
    source: str | None = None
    written: dict[str, int | str]

    @property
    def bought(self) -> Literal["new", "used"]:
        """Whether it is new or used."""
        return "used" if self.age > 0 or self.hours > 0 else "new"


class Implement(Offer):
    """A machine on the shelf: width [m], speed [km/h], and the tractor power it needs [kW].

    What is None is as with the farm's own machine. `hoppers` are by material; `written` holds the
    cells that a farm file has under the same names.
    """

    kind: Literal["planter", "row_cultivator", "rotary_hoe", "disk", "field_cultivator"]
    rows: Annotated[int, Field(ge=1, le=100, examples=["6"])] | None = None
    row_spacing: RowSpacing | None = None
    width: Width | None = None
    speed: Speed | None = None
    field_efficiency: Efficiency | None = None
    turn: Annotated[Time, Field(examples=['"25 s"'])] | None = None
    fold_time: Time | None = None
    transport_width: Width | None = None
    tractor_power: Power
    hoppers: dict[str, Hopper] = Field(default_factory=dict)

    @property
    def working_width(self) -> float:
        """Working width [m]."""
        if self.width is not None:
            return self.width
        assert self.rows is not None
        assert self.row_spacing is not None
        return self.rows * self.row_spacing


class ShelfTractor(Offer):
    """A tractor on the shelf: PTO power [kW] and how it drives."""

    kind: Literal["tractor"]
    power: Power
    drive: Annotated[Drive, Field(examples=['"two_wheel"'])] = "two_wheel"


@dataclass(frozen=True)
class Shelf:
    """What could be bought.

    Parameters
    ----------
    file : str
        The table it was read from.
    implements : tuple of Implement
    tractors : tuple of ShelfTractor
    """

    file: str
    implements: tuple[Implement, ...]
    tractors: tuple[ShelfTractor, ...]
