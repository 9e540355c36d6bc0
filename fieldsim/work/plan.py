"""Farm -> arrays: one option's plan of work."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.weather import daylight_hours
from fieldsim.farm import Farm
from fieldsim.farm.parts import Operation
from fieldsim.season import WEEKDAYS, CalendarDay
from fieldsim.work.arrays import MISSED, PREVENTED, SWITCHED, Plan
from fieldsim.work.slots import Figures, needed_power, slot_arrays, slot_figures
from fieldsim.work.tasks import Task
from fieldsim.work.weights import weight_arrays

__all__ = ["make_plan", "make_plans"]

# Who is served first where nothing is lost by waiting.
STAGES = {"planting": 0, "cultivating": 1, "tillage": 2}
Closing = tuple[int, int]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def make_plan(farm: Farm, tasks: tuple[Task, ...], option: str) -> Plan:
    """Write one option's work as arrays; see `make_plans`."""
    return make_plans(replace(farm, options={option: farm.options[option]}), tasks)[option]


def make_plans(farm: Farm, tasks: tuple[Task, ...]) -> dict[str, Plan]:
    """Write the work of every option as arrays.

    Parameters
    ----------
    farm : Farm
    tasks : tuple of Task
        The farm's tasks, from `tasks_of`.

    Returns
    -------
    dict of Plan
        By the option's name.
    """
    columns, figures = _of_farm(farm, tasks), slot_figures(farm)
    return {
        option: Plan.of(**columns, **_of_option(farm, tasks, option, columns["weight"], figures))
        for option in farm.options
    }


def _of_farm(farm: Farm, tasks: tuple[Task, ...]) -> dict[str, Any]:
    """Return the columns of a plan that are the same for every option."""
    parts = [farm.operations[task.group.operation][task.group.crop] for task in tasks]
    working = _working_days(farm)
    hours = np.array([_hours(farm, part) for part in parts]) * working
    waits = [part.latest_after_planting for part in parts]
    closings = _closings(farm, tasks, parts)
    return {
        "area": _floats(farm.fields[task.field].area for task in tasks),
        "soil": _ints(_soil(farm, task.field) for task in tasks),
        "follows": _ints(task.follows for task in tasks),
        "lag": _ints(part.lag.days for part in parts),
        "lag_degrees": _floats(part.lag.degrees or 0.0 for part in parts),
        "planting": _ints(task.planting for task in tasks),
        "longest_wait": _ints(-1 if wait is None or wait.degrees else wait.days for wait in waits),
        "longest_wait_degrees": _floats(
            -1.0 if wait is None or wait.degrees is None else wait.degrees for wait in waits
        ),
        "needs_warmth": _ints(part.needs_warm_soil for part in parts),
        "earliest": _ints(max(0, _index(farm, part.earliest, 0)) for part in parts),
        "close_day": _ints(day for day, _ in closings),
        "close_as": _ints(code for _, code in closings),
        "starts_with": _ints(task.starts_with for task in tasks),
        "hours": hours,
        "tractor_hours": hours.max(axis=0),
        "operator_hours": farm.crew.hours_per_day * working,
        "wet_from": _ints(_index(farm, part.wet_from, farm.season.days) for part in parts),
        "control": _floats(part.weed_control for part in parts),
        "wet_share": farm.wet_share,
        **weight_arrays(farm, tasks),
    }


def _of_option(
    farm: Farm, tasks: tuple[Task, ...], option: str, weight: Floats, figures: Figures
) -> dict[str, Any]:
    """Return the columns of a plan that the option's equipment decides."""
    chosen = farm.options[option]
    tractors = sorted(chosen.tractors, key=lambda name: farm.tractors[name].power)
    slots = slot_arrays(farm, tasks, option, figures)
    return {
        "order": _order(farm, tasks, slots["capacity"][:, 0], weight),
        "units": _floats(chosen.machines.values()),
        "power": _floats(needed_power(farm, option)),
        "tractors": _floats(chosen.tractors[name] for name in tractors),
        "tractor_power": _floats(farm.tractors[name].power for name in tractors),
        "hired": _ints(_hired(farm, name) for name in chosen.machines),
        **slots,
    }


def _hired(farm: Farm, machine: str) -> int:
    """Return the days after which a hired machine comes; -1 for an own one."""
    custom = farm.machines[machine].custom
    return -1 if custom is None else custom.arrives_after


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
