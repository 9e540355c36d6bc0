"""How a spring stands, in words, numbers and lists, ready for JSON."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldsim.explorer.answers import drawn
from fieldsim.explorer.fit_days import fit_share
from fieldsim.explorer.spring import (
    KINDS,
    MOST_HELPERS,
    WEEK,
    Decisions,
    Ground,
    Spring,
    switchable,
    weeks_of,
)
from fieldsim.explorer.spring_account import (
    done_by_day,
    lost_by_dates,
    waiting_pay,
)
from fieldsim.explorer.spring_plan import days_of, work_through
from fieldsim.farm.chains import planting_of
from fieldsim.farm.parts import LONG_DAY
from fieldsim.plots.words import day_text, money_text, readable
from fieldsim.quantities import area_text, factor, unit, with_unit
from fieldsim.running import own_operators

__all__ = ["standing", "usual_days", "week_name", "week_words"]

USUAL_SEASONS = 1000  # drawn to say how many suitable days a week usually has
SLIVER = 1e-6  # share of a field that counts as nothing


def standing(spring: Spring) -> dict[str, Any]:
    """Return how a spring stands after the weeks played: nothing of the weeks to come.

    Parameters
    ----------
    spring : Spring

    Returns
    -------
    dict
        ``week`` (the one to decide, from 0; ``weeks``: over), ``usual`` (suitable days of that week
        in 1, 5 and 9 springs of 10), ``suitable`` (share of each day played), ``fields`` with what
        was done on each day, ``lost`` after each week [$], ``waiting`` [$], ``choices``, and
        ``said``, the last week in words.
    """
    ground, week = spring.ground, len(spring.weeks)
    farm, weeks = ground.farm, weeks_of(ground.farm)
    end = min(week * WEEK, farm.season.days)
    worked, share = work_through(spring), fit_share(farm, ground.draws.suitable[0])
    return {
        "view": "game",
        "farm": readable(farm.name),
        "option": readable(farm.options[ground.option].label or ground.option),
        "seed": ground.seed,
        "first_day": farm.season.first_day.isoformat(),
        "days": farm.season.days,
        "week": week,
        "weeks": weeks,
        "name": week_name(ground, week) if week < weeks else "",
        "usual": usual_days(ground)[week] if week < weeks else None,
        "suitable": [round(float(v), 4) for v in share[:end]],
        "operations": [readable(name) for name in farm.operations],
        "fields": _fields(spring, done_by_day(spring, worked)[:, :end]),
        "lost": [round(lost_by_dates(spring, w), 2) for w in range(week)],
        "waiting": round(waiting_pay(spring, worked), 2),
        "choices": _choices(ground),
        "decided": [week_words(ground, w, spring.weeks[w]) for w in range(week)],
        "said": _last_week(spring),
    }


def week_words(ground: Ground, week: int, decisions: Decisions) -> str:
    """Say what was decided for a week."""
    said = []
    if decisions.helpers:
        said.append(
            f"{decisions.helpers} {'helper' if decisions.helpers == 1 else 'helpers'} hired"
        )
    if decisions.extra_hours:
        said.append(f"{ground.farm.crew.hours_per_day + decisions.extra_hours:g} hours a day")
    if decisions.first:
        said.append(f"{decisions.first} first")
    said += [
        f"{readable(name)} to {readable(crop)}"
        for name, crop in _switched_to(ground, decisions.switch).items()
    ]
    return f"{week_name(ground, week)}: {', '.join(said) or 'as in the file'}"


def week_name(ground: Ground, week: int) -> str:
    """Return the dates of a week, as ``8 Apr to 14 Apr``."""
    days = days_of(ground, week)
    ends = (ground.farm.season.date(day) for day in (days.start, days.stop - 1))
    return " to ".join(day_text(end) for end in ends)


def usual_days(ground: Ground) -> list[list[float]]:
    """Return the suitable days of each week in 1, 5 and 9 springs of 10."""
    share = fit_share(ground.farm, drawn(ground.farm, USUAL_SEASONS, ground.seed).suitable)
    weeks = [share[:, days_of(ground, w)].sum(axis=1) for w in range(weeks_of(ground.farm))]
    return [[round(float(v), 2) for v in np.quantile(week, (0.1, 0.5, 0.9))] for week in weeks]


def _fields(spring: Spring, done: NDArray[np.float64]) -> list[dict[str, Any]]:
    """Return for each field its land, what is done on it, and on which days."""
    ground, able = spring.ground, switchable(spring)
    gone = {name: w for w, week in enumerate(spring.weeks) for name in week.switch}
    units, names = ground.farm.units, list(ground.farm.operations)
    shown, label = factor("area", units), unit("area", units)
    fields = []
    for name, part in ground.farm.fields.items():
        by_operation = np.zeros((len(names), done.shape[1]))
        for t, task in enumerate(ground.tasks):
            if task.field == name:
                by_operation[names.index(task.group.operation)] += done[t]
        shares = by_operation / part.area
        crops = {planting_of(ground.played.operations, part.crop)[0]}
        planted = math.fsum(float(shares[names.index(o)].sum()) for o in crops)
        switched = _switched_to(ground, (name,)) if name in gone else {}
        fields.append(
            {
                "name": name,
                "label": readable(name),
                "crop": readable(part.crop),
                "switched_to": readable(switched[name]) if name in switched else "",
                "area": with_unit(f"{round(part.area * shown, 1):,.10g}", label),
                "done": [round(float(v), 4) for v in shares.sum(axis=1)],
                "days": [
                    [int(day), int(o), round(float(shares[o, day]), 4)]
                    for o, day in zip(*np.nonzero(shares > SLIVER), strict=True)
                ],
                "can_switch": readable(able[name]) if name in able and planted < 1 - SLIVER else "",
            }
        )
    return fields


def _switched_to(ground: Ground, names: tuple[str, ...]) -> dict[str, str]:
    """Return the crop that takes the land of each of some fields."""
    crops = {task.field: task.group.crop for task in ground.tasks if task.starts_with >= 0}
    return {name: crops[name] for name in names if name in crops}


def _choices(ground: Ground) -> dict[str, Any]:
    """Return what can be decided in any week."""
    farm = ground.farm
    kinds = {part.kind for by_crop in farm.operations.values() for part in by_crop.values()}
    hours = farm.crew.hours_per_day
    return {
        "helpers": MOST_HELPERS,
        "hours": hours,
        "most_hours": min(24.0, max(hours, 18.0)),
        "long_day": LONG_DAY,
        "first": [kind for kind in KINDS if kind in kinds],
        "wage": farm.money.wage,
        "hands": own_operators(farm, ground.option),
        "tractors": sum(farm.options[ground.option].tractors.values()),
    }


def _last_week(spring: Spring) -> str:
    """Say what was done in the last week played."""
    ground, week = spring.ground, len(spring.weeks) - 1
    if week < 0:
        return "No week is played yet."
    days, farm = days_of(ground, week), ground.farm
    done = done_by_day(spring, work_through(spring))[:, days].sum(axis=1)
    by_work: dict[str, float] = {}
    for t, task in enumerate(ground.tasks):
        name = f"{readable(task.group.operation)} {readable(task.group.crop)}"
        by_work[name] = by_work.get(name, 0.0) + float(done[t])
    told = [
        f"{what} {area_text(land, farm.units)}" for what, land in by_work.items() if land > SLIVER
    ]
    fit = float(fit_share(ground.farm, ground.draws.suitable[0])[days].sum())
    lost = money_text(lost_by_dates(spring, week))
    waiting = waiting_pay(spring, work_through(spring))
    paid = f" Paid to helpers for waiting: {money_text(waiting)}." if waiting else ""
    return (
        f"{week_name(ground, week)}: {fit:.1f} suitable days; {', '.join(told) or 'nothing done'}. "
        f"Lost so far to planting dates and switched land: {lost}.{paid}"
    )
