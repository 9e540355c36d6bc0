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
    block_setup,
    morning_hours,
    people,
    row_share,
)
from fieldsim.work.tasks import Task

__all__ = ["block_speed", "fitting_tractors", "needed_power", "slot_arrays"]


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
    fitting = dict(zip(machines, fitting_tractors(farm, option), strict=True))
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
            speed = block_speed(machine, field, fitting[name])
            places[at] = machines.index(name)
            capacity[at] = block_capacity(machine, field, speed)
            setup[at] = block_setup(machine, field)
            morning[at] = morning_hours(machine, field)
            fuel[at] = _fuel(machine, field, speed, fitting[name])
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

    A tractor of this power or more pulls the machine on every field on which it works, at its own
    speed or, where the machine may go slower, at the one that all of them hold. Only where a
    tractor that cannot pull it at its own speed has more power than all that can, for want of
    driven wheels, it is taken to pull the machine as well.
    """
    chosen = farm.options[option]
    tractors = [farm.tractors[name] for name in chosen.tractors]
    return [_need(farm, farm.machines[name], tractors) for name in chosen.machines]


def fitting_tractors(farm: Farm, option: str) -> list[list[Tractor]]:
    """Return the tractors that pull each machine of an option, in the order in which it gets them.

    None if it needs none.
    """
    tractors = [farm.tractors[name] for name in farm.options[option].tractors]
    ranked = sorted(tractors, key=lambda tractor: tractor.power)
    return [
        [tractor for tractor in ranked if 0 < need <= tractor.power]
        for need in needed_power(farm, option)
    ]


def _need(farm: Farm, machine: Machine, tractors: list[Tractor]) -> float:
    if machine.custom is not None:
        return 0.0
    if not tractors:
        return machine.tractor_power or 0.0
    worked = _fields(farm, machine)
    needs = [
        (max(power_needed(machine, field, tractor.drive) for field in worked), tractor.power)
        for tractor in tractors
    ]
    able = [(need, power) for need, power in needs if need <= power]
    if not able:
        held = [(t.power, min(speed_held(machine, f, t) for f in worked)) for t in tractors]
        slowest = {least: min(v for power, v in held if power >= least) for least, _ in held}
        return min(slowest, key=lambda least: (-slowest[least], least))
    too_weak = max((power for need, power in needs if need > power), default=0.0)
    sure = [(need, power) for need, power in able if power > too_weak] or able
    need, least = max(need for need, _ in sure), min(power for _, power in sure)
    return need if need == 0 or too_weak < need <= least else least


def _fields(farm: Farm, machine: Machine) -> list[FarmField]:
    """Return the fields on which a machine works; all where it works on none."""
    crops = {crop for name in machine.operations for crop in farm.operations.get(name, {})}
    fields = list(farm.fields.values())
    return [
        field
        for field in fields
        if field.crop in crops or farm.crops[field.crop].late.switch_to in crops
    ] or fields


def block_speed(machine: Machine, field: FarmField, fitting: list[Tractor]) -> float:
    """Return the speed on a field [km/h]: the machine's own, or what each fitting tractor holds."""
    return min((_speed(machine, field, [t]) for t in fitting), default=working_speed(machine))


def _speed(machine: Machine, field: FarmField, tractors: list[Tractor]) -> float:
    """Return the speed at which the best of some tractors pulls a machine on a field [km/h]."""
    if not machine.allow_slower or machine.draft is None or not tractors:
        return working_speed(machine)
    return max(speed_held(machine, field, tractor) for tractor in tractors)


def _fuel(machine: Machine, field: FarmField, speed: float, tractors: list[Tractor]) -> float:
    """Return the fuel of an hour in the field [L/h]: full load in the row, none at the stops."""
    if not tractors:
        return 0.0
    tractor = tractors[0]
    in_row = min(power_in_row(machine, field, speed, tractor.drive), tractor.power)
    return float(fuel_per_hour(in_row * row_share(machine, field, speed), tractor.power))
