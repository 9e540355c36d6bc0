"""Fitting what holds for the whole season: correlation of weeks, common wetness, persistence."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.layout import calibrate_change_odds, expected_persistence
from fieldsim.days.records.dependence import (
    Estimate,
    copula_parameters,
    lag_correlations,
    normal_scores_of,
    pooled_persistence,
)
from fieldsim.days.records.record import Records
from fieldsim.days.weekly_files import WeeklyParameters
from fieldsim.days.weekly_table import PILOT_SEASONS, WeeklyTable, weekly_totals

__all__ = ["season_estimates", "table_settings"]

FEWEST_WEEKS = 4  # fewer do not part the correlation of weeks from the wetness of the season
BATCH = 100  # bootstrap samples at a time, to keep memory small


def season_estimates(
    records: Records, totals: NDArray[np.float64], sampled: NDArray[np.int64]
) -> dict[str, Estimate]:
    """Return what can be told of the parameters that hold for the whole season."""
    estimates = {}
    scores = normal_scores_of(totals)
    if totals.shape[1] >= FEWEST_WEEKS:
        correlations, pairs = lag_correlations(scores)
        fits = [copula_parameters(correlations, pairs)]
        for batch in np.array_split(sampled, max(1, len(sampled) // BATCH)):
            fits.append(copula_parameters(lag_correlations(scores[batch])[0], pairs))
        scale = np.sqrt(len(totals) / (len(totals) - 1))
        for name, place in (("week_correlation", 0), ("season_share", 1)):
            spread = np.concatenate([fit[place] for fit in fits[1:]]).std()
            estimates[name] = Estimate(float(fits[0][place]), float(spread * scale))
    if records.unit == "day":
        persistence = pooled_persistence(records.days)
        if np.isfinite(persistence.value):
            estimates["persistence"] = persistence
    return estimates


def table_settings(source: WeeklyTable, estimates: dict[str, Estimate]) -> WeeklyParameters:
    """Return the parameters of the table as they are printed."""
    settings = WeeklyParameters()
    if "week_correlation" in estimates:
        settings["week_correlation"] = round(estimates["week_correlation"].value, 2)
        settings["season_share"] = round(estimates["season_share"].value, 2)
    if "persistence" in estimates:
        totals = weekly_totals(replace(source, **settings), PILOT_SEASONS, 0, "days.pilot")
        odds = calibrate_change_odds(totals, estimates["persistence"].value, nearest=True)
        settings["persistence"] = round(expected_persistence(totals, odds), 3)
    return settings
