"""The arrays that pass between plan and kernel.

Records (structured arrays) hold what belongs to one task, machine slot or resource, so that the
kernel reads like the rules of work; numba reads a field of a record as fast as an array's element.
DEVELOPERS.md explains the plan's names.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsim.work.chains import followers_of, peers_of

__all__ = [
    "DONE",
    "LEFT",
    "MACHINE",
    "MISSED",
    "OPERATORS",
    "PREVENTED",
    "SPENT",
    "SWITCHED",
    "TOTALS",
    "TRACTOR",
    "Plan",
    "new_spent",
    "new_totals",
    "soil_count",
]


def codes(count: int) -> tuple[Any, ...]:
    """Return numpy's 0, 1, ...: for each of Python's, numba would compile a function anew."""
    return tuple(np.arange(count, dtype=np.int64))


# What becomes of a stretch of land; MISSED to PREVENTED are also what a task is closed as.
LEFT, MISSED, SWITCHED, PREVENTED, DONE = codes(5)
# Kinds of resource, in the order in which they stand: the operators, tractors, machines.
OPERATORS, TRACTOR, MACHINE = codes(3)

WHOLE, NUMBER = np.int64, np.float64

TASK = np.dtype(
    [
        ("area", NUMBER),
        ("soil", WHOLE),
        ("follows", WHOLE),
        ("lag", WHOLE),
        ("lag_degrees", NUMBER),
        ("planting", WHOLE),
        ("longest_wait", WHOLE),
        ("longest_wait_degrees", NUMBER),
        ("needs_warmth", WHOLE),
        ("earliest", WHOLE),
        ("wet_from", WHOLE),
        ("control", NUMBER),
        ("close_day", WHOLE),
        ("close_as", WHOLE),
        ("starts_with", WHOLE),
    ]
)
SLOT = np.dtype(
    [
        ("machine", WHOLE),
        ("capacity", NUMBER),
        ("setup", NUMBER),
        ("morning", NUMBER),
        ("fuel", NUMBER),
        ("labor", NUMBER),
    ]
)
RESOURCE = np.dtype([("kind", WHOLE), ("units", NUMBER), ("power", NUMBER), ("hired", WHOLE)])
DAY = np.dtype(
    [
        ("hours", NUMBER),
        ("weight", NUMBER),
        ("second_weight", NUMBER),
        ("insured", NUMBER),
        ("drying", NUMBER),
        ("weeds_ahead", NUMBER),
    ]
)
TOTALS = np.dtype(
    [
        ("area", NUMBER),
        ("done", NUMBER),
        ("left", NUMBER),
        ("missed", NUMBER),
        ("switched", NUMBER),
        ("prevented", NUMBER),
        ("hours", NUMBER),
        ("weighted", NUMBER),
        ("second_weighted", NUMBER),
        ("insured", NUMBER),
        ("drying", NUMBER),
        ("wet", NUMBER),
        ("saved", NUMBER),
        ("fuel", NUMBER),
        ("labor", NUMBER),
        ("finish_day", WHOLE),
    ]
)
SPENT = np.dtype([("hours", NUMBER), ("area", NUMBER)])


class Plan(NamedTuple):
    """One option's work: T tasks, D days, K machine slots, R resources.

    W is the number of a task's peers, F of its followers. The table in DEVELOPERS.md, "The rules of
    work", gives the meaning and unit of each name.
    """

    tasks: NDArray[Any]  # (T,) TASK
    slots: NDArray[Any]  # (T, K) SLOT; `machine` is a place among the resources, -1 for none
    resources: NDArray[Any]  # (R,) RESOURCE: operators, tractors weakest first, machines
    days: NDArray[Any]  # (D, T) DAY
    order: NDArray[np.int64]  # (D, T) tasks in the order in which they are served
    followers: NDArray[np.int64]  # (T, F) the tasks that follow each; -1 no more
    peers: NDArray[np.int64]  # (T, W) a weeding task's planting, then who may weed before; -1 none
    tractor_hours: NDArray[np.float64]  # (D,) [h]
    operator_hours: NDArray[np.float64]  # (D,) [h]
    wet_share: float

    @classmethod
    def of(cls, **columns: Any) -> Plan:
        """Return the plan made of the arrays named in the table in DEVELOPERS.md."""
        tasks = np.zeros(len(columns["area"]), TASK)
        for name in tasks.dtype.names or ():
            tasks[name] = columns[name]
        tractors, machines = len(columns["tractors"]), len(columns["units"])
        slots = np.zeros(columns["machine"].shape, SLOT)
        places = columns["machine"] + 1 + tractors
        slots["machine"] = np.where(columns["machine"] >= 0, places, -1)
        for name in ("capacity", "setup", "morning", "fuel", "labor"):
            slots[name] = columns[name]
        resources = np.zeros(1 + tractors + machines, RESOURCE)
        resources["kind"] = [OPERATORS, *[TRACTOR] * tractors, *[MACHINE] * machines]
        resources["units"] = [0.0, *columns["tractors"], *columns["units"]]
        resources["power"] = [0.0, *columns["tractor_power"], *columns["power"]]
        resources["hired"] = [-1, *[-1] * tractors, *columns["hired"]]
        days = np.zeros(np.shape(columns["hours"])[::-1], DAY)
        for name in days.dtype.names or ():
            days[name] = np.transpose(columns[name])
        return cls(
            tasks,
            slots,
            resources,
            days,
            np.ascontiguousarray(columns["order"], WHOLE),
            followers_of(tasks["follows"]),
            peers_of(tasks),
            np.asarray(columns["tractor_hours"], NUMBER),
            np.asarray(columns["operator_hours"], NUMBER),
            float(columns["wet_share"]),
        )


def soil_count(plan: Plan, soils: int) -> int:
    """Return the soils that the kernel tells apart: twice as many where work may be wet."""
    return soils * (2 if (plan.tasks["wet_from"] < len(plan.days)).any() else 1)


def new_spent(seasons: int, plan: Plan) -> NDArray[Any]:
    """Return records for the hours and the land of each resource in each season.

    Parameters
    ----------
    seasons : int
    plan : Plan

    Returns
    -------
    ndarray of SPENT, shape (season, resource)
        `hours` unit-hours [h], `area` land done by a machine [ha].
    """
    return np.zeros((seasons, len(plan.resources)), SPENT)


def new_totals(seasons: int, groups: int) -> NDArray[Any]:
    """Return records for what became of each group's land in each season, to be filled in.

    Parameters
    ----------
    seasons, groups : int

    Returns
    -------
    ndarray of TOTALS, shape (season, group)
        `area` is the land that came to the group's tasks, `done` to `prevented` what became of it
        [ha], `hours` machine-unit hours [h], `weighted` to `wet` the area done times the weights of
        its day [ha, `drying`: $], `saved` what weeding saves [ha], `fuel` [L], `labor` hours of
        people [h], `finish_day` the latest day (-1: not finished, or no land).
    """
    totals = np.zeros((seasons, groups), TOTALS)
    totals["finish_day"] = -1
    return totals
