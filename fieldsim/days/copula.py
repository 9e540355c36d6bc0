"""Correlated weekly totals: a Gaussian copula over the weeks of a season and each week's quantiles.

Plain functions of numbers and arrays; `fieldsim.days.weekly_table` puts them together.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fieldsim.randomness import Seasons, by_season

__all__ = ["Tails", "normal_scores", "weekly_quantiles"]

Tails = Literal["extend", "hold"]


def normal_scores(
    seasons: Seasons,
    weeks: int,
    seed: int,
    *,
    week_correlation: float,
    season_share: float,
    name: str = "days",
) -> NDArray[np.float64]:
    """Draw the standard normal score of each week of each season.

    The score of week w is sqrt(season_share) S + sqrt(1 - season_share) A_w, with S one standard
    normal number a season and A a stationary autoregression of the first order,
    A_w = r A_(w-1) + sqrt(1 - r^2) e_w with r = week_correlation.

    Parameters
    ----------
    seasons, weeks : int
        Number of seasons, and of weeks in each.
    seed : int
        0 or more; 0 is a seed like any other.
    week_correlation : float
        Correlation of A from one week to the next [-], above -1 and below 1.
    season_share : float
        Share of the variance that is common to the whole season [0..1].
    name : str
        What the names of the two streams, ``.weeks`` and ``.season``, begin with.

    Returns
    -------
    ndarray, shape (season, week)
        Normal scores [-]. Weeks k apart have the correlation
        season_share + (1 - season_share) week_correlation^k.

    Examples
    --------
    >>> scores = normal_scores(20_000, 2, 0, week_correlation=0.5, season_share=0.0)
    >>> round(float(np.corrcoef(scores.T)[0, 1]), 1)
    0.5
    """
    scores = by_season(
        seed, f"{name}.weeks", seasons, lambda random, n: random.standard_normal((n, weeks))
    )
    wetness = by_season(
        seed, f"{name}.season", seasons, lambda random, n: random.standard_normal((n, 1))
    )
    for week in range(1, weeks):
        scores[:, week] *= np.sqrt(1 - week_correlation**2)
        scores[:, week] += week_correlation * scores[:, week - 1]
    combined: NDArray[np.float64] = (
        np.sqrt(season_share) * wetness + np.sqrt(1 - season_share) * scores
    )
    return combined


def weekly_quantiles(
    shares: NDArray[np.float64],
    percentiles: NDArray[np.float64],
    days: NDArray[np.float64],
    tails: Tails,
) -> NDArray[np.float64]:
    """Return the suitable days of each week at given shares of years.

    Parameters
    ----------
    shares : ndarray, shape (season, week)
        Shares of years with no more than so many days [0..1].
    percentiles : ndarray, shape (percentile,)
        Shares of years for which the days are known [0..1], rising.
    days : ndarray, shape (week, percentile)
        Suitable days at each percentile [days, 0..7], not falling; interpolated linearly between.
    tails : "extend" or "hold"
        Beyond the outermost percentiles: go on with the slope of the outermost interval, cut off at
        0 and 7 days; or keep the outermost value.

    Returns
    -------
    ndarray, shape (season, week)
        Suitable days [days, 0..7].

    Examples
    --------
    >>> shares = np.array([[0.1], [0.5], [1.0]])
    >>> weekly_quantiles(shares, np.array([0.2, 0.8]), np.array([[2.0, 5.0]]), "extend").ravel()
    array([1.5, 3.5, 6. ])
    """
    if tails == "extend":
        slopes = np.diff(days, axis=1) / np.diff(percentiles)
        lowest = days[:, 0] - slopes[:, 0] * percentiles[0]
        highest = days[:, -1] + slopes[:, -1] * (1 - percentiles[-1])
        days = np.column_stack([lowest, days, highest])
        percentiles = np.concatenate([[0.0], percentiles, [1.0]])
    totals = np.empty_like(shares)
    for week, knots in enumerate(days):
        totals[:, week] = np.interp(shares[:, week], percentiles, knots)
    return np.clip(totals, 0.0, 7.0)
