"""What each machine of an option does on each block: capacity, time to start, fuel and people."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldsim.farm import Farm
from fieldsim.farm.machine_parts import Machine, Tractor
from fieldsim.farm.parts import FarmField
from fieldsim.farm.pulling import power_in_row, power_needed, speed_held, working_speed
from fieldsim.machines import fuel_per_hour
from fieldsim.work.outfit import (
    block_capacity,
    block_efficiency,
    block_setup,
    morning_hours,
    people,
)
from fieldsim.work.tasks import Task

__all__ = ["needed_power", "slot_arrays"]


def slot_arrays(farm: Farm, tasks: tuple[Task, ...], option: str) -> dict[str, NDArray[Any]]:
    """Return the arrays of a plan that have a place for each task and machine.

    Parameters
    ----------
    farm : Farm
    tasks : tuple of Task
    option : str

    Returns
    -------
    dict of ndarray, shape (task, slot)
        `machine`, `capacity` [ha/h], `setup`, `morning` [h], `fuel` [L/h], `labor` [1]; see
        DEVELOPERS.md, "The rules of work".
    """
    machines = list(farm.options[option].machines)
    tractors = [farm.tractors[name] for name in farm.options[option].tractors]
    able = [
        [m for m in machines if task.group.operation in farm.machines[m].operations]
        for task in tasks
    ]
    shape = (len(tasks), max(len(names) for names in able))
    places, capacity = np.full(shape, -1), np.ones(shape)
    setup, morning, fuel, labor = (np.zeros(shape) for _ in range(4))
    for t, names in enumerate(able):
        field = farm.fields[tasks[t].field]
        for slot, name in enumerate(names):
            machine, at = farm.machines[name], (t, slot)
            speed = _speed(machine, field, tractors)
            places[at] = machines.index(name)
            capacity[at] = block_capacity(machine, field, speed)
            setup[at] = block_setup(machine, field)
            morning[at] = morning_hours(machine, field)
            fuel[at] = _fuel(machine, field, speed, _pulling(farm, machine, tractors))
            labor[at] = people(machine, field, speed)
    return {
        "machine": places,
        "capacity": capacity,
        "setup": setup,
        "morning": morning,
        "fuel": fuel,
        "labor": labor,
    }


def needed_power(farm: Farm, option: str) -> list[float]:
    """Return the tractor power that each machine of an option needs [kW]; 0 for none.

    The most that any field takes with the drive of any of the option's tractors; a machine that may
    go slower needs no more than the strongest of them has.
    """
    chosen = farm.options[option]
    tractors = [farm.tractors[name] for name in chosen.tractors]
    return [_need(farm, farm.machines[name], tractors) for name in chosen.machines]


def _need(farm: Farm, machine: Machine, tractors: list[Tractor]) -> float:
    if machine.custom is not None:
        return 0.0
    if not tractors:
        return machine.tractor_power or 0.0
    worked = _fields(farm, machine)
    fitting = [
        max(power_needed(machine, field, tractor.drive) for field in worked) for tractor in tractors
    ]
    pulling = [n for n, t in zip(fitting, tractors, strict=True) if n <= t.power]
    strongest = max(tractor.power for tractor in tractors)
    return max(pulling) if pulling else min(max(fitting), strongest)


def _fields(farm: Farm, machine: Machine) -> list[FarmField]:
    """Return the fields on which a machine works; all where it works on none."""
    crops = {crop for name in machine.operations for crop in farm.operations.get(name, {})}
    fields = list(farm.fields.values())
    return [field for field in fields if field.crop in crops] or fields


def _speed(machine: Machine, field: FarmField, tractors: list[Tractor]) -> float:
    """Return the speed on a field [km/h]: the machine's own, or what can be held."""
    if not machine.allow_slower or machine.draft is None or not tractors:
        return working_speed(machine)
    return max(speed_held(machine, field, tractor) for tractor in tractors)


def _pulling(farm: Farm, machine: Machine, tractors: list[Tractor]) -> Tractor | None:
    """Return the tractor that a machine gets first: the weakest that fits."""
    need = _need(farm, machine, tractors)
    fitting = [tractor for tractor in tractors if tractor.power >= need]
    return min(fitting, key=lambda tractor: tractor.power) if need and fitting else None


def _fuel(machine: Machine, field: FarmField, speed: float, tractor: Tractor | None) -> float:
    """Return the fuel of an hour in the field [L/h]: full load in the row, none at the stops."""
    if tractor is None:
        return 0.0
    in_row = min(power_in_row(machine, field, speed, tractor.drive), tractor.power)
    load = in_row * block_efficiency(machine, field, speed)
    return float(fuel_per_hour(load, tractor.power))
