"""What a played spring comes to: its days, its money so far, and its account at the end."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import xarray as xr
from numpy.typing import NDArray

from fieldsim.decisions import total_cost
from fieldsim.explorer.spring import WEEK, Spring
from fieldsim.explorer.spring_plan import Worked, days_of, own_hands, work_through
from fieldsim.farm import Farm
from fieldsim.outcomes import fill_in, make_outcomes, make_replay, new_values
from fieldsim.work.arrays import DONE, OPERATORS, PREVENTED, SWITCHED, new_spent, new_totals
from fieldsim.work.kernel import run_seasons
from fieldsim.work.tasks import groups_of

__all__ = ["Account", "account", "done_by_day", "lost_by_dates", "play_out", "waiting_pay"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Account:
    """What a whole spring costs, in dollars a year.

    Parameters
    ----------
    outcomes : xarray.Dataset
        Of this option and season, with all decisions, as `simulate` returns them.
    waiting : float
        Pay of hired helpers for hours in which they had no work; the hours in which they worked are
        in the labor of the outcomes.
    """

    outcomes: xr.Dataset
    waiting: float

    @property
    def lost(self) -> float:
        """Lost revenue [$]."""
        return float(self.outcomes.lost_revenue.sum())

    @property
    def total(self) -> float:
        """All costs and the lost revenue together [$]."""
        return float(total_cost(self.outcomes).item()) + self.waiting


def play_out(spring: Spring) -> xr.Dataset:
    """Play the weeks that are left as the farm file says, and return every day of the season.

    Parameters
    ----------
    spring : Spring

    Returns
    -------
    xarray.Dataset
        As `fieldsim.replay` returns it: with no decision, the same as
        ``replay(farm, option, 0, seed=seed)``.

    Examples
    --------
    >>> import fieldsim
    >>> from fieldsim.explorer.spring import deal
    >>> farm = fieldsim.demo_farm()
    >>> season = play_out(deal(farm, "six_rows", seed=7))
    >>> season.identical(fieldsim.replay(farm, "six_rows", 0, seed=7))
    True
    """
    ground, worked = spring.ground, work_through(spring)
    suitable = ground.draws.suitable[0]
    return make_replay(ground.played, ground.tasks, worked.progress, suitable, worked.hands)


def account(spring: Spring) -> Account:
    """Return what a spring comes to when the weeks that are left are played as in the file.

    Parameters
    ----------
    spring : Spring

    Returns
    -------
    Account
    """
    ground, worked = spring.ground, work_through(spring)
    groups = groups_of(ground.tasks)
    group = np.array([groups.index(task.group) for task in ground.tasks])
    totals, spent = new_totals(1, len(groups)), new_spent(1, worked.plan)
    draws = ground.draws
    season = draws.suitable, worked.hands[None], draws.degrees, draws.warm_day
    run_seasons(worked.plan, group, *season, totals, spent)
    option = {ground.option: ground.played.options[ground.option]}
    played = replace(ground.played, options=option)
    values = new_values(played, 1)
    fill_in(values, played, groups, ground.option, slice(1), totals, spent, draws.replanted)
    outcomes = make_outcomes(played, values, {"seed": ground.seed, "seasons": 1})
    return Account(outcomes, waiting_pay(spring, worked))


def waiting_pay(spring: Spring, worked: Worked) -> float:
    """Return what hired helpers are paid for hours without work [$].

    Helpers are paid for every working hour of their week. The own hands work first: a helper works
    in the hours that go beyond what they can do in the day's suitable hours.

    Parameters
    ----------
    spring : Spring
    worked : Worked
        The spring worked through.
    """
    ground, pay = spring.ground, 0.0
    own, plan = own_hands(ground), worked.plan
    share = ground.draws.suitable[0].max(axis=0)
    first_wet = int(min(plan.tasks["wet_from"].min(), len(plan.days)))
    share[first_wet:] = np.maximum(share[first_wet:], plan.wet_share)
    for week, decisions in enumerate(spring.weeks):
        if not decisions.helpers:
            continue
        days = days_of(ground, week)
        ends = range(days.start, days.stop + 1)
        spent = np.array([_operator_hours(spring, end) for end in ends])
        can = own[days] * share[days] * plan.operator_hours[days]
        at_work = np.maximum(0.0, np.diff(spent) - can)
        paid = decisions.helpers * plan.operator_hours[days]
        pay += ground.farm.money.wage * float(np.maximum(0.0, paid - at_work).sum())
    return pay


def _operator_hours(spring: Spring, end: int) -> float:
    """Return the hours that all hands work before a day [h]."""
    if end == 0:
        return 0.0
    return float(work_through(spring, end).progress.resources["spent"][OPERATORS])


def done_by_day(spring: Spring, worked: Worked) -> Floats:
    """Return the land that each task does on each day [ha], shape (task, day)."""
    progress, days = worked.progress, len(worked.plan.days)
    done = np.zeros((len(spring.ground.tasks), days))
    for t in range(len(done)):
        start = progress.tasks["begin"][t]
        for segment in progress.segments[t, : progress.tasks["segments"][t]]:
            if segment["kind"] == DONE:
                done[t, segment["day"]] += segment["end"] - start
            start = segment["end"]
    return done


def lost_by_dates(spring: Spring, week: int | None = None) -> float:
    """Return the revenue lost to planting dates by the end of a week [$].

    Land that is planted has lost what its planting day costs. Land that is not has lost what even
    planting on the best of the days left would: the whole revenue where no day is left.

    Parameters
    ----------
    spring : Spring
    week : int, optional
        Number of the week, from 0; default: the last one played.

    Returns
    -------
    float
        In dollars; 0 before the first week. Losses to weeds, drying and replanting come with the
        account at the end.
    """
    ground, worked = spring.ground, work_through(spring)
    end = len(spring.weeks) * WEEK if week is None else (week + 1) * WEEK
    end = min(end, len(worked.plan.days))
    done, days, lost = done_by_day(spring, worked), worked.plan.days, 0.0
    for t, task in enumerate(ground.tasks):
        if task.planting != t or task.starts_with >= 0:
            continue
        crop = task.group.crop
        worth = _worth(ground.played, crop)
        planted, rest = done[t, :end], worked.plan.tasks["area"][t] - done[t, :end].sum()
        kept = worth * float(planted @ days["weight"][:end, t])
        best = _best(worked, ground.played, t, end, crop)
        for twin, other in enumerate(ground.tasks):
            if other.starts_with == t and worked.plan.tasks["close_as"][t] == SWITCHED:
                second = other.group.crop
                relative = float(done[twin, :end] @ days["weight"][:end, twin])
                kept += _worth(ground.played, second) * relative
                rest -= done[twin, :end].sum()
                best = max(best, _best(worked, ground.played, twin, end, second))
        lost += worth * worked.plan.tasks["area"][t] - kept - rest * best
    return lost


def _worth(farm: Farm, crop: str) -> float:
    """Return the revenue of a hectare planted on its best date [$/ha]."""
    return farm.crops[crop].yield_ * farm.crops[crop].price


def _best(worked: Worked, farm: Farm, t: int, start: int, crop: str) -> float:
    """Return what a hectare left unplanted could still earn [$/ha]."""
    task = worked.plan.tasks[t]
    left = worked.plan.days["weight"][start : task["close_day"], t]
    best = _worth(farm, crop) * float(left.max()) if left.size else 0.0
    if task["close_as"] == PREVENTED and task["close_day"] < len(worked.plan.days):
        best = max(best, farm.late_costs[crop].prevented_payment)
    return best
