"""The rules of work, compiled: plans and a season's draws in, what became of the land out.

Reads like "The rules of work" in DEVELOPERS.md; the numbers in brackets are its rule numbers. It
draws nothing, knows no names, and works each season for itself, so that results do not depend on
how many seasons run or in which thread.

What the rules say of each morning (rule 1) is caught up with when a task's turn comes, and for all
tasks after the last day: in between it makes no difference, since land is only done in turn.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldsim.work.arrays import DONE, MISSED, OPERATORS, Plan, new_totals
from fieldsim.work.compiling import compiled, inlined
from fieldsim.work.expiry import bring_up
from fieldsim.work.hours import begin_day, hours_at_hand, hours_left, spend
from fieldsim.work.progress import SLIVER, Progress, add_segment, clear, new_progress
from fieldsim.work.settle import settle

__all__ = ["run_season", "run_seasons"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def run_seasons(
    plan: Plan,
    group: Ints,
    suitable: Floats,
    operators: Floats,
    degrees: Floats,
    warm_day: Ints,
    totals: NDArray[Any],
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
    degrees : ndarray of float64, shape (season, day,)
        Growing degrees up to the end of each day [degC day].
    warm_day : ndarray of int64, shape (season,)
        First day on which the soil is warm.
    totals : ndarray of TOTALS, shape (season, group)
        From `new_totals`; filled in.
    """
    progress = new_progress(plan, suitable.shape[1])
    _run_seasons(plan, progress, group, suitable, operators, degrees, warm_day, totals)


def run_season(
    plan: Plan, suitable: Floats, operators: Floats, degrees: Floats, warm_day: int
) -> Progress:
    """Run one option through one season, day by day.

    Parameters
    ----------
    plan : Plan
    suitable : ndarray of float64, shape (soil, day)
    operators : ndarray of float64, shape (day,)
    degrees : ndarray of float64, shape (day,)
        Growing degrees up to the end of each day [degC day].
    warm_day : int
        First day on which the soil is warm.

    Returns
    -------
    Progress
        `tasks` holds what became of each task's land, `segments` on which day.
    """
    progress = new_progress(plan, len(suitable))
    group = np.arange(len(plan.tasks))
    totals = new_totals(1, len(group))
    warm = np.array([warm_day])
    _run_seasons(
        plan, progress, group, suitable[None], operators[None], degrees[None], warm, totals
    )
    return progress


@compiled
def _run_seasons(
    plan: Any,
    progress: Any,
    group: Any,
    suitable: Any,
    operators: Any,
    degrees: Any,
    warm_day: Any,
    totals: Any,
) -> None:
    _, _, _, hours, weight, order, tractor_hours, operator_hours = plan
    tasks, slots, segments, resources, used = progress
    days = hours.shape[0]
    shares = np.empty(suitable.shape[1])
    for season in range(suitable.shape[0]):
        clear(tasks, slots, resources)
        warmth = degrees[season]
        for day in range(days):
            best = 0
            for soil in range(shares.size):
                shares[soil] = suitable[season, soil, day]
                if shares[soil] > shares[best]:
                    best = soil
            hands = operators[season, day] * operator_hours[day]
            if shares[best] <= 0.0 or hands <= 0.0:
                continue
            begin_day(
                resources, used, operators[season, day], operator_hours[day], tractor_hours[day]
            )
            land_open = False
            for i in range(tasks.size):
                t = order[day, i]
                task = tasks[t]
                if task.front >= task.area or day >= task.close_day:
                    continue
                land_open = True
                if task.needs_warmth == 1 and day < warm_day[season]:
                    continue
                if day < task.earliest or hours[day, t] <= 0.0 or shares[task.soil] <= 0.0:
                    continue
                if task.follows >= 0 and (
                    day < task.ready_day or tasks[task.follows].front <= task.front
                ):
                    continue
                if not bring_up(tasks, segments, warmth, t, day):
                    continue
                _serve(
                    tasks, slots, segments, resources, used, shares, warmth,
                    hours[day, t], weight[day, t], day, t,
                )  # fmt: skip
                if hours_left(resources, used, shares, best, OPERATORS) <= 0.0:
                    break
            if not land_open:
                break
        settle(tasks, segments, warmth, days)
        for t in range(tasks.size):
            _add_up(tasks[t], totals[season, group[t]])


@inlined
def _serve(
    tasks: Any,
    slots: Any,
    segments: Any,
    resources: Any,
    used: Any,
    shares: Any,
    degrees: Any,
    day_hours: float,
    weight: float,
    day: int,
    t: int,
) -> None:
    """Let each machine of a task work its ready land for the hours at hand [rules 2a to 2d]."""
    task = tasks[t]
    for k in range(slots.shape[1]):
        slot = slots[t, k]
        if slot.machine < 0 or not _is_ready(tasks, segments, degrees, t, day):
            return
        hours = hours_at_hand(resources, used, shares, task.soil, slot.machine, day_hours)
        if hours <= 0.0:
            continue
        setting_up = min(slot.owed, hours)
        slot.owed -= setting_up
        working = hours - setting_up
        if working > 0.0:
            done = _work(tasks, segments, degrees, t, day, working * slot.capacity)
            task.weighted += done * weight
            working = min(working, done / slot.capacity)
        task.hours_spent += setting_up + working
        spend(resources, used, shares, task.soil, slot.machine, setting_up + working)


@inlined
def _is_ready(tasks: Any, segments: Any, degrees: Any, t: int, day: int) -> bool:
    """Say whether land lies ready at the front; pass over what the predecessor missed [rule 2c]."""
    task, before = tasks[t], tasks[t].follows
    if before < 0:
        return bool(task.front < task.area)
    while task.source < tasks[before].segments:
        segment = segments[before, task.source]
        if segment.end > task.front:
            if segment.kind == DONE:
                task.ready_day = segment.day + task.lag
                passed = degrees[day] - degrees[segment.day]
                return bool(task.ready_day <= day and passed >= task.lag_degrees)
            add_segment(tasks, segments, t, segment.end, day, MISSED)
        task.source += 1
    return False


@inlined
def _work(tasks: Any, segments: Any, degrees: Any, t: int, day: int, most: float) -> float:
    """Do up to `most` hectares of ready land; return the area done [ha] [rules 2c and 2e]."""
    task, done, moved = tasks[t], 0.0, True
    while moved and done < most and _is_ready(tasks, segments, degrees, t, day):
        end = task.area if task.follows < 0 else segments[task.follows, task.source].end
        reach = min(task.front + most - done, end)
        if end - reach <= SLIVER * task.area:
            reach = end
        moved = reach > task.front  # not where too little is done to move it in floating point
        if moved:
            done += reach - task.front
            add_segment(tasks, segments, t, reach, day, DONE)
            task.last_day = day
    return done


@inlined
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
