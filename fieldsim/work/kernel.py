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

from fieldsim.compiled import compiled, inlined
from fieldsim.work.arrays import DONE, MISSED, OPERATORS, Plan, new_spent, new_totals
from fieldsim.work.expiry import bring_up
from fieldsim.work.hours import FIRST, MOMENT, begin_day, hours_at_hand, hours_left, spend
from fieldsim.work.progress import SLIVER, Progress, add_segment, begin_season, new_progress
from fieldsim.work.settle import settle
from fieldsim.work.sums import add_up, count

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
    now: Any,
    group: Any,
    suitable: Any,
    operators: Any,
    degrees: Any,
    warm_day: Any,
    totals: Any,
    spent: Any,
) -> None:
    for season in range(suitable.shape[0]):
        soils, warmth = suitable[season], degrees[season]
        begin_season(now, warm_day[season])
        for day in range(plan.order.shape[0]):
            hands = operators[season, day]
            best = begin_day(plan, now, soils, hands, day)
            if now.shares[best] <= 0.0 or (
                hands * plan.operator_hours[day] <= 0.0 and not now.hires
            ):
                continue
            if not _work_day(plan, now, warmth, day, best) and not _any_awake(now):
                break
        settle(now, warmth)
        count(plan, now, soils)
        for t in range(now.tasks.size):
            add_up(now.tasks[t], totals[season, group[t]])
        for r in range(now.resources.size):
            spent[season, r].hours = now.resources[r].spent
            spent[season, r].area = now.resources[r].area


@inlined
def _work_day(plan: Any, now: Any, degrees: Any, day: int, best: int) -> bool:
    """Serve the tasks in turn until the hands have no hour left even on the best soil [rule 2].

    Returns whether the turn of any came.
    """
    i, hands_left = _next_due(plan, now, day, FIRST), True
    found = i < now.tasks.size
    while hands_left and i < now.tasks.size:
        t = plan.order[day, i]
        soil = now.tasks[t].soil
        if day >= now.tasks[t].wet_from:
            soil += now.shares.size // 2
        can_be_done = now.hours[day, t] > 0.0 and now.shares[soil] > 0.0
        if can_be_done and bring_up(now, degrees, t, day):
            _serve(now, degrees, day, t, soil)
            hands_left = now.hires or (hours_left(now, best, OPERATORS) > 0.0)
        i = _next_due(plan, now, day, i + 1)
    return bool(found)


@inlined
def _next_due(plan: Any, now: Any, day: int, i: int) -> int:
    """Return the first place from `i` on in the day's order where a task may have land to do."""
    while i < now.wake.size and now.wake[plan.order[day, i]] > day:
        i += 1
    return i


@inlined
def _any_awake(now: Any) -> bool:
    """Say whether any task may still have land to do in this season."""
    awake = False
    for t in range(now.wake.size):
        awake = awake or now.wake[t] < now.hours.shape[0]
    return bool(awake)


@inlined
def _serve(now: Any, degrees: Any, day: int, t: int, soil: int) -> None:
    """Let each machine of a task work its ready land for the hours at hand [rules 2a to 2h]."""
    for k in range(now.slots.shape[1]):
        slot = now.slots[t, k]
        if slot.machine < 0 or not _is_ready(now, degrees, t, day):
            return
        machine = now.resources[slot.machine]
        if machine.hired >= 0 and machine.comes < 0:
            machine.comes = day + machine.hired
        if day < machine.comes:
            continue
        machine.hours = now.hours[day, t]
        hours = hours_at_hand(now, soil, slot.machine)
        if hours <= 0.0:
            continue
        owed = slot.owed
        if machine.last_day < day:
            owed = max(owed, slot.morning * machine.units)
        setting_up, working = 0.0, hours
        if owed > 0.0:
            setting_up = min(owed, hours)
            working = hours - setting_up
            slot.owed = max(0.0, slot.owed - setting_up)
        # Rounding may leave a trace of the hours: land done in it would let followers begin early.
        if working > MOMENT:
            most = working * slot.capacity
            done = _work(now, degrees, t, day, most)
            if done < most:
                working = done / slot.capacity
            machine.area += done
        slot.set_up += setting_up
        slot.worked += working
        spend(now, soil, slot.machine, setting_up + working)
        machine.last_day = day


@inlined
def _is_ready(now: Any, degrees: Any, t: int, day: int) -> bool:
    """Say whether land lies ready at the front; pass over what the predecessor missed [rule 2d].

    Where none does, the task sleeps until some may.
    """
    task, before = now.tasks[t], now.tasks[t].follows
    wake = now.hours.shape[0]
    if before < 0 and task.front < task.area:
        wake = day
    while before >= 0 and task.source < now.tasks[before].segments:
        segment = now.segments[before, task.source]
        if segment.end > task.front:
            if segment.kind == DONE:
                wake = max(day, segment.day + task.lag)
                if (
                    wake == day
                    and task.lag_degrees > 0.0
                    and degrees[day] - degrees[segment.day] < task.lag_degrees
                ):
                    wake = day + 1
                break
            add_segment(now, t, segment.end, day, MISSED)
        task.source += 1
    now.wake[t] = wake
    return bool(wake == day)


@inlined
def _work(now: Any, degrees: Any, t: int, day: int, most: float) -> float:
    """Do up to `most` hectares of ready land; return the area done [ha] [rules 2d, 2f]."""
    task, done, ready = now.tasks[t], 0.0, True
    while ready:
        end = task.area if task.follows < 0 else now.segments[task.follows, task.source].end
        reach = min(task.front + most - done, end)
        if end - reach <= SLIVER * task.area:
            reach = end
        moved = reach > task.front  # not where too little is done to move it in floating point
        if moved:
            done += reach - task.front
            add_segment(now, t, reach, day, DONE)
            task.last_day = day
        ready = moved and done < most and _is_ready(now, degrees, t, day)
    for k in range(now.followers.shape[1]):
        f = now.followers[t, k]
        if f >= 0 and done > 0.0:
            now.wake[f] = min(now.wake[f], max(now.tasks[f].first, day + now.tasks[f].lag))
    return done
