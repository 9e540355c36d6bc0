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

from .records import SeasonResult, Segment, Work, exact
from .sums import sums_of

__all__ = ["SeasonResult", "Segment", "Work", "run_season"]

CLOSE_AS = {1: "missed", 2: "switched", 3: "prevented"}
REMAINDER = Fraction(1, 10**9)  # of a block's area
NO_TIME = Fraction(1, 10**9)  # [h]
Stretch = tuple[Fraction, Fraction, str]


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
    called: dict[int, int] = field(default_factory=dict)  # hired machine -> day of the call
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
    shares = [[exact(share) for share in soil] for soil in suitable]
    hands = [exact(number) for number in operators]
    warmth = [exact(sum_) for sum_ in (np.zeros(days) if degrees is None else degrees)]
    season = _Season(plan, shares, hands, warmth, warm_day, [_new(plan, task) for task in tasks])
    for day in range(days):
        for task in tasks:
            _expire_and_close(season, task, day)
        for task in plan.order[day]:
            _serve(season, int(task), day)
    return _account(season)


def _new(plan: Any, task: int) -> _Task:
    machines = zip(plan.machine[task], plan.setup[task], strict=True)
    setup_left = [exact(hours) * int(plan.units[machine]) for machine, hours in machines]
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
        return by_days or (wait_degrees >= 0 and passed > exact(wait_degrees))

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
    plan, state = season.plan, season.tasks[task]
    if state.closed or not state.begun or day < plan.earliest[task]:
        return
    if plan.needs_warmth[task] and day < season.warm_day:
        return
    if _share(season, task, day) == 0 or plan.hours[task, day] == 0:
        return
    for slot, machine in enumerate(plan.machine[task]):
        if machine < 0 or _ready_until(season, task, day) == state.front:
            return
        if _has_come(season, int(machine), day):
            _put_to_work(season, task, slot, day)


def _share(season: _Season, task: int, day: int) -> Fraction:
    """Share of the day in which the task can go on, raised where it goes on in the wet."""
    dry = season.suitable[int(season.plan.soil[task])][day]
    goes_on = day >= season.plan.wet_from[task]
    return max(dry, exact(season.plan.wet_share)) if goes_on else dry


def _has_come(season: _Season, machine: int, day: int) -> bool:
    """Step 2a, for a machine whose turn has come with land ready."""
    days = int(season.plan.hired[machine])
    return days < 0 or day >= season.called.setdefault(machine, day) + days


def _put_to_work(season: _Season, task: int, slot: int, day: int) -> None:
    """Steps 2b to 2f for one machine."""
    plan, state = season.plan, season.tasks[task]
    machine = int(plan.machine[task, slot])
    hours, tractors = _at_hand(season, task, machine, day)
    owed = state.setup_left[slot]
    if not any(work.day == day and work.machine == machine for work in season.log):
        owed = max(owed, exact(plan.morning[task, slot]) * int(plan.units[machine]))
    setup = min(hours, owed)
    state.setup_left[slot] = max(state.setup_left[slot] - setup, Fraction(0))
    capacity = exact(plan.capacity[task, slot])
    at_work, land = _work(season, task, day, hours - setup, capacity)
    used = setup + at_work
    taken: list[Fraction] = []
    for available in tractors:
        taken.append(min(available, used - sum(taken)))
    if used > 0:
        where, what = (day, task, slot, machine), (setup, used, tuple(taken), land)
        season.log.append(Work(*where, _share(season, task, day), *what))


def _work(
    season: _Season, task: int, day: int, hours: Fraction, capacity: Fraction
) -> tuple[Fraction, Fraction]:
    """Do ready land for up to `hours`; return the hours it took and the land done."""
    state, used, land = season.tasks[task], Fraction(0), Fraction(0)
    remainder = REMAINDER * exact(season.plan.area[task])
    while used < hours:
        end = _ready_until(season, task, day)
        if end == state.front:
            break
        start, piece = state.front, min(end - state.front, (hours - used) * capacity)
        used += piece / capacity
        stop = start + piece
        _settle(state, end if end - stop <= remainder else stop, day, "done")
        land += state.front - start
    return used, land


def _ready_until(season: _Season, task: int, day: int) -> Fraction:
    """Return where the ready land at the front ends, once missed land is passed over."""
    plan, state = season.plan, season.tasks[task]
    if plan.follows[task] < 0:
        return exact(plan.area[task])
    before: _Task = season.tasks[plan.follows[task]]
    for segment in before.segments:
        if segment.end <= state.front:
            continue
        if segment.kind == "missed":
            _settle(state, segment.end, day, "missed")
        elif segment.day + plan.lag[task] > day or (
            season.degrees[day] - season.degrees[segment.day] < exact(plan.lag_degrees[task])
        ):
            break
        else:
            return segment.end
    return state.front


def _at_hand(season: _Season, task: int, machine: int, day: int) -> tuple[Fraction, list[Fraction]]:
    """Steps 2b and 3: unit-hours the task can have, and those of each tractor type (0: no fit)."""
    plan, share_here = season.plan, _share(season, task, day)
    dry = [soil_shares[day] for soil_shares in season.suitable]
    shares = dry + [max(share, exact(plan.wet_share)) for share in dry]
    today = [work for work in season.log if work.day == day]

    def left(count: Fraction, hours: float, spent: list[tuple[Fraction, Fraction]]) -> Fraction:
        least = min(
            count * share * exact(hours) - sum(h for s, h in spent if s <= share)
            for share in shares
            if share >= share_here
        )
        return Fraction(0) if least <= NO_TIME else least

    of_machine = [(work.share, work.hours) for work in today if work.machine == machine]
    hours = left(Fraction(int(plan.units[machine])), plan.hours[task, day], of_machine)
    if plan.hired[machine] >= 0:
        return hours, []
    of_operators = [(work.share, work.hours) for work in today if plan.hired[work.machine] < 0]
    hours = min(hours, left(season.operators[day], plan.operator_hours[day], of_operators))
    if plan.power[machine] == 0:
        return hours, []
    tractors = []
    for kind, power in enumerate(plan.tractor_power):
        of_kind = [(work.share, work.tractors[kind]) for work in today if work.tractors]
        count = Fraction(int(plan.tractors[kind]) if power >= plan.power[machine] else 0)
        tractors.append(left(count, plan.tractor_hours[day], of_kind))
    return min(hours, sum(tractors, Fraction(0))), tractors


def _account(season: _Season) -> SeasonResult:
    tasks, days = range(len(season.tasks)), range(len(season.operators))
    fates: list[list[Stretch]] = []
    for task in tasks:
        fates.append(_fate(season, task, fates))
    segments = [state.segments for state in season.tasks]
    done = [[s for s in row if s.kind == "done"] for row in segments]
    finished = [bool(fate) and all(what == "done" for *_, what in fate) for fate in fates]

    def land(kind: str) -> list[float]:
        return [float(sum(b - a for a, b, what in fate if what == kind)) for fate in fates]

    return SeasonResult(
        **{kind: land(kind) for kind in ("done", "missed", "switched", "prevented", "left")},
        **sums_of(season.plan, season.suitable, segments, season.log),
        finish_day=[max(s.day for s in done[t]) if finished[t] else -1 for t in tasks],
        done_on=[[_land_done_on(day, row) for day in days] for row in done],
        segments=segments,
        log=season.log,
    )


def _land_done_on(day: int, done: list[Segment]) -> float:
    return float(sum(segment.end - segment.start for segment in done if segment.day == day))


def _fate(season: _Season, task: int, fates: list[list[Stretch]]) -> list[Stretch]:
    """Return the task's land as stretches (from, to, what became of it)."""
    plan, state = season.plan, season.tasks[task]
    if not state.begun:
        return []
    area = exact(plan.area[task])
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
