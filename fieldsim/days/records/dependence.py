"""How weeks of a record hang together: correlation from week to week, and wetness in common."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from fieldsim.days.layout import HALF

__all__ = [
    "Estimate",
    "copula_parameters",
    "lag_correlations",
    "normal_scores_of",
    "pooled_persistence",
]

CORRELATIONS = np.linspace(0.0, 0.95, 96)
LARGEST_SHARE = 0.95


@dataclass(frozen=True)
class Estimate:
    """An estimate with its standard error, in the same unit."""

    value: float
    standard_error: float


def normal_scores_of(days: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the normal score of each year's week among the years.

    The score is Phi^-1(rank / (n + 1)), with the mean rank where years are equal (van der Waerden
    1952). Equal years, as weeks without a suitable day, make correlations of scores a little
    smaller than those of the copula they come from.

    Parameters
    ----------
    days : ndarray, shape (year, week)
        Suitable days [days]; nan where missing.

    Returns
    -------
    ndarray, shape (year, week)
        Scores [-]; nan where missing.

    Examples
    --------
    >>> normal_scores_of(np.array([[0.0], [0.0], [5.0]])).round(2).ravel().tolist()
    [-0.32, -0.32, 0.67]
    """
    scores = np.full(days.shape, np.nan)
    for week in range(days.shape[1]):
        known = ~np.isnan(days[:, week])
        _, place, counts = np.unique(days[known, week], return_inverse=True, return_counts=True)
        ranks = np.cumsum(counts) - (counts - 1) / 2
        scores[known, week] = ndtri(ranks[place] / (known.sum() + 1))
    return scores


def lag_correlations(
    scores: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the correlation of weeks so many weeks apart, pooled over the season.

    Parameters
    ----------
    scores : ndarray, shape (..., year, week)
        Scores, or days; nan where missing.

    Returns
    -------
    tuple of ndarray
        Correlations at 1, 2, ... weeks, shape (..., lag) [-]; pairs of weeks behind each,
        shape (lag,), in the mean over the leading axes.

    Examples
    --------
    >>> correlation, pairs = lag_correlations(np.array([[1.0, 1.0, 2.0], [2.0, 2.0, 1.0]]))
    >>> correlation.tolist(), pairs.tolist()
    ([0.0, -1.0], [4.0, 2.0])
    """
    known = ~np.isnan(scores)
    counts = np.maximum(known.sum(axis=-2, keepdims=True), 1)
    filled = np.where(known, scores, 0.0)
    centered = np.where(known, filled - filled.sum(axis=-2, keepdims=True) / counts, 0.0)
    squares = centered**2
    correlations, pairs = [], []
    for lag in range(1, scores.shape[-1]):
        early, late = np.s_[..., :-lag], np.s_[..., lag:]
        product = (centered[early] * centered[late]).sum(axis=(-2, -1))
        first = (squares[early] * known[late]).sum(axis=(-2, -1))
        second = (squares[late] * known[early]).sum(axis=(-2, -1))
        scale = np.sqrt(first * second)
        correlations.append(np.where(scale > 0, product / np.where(scale > 0, scale, 1), 0.0))
        pairs.append((known[early] & known[late]).sum(axis=(-2, -1)).mean())
    return np.stack(correlations, axis=-1), np.array(pairs)


def copula_parameters(
    correlations: NDArray[np.float64], pairs: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the week_correlation r and season_share s that fit correlations of scores best.

    Least squares, weighted with the pairs of weeks, of the correlations rho_k at k weeks to those
    of `WeeklyTable`, rho_k = s + (1 - s) r^k: for each r from 0 to 0.95 by 0.01 the best s is
    sum(w (rho_k - r^k) (1 - r^k)) / sum(w (1 - r^k)^2), within 0 to 0.95. All lags take part, so
    that the spread of season totals, to which every pair of weeks adds, is met as well as can be.

    Parameters
    ----------
    correlations : ndarray, shape (..., lag)
        At 1, 2, ... weeks [-].
    pairs : ndarray, shape (lag,)
        Weights.

    Returns
    -------
    tuple of ndarray
        r and s [-], each of the shape of the leading axes.

    Examples
    --------
    >>> lags = np.arange(1, 18)
    >>> r, s = copula_parameters(0.2 + 0.8 * 0.3**lags, 18.0 - lags)
    >>> round(float(r), 2), round(float(s), 2)
    (0.3, 0.2)
    """
    powers = CORRELATIONS[:, None] ** np.arange(1, correlations.shape[-1] + 1)
    weight = pairs / pairs.sum()
    apart = correlations[..., None, :] - powers
    best = (weight * apart * (1 - powers)).sum(axis=-1) / (weight * (1 - powers) ** 2).sum(axis=-1)
    share = np.clip(best, 0.0, LARGEST_SHARE)
    misfit = (weight * (apart - share[..., None] * (1 - powers)) ** 2).sum(axis=-1)
    place = misfit.argmin(axis=-1)
    return CORRELATIONS[place], np.take_along_axis(share, place[..., None], axis=-1)[..., 0]


def pooled_persistence(days: NDArray[np.float64]) -> Estimate:
    """Return P(day suitable | day before suitable) of daily records, pooled over all days.

    The standard error is that of a ratio of sums over years (linearization; Cochran 1977, Sampling
    techniques, 3rd ed., chapter 6), so it holds however the days of one year hang together.

    Parameters
    ----------
    days : ndarray, shape (year, day)
        Share of each day that is suitable [0..1]; nan where missing. A day counts as suitable when
        at least half of it is.

    Returns
    -------
    Estimate
        [0..1]; nan where no suitable day is followed by a known one.

    Examples
    --------
    >>> pooled_persistence(np.array([[1.0, 1.0, 0.0], [1.0, 1.0, 1.0]])).value
    0.75
    """
    known = ~np.isnan(days)
    suitable = days >= HALF  # nan is not
    followed = suitable[:, :-1] & known[:, 1:]
    trials = followed.sum(axis=1)
    successes = (followed & suitable[:, 1:]).sum(axis=1)
    if not trials.sum():
        return Estimate(float("nan"), float("nan"))
    value = successes.sum() / trials.sum()
    count = len(days)
    squares = ((successes - value * trials) ** 2).sum()
    error = np.sqrt(squares * count / (count - 1)) / trials.sum()
    return Estimate(float(value), float(error))
