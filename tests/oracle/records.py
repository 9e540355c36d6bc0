"""What the oracle writes down of a season: land settled, work done, and the result."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

__all__ = ["SeasonResult", "Segment", "Work", "exact"]


def exact(number: float) -> Fraction:
    """Return the fraction that a float stands for."""
    return Fraction(float(number))


@dataclass(frozen=True)
class Segment:
    """A stretch of land from `start` to `end` [ha], settled on `day` as "done" or "missed"."""

    start: Fraction
    end: Fraction
    day: int
    kind: str


@dataclass(frozen=True)
class Work:
    """Unit-hours of one machine for one task on one day [h]: setting up, all, by tractor type.

    `slot`: the machine's place among the task's; `share`: that of the soil, raised or not [1];
    `setup`: with the morning's start; `tractors`: none where the machine needs no tractor;
    `land`: done in these hours [ha].
    """

    day: int
    task: int
    slot: int
    machine: int
    share: Fraction
    setup: Fraction
    hours: Fraction
    tractors: tuple[Fraction, ...]
    land: Fraction


@dataclass(frozen=True)
class SeasonResult:
    """One option's season: a figure a task, and all work in the order it was done.

    `done` to `left`: land by what became of it [ha]; `machine_hours`: unit-hours, setting up
    included [h]; `finish_day`: last day with land done if all is done, else -1; `weighted` to
    `insured`: land done times the figure of its day [ha]; `drying` [$]; `wet`: weighted land lost
    to work on wet soil [ha]; `saved`: weighted land that weeding saved [ha]; `fuel` [L]; `labor`:
    hours of people [h]; `done_on`: land done, ``[task][day]`` [ha]. Not by task but by machine:
    `machine_unit_hours` [h], `machine_area` [ha]; by tractor type: `tractor_unit_hours` [h].
    """

    done: list[float]
    missed: list[float]
    switched: list[float]
    prevented: list[float]
    left: list[float]
    machine_hours: list[float]
    finish_day: list[int]
    weighted: list[float]
    second_weighted: list[float]
    insured: list[float]
    drying: list[float]
    wet: list[float]
    saved: list[float]
    fuel: list[float]
    labor: list[float]
    machine_unit_hours: list[float]
    machine_area: list[float]
    tractor_unit_hours: list[float]
    done_on: list[list[float]]
    segments: list[list[Segment]]
    log: list[Work]
