"""What power an implement takes on a field, and how fast a tractor can pull it there."""

from __future__ import annotations

from fieldsim.farm.machine_parts import Machine, Tractor
from fieldsim.farm.parts import FarmField
from fieldsim.machines import (
    available_drawbar_power,
    draft_size,
    drawbar_power,
    equivalent_pto_power,
    greatest_speed,
    implement_draft,
    planting_pattern,
)
from fieldsim.machines.power import Drive

__all__ = [
    "RESERVE",
    "is_measured",
    "power_in_row",
    "power_needed",
    "speed_held",
    "working_speed",
]

RESERVE = 0.2  # of a tractor's power, for slopes and hard spots; common practice, no source


def is_measured(machine: Machine) -> bool:
    """Say whether a machine has a width and a speed."""
    has_rows = machine.rows is not None and machine.row_spacing is not None
    has_speed = machine.speed is not None or machine.pattern is not None
    return (machine.width is not None or has_rows) and has_speed


def working_speed(machine: Machine) -> float:
    """Return the speed in the field [km/h]: the machine's own, else its planting pattern's."""
    if machine.speed is not None:
        return machine.speed
    assert machine.pattern is not None
    return planting_pattern(machine.pattern).speed


def _size(machine: Machine) -> float:
    """Return the size of an implement in the measure of its draft: rows, tools or metres."""
    assert machine.draft is not None
    kind, spacing = machine.draft.machine, machine.draft.spacing
    if machine.width is not None:
        return float(draft_size(kind, width=machine.width, spacing=spacing))
    try:
        return float(draft_size(kind, count=machine.rows))
    except ValueError:  # goes by its width, or by tools of another distance than the rows
        return float(draft_size(kind, width=machine.working_width, spacing=spacing))


def power_in_row(machine: Machine, field: FarmField, speed: float, drive: Drive) -> float:
    """Return the PTO power that a machine takes of a tractor while it works [kW].

    Where its draft is not given, its tractor power less the reserve; 0 if it needs no tractor.

    Parameters
    ----------
    machine : Machine
    field : FarmField
    speed : float
        [km/h]
    drive : str
        Of the tractor.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        If the draft cannot be worked out: the kind is unknown, or it lacks a depth or spacing.
    """
    part = machine.draft
    if part is None:
        return (machine.tractor_power or 0.0) * (1 - RESERVE)
    draft = implement_draft(part.machine, field.texture, speed, _size(machine), part.depth)
    return float(equivalent_pto_power(drawbar_power(draft, speed), drive, part.surface))


def power_needed(machine: Machine, field: FarmField, drive: Drive) -> float:
    """Return the PTO power of the tractor that a machine needs at its own speed [kW].

    Parameters
    ----------
    machine : Machine
    field : FarmField
    drive : str
        Of the tractor.

    Returns
    -------
    float
        `tractor_power` where it is given; else the power in the row with the reserve.

    Raises
    ------
    ValueError
        As `power_in_row`.
    """
    if machine.tractor_power is not None or machine.draft is None:
        return machine.tractor_power or 0.0
    return power_in_row(machine, field, working_speed(machine), drive) / (1 - RESERVE)


def speed_held(machine: Machine, field: FarmField, tractor: Tractor) -> float:
    """Return the speed at which a tractor can pull a machine whose draft is given [km/h].

    Parameters
    ----------
    machine : Machine
    field : FarmField
    tractor : Tractor

    Returns
    -------
    float
        At most the machine's own speed.

    Raises
    ------
    ValueError
        As `power_in_row`.
    """
    part, own = machine.draft, working_speed(machine)
    if part is None:
        return own
    drawbar = available_drawbar_power(tractor.power, tractor.drive, part.surface, reserve=RESERVE)
    size = _size(machine)
    return min(own, float(greatest_speed(drawbar, part.machine, field.texture, size, part.depth)))
