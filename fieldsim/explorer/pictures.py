"""The data of the explorer's four pictures, each with the words for those who do not see it.

Every function returns plain numbers, text and lists, with the options in the order of the outcomes.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import xarray as xr
from numpy.typing import NDArray

from fieldsim.decisions.in_words.words import band
from fieldsim.decisions.sampling import quantile
from fieldsim.draws import Draws
from fieldsim.explorer.fit_days import fit_share
from fieldsim.farm import Farm
from fieldsim.plots.words import day_text, money_text, readable
from fieldsim.running import own_operators
from fieldsim.season import WEEKDAYS

__all__ = ["cost_parts", "finish_curves", "lost_dots", "season_days"]

DOTS = 20
Floats = NDArray[np.float64]

COSTS = {
    "ownership_cost": "owning",
    "repair_cost": "repairs",
    "labor_cost": "labor",
    "fuel_cost": "fuel",
    "hire_cost": "hired work",
    "lost_revenue": "lost revenue",
}


def finish_curves(farm: Farm, outcomes: xr.Dataset, labels: list[str]) -> list[dict[str, Any]]:
    """Return by which day each work is finished, in what share of the seasons.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
        From `simulate`.
    labels : list of str
        Of the options.

    Returns
    -------
    list of dict
        For each operation on each crop, planting first: ``label``, ``target`` (day index of the
        crop's target date for planting, else None), ``shares[option][day]`` (0..1, not falling) and
        ``said``.
    """
    first = np.datetime64(farm.season.first_day, "D")
    worked = (outcomes.machine_hours > 0).any(["option", "season"])
    curves = []
    for o, operation in enumerate(outcomes.operation.values):
        for c, crop in enumerate(outcomes.crop.values):
            if not worked.values[o, c]:
                continue
            dates = outcomes.finish_date.values[:, :, o, c]
            shares = [_shares(option, first, farm.season.days) for option in dates]
            plants = bool(outcomes.plants.values[o, c])
            label = f"{readable(str(operation))}: {readable(str(crop))}"
            said = [f"{label}, the share of seasons in which it is finished by a date."]
            said += [
                _finish_words(name, option) for name, option in zip(labels, dates, strict=True)
            ]
            target = None
            if plants:
                target = int(
                    (outcomes.target_date.values[c].astype("datetime64[D]") - first).astype(int)
                )
            curves.append(
                {
                    "label": label,
                    "plants": plants,
                    "target": target,
                    "shares": shares,
                    "said": " ".join(said),
                }
            )
    return sorted(curves, key=lambda curve: not curve["plants"])


def _shares(dates: NDArray[np.datetime64], first: np.datetime64, days: int) -> list[float]:
    """Return the share of seasons finished by the end of each day."""
    finished = dates[~np.isnat(dates)].astype("datetime64[D]") - first
    counts = np.bincount(finished.astype(np.int64), minlength=days)
    return [round(float(share), 4) for share in counts.cumsum() / len(dates)]


def _finish_words(label: str, dates: NDArray[np.datetime64]) -> str:
    never = float(np.isnat(dates).mean())
    middle, late = quantile(dates, 0.5).value, quantile(dates, 0.9)
    by_middle, by_late = day_text(middle), day_text(late.value)
    parts = [f"{label}: by {by_middle} in 5 seasons of 10" if by_middle else f"{label}: rarely"]
    if by_late:
        ends = f" ({day_text(late.low)} to {day_text(late.high) or 'later'})"
        parts.append(f"by {by_late} in 9 of 10{'' if late.low == late.high else ends}")
    if never:
        parts.append(f"not at all in {100 * never:.0f} %")
    return ", ".join(parts) + "."


def lost_dots(outcomes: xr.Dataset, labels: list[str]) -> dict[str, Any]:
    """Return lost revenue as dots, each one season in twenty.

    Parameters
    ----------
    outcomes : xarray.Dataset
    labels : list of str

    Returns
    -------
    dict
        ``dots[option]``: the quantiles at 2.5 %, 7.5 %, ... 97.5 % [$ a year], ``mean``, ``bad``
        (exceeded in 1 season of 10), ``bad_band`` (the ends of its 95 % band, in words) and
        ``said``.
    """
    lost = outcomes.lost_revenue.sum("crop").values
    at = (np.arange(DOTS) + 0.5) / DOTS
    mean = lost.mean(axis=1)
    found = [quantile(option, 0.9) for option in lost]
    bad = [float(of.value) for of in found]
    bands = [band(float(of.low), float(of.high)) for of in found]
    said = ["Lost revenue of a year, each dot one season in twenty."]
    said += [
        f"{label}: {money_text(m)} on average, above {money_text(b)} in 1 season of 10 ({ends})."
        for label, m, b, ends in zip(labels, mean, bad, bands, strict=True)
    ]
    return {
        "dots": [[round(float(v)) for v in np.quantile(option, at)] for option in lost],
        "mean": [round(float(m)) for m in mean],
        "bad": [round(b) for b in bad],
        "bad_band": bands,
        "said": " ".join(said),
    }


def cost_parts(outcomes: xr.Dataset, labels: list[str]) -> dict[str, Any]:
    """Return the mean cost of a year, part by part.

    Parameters
    ----------
    outcomes : xarray.Dataset
    labels : list of str

    Returns
    -------
    dict
        ``parts``, ``values[option][part]`` [$ a year], ``total`` and ``said``; parts that no option
        has are left out.
    """
    columns = {
        told: outcomes[name].sum([d for d in outcomes[name].dims if d == "crop"])
        for name, told in COSTS.items()
    }
    means = {
        told: (cost.mean("season") if "season" in cost.dims else cost).values
        for told, cost in columns.items()
    }
    kept = {told: mean for told, mean in means.items() if np.any(np.abs(mean) > 0.5)}
    values = np.array([*kept.values()]).T if kept else np.zeros((len(labels), 0))
    total = sum(means.values(), np.zeros(len(labels)))
    said = ["Cost of a year, lost revenue included."]
    for label, row, whole in zip(labels, values, total, strict=True):
        parts = ", ".join(f"{part} {money_text(v)}" for part, v in zip(kept, row, strict=True))
        said.append(f"{label}: {money_text(whole)} in all: {parts}.")
    return {
        "parts": list(kept),
        "values": [[round(float(v), 2) for v in row] for row in values],
        "total": [round(float(v), 2) for v in total],
        "said": " ".join(said),
    }


def season_days(
    farm: Farm, outcomes: xr.Dataset, draws: Draws, labels: list[str]
) -> dict[str, Any]:
    """Return where the days of the mean season go, for one hand.

    Days off; days on which the soil carries no work; days at work, by operation: hours of the own
    machines over the hours of all hands on a day; and the rest, on which the soil would carry work
    but none is ready, or machines, tractors or other limits hold it up. Hours of hired machines are
    taken off the operations they do, in proportion to the hours of those.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
    draws : Draws
        The seasons of the outcomes.
    labels : list of str

    Returns
    -------
    dict
        ``parts``, ``values[option][part]`` [days], which add up to the days of the season, and
        ``said``.
    """
    works = np.isin(
        farm.season.weekday, [WEEKDAYS.index(day) for day in farm.crew.days_off], invert=True
    )
    share = fit_share(farm, draws.suitable)[:, works]
    fit = float(share.sum(axis=1).mean())
    off, wet = float((~works).sum()), float(works.sum()) - fit
    operations = [readable(str(name)) for name in outcomes.operation.values]
    parts = ["day off", "soil too wet", *operations, "fit, not used"]
    values = []
    for place, option in enumerate(farm.options):
        hands = own_operators(farm, option) + draws.hands[:, works]
        hand_days = float((hands * share).sum(axis=1).mean())
        per_day = farm.crew.hours_per_day * (hand_days / fit if fit else 1.0)
        at_work = _own_hours(farm, outcomes, place) / per_day if per_day else np.zeros(0)
        idle = max(0.0, fit - float(at_work.sum()))
        values.append([off, wet, *(float(v) for v in at_work), idle])
    said = [f"Where the {farm.season.days} days of a mean season go."]
    for label, row in zip(labels, values, strict=True):
        told = ", ".join(f"{part} {v:.1f}" for part, v in zip(parts, row, strict=True))
        said.append(f"{label}: {told}.")
    rounded = [[round(v, 3) for v in row] for row in values]
    return {"parts": parts, "values": rounded, "said": " ".join(said)}


def _own_hours(farm: Farm, outcomes: xr.Dataset, option: int) -> Floats:
    """Return the mean hours of an option's own machines by operation, shape (operation,) [h]."""
    names = [str(name) for name in outcomes.operation.values]
    hours: Floats = outcomes.machine_hours.values[option].sum(axis=2).mean(axis=0)
    used = outcomes.equipment_hours.values[option].mean(axis=0)
    own = hours.copy()
    for machine, of_machine in zip(outcomes.equipment.values, used, strict=True):
        part = farm.machines.get(str(machine))
        if part is None or part.custom is None or of_machine == 0:
            continue
        does = np.isin(names, part.operations)
        own -= of_machine * np.where(does, hours, 0.0) / hours[does].sum()
    return np.maximum(own, 0.0)
