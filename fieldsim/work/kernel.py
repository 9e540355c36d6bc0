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

from fieldsim.work.arrays import DONE, MISSED, OPERATORS, Plan, new_spent, new_totals
from fieldsim.work.compiling import compiled, inlined
from fieldsim.work.expiry import bring_up
from fieldsim.work.hours import MOMENT, begin_day, hours_at_hand, hours_left, spend
from fieldsim.work.progress import SLIVER, Progress, add_segment, clear, new_progress
from fieldsim.work.settle import settle
from fieldsim.work.sums import add_up, saved, weigh

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
    spent: NDArray[Any],
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
    degrees : ndarray of float64, shape (season, day)
        Growing degrees up to the end of each day [degC day].
    warm_day : ndarray of int64, shape (season,)
        First day on which the soil is warm.
    totals : ndarray of TOTALS, shape (season, group)
        From `new_totals`; filled in.
    spent : ndarray of SPENT, shape (season, resource)
        From `new_spent`; filled in.
    """
    progress = new_progress(plan, suitable.shape[1])
    _run_seasons(plan, progress, group, suitable, operators, degrees, warm_day, totals, spent)


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
        `tasks` holds what became of each task's land, `segments` on which day, `resources` the
        hours and the land of each machine and tractor.
    """
    progress = new_progress(plan, len(suitable))
    group = np.arange(len(plan.tasks))
    totals, spent = new_totals(1, len(group)), new_spent(1, plan)
    warm = np.array([warm_day])
    one = suitable[None], operators[None], degrees[None], warm
    _run_seasons(plan, progress, group, *one, totals, spent)
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
    spent: Any,
) -> None:
    _, _, _, days, order, tractor_hours, operator_hours, wet_share = plan
    tasks, slots, segments, resources, used, peers, marks = progress
    length, soils = days.shape[0], suitable.shape[1]
    shares = np.empty(used.shape[1])
    first_wet, hires = length, False
    for t in range(tasks.size):
        first_wet = min(first_wet, tasks[t].wet_from)
    for r in range(resources.size):
        hires = hires or resources[r].hired >= 0
    for season in range(suitable.shape[0]):
        clear(tasks, slots, resources, marks)
        warmth = degrees[season]
        for day in range(length):
            best = 0
            for soil in range(soils):
                shares[soil] = suitable[season, soil, day]
                if shares[soil] > shares[best]:
                    best = soil
            if day >= first_wet:
                for soil in range(soils):
                    shares[soils + soil] = max(shares[soil], wet_share)
                if wet_share > shares[best]:
                    best = soils
            elif shares.size > soils:
                for soil in range(soils):
                    shares[soils + soil] = shares[soil]
            hands = operators[season, day] * operator_hours[day]
            if shares[best] <= 0.0 or (hands <= 0.0 and not hires):
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
                soil = task.soil if day < task.wet_from else soils + task.soil
                if day < task.earliest or days[day, t].hours <= 0.0 or shares[soil] <= 0.0:
                    continue
                if task.follows >= 0 and (
                    day < task.ready_day or tasks[task.follows].front <= task.front
                ):
                    continue
                if not bring_up(tasks, segments, warmth, t, day):
                    continue
                _serve(
                    tasks, slots, segments, resources, used, peers, marks, shares, warmth, days,
                    day, t, soil,
                )  # fmt: skip
                if not hires and hours_left(resources, used, shares, best, OPERATORS) <= 0.0:
                    break
            if not land_open:
                break
        settle(tasks, segments, warmth, length)
        for t in range(tasks.size):
            add_up(tasks[t], totals[season, group[t]])
        for r in range(resources.size):
            spent[season, r].hours = resources[r].spent
            spent[season, r].area = resources[r].area


@inlined
def _serve(
    tasks: Any,
    slots: Any,
    segments: Any,
    resources: Any,
    used: Any,
    peers: Any,
    marks: Any,
    shares: Any,
    degrees: Any,
    days: Any,
    day: int,
    t: int,
    soil: int,
) -> None:
    """Let each machine of a task work its ready land for the hours at hand [rules 2a to 2h]."""
    task, on = tasks[t], days[day, t]
    for k in range(slots.shape[1]):
        slot = slots[t, k]
        if slot.machine < 0 or not _is_ready(tasks, segments, degrees, t, day):
            return
        machine = resources[slot.machine]
        if machine.hired >= 0 and machine.comes < 0:
            machine.comes = day + machine.hired
        if day < machine.comes:
            continue
        hours = hours_at_hand(resources, used, shares, soil, slot.machine, on.hours)
        if hours <= 0.0:
            continue
        owed = slot.owed
        if machine.last_day < day:
            owed = max(owed, slot.morning * machine.units)
        setting_up = min(owed, hours)
        slot.owed = max(0.0, slot.owed - setting_up)
        working = hours - setting_up
        # Rounding may leave a trace of the hours: land done in it would let followers begin early.
        if working > MOMENT:
            most = working * slot.capacity
            done = _work(tasks, segments, peers, marks, degrees, days, t, day, most)
            working = min(working, done / slot.capacity)
            machine.area += done
            weigh(task, on, done, shares[task.soil], shares[soil])
        task.hours_spent += setting_up + working
        task.fuel += slot.fuel * (setting_up + working)
        task.labor += slot.labor * working + (setting_up if machine.hired < 0 else 0.0)
        spend(resources, used, shares, soil, slot.machine, setting_up + working, day)


@inlined
def _is_ready(tasks: Any, segments: Any, degrees: Any, t: int, day: int) -> bool:
    """Say whether land lies ready at the front; pass over what the predecessor missed [rule 2d]."""
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
def _work(
    tasks: Any,
    segments: Any,
    peers: Any,
    marks: Any,
    degrees: Any,
    days: Any,
    t: int,
    day: int,
    most: float,
) -> float:
    """Do up to `most` hectares of ready land; return the area done [ha] [rules 2d, 2f, 2g]."""
    task, done, moved = tasks[t], 0.0, True
    while moved and done < most and _is_ready(tasks, segments, degrees, t, day):
        end = task.area if task.follows < 0 else segments[task.follows, task.source].end
        reach = min(task.front + most - done, end)
        if end - reach <= SLIVER * task.area:
            reach = end
        moved = reach > task.front  # not where too little is done to move it in floating point
        if moved:
            done += reach - task.front
            task.saved += saved(tasks, segments, peers, marks, days, t, reach, day)
            add_segment(tasks, segments, t, reach, day, DONE)
            task.last_day = day
    return done
