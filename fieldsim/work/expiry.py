"""Bringing a task up to a day: its twin's start, and land that has expired [rule 1]."""

from __future__ import annotations

from typing import Any

from fieldsim.compiled import inlined
from fieldsim.work.arrays import DONE, MISSED, SWITCHED
from fieldsim.work.progress import add_segment

__all__ = ["bring_up", "expire", "start"]


@inlined
def bring_up(now: Any, degrees: Any, t: int, day: int) -> bool:
    """Bring a task up to a day; say whether its land exists."""
    if now.tasks[t].started == 0:
        start(now.tasks, t, day)
    expire(now, degrees, t, day)
    return bool(now.tasks[t].started == 1)


@inlined
def start(tasks: Any, t: int, day: int) -> None:
    """Start a twin once its land has been switched, or a task after a twin [rule 1a]."""
    task = tasks[t]
    old = tasks[tasks[task.planting].starts_with]
    if old.close_as == SWITCHED and day >= old.close_day:
        task.started = 1
        task.begin = task.front = old.front


@inlined
def expire(now: Any, degrees: Any, t: int, day: int) -> None:
    """Miss the land planted too many days or growing degrees ago [rule 1b]."""
    task, planting = now.tasks[t], now.tasks[t].planting
    waits = task.longest_wait >= 0 or task.longest_wait_degrees >= 0.0
    waits = waits and day >= task.expires
    while waits and task.aged < now.tasks[planting].segments:
        segment = now.segments[planting, task.aged]
        task.expires = day + 1
        if task.longest_wait >= 0:
            task.expires = segment.day + task.longest_wait + 1
        # Land missed after the last day bears a day that has no degrees.
        if task.longest_wait_degrees >= 0.0 and segment.kind == DONE:
            until, task.expires = min(day + 1, task.expires), segment.day
            most = degrees[segment.day] + task.longest_wait_degrees
            while task.expires < until and degrees[task.expires] <= most:
                task.expires += 1
        if segment.kind == DONE and day < task.expires:
            waits = False
        else:
            if segment.kind == DONE and segment.end > task.front:
                add_segment(now, t, segment.end, task.expires, MISSED)
            task.aged += 1
