"""What a season's work counts for, from the land done and the hours spent [rules 2g and 2h]."""

from __future__ import annotations

from typing import Any

from fieldsim.compiled import inlined
from fieldsim.work.arrays import DONE, OPERATORS
from fieldsim.work.progress import SLIVER

__all__ = ["add_up", "count"]


@inlined
def count(plan: Any, now: Any, suitable: Any) -> None:
    """Count for every task and resource what its work of the season comes to."""
    for t in range(now.tasks.size):
        _count_hours(now, t)
        if now.tasks[t].weighs == 1:
            _weigh(plan, now, suitable, t)
        if now.tasks[t].control > 0.0 and now.tasks[t].planting >= 0:
            _count_saved(plan, now, t)


@inlined
def _count_hours(now: Any, t: int) -> None:
    """Count the hours of a task, its fuel and its people [rule 2h]."""
    task, hours, fuel, labor = now.tasks[t], 0.0, 0.0, 0.0
    for k in range(now.slots.shape[1]):
        slot = now.slots[t, k]
        if slot.machine >= 0:
            machine, spent = now.resources[slot.machine], slot.set_up + slot.worked
            own = machine.hired < 0
            hours += spent
            fuel += slot.fuel * spent
            labor += slot.labor * slot.worked + (slot.set_up if own else 0.0)
            machine.spent += spent
            now.resources[OPERATORS].spent += spent if own else 0.0
    task.hours_spent, task.fuel, task.labor = hours, fuel, labor


@inlined
def _weigh(plan: Any, now: Any, suitable: Any, t: int) -> None:
    """Count the land that a task has done, each day's by what it is worth [rule 2g]."""
    task, start = now.tasks[t], now.tasks[t].begin
    weighted, second, insured, drying, wet = 0.0, 0.0, 0.0, 0.0, 0.0
    for i in range(task.segments):
        segment = now.segments[t, i]
        if segment.kind == DONE:
            area, on = segment.end - start, plan.days[segment.day, t]
            weighted += area * on.weight
            second += area * on.second_weight
            insured += area * on.insured
            drying += area * on.drying
            share = suitable[task.soil, segment.day]
            if segment.day >= task.wet_from and share < plan.wet_share:
                wet += area * on.weight * (1.0 - share / plan.wet_share)
        start = segment.end
    task.weighted, task.second_weighted, task.insured = weighted, second, insured
    task.drying, task.wet = drying, wet


@inlined
def _count_saved(plan: Any, now: Any, t: int) -> None:
    """Count what weeding saves, stretch by stretch of what its peers have done alike [rule 2g]."""
    task, position, saved = now.tasks[t], now.tasks[t].begin, 0.0
    for k in range(now.peers.shape[1]):
        now.marks[k] = 0
    for i in range(task.segments):
        own = now.segments[t, i]
        position = position if own.kind == DONE else own.end
        while position < own.end:
            end, weeds, planted = own.end, task.control, own.day
            for k in range(now.peers.shape[1]):
                peer = now.peers[t, k]
                while (
                    peer >= 0
                    and now.marks[k] < now.tasks[peer].segments
                    and now.segments[peer, now.marks[k]].end <= position
                ):
                    now.marks[k] += 1
                if peer >= 0 and now.marks[k] < now.tasks[peer].segments:
                    segment = now.segments[peer, now.marks[k]]
                    end = min(end, segment.end)
                    if k == 0:
                        planted = segment.day
                    elif segment.kind == DONE and _was_before(plan, segment.day, peer, own.day, t):
                        weeds *= 1.0 - now.tasks[peer].control
            worth = plan.days[planted, task.planting].weight
            lost = plan.days[own.day - planted, t].weeds_ahead
            saved += (end - position) * worth * weeds * lost
            position = end
    task.saved = saved


@inlined
def _was_before(plan: Any, peer_day: int, peer: int, day: int, t: int) -> bool:
    """Say whether a peer did land before a task: on an earlier day, or served first on that day."""
    i, before = 0, peer_day < day
    if peer_day == day:
        while plan.order[day, i] != peer and plan.order[day, i] != t:
            i += 1
        before = plan.order[day, i] == peer
    return bool(before)


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
