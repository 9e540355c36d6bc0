"""What became of each task's land after the last day [the accounting rules]."""

from __future__ import annotations

import numpy as np
from numba import njit

from fieldsim.work.arrays import LEFT, MISSED, PREVENTED, SWITCHED, Plan, TaskTotals
from fieldsim.work.state import PENDING, SLIVER, State, add_segment

__all__ = ["settle"]


@njit(cache=True, nogil=True)
def settle(plan: Plan, state: State) -> TaskTotals:
    """Account the land of every task, stretch by stretch.

    Behind the front, land was done or missed. Ahead of it, a task's line of land falls into up to
    three stretches: land that may still come, land lost by the closing of this task or of one
    between planting and it, and land lost by the closing of planting or of a task ahead of it.
    """
    tasks = plan.area.size
    became = np.zeros((4, tasks))
    finish = np.full(tasks, -1, np.int64)
    # Where a closing takes the rest of the line, and as what: `rest` at or ahead of planting,
    # `late` after planting.
    rest, rest_as = plan.area.copy(), np.zeros(tasks, np.int64)
    late, late_as = plan.area.copy(), np.zeros(tasks, np.int64)
    for t in range(tasks):
        if state.started[t] == 0:
            continue
        before, front = plan.follows[t], state.front[t]
        if before >= 0:
            rest[t], rest_as[t] = rest[before], rest_as[before]
            late[t], late_as[t] = late[before], late_as[before]
        if state.closed[t] != 0:
            if plan.planting[t] < 0 or plan.planting[t] == t:
                rest[t], rest_as[t] = front, state.closed[t]
            else:
                late[t], late_as[t] = front, state.closed[t]
        became[MISSED, t] += front - state.begin[t] - state.done[t]
        rest_from = max(rest[t], front)
        late_from = min(max(late[t], front), rest_from)
        became[rest_as[t], t] += plan.area[t] - rest_from
        became[late_as[t], t] += rest_from - late_from
        missed = _take_over(plan, state, t, late_from)
        became[MISSED, t] += missed
        became[LEFT, t] += late_from - front - missed
        land = plan.area[t] - state.begin[t]
        if land - state.done[t] <= SLIVER * plan.area[t] and state.done[t] > 0.0:
            finish[t] = state.last_day[t]
    return TaskTotals(
        became[LEFT],
        became[MISSED],
        became[SWITCHED],
        became[PREVENTED],
        state.done,
        state.hours,
        state.weighted,
        finish,
    )


@njit(cache=True, nogil=True)
def _take_over(plan: Plan, state: State, t: int, end: float) -> float:
    """Write down, for the tasks after it, what of the land up to `end` the predecessor missed.

    Returns the land beyond the front that was missed [ha].
    """
    before = plan.follows[t]
    if before < 0:
        return 0.0
    missed, after_last_day = 0.0, plan.hours.shape[1]
    for i in range(state.segments[before]):
        stop = min(state.segment_end[before, i], end)
        if stop > state.front[t]:
            kind = 0 if state.segment_done[before, i] == 0 else PENDING
            missed += stop - state.front[t] if kind == 0 else 0.0
            add_segment(state, t, stop, after_last_day, kind)
    return missed
