"""The end of a spring, beside the farm's options and beside hindsight; its weeks revealed."""

from __future__ import annotations

from typing import Any

from fieldsim.decisions import total_cost
from fieldsim.explorer.fit_days import fit_share
from fieldsim.explorer.hindsight import best_with_hindsight
from fieldsim.explorer.spring import Decisions, Ground, Spring, weeks_of
from fieldsim.explorer.spring_account import Account, account
from fieldsim.explorer.spring_plan import days_of
from fieldsim.explorer.spring_report import usual_days, week_name, week_words
from fieldsim.farm.chains import planting_of
from fieldsim.plots.words import day_text, money_text, readable
from fieldsim.simulation import simulate

__all__ = ["debrief", "reveal"]


def debrief(spring: Spring) -> dict[str, Any]:
    """Lay a spring beside every option of the farm on the same season, and beside hindsight.

    Parameters
    ----------
    spring : Spring
        Weeks that are left are played as in the file.

    Returns
    -------
    dict
        ``rows``: the farm's options as in the file, ``your spring`` and the best of the plans tried
        with hindsight, each with ``label``, ``lost`` and ``total`` [$] and ``planted``, when each
        crop was planted; ``tried``; ``plan``, the decisions of the best plan by week; ``said``.
    """
    ground = spring.ground
    season = simulate(ground.farm, 1, ground.seed, draws=ground.draws)
    totals = total_cost(season).values[:, 0]
    rows: list[dict[str, Any]] = []
    for place, name in enumerate(season.option.values):
        at = season.sel(option=name)
        rows.append(
            {
                "label": readable(str(at.option_label.item())),
                "kind": "option",
                "lost": float(at.lost_revenue.sum()),
                "total": float(totals[place]),
                "planted": _planted(ground, at),
            }
        )
    best = best_with_hindsight(spring)
    own = account(spring)
    tried = f"best of {best.tried} plans tried with hindsight"
    rows.append(_row(ground, "your spring", "yours", own))
    rows.append(_row(ground, tried, "hindsight", account(best.spring)))
    changed = [
        week_words(ground, w, week)
        for w, week in enumerate(best.spring.weeks)
        if week != Decisions()
    ]
    usual = readable(ground.farm.options[ground.option].label or ground.option)
    said = [f"The spring of seed {ground.seed}, played with {usual}."]
    said += [
        f"{row['label']}: {money_text(row['total'])} in all, {money_text(row['lost'])} of it lost "
        "revenue."
        for row in rows
    ]
    if own.waiting:
        said.append(f"Helpers were paid {money_text(own.waiting)} for waiting.")
    if not best.total < own.total - 0.5:
        said.append("None of the plans tried costs less than your spring.")
    return {"rows": rows, "tried": best.tried, "plan": changed, "said": " ".join(said)}


def reveal(spring: Spring) -> list[dict[str, Any]]:
    """Return the weeks of a dealt spring, for who leads the game: the room must not see them.

    Parameters
    ----------
    spring : Spring

    Returns
    -------
    list of dict
        ``week``, ``days`` (suitable days that the spring has) and ``usual`` (in 1, 5 and 9 springs
        of 10).
    """
    ground = spring.ground
    share, usual = fit_share(ground.farm, ground.draws.suitable[0]), usual_days(ground)
    return [
        {
            "week": week_name(ground, w),
            "days": float(share[days_of(ground, w)].sum()),
            "usual": usual[w],
        }
        for w in range(weeks_of(ground.farm))
    ]


def _row(ground: Ground, label: str, kind: str, end: Account) -> dict[str, Any]:
    season = end.outcomes.isel(option=0)
    planted = _planted(ground, season)
    return {"label": label, "kind": kind, "lost": end.lost, "total": end.total, "planted": planted}


def _planted(ground: Ground, season: Any) -> dict[str, str]:
    """Return when each crop was planted, in words."""
    said = {}
    for crop in ground.farm.grown_crops:
        operation = planting_of(ground.farm.operations, crop)[0]
        date = season.finish_date.sel(operation=operation, crop=crop).values.reshape(-1)[0]
        said[readable(crop)] = day_text(date) or "not all"
    return said
