"""The arrays that pass between plan and kernel. DEVELOPERS.md explains each name."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = ["LEFT", "MISSED", "PREVENTED", "SWITCHED", "Plan", "SeasonTotals", "TaskTotals"]

# What becomes of land that a task does not do.
LEFT, MISSED, SWITCHED, PREVENTED = 0, 1, 2, 3

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


class Plan(NamedTuple):
    """One option's work in arrays: T tasks, D days, K machine slots, M machines, G tractors.

    A task is one operation on one block; it stands after the task that it follows. The table in
    DEVELOPERS.md, "The rules of work", gives the meaning, shape and unit of each array.
    """

    area: Floats
    soil: Ints
    follows: Ints
    lag: Ints
    planting: Ints
    longest_wait: Ints
    earliest: Ints
    close_day: Ints
    close_as: Ints
    starts_with: Ints
    hours: Floats
    machine: Ints
    capacity: Floats
    setup: Floats
    order: Ints
    units: Floats
    power: Floats
    tractors: Floats
    tractor_power: Floats
    tractor_hours: Floats
    operator_hours: Floats
    weight: Floats


class TaskTotals(NamedTuple):
    """What became of each task's land in one season, and what it took; every array has shape (T,).

    Areas in hectares, `hours` in machine-unit hours, `weighted` the area done times the weight of
    its day, `finish_day` a day index (-1: not finished).
    """

    left: Floats
    missed: Floats
    switched: Floats
    prevented: Floats
    done: Floats
    hours: Floats
    weighted: Floats
    finish_day: Ints


class SeasonTotals(NamedTuple):
    """`TaskTotals` added up by group of tasks; every array has shape (season, group).

    `area` is the land that came to the group's tasks [ha]; `finish_day` is the latest of theirs,
    -1 if one with land is not finished or none has land.
    """

    area: Floats
    left: Floats
    missed: Floats
    switched: Floats
    prevented: Floats
    done: Floats
    hours: Floats
    weighted: Floats
    finish_day: NDArray[np.int16]

    @classmethod
    def empty(cls, seasons: int, groups: int) -> SeasonTotals:
        """Return arrays to be filled."""
        shape = (seasons, groups)
        floats = [np.zeros(shape) for _ in cls._fields[:-1]]
        return cls(*floats, finish_day=np.full(shape, -1, dtype=np.int16))
