"""The best of many plans tried with hindsight: what could have been had the spring been known."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import product

from fieldsim.errors import InputError
from fieldsim.explorer.spring import KINDS, Decisions, Spring, decide, switchable, weeks_of
from fieldsim.explorer.spring_account import account
from fieldsim.farm.parts import LONG_DAY

__all__ = ["Hindsight", "best_with_hindsight"]

PASSES = 2


@dataclass(frozen=True)
class Hindsight:
    """The best of the plans tried on a spring that is known.

    Parameters
    ----------
    spring : Spring
        With the decisions of that plan for every week.
    total : float
        What it costs, lost revenue included [$].
    lost : float
        Lost revenue [$].
    tried : int
        How many plans were tried.
    """

    spring: Spring = field(repr=False)
    total: float
    lost: float
    tried: int


def best_with_hindsight(spring: Spring) -> Hindsight:
    """Try plans on a dealt spring, and return the one that costs least, lost revenue included.

    Tried are: the decisions already made, with the weeks left as in the file; the same helper,
    hours and order in every week; from one week on, all land of each crop that can be switched; and
    from the best of these on, one change in one week at a time, twice through the season, kept
    where it costs less. There is at most one helper, and nobody works more than 12 hours a day,
    except where the decisions already made do. A better plan than the best of those tried may
    exist.

    Parameters
    ----------
    spring : Spring

    Returns
    -------
    Hindsight
        Never dearer than the spring that was given.
    """
    weeks = weeks_of(spring.ground.farm)
    empty = replace(spring, weeks=())
    asked = (*spring.weeks, *[Decisions()] * (weeks - len(spring.weeks)))
    plans = [asked, *([same] * weeks for same in _alike(spring))]
    seen: dict[tuple[Decisions, ...], float] = {}
    best = min((tuple(plan) for plan in plans), key=lambda plan: _cost(empty, plan, seen))
    switches = [tuple(plan) for plan in _switching(empty, best)]
    best = min([best, *switches], key=lambda plan: _cost(empty, plan, seen))
    for _ in range(PASSES):
        before = best
        for week in range(weeks):
            changes = [
                (*best[:week], other, *best[week + 1 :]) for other in _changes(spring, best[week])
            ]
            best = min([best, *changes], key=lambda plan: _cost(empty, plan, seen))
        if best == before:
            break
    for week in range(weeks):  # leave out what makes no difference
        simpler = (*best[:week], Decisions(), *best[week + 1 :])
        if _cost(empty, simpler, seen) <= _cost(empty, best, seen):
            best = simpler
    found = _played(empty, best)
    assert found is not None
    end = account(found)
    return Hindsight(found, end.total, end.lost, len(seen))


def _alike(spring: Spring) -> Iterator[Decisions]:
    """Yield decisions that are tried for every week alike."""
    for helpers, extra, first in product((0, 1), _hours(spring), ("", *KINDS)):
        yield Decisions(helpers, extra, first)


def _hours(spring: Spring) -> tuple[float, ...]:
    """Return the hours a day that are tried beside those of the file: up to the long day."""
    more = LONG_DAY - spring.ground.farm.crew.hours_per_day
    return (0.0, more) if more > 0 else (0.0,)


def _switching(empty: Spring, plan: tuple[Decisions, ...]) -> Iterator[tuple[Decisions, ...]]:
    """Yield a plan with all land of one crop switched from one week on, for each week and crop."""
    fields = empty.ground.farm.fields
    kept = tuple(replace(week, switch=()) for week in plan)
    for week in range(len(plan)):
        able = switchable(replace(empty, weeks=kept[:week]))
        for crop in dict.fromkeys(fields[name].crop for name in able):
            names = tuple(name for name in able if fields[name].crop == crop)
            yield (*kept[:week], replace(kept[week], switch=names), *kept[week + 1 :])


def _changes(spring: Spring, week: Decisions) -> Iterator[Decisions]:
    """Yield the decisions of a week with one of them changed."""
    for helpers in {0, 1} - {week.helpers}:
        yield replace(week, helpers=helpers)
    for extra in _hours(spring):
        if extra != week.extra_hours:
            yield replace(week, extra_hours=extra)
    for first in ("", *KINDS):
        if first != week.first:
            yield replace(week, first=first)


def _cost(
    empty: Spring, plan: tuple[Decisions, ...], seen: dict[tuple[Decisions, ...], float]
) -> float:
    """Return what a plan costs [$]; infinite for one that cannot be played."""
    if plan not in seen:
        played = _played(empty, plan)
        seen[plan] = float("inf") if played is None else account(played).total
    return seen[plan]


def _played(empty: Spring, plan: tuple[Decisions, ...]) -> Spring | None:
    spring = empty
    try:
        for week in plan:
            spring = decide(spring, week)
    except InputError:
        return None
    return spring
