"""What each machine of an option does on each block: capacity, time to start, fuel and people."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any, NamedTuple

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

__all__ = ["block_speed", "fitting_tractors", "needed_power", "slot_arrays", "slot_figures"]


class SlotFigures(NamedTuple):
    """What one unit of a machine does on a field, behind the tractors that it gets."""

    capacity: float  # [ha/h]
    setup: float  # [h]
    morning: float  # [h]
    fuel: float  # [L/h]
    labor: float  # people


Figures = Callable[[str, str, tuple[str, ...]], SlotFigures]


def slot_figures(farm: Farm) -> Figures:
    """Return a function of a machine's, a field's and the tractors' names.

    Each figure is worked out once, however many options and tasks ask for it.
    """

    @cache
    def figures(machine_name: str, field_name: str, tractors: tuple[str, ...]) -> SlotFigures:
        machine, field = farm.machines[machine_name], farm.fields[field_name]
        fitting = [farm.tractors[name] for name in tractors]
        speed = block_speed(machine, field, fitting)
        return SlotFigures(
            block_capacity(machine, field, speed),
            block_setup(machine, field),
            morning_hours(machine, field),
            _fuel(machine, field, speed, fitting),
            people(machine, field, speed),
        )

    return figures


def slot_arrays(
    farm: Farm,
    tasks: tuple[Task, ...],
    option: str,
    figures: Figures | None = None,
) -> dict[str, NDArray[Any]]:
    """Return the arrays of a plan that have a place for each task and machine.

    Parameters
    ----------
    farm : Farm
    tasks : tuple of Task
    option : str
    figures : callable, optional
        From `slot_figures`, where several options are asked for.

    Returns
    -------
    dict of ndarray, shape (task, slot)
        `machine`, `capacity` [ha/h], `setup`, `morning` [h], `fuel` [L/h], `labor` [1]; see
        DEVELOPERS.md, "The rules of work".
    """
    figures = slot_figures(farm) if figures is None else figures
    machines = list(farm.options[option].machines)
    fitting = dict(zip(machines, _fitting(farm, option), strict=True))
    able = [
        [m for m in machines if task.group.operation in farm.machines[m].operations]
        for task in tasks
    ]
    shape = (len(tasks), max(len(names) for names in able))
    arrays = {name: np.zeros(shape) for name in SlotFigures._fields}
    arrays["capacity"][:] = 1.0
    places = np.full(shape, -1)
    for t, names in enumerate(able):
        for slot, name in enumerate(names):
            places[t, slot] = machines.index(name)
            found = figures(name, tasks[t].field, fitting[name])
            for array, figure in zip(arrays.values(), found, strict=True):
                array[t, slot] = figure
    return {"machine": places, **arrays}


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
    return [[farm.tractors[name] for name in names] for names in _fitting(farm, option)]


def _fitting(farm: Farm, option: str) -> list[tuple[str, ...]]:
    """Return the names of the tractors that pull each machine of an option, weakest first."""
    ranked = sorted(farm.options[option].tractors, key=lambda name: farm.tractors[name].power)
    return [
        tuple(name for name in ranked if 0 < need <= farm.tractors[name].power)
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
