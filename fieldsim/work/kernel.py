"""The rules of work, compiled: plans and a season's draws in, what became of the land out.

Reads like "The rules of work" in DEVELOPERS.md; the numbers in brackets are its rule numbers. It
draws nothing, knows no names, and works each season for itself, so that results do not depend on
how many seasons run or in which thread.
"""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

from fieldsim.work.arrays import SWITCHED, Plan, SeasonTotals, TaskTotals
from fieldsim.work.hours import hours_at_hand, spend
from fieldsim.work.settle import settle
from fieldsim.work.state import SLIVER, State, add_segment, clear, new_state

__all__ = ["run_season", "run_seasons"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@njit(cache=True, nogil=True)
def run_seasons(
    plan: Plan, group: Ints, suitable: Floats, operators: Floats, totals: SeasonTotals
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
    totals : SeasonTotals
        Filled in; one row a season.
    """
    state = new_state(plan, suitable.shape[1])
    for season in range(suitable.shape[0]):
        task = run_season(plan, suitable[season], operators[season], state)
        for t in range(plan.area.size):
            if state.started[t] == 1:
                _add_up(plan, state, task, t, group[t], season, totals)


@njit(cache=True, nogil=True)
def _add_up(
    plan: Plan,
    state: State,
    task: TaskTotals,
    t: int,
    g: int,
    season: int,
    totals: SeasonTotals,
) -> None:
    area = plan.area[t] - state.begin[t]
    if area <= SLIVER * plan.area[t]:
        return
    first = totals.area[season, g] == 0.0
    totals.area[season, g] += area
    totals.left[season, g] += task.left[t]
    totals.missed[season, g] += task.missed[t]
    totals.switched[season, g] += task.switched[t]
    totals.prevented[season, g] += task.prevented[t]
    totals.done[season, g] += task.done[t]
    totals.hours[season, g] += task.hours[t]
    totals.weighted[season, g] += task.weighted[t]
    if first:
        totals.finish_day[season, g] = task.finish_day[t]
    elif task.finish_day[t] < 0 or totals.finish_day[season, g] < 0:
        totals.finish_day[season, g] = -1
    else:
        totals.finish_day[season, g] = max(totals.finish_day[season, g], task.finish_day[t])


@njit(cache=True, nogil=True)
def run_season(plan: Plan, suitable: Floats, operators: Floats, state: State) -> TaskTotals:
    """Run one option through one season, day by day.

    Parameters
    ----------
    plan : Plan
    suitable : ndarray of float64, shape (soil, day)
    operators : ndarray of float64, shape (day,)
    state : State
        Working arrays from `new_state`; afterwards its segments tell what was settled on each day.

    Returns
    -------
    TaskTotals
    """
    clear(plan, state)
    for day in range(plan.hours.shape[1]):
        _close_and_expire(plan, state, day)
        if not _any_land_open(plan, state):
            break
        shares = suitable[:, day]
        if shares.max() > 0.0:
            _serve_day(plan, state, shares, operators[day], day)
    return settle(plan, state)


@njit(cache=True, nogil=True)
def _any_land_open(plan: Plan, state: State) -> bool:
    """Say whether anything can still change: land undone in an open task or a twin to come."""
    for t in range(plan.area.size):
        if state.started[t] == 0:
            if plan.starts_with[t] >= 0 and state.front[plan.starts_with[t]] < plan.area[t]:
                return True
        elif state.closed[t] == 0 and state.front[t] < plan.area[t]:
            return True
    return False


@njit(cache=True, nogil=True)
def _close_and_expire(plan: Plan, state: State, day: int) -> None:
    """Close tasks whose time is over, start twins, and let land expire [rule 1]."""
    for t in range(plan.area.size):
        _start(plan, state, t)
        if state.closed[t] == 0 and state.started[t] == 1 and plan.longest_wait[t] >= 0:
            _expire(plan, state, t, day)
        if state.closed[t] == 0 and day >= plan.close_day[t]:
            state.closed[t] = plan.close_as[t]


@njit(cache=True, nogil=True)
def _start(plan: Plan, state: State, t: int) -> None:
    """Start a twin once its land has been switched, and with it the tasks after it [rule 1a]."""
    if state.started[t] == 1:
        return
    if plan.starts_with[t] >= 0:
        old = plan.starts_with[t]
        if state.closed[old] == SWITCHED:
            state.started[t] = 1
            state.begin[t] = state.front[t] = state.front[old]
    elif state.started[plan.planting[t]] == 1:
        state.started[t] = 1
        state.begin[t] = state.front[t] = state.begin[plan.planting[t]]


@njit(cache=True, nogil=True)
def _expire(plan: Plan, state: State, t: int, day: int) -> None:
    """Miss the land planted more than `longest_wait` days ago [rule 1b]."""
    planting = plan.planting[t]
    while state.aged[t] < state.segments[planting]:
        i = state.aged[t]
        if state.segment_done[planting, i] == 1:
            if state.segment_day[planting, i] + plan.longest_wait[t] >= day:
                return
            if state.segment_end[planting, i] > state.front[t]:
                add_segment(state, t, state.segment_end[planting, i], day, 0)
        state.aged[t] += 1


@njit(cache=True, nogil=True)
def _serve_day(plan: Plan, state: State, shares: Floats, operators: float, day: int) -> None:
    """Serve the tasks of one day in their order until the hours are spent [rule 2]."""
    state.machine_used[:] = 0.0
    state.tractor_used[:] = 0.0
    state.operator_used[:] = 0.0
    for i in range(plan.order.shape[1]):
        t = plan.order[day, i]
        if state.front[t] >= plan.area[t] or state.closed[t] != 0 or state.started[t] == 0:
            continue
        if day < plan.earliest[t] or shares[plan.soil[t]] * plan.hours[t, day] <= 0.0:
            continue
        _serve(plan, state, shares, operators, day, t)


@njit(cache=True, nogil=True)
def _serve(plan: Plan, state: State, shares: Floats, operators: float, day: int, t: int) -> None:
    """Let each machine of a task work its ready land for the hours at hand [rules 2a to 2d]."""
    for slot in range(plan.machine.shape[1]):
        machine = plan.machine[t, slot]
        if machine < 0 or not _is_ready(plan, state, t, day):
            return
        hours = hours_at_hand(plan, state, shares, operators, day, t, machine)
        if hours <= 0.0:
            continue
        setting_up = min(state.owed[t, slot], hours)
        state.owed[t, slot] -= setting_up
        working = hours - setting_up
        if working > 0.0:
            capacity = plan.capacity[t, slot]
            working = min(working, _work(plan, state, t, day, working * capacity) / capacity)
        spend(plan, state, shares, day, t, machine, setting_up + working)


@njit(cache=True, nogil=True)
def _is_ready(plan: Plan, state: State, t: int, day: int) -> bool:
    """Say whether land lies ready at the front; pass over what the predecessor missed [rule 2c]."""
    before = plan.follows[t]
    if before < 0:
        return bool(state.front[t] < plan.area[t])
    while state.source[t] < state.segments[before]:
        i = state.source[t]
        if state.segment_end[before, i] > state.front[t]:
            if state.segment_done[before, i] == 1:
                return bool(state.segment_day[before, i] + plan.lag[t] <= day)
            add_segment(state, t, state.segment_end[before, i], day, 0)
        state.source[t] += 1
    return False


@njit(cache=True, nogil=True)
def _work(plan: Plan, state: State, t: int, day: int, most: float) -> float:
    """Do up to `most` hectares of ready land; return the area done [ha] [rules 2c and 2e]."""
    done = 0.0
    while most > done and _is_ready(plan, state, t, day):
        before = plan.follows[t]
        end = plan.area[t] if before < 0 else state.segment_end[before, state.source[t]]
        reach = min(state.front[t] + most - done, end)
        if end - reach <= SLIVER * plan.area[t]:
            reach = end
        if reach <= state.front[t]:  # too little to move the front in floating point
            break
        done += reach - state.front[t]
        add_segment(state, t, reach, day, 1)
    if done > 0.0:
        state.done[t] += done
        state.weighted[t] += done * plan.weight[t, day]
        state.last_day[t] = day
    return done
