"""Decisions -> the arrays of a plan, changed from their day on."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsim.explorer.spring import DAY_HOURS, WEEK, Ground, Spring
from fieldsim.running import own_operators
from fieldsim.work.arrays import SWITCHED, Plan
from fieldsim.work.kernel import run_season
from fieldsim.work.plan import make_plan
from fieldsim.work.progress import Progress
from fieldsim.work.tasks import Task

__all__ = ["Worked", "days_of", "own_hands", "plan_of", "work_through"]


class Worked(NamedTuple):
    """A spring worked through: the plan with all decisions, hands, and how far the work came."""

    plan: Plan
    hands: NDArray[np.float64]  # (day,)
    progress: Progress


def days_of(ground: Ground, week: int) -> slice:
    """Return the days of a week."""
    return slice(week * WEEK, min((week + 1) * WEEK, ground.farm.season.days))


def own_hands(ground: Ground) -> NDArray[np.float64]:
    """Return the hands at work on each day before anybody is hired, shape (day,)."""
    hands: NDArray[np.float64] = ground.draws.hands[0] + own_operators(ground.farm, ground.option)
    return hands


def work_through(spring: Spring, until: int | None = None) -> Worked:
    """Work a spring through with all its decisions, to the last day of the season or less far.

    Parameters
    ----------
    spring : Spring
    until : int, optional
        Work only the days before this one.

    Returns
    -------
    Worked
    """
    ground = spring.ground
    plan, hands = plan_of(spring)
    end = len(plan.days) if until is None else until
    cut = plan._replace(days=plan.days[:end], order=plan.order[:end])
    draws = ground.draws
    suitable, degrees = draws.suitable[0][:, :end], draws.degrees[0][:end]
    progress = run_season(cut, suitable, hands[:end], degrees, int(draws.warm_day[0]))
    return Worked(plan, hands, progress)


def plan_of(spring: Spring) -> tuple[Plan, NDArray[np.float64]]:
    """Return the plan with all decisions of a spring, and the hands at work on each day.

    What is decided for a week changes the days of that week, except that land once switched stays
    so; no day before it is touched.

    Parameters
    ----------
    spring : Spring

    Returns
    -------
    Plan, ndarray of shape (day,)
    """
    ground, hands = spring.ground, own_hands(spring.ground)
    base = ground.plan
    plan = base._replace(
        tasks=base.tasks.copy(),
        days=base.days.copy(),
        order=_order(spring),
        tractor_hours=base.tractor_hours.copy(),
        operator_hours=base.operator_hours.copy(),
    )
    kinds = np.array([_kind(ground, task) for task in ground.tasks])
    for week, decisions in enumerate(spring.weeks):
        days = days_of(ground, week)
        hands[days] += np.where(plan.operator_hours[days] > 0, decisions.helpers, 0.0)
        if decisions.extra_hours:
            _lengthen(ground, plan, days, decisions.extra_hours)
        if decisions.first:
            for day in range(days.start, days.stop):
                row = plan.order[day]
                goes_first = kinds[row] == decisions.first
                plan.order[day] = np.concatenate([row[goes_first], row[~goes_first]])
        for name in decisions.switch:
            _switch(ground, plan, name, days.start)
    return plan, hands


def _kind(ground: Ground, task: Task) -> str:
    return ground.played.operations[task.group.operation][task.group.crop].kind


def _lengthen(ground: Ground, plan: Plan, days: slice, extra: float) -> None:
    """Let everybody and everything work longer on some days, as far as daylight goes."""
    hours, longest = plan.days["hours"], ground.longest_hours
    longer = np.minimum(hours[days] + extra, longest[days])
    hours[days] = np.where(hours[days] > 0, longer, 0.0)
    plan.tractor_hours[days] = hours[days][:, ground.plain].max(axis=1)
    crew = plan.operator_hours[days]
    plan.operator_hours[days] = np.where(crew > 0, np.minimum(crew + extra, DAY_HOURS), 0.0)


def _switch(ground: Ground, plan: Plan, field: str, day: int) -> None:
    """Close the planting of a field as switched from a day on, so that its twin starts."""
    closings = ground.switched_closings
    for t, task in enumerate(ground.tasks):
        if task.field != field:
            continue
        is_twin = task.starts_with >= 0
        if is_twin:
            plan.tasks["close_day"][t] = max(closings[t, 0], day)
            plan.tasks["close_as"][t] = closings[t, 1]
            plan.tasks["close_day"][task.starts_with] = day
            plan.tasks["close_as"][task.starts_with] = SWITCHED
        elif task.planting != t:  # work ahead of planting goes on for the other crop
            plan.tasks["close_day"][t] = closings[t, 0]
            plan.tasks["close_as"][t] = closings[t, 1]


def _order(spring: Spring) -> NDArray[np.int64]:
    """Return the order of service, shape (day, task); by loss, switched land has its own."""
    ground, order = spring.ground, spring.ground.plan.order.copy()
    if ground.farm.priority != ("loss",):
        return order
    gone: set[str] = set()
    for week, decisions in enumerate(spring.weeks):
        if not decisions.switch:
            continue
        gone |= set(decisions.switch)
        kept = np.array(
            [
                plain or task.field in gone
                for plain, task in zip(ground.plain, ground.tasks, strict=True)
            ]
        )
        places, others = np.flatnonzero(kept), np.flatnonzero(~kept)
        part = make_plan(ground.played, _only(ground.tasks, kept), ground.option)
        start = days_of(ground, week).start
        order[start:, : places.size] = places[part.order[start:]]
        order[start:, places.size :] = others
    return order


def _only(tasks: tuple[Task, ...], kept: NDArray[np.bool_]) -> tuple[Task, ...]:
    """Return some of the tasks, their places counted anew."""
    place = np.append(np.cumsum(kept) - 1, -1)
    return tuple(
        replace(
            task,
            follows=int(place[task.follows]),
            planting=int(place[task.planting]),
            starts_with=int(place[task.starts_with]),
        )
        for task, keep in zip(tasks, kept, strict=True)
        if keep
    )
