"""How far the work of one season has come: the kernel's working arrays.

They are made once for many seasons and cleared for each.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsim.work.arrays import (
    DONE,
    MISSED,
    NUMBER,
    RESOURCE,
    SLOT,
    TASK,
    WHOLE,
    Plan,
    soil_count,
)
from fieldsim.work.compiling import compiled, inlined

__all__ = ["SLIVER", "Progress", "add_segment", "clear", "new_progress"]

SLIVER = 1e-9  # share of a block's area that is too small to be left over

PROGRESS_TASK = np.dtype(
    [
        *TASK.descr,
        ("front", NUMBER),  # position up to which land is settled [ha]
        ("begin", NUMBER),  # position at which the task's land begins [ha]
        ("started", WHOLE),  # 1 once the task's land exists
        ("closed", WHOLE),  # 0 open, else what its undone land has become
        ("segments", WHOLE),  # how many settled stretches there are
        ("source", WHOLE),  # segment of the predecessor at the front
        ("ready_day", WHOLE),  # first day on which land at the front can be ready
        ("aged", WHOLE),  # segments of the planting task that have expired
        ("last_day", WHOLE),  # last day on which land was done
        ("done", NUMBER),  # [ha]
        ("missed", NUMBER),  # [ha]
        ("switched", NUMBER),  # [ha]
        ("prevented", NUMBER),  # [ha]
        ("left", NUMBER),  # [ha]
        ("weighted", NUMBER),  # area done times the weights of its day [ha, drying: $]
        ("second_weighted", NUMBER),
        ("insured", NUMBER),
        ("drying", NUMBER),
        ("wet", NUMBER),
        ("saved", NUMBER),  # land that weeding saves from loss [ha]
        ("fuel", NUMBER),  # [L]
        ("labor", NUMBER),  # hours of people [h]
        ("hours_spent", NUMBER),  # unit-hours [h]
        ("rest", NUMBER),  # where a closing at or ahead of planting takes the rest of the land
        ("rest_as", WHOLE),
        ("late", NUMBER),  # where a closing after planting takes it
        ("late_as", WHOLE),
    ]
)
PROGRESS_SLOT = np.dtype([*SLOT.descr, ("owed", NUMBER)])  # setting up still to be done [h]
SEGMENT = np.dtype([("end", NUMBER), ("day", WHOLE), ("kind", WHOLE)])
PROGRESS_RESOURCE = np.dtype(
    [
        *RESOURCE.descr,
        ("hours", NUMBER),  # of today [h]
        ("last_day", WHOLE),  # on which it worked
        ("comes", WHOLE),  # day from which a hired machine is there; -1 until it is called
        ("spent", NUMBER),  # unit-hours of the season [h]
        ("area", NUMBER),  # land it has done [ha]
    ]
)


class Progress(NamedTuple):
    """Working arrays: T tasks, K machine slots, S segments, R resources, L soils, W peers."""

    tasks: NDArray[Any]  # (T,) PROGRESS_TASK
    slots: NDArray[Any]  # (T, K) PROGRESS_SLOT
    segments: NDArray[Any]  # (T, S) SEGMENT
    resources: NDArray[Any]  # (R,) PROGRESS_RESOURCE
    used: NDArray[np.float64]  # (R, L) unit-hours spent today on each soil [h]
    peers: NDArray[np.int64]  # (T, W) a weeding task's planting and the others that weed; -1 none
    marks: NDArray[np.int64]  # (T, W) segment of each peer in which the task works


def new_progress(plan: Plan, soils: int) -> Progress:
    """Return working arrays large enough for any season of a plan.

    Parameters
    ----------
    plan : Plan
    soils : int
        Length of the soil axis of the suitable days.

    Returns
    -------
    Progress
    """
    depth = [0] * len(plan.tasks)
    for t, before in enumerate(plan.tasks["follows"]):
        depth[t] = 1 if before < 0 else depth[before] + 1
    # A task settles at most one expired and one done stretch a day, and one more pair for each
    # missed stretch that it takes over; with each link of the chain at most as many more as there
    # are days are missed. After the last day it takes over those of its predecessor that lie ahead.
    size = 4 * len(plan.days) * max(depth) + 4
    peers = _peers(plan)
    progress = Progress(
        np.zeros(plan.tasks.shape, PROGRESS_TASK),
        np.zeros(plan.slots.shape, PROGRESS_SLOT),
        np.zeros((len(plan.tasks), size), SEGMENT),
        np.zeros(plan.resources.shape, PROGRESS_RESOURCE),
        np.zeros((len(plan.resources), soil_count(plan, soils))),
        peers,
        np.zeros_like(peers),
    )
    for records, given in (
        (progress.tasks, plan.tasks),
        (progress.slots, plan.slots),
        (progress.resources, plan.resources),
    ):
        for name in given.dtype.names or ():
            records[name] = given[name]
    return progress


def _peers(plan: Plan) -> NDArray[np.int64]:
    """Return the planting of each weeding task and the other tasks that weed its land."""
    planting = plan.tasks["planting"]
    weeds = (plan.tasks["control"] > 0) & (planting >= 0)
    together = weeds & (planting == planting[:, None])
    np.fill_diagonal(together, val=False)
    rows = [
        [planting[t], *np.flatnonzero(together[t])] if weeds[t] else [] for t in range(len(weeds))
    ]
    width = max(map(len, rows))
    return np.array([[*row, *[-1] * (width - len(row))] for row in rows], dtype=np.int64)


@compiled
def clear(tasks: Any, slots: Any, resources: Any, marks: Any) -> None:
    """Set the working arrays to the morning of the first day."""
    for t in range(tasks.size):
        task = tasks[t]
        waits = task.starts_with >= 0
        if task.planting >= 0:
            waits = tasks[task.planting].starts_with >= 0
        task.started = 0 if waits else 1
        task.front = task.begin = task.done = task.missed = 0.0
        task.switched = task.prevented = task.left = task.weighted = task.hours_spent = 0.0
        task.second_weighted = task.insured = task.drying = task.wet = task.saved = 0.0
        task.fuel = task.labor = 0.0
        task.closed = task.segments = task.source = task.ready_day = task.aged = 0
        task.last_day = -1
        for k in range(slots.shape[1]):
            slot = slots[t, k]
            if slot.machine >= 0:
                slot.owed = slot.setup * resources[slot.machine].units
        for k in range(marks.shape[1]):
            marks[t, k] = 0
    for r in range(resources.size):
        resources[r].last_day = resources[r].comes = -1
        resources[r].spent = resources[r].area = 0.0


@inlined
def add_segment(tasks: Any, segments: Any, t: int, end: float, day: int, kind: int) -> None:
    """Move the front of task `t` to `end`: what happened to that stretch on `day`."""
    task = tasks[t]
    if kind == DONE:
        task.done += end - task.front
    elif kind == MISSED:
        task.missed += end - task.front
    last = task.segments - 1
    # Only land done on the same day is joined: a follower may already have passed the end of a
    # stretch missed earlier.
    joins = last >= 0 and kind == DONE and segments[t, last].kind == DONE
    if not joins or segments[t, last].day != day:
        last += 1
        task.segments = last + 1
    segment = segments[t, last]
    segment.end = end
    segment.day = day
    segment.kind = kind
    task.front = end
