"""What a machine does on a block: its field capacity there, and its set-up time."""

from __future__ import annotations

import math

from fieldsim.farm.machine_parts import Machine
from fieldsim.farm.parts import FarmField
from fieldsim.farm.pulling import working_speed
from fieldsim.machines import (
    Fill,
    PlantingPattern,
    TimeElements,
    block_setup_time,
    built_efficiency,
    field_capacity,
    planting_pattern,
    time_per_area,
)
from fieldsim.quantities import area_covered

__all__ = [
    "block_capacity",
    "block_efficiency",
    "block_setup",
    "morning_hours",
    "people",
    "row_share",
    "time_elements",
]


def _pattern(machine: Machine) -> PlantingPattern | None:
    return None if machine.pattern is None else planting_pattern(machine.pattern)


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


def block_efficiency(machine: Machine, field: FarmField, speed: float) -> float:
    """Return the field efficiency of a machine on a block at a speed [km/h] [1]."""
    elements = time_elements(machine)
    if elements is None:
        assert machine.field_efficiency is not None
        return machine.field_efficiency
    assert field.row_length is not None
    return built_efficiency(speed, machine.working_width, field.row_length, elements)


def row_share(machine: Machine, field: FarmField, speed: float) -> float:
    """Return the share of the field time that is spent pulling along the rows, at a speed [1].

    Field efficiency where its parts are not known: what is worked twice is then not told apart.
    """
    elements = time_elements(machine)
    if elements is None or field.row_length is None:
        return block_efficiency(machine, field, speed)
    spent = time_per_area(speed, machine.working_width, field.row_length, elements)
    return spent.row / spent.total


def block_capacity(machine: Machine, field: FarmField, speed: float | None = None) -> float:
    """Return the field capacity of one unit of a machine on a block [ha/h].

    `speed` [km/h] is that of the machine where none is given.
    """
    at = working_speed(machine) if speed is None else speed
    efficiency = block_efficiency(machine, field, at)
    return float(field_capacity(at, machine.working_width, efficiency))


def people(machine: Machine, field: FarmField, speed: float) -> float:
    """Return how many people a unit at work takes: its operator, and those who help to fill [1].

    None where a hired machine brings its own.
    """
    if machine.custom is not None:
        return 0.0
    elements = time_elements(machine)
    if elements is None or machine.time is None or field.row_length is None:
        return 1.0
    spent = time_per_area(speed, machine.working_width, field.row_length, elements)
    helped = math.fsum(
        fill.helpers * spent.fills[material] for material, fill in machine.time.fills.items()
    )
    return 1.0 + helped / spent.total


def morning_hours(machine: Machine, field: FarmField) -> float:
    """Return the hours of one unit before its first work of a day: service, the drive out and home.

    A machine that does not come home is left in the field, and whoever drives it comes by car.
    """
    road = 2.0 * field.distance / machine.road_speed if machine.road_speed else 0.0
    return machine.daily_service + (road if machine.comes_home else 0.0)


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
