"""What became of each task's land after the last day [the accounting rules]."""

from __future__ import annotations

from typing import Any

from fieldsim.compiled import inlined
from fieldsim.work.arrays import LEFT, MISSED, PREVENTED, SWITCHED
from fieldsim.work.expiry import expire, start
from fieldsim.work.progress import add_segment

__all__ = ["settle"]


@inlined
def settle(now: Any, degrees: Any) -> None:
    """Account the land of every task, stretch by stretch.

    Behind the front, land was done or missed. Ahead of it, a task's line of land falls into up to
    three stretches: land that may still come, land lost by the closing of this task or of one
    between planting and it, and land lost by the closing of planting or of a task ahead of it.
    """
    tasks, days = now.tasks, now.hours.shape[0]
    for t in range(tasks.size):
        task = tasks[t]
        if task.started == 0:
            start(tasks, t, days - 1)
        if task.started == 0:
            continue
        expire(now, degrees, t, min(task.close_day, days - 1))
        if task.close_day < days:
            task.closed = task.close_as
        _find_rest(tasks, t)
        rest_from = max(task.rest, task.front)
        late_from = min(max(task.late, task.front), rest_from)
        _account(task, task.rest_as, task.area - rest_from)
        _account(task, task.late_as, rest_from - late_from)
        if task.follows >= 0 and task.front < late_from:
            _take_over(now, t, late_from, days)
        task.left += late_from - task.front


@inlined
def _find_rest(tasks: Any, t: int) -> None:
    """Find where closings take the rest of a task's land, and as what."""
    task = tasks[t]
    if task.follows >= 0:
        before = tasks[task.follows]
        task.rest, task.rest_as = before.rest, before.rest_as
        task.late, task.late_as = before.late, before.late_as
    else:
        task.rest, task.rest_as = task.area, LEFT
        task.late, task.late_as = task.area, LEFT
    if task.closed != 0:
        if task.planting < 0 or task.planting == t:
            task.rest, task.rest_as = task.front, task.closed
        else:
            task.late, task.late_as = task.front, task.closed


@inlined
def _account(task: Any, became: int, area: float) -> None:
    """Add land that a closing has taken to what it became."""
    if became == MISSED:
        task.missed += area
    elif became == SWITCHED:
        task.switched += area
    elif became == PREVENTED:
        task.prevented += area


@inlined
def _take_over(now: Any, t: int, end: float, days: int) -> None:
    """Write down, for the tasks after it, what of the land up to `end` the predecessor missed."""
    task = now.tasks[t]
    for i in range(now.tasks[task.follows].segments):
        segment = now.segments[task.follows, i]
        stop = min(segment.end, end)
        if stop > task.front:
            kind = MISSED if segment.kind == MISSED else LEFT
            if kind == LEFT:
                task.left += stop - task.front
            add_segment(now, t, stop, days, kind)
