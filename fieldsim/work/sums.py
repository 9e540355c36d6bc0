"""What land that is done counts for, and a task's season added up [rule 2g]."""

from __future__ import annotations

from typing import Any

from fieldsim.work.arrays import DONE
from fieldsim.work.compiling import inlined
from fieldsim.work.progress import SLIVER

__all__ = ["add_up", "saved", "weigh"]


@inlined
def weigh(task: Any, on: Any, done: float, share: float, raised: float) -> None:
    """Add land done to a task's weighted sums; `raised` is the share with wet work [rule 2g]."""
    task.weighted += done * on.weight
    task.second_weighted += done * on.second_weight
    task.insured += done * on.insured
    task.drying += done * on.drying
    if raised > share:
        task.wet += done * on.weight * (1.0 - share / raised)


@inlined
def saved(
    tasks: Any, segments: Any, peers: Any, marks: Any, days: Any, t: int, reach: float, day: int
) -> float:
    """Return what weeding saves on the land from the front to `reach` [ha]."""
    task, planting = tasks[t], tasks[t].planting
    position, kept = task.front, 0.0
    while task.control > 0.0 and position < reach:
        end, weeds, planted = reach, task.control, day
        for k in range(peers.shape[1]):
            peer = peers[t, k]
            if peer >= 0:
                while (
                    marks[t, k] < tasks[peer].segments
                    and segments[peer, marks[t, k]].end <= position
                ):
                    marks[t, k] += 1
                if marks[t, k] < tasks[peer].segments:
                    segment = segments[peer, marks[t, k]]
                    end = min(end, segment.end)
                    if k == 0:
                        planted = segment.day
                    elif segment.kind == DONE:
                        weeds *= 1.0 - tasks[peer].control
        lost = days[day - planted, t].weeds_ahead
        kept += (end - position) * days[planted, planting].weight * weeds * lost
        position = end
    return kept


@inlined
def add_up(task: Any, total: Any) -> None:
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
    total.second_weighted += task.second_weighted
    total.insured += task.insured
    total.drying += task.drying
    total.wet += task.wet
    total.saved += task.saved
    total.fuel += task.fuel
    total.labor += task.labor
