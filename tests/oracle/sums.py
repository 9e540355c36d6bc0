"""Rules 2g and 2h in plain Python: the sums of a season, from its settled land and its work."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from itertools import pairwise
from math import prod
from typing import Any

from .records import Segment, Work, exact

__all__ = ["sums_of"]


def sums_of(
    plan: Any, suitable: list[list[Fraction]], segments: list[list[Segment]], log: list[Work]
) -> dict[str, list[float]]:
    """Return the sums by task, by machine and by tractor type, under their names in the result.

    Parameters
    ----------
    plan : object
        The arrays of a plan as attributes.
    suitable : list, [soil][day]
        Share of the day's field hours in which the soil carries fieldwork [1].
    segments : list, [task]
        Settled land.
    log : list
        All work in the order it was done.
    """

    def by_task(figure: Callable[[Work], Fraction]) -> list[float]:
        return [_total(figure(w) for w in log if w.task == task) for task in range(len(plan.area))]

    def by_machine(figure: Callable[[Work], Fraction]) -> list[float]:
        return [_total(figure(w) for w in log if w.machine == m) for m in range(len(plan.units))]

    def weighed(values: Any) -> list[float]:
        return by_task(lambda work: work.land * exact(values[work.task, work.day]))

    return {
        "weighted": weighed(plan.weight),
        "second_weighted": weighed(plan.second_weight),
        "insured": weighed(plan.insured),
        "drying": weighed(plan.drying),
        "wet": by_task(lambda work: _wet(plan, suitable, work)),
        "saved": [_saved(plan, segments, task) for task in range(len(plan.area))],
        "fuel": by_task(lambda work: work.hours * exact(plan.fuel[work.task, work.slot])),
        "labor": by_task(lambda work: _labor(plan, work)),
        "machine_hours": by_task(lambda work: work.hours),
        "machine_unit_hours": by_machine(lambda work: work.hours),
        "machine_area": by_machine(lambda work: work.land),
        "tractor_unit_hours": [
            _total(work.tractors[kind] for work in log if work.tractors)
            for kind in range(len(plan.tractors))
        ],
    }


def _total(numbers: Iterable[Fraction]) -> float:
    return float(sum(numbers, Fraction(0)))


def _wet(plan: Any, suitable: list[list[Fraction]], work: Work) -> Fraction:
    """Weighted land lost because the soil was too wet when it was done [ha]."""
    dry = suitable[int(plan.soil[work.task])][work.day]
    if work.share == dry:
        return Fraction(0)
    lost = 1 - dry / exact(plan.wet_share)
    return work.land * exact(plan.weight[work.task, work.day]) * lost


def _labor(plan: Any, work: Work) -> Fraction:
    """Hours of people at work [h]."""
    at_setup = 1 if plan.hired[work.machine] < 0 else 0
    people = exact(plan.labor[work.task, work.slot])
    return (work.hours - work.setup) * people + work.setup * at_setup


def _saved(plan: Any, segments: list[list[Segment]], task: int) -> float:
    """Weighted land that the task's weeding saved [ha]."""
    planting, control = int(plan.planting[task]), exact(plan.control[task])
    if planting < 0 or control == 0:
        return 0.0
    others = [o for o, p in enumerate(plan.planting) if p == planting and o != task]
    saved = Fraction(0)
    for weeded in _done(segments[task]):
        earlier = [
            (other, land)
            for other in others
            for land in _done(segments[other])
            if _moment(plan, other, land.day) < _moment(plan, task, weeded.day)
        ]
        for planted in _done(segments[planting]):
            worth = exact(plan.weight[planting, planted.day]) * control
            worth *= exact(plan.weeds_ahead[task, weeded.day - planted.day])
            for start, end in _pieces(weeded, planted, [land for _, land in earlier]):
                over = [o for o, land in earlier if land.start <= start and end <= land.end]
                standing = prod((1 - exact(plan.control[o]) for o in over), start=Fraction(1))
                saved += (end - start) * worth * standing
    return float(saved)


def _done(segments: list[Segment]) -> list[Segment]:
    return [segment for segment in segments if segment.kind == "done"]


def _moment(plan: Any, task: int, day: int) -> tuple[int, int]:
    """When a task is served on a day: the day and the place in its order."""
    return day, list(plan.order[day]).index(task)


def _pieces(
    one: Segment, other: Segment, cut_by: list[Segment]
) -> Iterable[tuple[Fraction, Fraction]]:
    """Return the stretches of land in both segments, none with the end of a third inside it."""
    low, high = max(one.start, other.start), min(one.end, other.end)
    cuts = {low, high} | {cut for land in cut_by for cut in (land.start, land.end)}
    return pairwise(sorted(cut for cut in cuts if low <= cut <= high))
