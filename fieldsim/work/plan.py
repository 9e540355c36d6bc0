"""Farm -> arrays: one option's plan of work."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldsim.crops import relative_yield
from fieldsim.days.weather import daylight_hours
from fieldsim.farm import Farm
from fieldsim.farm.parts import Operation
from fieldsim.season import WEEKDAYS, CalendarDay
from fieldsim.work.arrays import MISSED, PREVENTED, SWITCHED, Plan
from fieldsim.work.outfit import block_capacity, block_setup
from fieldsim.work.tasks import Task

__all__ = ["make_plan"]

# Who is served first where nothing is lost by waiting.
STAGES = {"planting": 0, "cultivating": 1, "tillage": 2}
Closing = tuple[int, int]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def make_plan(farm: Farm, tasks: tuple[Task, ...], option: str) -> Plan:
    """Write one option's work as arrays.

    Parameters
    ----------
    farm : Farm
    tasks : tuple of Task
        The farm's tasks, from `tasks_of`.
    option : str
        Name of the option.

    Returns
    -------
    Plan
    """
    parts = [farm.operations[task.group.operation][task.group.crop] for task in tasks]
    chosen = farm.options[option]
    tractors = sorted(chosen.tractors, key=lambda name: farm.tractors[name].power)
    needs = [farm.machines[name].tractor_power for name in chosen.machines]
    working = _working_days(farm)
    hours = np.array([_hours(farm, part) for part in parts]) * working
    waits = [part.latest_after_planting for part in parts]
    slots = _slots(farm, tasks, option)
    capacity = slots[1]
    weight = _weights(farm, tasks)
    closings = _closings(farm, tasks, parts)
    return Plan.of(
        area=_floats(farm.fields[task.field].area for task in tasks),
        soil=_ints(_soil(farm, task.field) for task in tasks),
        follows=_ints(task.follows for task in tasks),
        lag=_ints(part.lag.days for part in parts),
        lag_degrees=_floats(part.lag.degrees or 0.0 for part in parts),
        planting=_ints(task.planting for task in tasks),
        longest_wait=_ints(-1 if wait is None or wait.degrees else wait.days for wait in waits),
        longest_wait_degrees=_floats(
            -1.0 if wait is None or wait.degrees is None else wait.degrees for wait in waits
        ),
        needs_warmth=_ints(part.needs_warm_soil for part in parts),
        earliest=_ints(max(0, _index(farm, part.earliest, 0)) for part in parts),
        close_day=_ints(day for day, _ in closings),
        close_as=_ints(code for _, code in closings),
        starts_with=_ints(task.starts_with for task in tasks),
        hours=hours,
        machine=slots[0],
        capacity=capacity,
        setup=slots[2],
        order=_order(farm, tasks, capacity[:, 0], weight),
        units=_floats(chosen.machines.values()),
        power=_floats(need or 0.0 for need in needs),
        tractors=_floats(chosen.tractors[name] for name in tractors),
        tractor_power=_floats(farm.tractors[name].power for name in tractors),
        tractor_hours=hours.max(axis=0),
        operator_hours=farm.crew.hours_per_day * working,
        weight=weight,
        **_later(farm, tasks, slots[0].shape, weight, len(chosen.machines)),
    )


def _later(
    farm: Farm, tasks: tuple[Task, ...], shape: tuple[int, ...], weight: Floats, machines: int
) -> dict[str, Any]:
    nothing, days = np.zeros_like(weight), farm.season.days
    return {
        "wet_from": np.full(len(tasks), days),
        "control": np.zeros(len(tasks)),
        "morning": np.zeros(shape),
        "fuel": np.zeros(shape),
        "labor": np.ones(shape),
        "hired": np.full(machines, -1),
        "second_weight": nothing,
        "insured": nothing,
        "drying": nothing,
        "weeds_ahead": nothing,
        "wet_share": 0.0,
    }


def _floats(values: object) -> Floats:
    return np.array(list(values), dtype=np.float64)  # type: ignore[call-overload]


def _ints(values: object) -> Ints:
    return np.array(list(values), dtype=np.int64)  # type: ignore[call-overload]


def _index(farm: Farm, day: CalendarDay | None, otherwise: int) -> int:
    return otherwise if day is None else farm.season.index(day)


def _soil(farm: Farm, field: str) -> int:
    soils, soil = farm.day_source.soils, farm.fields[field].soil
    return soils.index(soil) if soil in soils else 0


def _working_days(farm: Farm) -> Floats:
    """Return 1 for each working day and 0 for each day off, shape (day,)."""
    off = [WEEKDAYS.index(day) for day in farm.crew.days_off]
    return np.where(np.isin(farm.season.weekday, off), 0.0, 1.0)


def _hours(farm: Farm, part: Operation) -> Floats:
    """Return the hours in which an operation can be done, bounded by daylight, shape (day,) [h]."""
    most = np.full(farm.season.days, part.hours_per_day)
    if farm.latitude is None or part.after_dark:
        return most
    bounded: Floats = np.minimum(most, daylight_hours(farm.latitude, farm.season.day_of_year))
    return bounded


def _slots(farm: Farm, tasks: tuple[Task, ...], option: str) -> tuple[Ints, Floats, Floats]:
    """Return machine, capacity [ha/h] and setup [h] of each task's machines, shape (task, slot)."""
    machines = list(farm.options[option].machines)
    able = [
        [m for m in machines if task.group.operation in farm.machines[m].operations]
        for task in tasks
    ]
    shape = (len(tasks), max(len(names) for names in able))
    index, capacity, setup = np.full(shape, -1), np.ones(shape), np.zeros(shape)
    for t, names in enumerate(able):
        field = farm.fields[tasks[t].field]
        for slot, name in enumerate(names):
            index[t, slot] = machines.index(name)
            capacity[t, slot] = block_capacity(farm.machines[name], field)
            setup[t, slot] = block_setup(farm.machines[name], field)
    return index, capacity, setup


def _weights(farm: Farm, tasks: tuple[Task, ...]) -> Floats:
    """Return the relative yield of land planted on each day, shape (task, day); 0 elsewhere."""
    yields = {
        crop: relative_yield(curve, farm.season.day_of_year) for crop, curve in farm.curves.items()
    }
    nothing = np.zeros(farm.season.days)
    return np.array(
        [yields[task.group.crop] if task.planting == t else nothing for t, task in enumerate(tasks)]
    )


def _closings(farm: Farm, tasks: tuple[Task, ...], parts: list[Operation]) -> list[Closing]:
    """Return for each task the day from which nothing more is done, and what the rest becomes."""
    never = (farm.season.days, MISSED)
    closings: list[Closing] = []
    for t, (task, part) in enumerate(zip(tasks, parts, strict=True)):
        latest = _index(farm, part.latest, never[0])
        ends = [never, (min(latest + 1, never[0]), MISSED)]
        if task.planting == t:
            late = farm.crops[task.group.crop].late
            if task.starts_with < 0 and late.switch_from is not None:
                ends.append((farm.season.index(late.switch_from), SWITCHED))
            if late.unplanted_from is not None:
                ends.append((farm.season.index(late.unplanted_from), PREVENTED))
        # Where days tie, a late rule goes before a mere end of the window.
        closing = min(ends, key=lambda end: (end[0], end[1] == MISSED))
        if task.starts_with >= 0:  # land comes to a twin with the switch and is lost no earlier
            closing = max(closing, (closings[task.starts_with][0], closing[1]))
        closings.append(closing)
    return _stop_tillage(tasks, closings)


def _stop_tillage(tasks: tuple[Task, ...], closings: list[Closing]) -> list[Closing]:
    """Close work ahead of planting no later than the last planting that waits for it."""
    stopped = list(closings)
    for t, task in enumerate(tasks):
        if task.planting >= 0:
            continue
        waiting = [
            closings[p]
            for p, other in enumerate(tasks)
            if other.planting == p and other.field == task.field and closings[p][1] != SWITCHED
        ]
        if waiting:
            stopped[t] = min(closings[t], max(waiting))
    return stopped


def _order(farm: Farm, tasks: tuple[Task, ...], capacity: Floats, weight: Floats) -> Ints:
    """Return the order in which tasks are served on each day, shape (day, task)."""
    days = farm.season.days
    if farm.priority != ("loss",):
        rank = [farm.priority.index(task.group.operation) for task in tasks]
        return np.tile(np.argsort(rank, kind="stable"), (days, 1))
    stage = [STAGES[farm.operations[task.group.operation][task.group.crop].kind] for task in tasks]
    loss = _loss_per_hour(farm, tasks, capacity, weight)
    return np.array([np.lexsort([np.array(stage), -loss[:, day]]) for day in range(days)])


def _loss_per_hour(
    farm: Farm, tasks: tuple[Task, ...], capacity: Floats, weight: Floats
) -> NDArray[np.float64]:
    """Return what an hour's work is worth today rather than tomorrow [$/h], shape (task, day).

    Work ahead of planting is worth what the planting that waits for it is. Work after planting has
    no loss by date yet and is served where nothing else loses.
    """
    loss = np.zeros_like(weight)
    fall = np.maximum(0.0, -np.diff(weight, axis=1, append=weight[:, -1:]))
    for t in range(len(tasks) - 1, -1, -1):
        crop = farm.crops[tasks[t].group.crop]
        if tasks[t].planting == t:
            loss[t] = fall[t] * crop.yield_ * crop.price
        before = tasks[t].follows
        if before >= 0 and tasks[t].planting in (-1, t):
            loss[before] = np.maximum(loss[before], loss[t])
    return loss * capacity[:, None]
