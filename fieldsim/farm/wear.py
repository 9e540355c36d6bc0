"""The class by which a machine or tractor of the farm wears and loses value."""

from __future__ import annotations

from fieldsim.farm.machine_parts import Machine, Owned, Tractor
from fieldsim.machines import MachineClass, machine_class, tractor_class

__all__ = ["wear_class"]

LARGE_WHEELS = ("four_wheel", "tracks")


def wear_class(part: Owned) -> MachineClass | None:
    """Return the class of a machine or tractor; None for a machine without one.

    Parameters
    ----------
    part : Machine or Tractor

    Returns
    -------
    MachineClass or None
    """
    if isinstance(part, Tractor):
        return tractor_class(part.power, part.drive in LARGE_WHEELS)
    assert isinstance(part, Machine)
    return None if part.class_ is None else machine_class(part.class_)
