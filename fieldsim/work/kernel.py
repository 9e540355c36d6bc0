"""The rules of work, compiled: plans and a season's draws in, what became of the land out.

Reads like "The rules of work" in DEVELOPERS.md; the numbers in brackets are its rule numbers. It
draws nothing, knows no names, and works each season for itself, so that results do not depend on
how many seasons run or in which thread.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit
from numpy.typing import NDArray

from fieldsim.work.arrays import DONE, MISSED, SWITCHED, Plan, new_totals
from fieldsim.work.hours import begin_day, hours_at_hand, spend
from fieldsim.work.progress import SLIVER, Progress, add_segment, clear, new_progress
from fieldsim.work.settle import settle

__all__ = ["run_season", "run_seasons"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def run_seasons(
    plan: Plan, group: Ints, suitable: Floats, operators: Floats, totals: NDArray[Any]
) -> None:
    """Run one option through seasons and fill in its totals.

    Parameters
    ----------
    plan : Plan
    group : ndarray of int64, shape (T,)
        Group whose totals each task adds to.
    suitable : ndarray of float64, shape (season, soil, day)
        Suitable share of each day, 0..1.
    operators : ndarray of float64, shape (season, day)
        Hands at work.
    totals : ndarray of TOTALS, shape (season, group)
        From `new_totals`; filled in.
    """
    progress = new_progress(plan, suitable.shape[1])
    _run_seasons(plan, progress, group, suitable, operators, totals)


def run_season(plan: Plan, suitable: Floats, operators: Floats) -> Progress:
    """Run one option through one season, day by day.

    Parameters
    ----------
    plan : Plan
    suitable : ndarray of float64, shape (soil, day)
    operators : ndarray of float64, shape (day,)

    Returns
    -------
    Progress
        `tasks` holds what became of each task's land, `segments` on which day.
    """
    progress = new_progress(plan, len(suitable))
    group = np.arange(len(plan.tasks))
    totals = new_totals(1, len(group))
    _run_seasons(plan, progress, group, suitable[None], operators[None], totals)
    return progress


@njit(cache=True, nogil=True)
def _run_seasons(
    plan: Any, progress: Any, group: Any, suitable: Any, operators: Any, totals: Any
) -> None:
    _, _, _, hours, weight, order, tractor_hours, operator_hours = plan
    tasks, slots, segments, resources, used = progress
    shares = np.empty(suitable.shape[1])
    for season in range(suitable.shape[0]):
        clear(tasks, slots, resources)
        for day in range(hours.shape[0]):
            _close_and_expire(tasks, segments, day)
            if not _any_land_open(tasks):
                break
            for soil in range(shares.size):
                shares[soil] = suitable[season, soil, day]
            if shares.max() > 0.0:
                hands = operators[season, day]
                begin_day(resources, used, hands, operator_hours[day], tractor_hours[day])
                for i in range(tasks.size):
                    t = order[day, i]
                    if _may_be_served(tasks[t], shares, hours[day, t], day):
                        _serve(
                            tasks, slots, segments, resources, used, shares,
                            hours[day, t], weight[day, t], day, t,
                        )  # fmt: skip
        settle(tasks, segments, hours.shape[0])
        for t in range(tasks.size):
            _add_up(tasks[t], totals[season, group[t]])


@njit(cache=True, nogil=True)
def _any_land_open(tasks: Any) -> bool:
    """Say whether anything can still change: land undone in an open task or a twin to come."""
    for t in range(tasks.size):
        task = tasks[t]
        if task.started == 0:
            if task.starts_with >= 0 and tasks[task.starts_with].front < task.area:
                return True
        elif task.closed == 0 and task.front < task.area:
            return True
    return False


@njit(cache=True, nogil=True)
def _close_and_expire(tasks: Any, segments: Any, day: int) -> None:
    """Start twins, let land expire, and close tasks whose time is over [rule 1]."""
    for t in range(tasks.size):
        task = tasks[t]
        if task.started == 0:
            _start(tasks, t)
        if task.closed == 0 and task.started == 1 and task.longest_wait >= 0:
            _expire(tasks, segments, t, day)
        if task.closed == 0 and day >= task.close_day:
            task.closed = task.close_as


@njit(cache=True, nogil=True)
def _start(tasks: Any, t: int) -> None:
    """Start a twin once its land has been switched, and with it the tasks after it [rule 1a]."""
    task = tasks[t]
    if task.starts_with >= 0:
        old = tasks[task.starts_with]
        if old.closed == SWITCHED:
            task.started = 1
            task.begin = task.front = old.front
    elif tasks[task.planting].started == 1:
        task.started = 1
        task.begin = task.front = tasks[task.planting].begin


@njit(cache=True, nogil=True)
def _expire(tasks: Any, segments: Any, t: int, day: int) -> None:
    """Miss the land planted more than `longest_wait` days ago [rule 1b]."""
    task, planting = tasks[t], tasks[t].planting
    while task.aged < tasks[planting].segments:
        segment = segments[planting, task.aged]
        if segment.kind == DONE:
            if segment.day + task.longest_wait >= day:
                return
            if segment.end > task.front:
                add_segment(tasks, segments, t, segment.end, day, MISSED)
        task.aged += 1


@njit(cache=True, nogil=True)
def _may_be_served(task: Any, shares: Any, hours: float, day: int) -> bool:
    """Say whether a task has land, time and a suitable day [rule 2]."""
    if task.front >= task.area or task.closed != 0 or task.started == 0:
        return False
    return bool(day >= task.earliest and hours > 0.0 and shares[task.soil] > 0.0)


@njit(cache=True, nogil=True)
def _serve(
    tasks: Any,
    slots: Any,
    segments: Any,
    resources: Any,
    used: Any,
    shares: Any,
    day_hours: float,
    weight: float,
    day: int,
    t: int,
) -> None:
    """Let each machine of a task work its ready land for the hours at hand [rules 2a to 2d]."""
    task = tasks[t]
    for k in range(slots.shape[1]):
        slot = slots[t, k]
        if slot.machine < 0 or not _is_ready(tasks, segments, t, day):
            return
        hours = hours_at_hand(resources, used, shares, task.soil, slot.machine, day_hours)
        if hours <= 0.0:
            continue
        setting_up = min(slot.owed, hours)
        slot.owed -= setting_up
        working = hours - setting_up
        if working > 0.0:
            done = _work(tasks, segments, t, day, working * slot.capacity)
            task.weighted += done * weight
            working = min(working, done / slot.capacity)
        task.hours_spent += setting_up + working
        spend(resources, used, shares, task.soil, slot.machine, setting_up + working)


@njit(cache=True, nogil=True)
def _is_ready(tasks: Any, segments: Any, t: int, day: int) -> bool:
    """Say whether land lies ready at the front; pass over what the predecessor missed [rule 2c]."""
    task, before = tasks[t], tasks[t].follows
    if before < 0:
        return bool(task.front < task.area)
    while task.source < tasks[before].segments:
        segment = segments[before, task.source]
        if segment.end > task.front:
            if segment.kind == DONE:
                return bool(segment.day + task.lag <= day)
            add_segment(tasks, segments, t, segment.end, day, MISSED)
        task.source += 1
    return False


@njit(cache=True, nogil=True)
def _work(tasks: Any, segments: Any, t: int, day: int, most: float) -> float:
    """Do up to `most` hectares of ready land; return the area done [ha] [rules 2c and 2e]."""
    task, done = tasks[t], 0.0
    while done < most and _is_ready(tasks, segments, t, day):
        end = task.area if task.follows < 0 else segments[task.follows, task.source].end
        reach = min(task.front + most - done, end)
        if end - reach <= SLIVER * task.area:
            reach = end
        if reach <= task.front:  # too little to move the front in floating point
            break
        done += reach - task.front
        add_segment(tasks, segments, t, reach, day, DONE)
        task.last_day = day
    return done


@njit(cache=True, nogil=True)
def _add_up(task: Any, total: Any) -> None:
    """Add a task's season to the totals of its group."""
    area = task.area - task.begin
    if task.started == 0 or area <= SLIVER * task.area:
        return
    finished = area - task.done <= SLIVER * task.area
    if total.area == 0.0 and finished:
        total.finish_day = task.last_day
    elif finished and total.finish_day >= 0:
        total.finish_day = max(total.finish_day, task.last_day)
    else:
        total.finish_day = -1
    total.area += area
    total.done += task.done
    total.left += task.left
    total.missed += task.missed
    total.switched += task.switched
    total.prevented += task.prevented
    total.hours += task.hours_spent
    total.weighted += task.weighted
