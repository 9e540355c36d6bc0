"""The rules of work in plain Python: slow, literal and exact.

Written from the rules of work in DEVELOPERS.md and from nothing else, so that the compiled kernel
can be held against it. All arithmetic is in fractions: the land a task does, and the hours it
leaves to the next one, carry no rounding until the result is handed out as floats.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["SeasonResult", "Segment", "Work", "run_season"]

CLOSE_AS = {1: "missed", 2: "switched", 3: "prevented"}
REMAINDER = Fraction(1, 10**9)
Stretch = tuple[Fraction, Fraction, str]


@dataclass(frozen=True)
class Segment:
    """A stretch of land from `start` to `end` [ha], settled on `day` as "done" or "missed"."""

    start: Fraction
    end: Fraction
    day: int
    kind: str


@dataclass(frozen=True)
class Work:
    """Unit-hours of one machine for one task on one day [h]: setting up, all, by tractor type."""

    day: int
    task: int
    soil: int
    machine: int
    setup: Fraction
    hours: Fraction
    tractors: tuple[Fraction, ...]


@dataclass(frozen=True)
class SeasonResult:
    """One option's season: a figure a task, and all work in the order it was done.

    `done` to `left`: land by what became of it [ha]; `machine_hours`: unit-hours, setting up
    included [h]; `finish_day`: last day with land done if all is done, else -1; `weighted`: land
    done times the weight of its day [ha]; `done_on`: land done, ``[task][day]`` [ha].
    """

    done: list[float]
    missed: list[float]
    switched: list[float]
    prevented: list[float]
    left: list[float]
    machine_hours: list[float]
    finish_day: list[int]
    weighted: list[float]
    done_on: list[list[float]]
    segments: list[list[Segment]]
    log: list[Work]


@dataclass
class _Task:
    """Where a task stands; a task of a twin chain has not begun until the twin starts."""

    begun: bool
    setup_left: list[Fraction]
    front: Fraction = Fraction(0)
    closed: str = ""
    segments: list[Segment] = field(default_factory=list)


@dataclass
class _Season:
    """The plan, the season's draws, and how far the season has come."""

    plan: Any
    suitable: list[list[Fraction]]
    operators: list[Fraction]
    degrees: list[Fraction]
    warm_day: int
    tasks: list[_Task]
    log: list[Work] = field(default_factory=list)


def run_season(
    plan: Any,
    suitable: NDArray[np.float64],
    operators: NDArray[np.float64],
    degrees: NDArray[np.float64] | None = None,
    warm_day: int = 0,
) -> SeasonResult:
    """Work one season of a plan, any object with the arrays of a plan as attributes.

    Parameters
    ----------
    plan : object
        Axes of `order`: (day, place).
    suitable : ndarray, (soil, day)
        Share of the day's field hours in which the soil carries fieldwork [1].
    operators : ndarray, (day,)
        Hands at work [1].
    degrees : ndarray, (day,), optional
        Growing degrees up to the end of each day [degC day]; default: none.
    warm_day : int
        First day on which the soil is warm.
    """
    tasks, days = range(len(plan.area)), len(plan.operator_hours)
    shares = [[_exact(share) for share in soil] for soil in suitable]
    hands = [_exact(number) for number in operators]
    warmth = [_exact(sum_) for sum_ in (np.zeros(days) if degrees is None else degrees)]
    season = _Season(plan, shares, hands, warmth, warm_day, [_new(plan, task) for task in tasks])
    for day in range(days):
        for task in tasks:
            _expire_and_close(season, task, day)
        for task in plan.order[day]:
            _serve(season, int(task), day)
    return _account(season)


def _exact(number: float) -> Fraction:
    return Fraction(float(number))


def _new(plan: Any, task: int) -> _Task:
    machines = zip(plan.machine[task], plan.setup[task], strict=True)
    setup_left = [_exact(hours) * int(plan.units[machine]) for machine, hours in machines]
    planting = plan.planting[task]
    return _Task(planting < 0 or plan.starts_with[planting] < 0, setup_left)


def _expire_and_close(season: _Season, task: int, day: int) -> None:
    """Step 1 for one task."""
    plan, state = season.plan, season.tasks[task]
    switching = plan.starts_with[task]
    if switching >= 0 and not state.begun:
        if season.tasks[switching].closed != "switched":
            return
        for planting, other in zip(plan.planting, season.tasks, strict=True):
            if planting == task:
                other.begun, other.front = True, season.tasks[switching].front
    if state.closed:
        return
    _expire(season, task, day)
    if day >= plan.close_day[task]:
        state.closed = CLOSE_AS[int(plan.close_as[task])]


def _expire(season: _Season, task: int, day: int) -> None:
    """Step 1b: miss the land planted too long ago, with any land between."""
    plan, degrees = season.plan, season.degrees
    wait, wait_degrees = plan.longest_wait[task], plan.longest_wait_degrees[task]

    def is_over(planted: int) -> bool:
        by_days = wait >= 0 and day > planted + wait
        passed = degrees[day] - degrees[planted]
        return by_days or (wait_degrees >= 0 and passed > _exact(wait_degrees))

    planted = season.tasks[plan.planting[task]].segments if plan.planting[task] >= 0 else []
    expired = [s.end for s in planted if s.kind == "done" and is_over(s.day)]
    _settle(season.tasks[task], max(expired, default=Fraction(0)), day, "missed")


def _settle(state: _Task, end: Fraction, day: int, kind: str) -> None:
    """Move the front up to `end`; land that lies before the front stays as it is."""
    if end > state.front:
        state.segments.append(Segment(state.front, end, day, kind))
        state.front = end


def _serve(season: _Season, task: int, day: int) -> None:
    """Step 2 for one task."""
    plan, state, soil = season.plan, season.tasks[task], int(season.plan.soil[task])
    if state.closed or not state.begun or day < plan.earliest[task]:
        return
    if plan.needs_warmth[task] and day < season.warm_day:
        return
    if season.suitable[soil][day] == 0 or plan.hours[task, day] == 0:
        return
    for slot, machine in enumerate(plan.machine[task]):
        if machine < 0 or _ready_until(season, task, day) == state.front:
            return
        hours, tractors = _at_hand(season, task, int(machine), day)
        setup = min(hours, state.setup_left[slot])
        state.setup_left[slot] -= setup
        used = setup + _work(season, task, day, hours - setup, _exact(plan.capacity[task, slot]))
        taken: list[Fraction] = []
        for available in tractors:
            taken.append(min(available, used - sum(taken)))
        if used > 0:
            season.log.append(Work(day, task, soil, int(machine), setup, used, tuple(taken)))


def _work(season: _Season, task: int, day: int, hours: Fraction, capacity: Fraction) -> Fraction:
    """Do ready land for up to `hours`, and return the hours it took."""
    state, used = season.tasks[task], Fraction(0)
    remainder = REMAINDER * _exact(season.plan.area[task])
    while used < hours:
        end = _ready_until(season, task, day)
        if end == state.front:
            break
        piece = min(end - state.front, (hours - used) * capacity)
        used += piece / capacity
        stop = state.front + piece
        _settle(state, end if end - stop <= remainder else stop, day, "done")
    return used


def _ready_until(season: _Season, task: int, day: int) -> Fraction:
    """Return where the ready land at the front ends, once missed land is passed over."""
    plan, state = season.plan, season.tasks[task]
    if plan.follows[task] < 0:
        return _exact(plan.area[task])
    before: _Task = season.tasks[plan.follows[task]]
    for segment in before.segments:
        if segment.end <= state.front:
            continue
        if segment.kind == "missed":
            _settle(state, segment.end, day, "missed")
        elif segment.day + plan.lag[task] > day or (
            season.degrees[day] - season.degrees[segment.day] < _exact(plan.lag_degrees[task])
        ):
            break
        else:
            return segment.end
    return state.front


def _at_hand(season: _Season, task: int, machine: int, day: int) -> tuple[Fraction, list[Fraction]]:
    """Steps 2a and 3: unit-hours the task can have, and those of each tractor type (0: no fit)."""
    plan, soil = season.plan, int(season.plan.soil[task])
    shares = [soil_shares[day] for soil_shares in season.suitable]
    today = [work for work in season.log if work.day == day]

    def left(count: Fraction, hours: float, spent: list[tuple[int, Fraction]]) -> Fraction:
        by_soil = [
            count * share * _exact(hours) - sum(h for s, h in spent if shares[s] <= share)
            for share in shares
            if share >= shares[soil]
        ]
        return max(min(by_soil), Fraction(0))

    of_machine = [(work.soil, work.hours) for work in today if work.machine == machine]
    of_operators = [(work.soil, work.hours) for work in today]
    hours = min(
        left(Fraction(int(plan.units[machine])), plan.hours[task, day], of_machine),
        left(season.operators[day], plan.operator_hours[day], of_operators),
    )
    if plan.power[machine] == 0:
        return hours, []
    tractors = []
    for kind, power in enumerate(plan.tractor_power):
        of_kind = [(work.soil, work.tractors[kind]) for work in today if work.tractors]
        count = Fraction(int(plan.tractors[kind]) if power >= plan.power[machine] else 0)
        tractors.append(left(count, plan.tractor_hours[day], of_kind))
    return min(hours, sum(tractors, Fraction(0))), tractors


def _account(season: _Season) -> SeasonResult:
    tasks, days = range(len(season.tasks)), range(len(season.operators))
    fates: list[list[Stretch]] = []
    for task in tasks:
        fates.append(_fate(season, task, fates))
    done = [[s for s in state.segments if s.kind == "done"] for state in season.tasks]
    done_on = [[sum(s.end - s.start for s in done[t] if s.day == d) for d in days] for t in tasks]
    finished = [bool(fate) and all(what == "done" for *_, what in fate) for fate in fates]
    weight = season.plan.weight

    def land(kind: str) -> list[float]:
        return [float(sum(b - a for a, b, what in fate if what == kind)) for fate in fates]

    return SeasonResult(
        done=land("done"),
        missed=land("missed"),
        switched=land("switched"),
        prevented=land("prevented"),
        left=land("left"),
        machine_hours=[float(sum(w.hours for w in season.log if w.task == t)) for t in tasks],
        finish_day=[max(s.day for s in done[t]) if finished[t] else -1 for t in tasks],
        weighted=[float(sum(done_on[t][d] * _exact(weight[t, d]) for d in days)) for t in tasks],
        done_on=[[float(area) for area in row] for row in done_on],
        segments=[state.segments for state in season.tasks],
        log=season.log,
    )


def _fate(season: _Season, task: int, fates: list[list[Stretch]]) -> list[Stretch]:
    """Return the task's land as stretches (from, to, what became of it)."""
    plan, state = season.plan, season.tasks[task]
    if not state.begun:
        return []
    area = _exact(plan.area[task])
    before = fates[plan.follows[task]] if plan.follows[task] >= 0 else []
    planting = season.tasks[plan.planting[task]] if plan.planting[task] >= 0 else state

    def became(start: Fraction) -> str:
        if planting.closed and start >= planting.front:
            return planting.closed
        if state.closed:
            return state.closed
        lost = (what for a, b, what in before if a <= start < b and what in ("missed", "prevented"))
        return next(lost, "left")

    cuts = {state.front, planting.front, area} | {b for _, b, _ in before}
    beyond = sorted(cut for cut in cuts if state.front <= cut <= area)
    settled = [(s.start, s.end, s.kind) for s in state.segments]
    return settled + [(a, b, became(a)) for a, b in pairwise(beyond)]
