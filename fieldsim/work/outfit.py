"""What a machine does on a block: its field capacity there, and its set-up time."""

from __future__ import annotations

from fieldsim.farm.machine_parts import Machine
from fieldsim.farm.parts import FarmField
from fieldsim.machines import (
    Fill,
    PlantingPattern,
    TimeElements,
    block_setup_time,
    built_efficiency,
    field_capacity,
    planting_pattern,
)
from fieldsim.quantities import area_covered

__all__ = ["block_capacity", "block_setup", "time_elements", "working_speed"]


def _pattern(machine: Machine) -> PlantingPattern | None:
    return None if machine.pattern is None else planting_pattern(machine.pattern)


def working_speed(machine: Machine) -> float:
    """Return the speed in the field [km/h]: the machine's own, else its planting pattern's."""
    pattern = _pattern(machine)
    if machine.speed is not None:
        return machine.speed
    assert pattern is not None
    return pattern.speed


def time_elements(machine: Machine) -> TimeElements | None:
    """Return the time elements of a machine; None if its field efficiency is given."""
    part = machine.time
    if part is None:
        return None
    fills = tuple(
        Fill(material, area_covered(fill.hopper, fill.rate), fill.time)
        for material, fill in part.fills.items()
    )
    return TimeElements(part.turn, part.overlap, part.adjustment, fills)


def block_capacity(machine: Machine, field: FarmField) -> float:
    """Return the field capacity of one unit of a machine on a block [ha/h]."""
    speed, width = working_speed(machine), machine.working_width
    elements = time_elements(machine)
    if elements is None:
        assert machine.field_efficiency is not None
        efficiency = machine.field_efficiency
    else:
        assert field.row_length is not None
        efficiency = built_efficiency(speed, width, field.row_length, elements)
    return float(field_capacity(speed, width, efficiency))


def block_setup(machine: Machine, field: FarmField) -> float:
    """Return the hours that one unit spends once on a block before it works there [h].

    A machine that can fold does so for the road, and where it is wider than the gate.
    """
    wide = field.gate_width is not None and machine.working_width > field.gate_width
    pattern = _pattern(machine)
    return block_setup_time(
        field.distance,
        machine.road_speed or 1.0,  # a machine without road speed has no road to go
        machine.fold_time,
        field.distance > 0 or wide,
        0.0 if pattern is None else pattern.setup,
    )
