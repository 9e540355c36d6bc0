"""How far the work of one season has come: the kernel's working arrays.

They are made once for many seasons and cleared for each. What is made empty is set before it is
read, on the first morning, each morning or by what happens.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsim.compiled import inlined
from fieldsim.work.arrays import (
    DONE,
    MISSED,
    NUMBER,
    RESOURCE,
    SLOT,
    TASK,
    TRACTOR,
    WHOLE,
    Plan,
    soil_count,
)

__all__ = ["SLIVER", "Progress", "add_segment", "begin_season", "new_progress"]

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
        ("first", WHOLE),  # first day of the season on which it may be done
        ("aged", WHOLE),  # segments of the planting task that have expired
        ("expires", WHOLE),  # until that day none more does
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
        ("weighs", WHOLE),  # 1 where the day of the work makes a difference to what it is worth
    ]
)
PROGRESS_SLOT = np.dtype(
    [
        *SLOT.descr,
        ("owes", NUMBER),  # setting up of all units, when the season begins [h]
        ("owed", NUMBER),  # what of it is still to be done [h]
        ("set_up", NUMBER),  # unit-hours spent on it [h]
        ("worked", NUMBER),  # unit-hours spent at work [h]
    ]
)
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
    """Working arrays: T tasks, D days, K machine slots, S segments, R resources, L soils.

    W is the number of a task's peers, F of its followers.
    """

    tasks: NDArray[Any]  # (T,) PROGRESS_TASK
    slots: NDArray[Any]  # (T, K) PROGRESS_SLOT
    segments: NDArray[Any]  # (T, S) SEGMENT
    resources: NDArray[Any]  # (R,) PROGRESS_RESOURCE
    shares: NDArray[np.float64]  # (L,) share of today's hours in which a soil carries work
    used: NDArray[np.float64]  # (R, L) unit-hours spent today on each soil [h]
    hours: NDArray[np.float64]  # (D, T) hours in which a task can be done, 0 once it is closed [h]
    wake: NDArray[np.int64]  # (T,) first day on which a task may have land to do; D never
    followers: NDArray[np.int64]  # (T, F) the plan's
    peers: NDArray[np.int64]  # (T, W) the plan's
    marks: NDArray[np.int64]  # (W,) segment of each peer at the land that is being counted
    tractors: int  # how many types
    hires: bool  # whether any machine is hired
    first_wet: int  # first day on which any task goes on in the wet


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
    follows, day = plan.tasks["follows"], np.arange(len(plan.days))[:, None]
    depth = [0] * len(follows)
    for t, before in enumerate(follows):
        depth[t] = 1 if before < 0 else depth[before] + 1
    # A task settles at most one expired and one done stretch a day, and one more pair for each
    # missed stretch that it takes over; with each link of the chain at most as many more as there
    # are days are missed. After the last day it takes over those of its predecessor that lie ahead.
    size = 4 * len(plan.days) * max(depth) + 4
    soils = soil_count(plan, soils)
    progress = Progress(
        tasks=np.zeros(plan.tasks.shape, PROGRESS_TASK),
        slots=np.empty(plan.slots.shape, PROGRESS_SLOT),
        segments=np.empty((len(follows), size), SEGMENT),
        resources=np.empty(plan.resources.shape, PROGRESS_RESOURCE),
        shares=np.empty(soils),
        used=np.empty((len(plan.resources), soils)),
        hours=np.where(day < plan.tasks["close_day"], plan.days["hours"], 0.0),
        wake=np.empty(len(follows), np.int64),
        followers=plan.followers,
        peers=plan.peers,
        marks=np.empty(plan.peers.shape[1], np.int64),
        tractors=int((plan.resources["kind"] == TRACTOR).sum()),
        hires=bool((plan.resources["hired"] >= 0).any()),
        first_wet=int(plan.tasks["wet_from"].min()),
    )
    for records, given in (
        (progress.tasks, plan.tasks),
        (progress.slots, plan.slots),
        (progress.resources, plan.resources),
    ):
        for name in given.dtype.names or ():
            records[name] = given[name]
    progress.slots["owes"] = plan.slots["setup"] * plan.resources["units"][plan.slots["machine"]]
    counted = ("weight", "second_weight", "insured", "drying")
    progress.tasks["weighs"] = np.any([plan.days[name] != 0.0 for name in counted], axis=(0, 1))
    return progress


@inlined
def begin_season(now: Any, warm_day: int) -> None:
    """Set the working arrays to the morning of the first day."""
    for t in range(now.tasks.size):
        task = now.tasks[t]
        waits = task.planting >= 0 and now.tasks[task.planting].starts_with >= 0
        task.started = 0 if waits else 1
        task.first = max(task.earliest, warm_day) if task.needs_warmth == 1 else task.earliest
        now.wake[t] = task.first
        task.front = task.begin = task.done = task.missed = 0.0
        task.switched = task.prevented = task.left = 0.0
        task.closed = task.segments = task.source = task.aged = task.expires = 0
        task.last_day = -1
        for k in range(now.slots.shape[1]):
            slot = now.slots[t, k]
            slot.owed = slot.owes
            slot.set_up = slot.worked = 0.0
    for r in range(now.resources.size):
        now.resources[r].last_day = now.resources[r].comes = -1
        now.resources[r].spent = now.resources[r].area = 0.0


@inlined
def add_segment(now: Any, t: int, end: float, day: int, kind: int) -> None:
    """Move the front of task `t` to `end`: what happened to that stretch on `day`."""
    task = now.tasks[t]
    if kind == DONE:
        task.done += end - task.front
    elif kind == MISSED:
        task.missed += end - task.front
    last = task.segments - 1
    # Only land done on the same day is joined: a follower may already have passed the end of a
    # stretch missed earlier.
    joins = last >= 0 and kind == DONE and now.segments[t, last].kind == DONE
    if not joins or now.segments[t, last].day != day:
        last += 1
        task.segments = last + 1
    segment = now.segments[t, last]
    segment.end = end
    segment.day = day
    segment.kind = kind
    task.front = end
