"""What stands under each figure, and what it says to those who cannot see it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import xarray as xr

from fieldsim.decisions.in_words.words import band
from fieldsim.decisions.sampling import quantile
from fieldsim.plots.words import day_text, money_text, readable
from fieldsim.report.figures import bad_year, planted_crops

__all__ = ["Caption", "captions"]


@dataclass(frozen=True)
class Caption:
    """A figure in words.

    Parameters
    ----------
    title : str
        What the figure shows.
    text : str
        How to read it.
    alt : str
        What is to be seen in it, in place of the figure.
    """

    title: str
    text: str
    alt: str


def captions(outcomes: xr.Dataset) -> dict[str, Caption]:
    """Return the captions of the figures that `make_figures` draws, by the same names.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.

    Returns
    -------
    dict
        `Caption` by name of the figure.
    """
    found = {f"finish_{crop}": _finish(outcomes, crop) for crop in planted_crops(outcomes)}
    return found | {"lost_revenue": _lost_revenue(outcomes), "season": _season(outcomes)}


def _labels(outcomes: xr.Dataset) -> dict[str, str]:
    pairs = zip(outcomes.option.values, outcomes.option_label.values, strict=True)
    return {str(option): readable(str(label)) for option, label in pairs}


def _finish(outcomes: xr.Dataset, crop: str) -> Caption:
    at = outcomes.sel(crop=crop)
    dates = at.finish_date.sel(operation=at.operation.values[at.plants.values][0])
    target = day_text(at.target_date.values)
    parts = []
    for option, label in _labels(outcomes).items():
        of_option = dates.sel(option=option)
        median = day_text(quantile(of_option.values, 0.5).value)
        half = f"half of the seasons by {median}" if median else "not in half of the seasons"
        share = 100 * float((of_option <= at.target_date).mean())
        parts.append(f"{label}: {half}, {share:.0f} % by {target}")
    return Caption(
        f"When planting of {readable(crop)} is finished",
        "The further left a curve rises, the earlier that option is done; where it crosses the "
        "line of the target is its chance of being in time. The mark on each curve is the date "
        "by which half of the seasons are done.",
        "Curves of the share of seasons in which all land is planted by each date. "
        f"{'; '.join(parts)}.",
    )


def _lost_revenue(outcomes: xr.Dataset) -> Caption:
    parts = []
    for option, label in _labels(outcomes).items():
        lost = outcomes.lost_revenue.sel(option=option).sum("crop").values
        bad = quantile(lost, 0.9)
        parts.append(
            f"{label}: half of the years lose more than "
            f"{money_text(float(quantile(lost, 0.5).value))}, the average is "
            f"{money_text(float(lost.mean()))}, and 1 year in 10 is worse than "
            f"{money_text(float(bad.value))} ({band(float(bad.low), float(bad.high))})"
        )
    return Caption(
        "What late and unfinished planting costs",
        "Further right is worse. Lost revenue is what the harvest would bring with all land "
        "planted on its best date, and weeds removed in time where they count, less what it "
        "brings.",
        f"Rows of dots for the years of each option. {'; '.join(parts)}.",
    )


def _season(outcomes: xr.Dataset) -> Caption:
    bad, seasons = bad_year(outcomes), outcomes.sizes["season"]
    label, lost = _labels(outcomes)[bad.option], money_text(bad.lost_revenue)
    at = outcomes.sel(option=bad.option, season=bad.season)
    parts = []
    for crop in planted_crops(outcomes):
        planting = at.operation.values[at.plants.sel(crop=crop).values][0]
        date = at.finish_date.sel(operation=planting, crop=crop).values
        end = "is not finished" if np.isnat(date) else f"is finished on {day_text(date)}"
        parts.append(f"planting of {readable(crop)} {end}")
    return Caption(
        f"A bad year with {label}, day by day",
        f"Of the {seasons:,} seasons this one (number {bad.season}) comes nearest to the loss that "
        f"1 year in 10 exceeds with {label}, which costs least in an average year: "
        f"{lost} of revenue is lost. The top row shows the share of each day in which the soil "
        "was fit for fieldwork; crosses mark days on which land was given up because the time of "
        "the operation had run out.",
        f"Rows of bars, the area done each day by operation and crop. In this season "
        f"{', '.join(parts)}; {lost} of revenue is lost.",
    )
