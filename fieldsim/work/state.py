"""Where the work of one season stands: fronts, segments, and the hours spent today.

These are the kernel's working arrays. They are made once for many seasons and cleared for each.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from fieldsim.work.arrays import Plan

__all__ = ["PENDING", "SLIVER", "State", "add_segment", "clear", "new_state"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SLIVER = 1e-9  # share of a block's area that is too small to be left over
PENDING = 2  # kind of a segment that was neither done nor missed by the last day


class State(NamedTuple):
    """Working arrays: T tasks, S segments, K machine slots, M machines, G tractors, R soils."""

    front: Floats  # (T,) position up to which land is settled [ha]
    begin: Floats  # (T,) position at which the task's land begins [ha]
    started: Ints  # (T,) 1 once the task's land exists
    closed: Ints  # (T,) 0 open, else what its undone land has become
    segment_end: Floats  # (T, S) position at which a settled stretch ends [ha]
    segment_day: Ints  # (T, S) day on which it was settled
    segment_done: Ints  # (T, S) 1 done, 0 missed, after the last day 2 pending
    segments: Ints  # (T,) how many there are
    source: Ints  # (T,) segment of the predecessor at the front
    aged: Ints  # (T,) segments of the planting task that have expired
    owed: Floats  # (T, K) setting-up hours still to be spent [h]
    hours: Floats  # (T,) unit-hours spent so far [h]
    weighted: Floats  # (T,) area done times the weight of its day [ha]
    done: Floats  # (T,) area done [ha]
    last_day: Ints  # (T,) last day on which land was done
    machine_used: Floats  # (M, R) unit-hours spent today on each soil [h]
    tractor_used: Floats  # (G, R)
    operator_used: Floats  # (R,)


@njit(cache=True, nogil=True)
def new_state(plan: Plan, soils: int) -> State:
    """Return working arrays large enough for any season of a plan."""
    tasks, days = plan.hours.shape
    slots = plan.machine.shape[1]
    depth = 1
    for t in range(tasks):
        links, before = 1, plan.follows[t]
        while before >= 0:
            links, before = links + 1, plan.follows[before]
        depth = max(depth, links)
    # A task settles at most one expired and one done stretch a day, and one more pair for each
    # missed stretch that it takes over; with each link of the chain at most `days` more are missed. After
    # the last day it takes over those of its predecessor that lie ahead.
    size = 4 * days * depth + 4
    return State(
        np.zeros(tasks),
        np.zeros(tasks),
        np.zeros(tasks, np.int64),
        np.zeros(tasks, np.int64),
        np.zeros((tasks, size)),
        np.zeros((tasks, size), np.int64),
        np.zeros((tasks, size), np.int64),
        np.zeros(tasks, np.int64),
        np.zeros(tasks, np.int64),
        np.zeros(tasks, np.int64),
        np.zeros((tasks, slots)),
        np.zeros(tasks),
        np.zeros(tasks),
        np.zeros(tasks),
        np.zeros(tasks, np.int64),
        np.zeros((plan.units.size, soils)),
        np.zeros((plan.tractors.size, soils)),
        np.zeros(soils),
    )


@njit(cache=True, nogil=True)
def clear(plan: Plan, state: State) -> None:
    """Set the working arrays to the morning of the first day."""
    for t in range(plan.area.size):
        state.front[t] = state.begin[t] = 0.0
        state.closed[t] = state.segments[t] = state.source[t] = state.aged[t] = 0
        state.hours[t] = state.weighted[t] = state.done[t] = 0.0
        state.last_day[t] = -1
        planting = plan.planting[t]
        waits = plan.starts_with[t] >= 0 or (planting >= 0 and plan.starts_with[planting] >= 0)
        state.started[t] = 0 if waits else 1
        for slot in range(plan.machine.shape[1]):
            machine = plan.machine[t, slot]
            if machine >= 0:
                state.owed[t, slot] = plan.setup[t, slot] * plan.units[machine]


@njit(cache=True, nogil=True)
def add_segment(state: State, t: int, end: float, day: int, done: int) -> None:
    """Move the front of task `t` to `end`: what happened to that stretch on `day`."""
    last = state.segments[t] - 1
    # Only land done on the same day is joined: a follower may already have passed the end of a
    # stretch missed earlier.
    joins = last >= 0 and done == 1 and state.segment_done[t, last] == 1
    if joins and state.segment_day[t, last] == day:
        state.segment_end[t, last] = end
    else:
        state.segment_end[t, last + 1] = end
        state.segment_day[t, last + 1] = day
        state.segment_done[t, last + 1] = done
        state.segments[t] = last + 2
    state.front[t] = end
