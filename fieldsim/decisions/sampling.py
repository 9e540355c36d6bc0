"""Figures of many drawn seasons with their Monte Carlo error."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = ["Quantile", "Z", "mean_error", "quantile", "share_error", "told_apart", "years_error"]

Z = 1.96  # standard errors on either side of a figure: about 95 in 100 such bands hold the truth


class Quantile(NamedTuple):
    """A sample quantile and the ends of its 95 % band, all of them values of the sample."""

    value: Any
    low: Any
    high: Any


def mean_error(values: NDArray[np.float64]) -> float:
    """Return the standard error of a mean over seasons; nan for a single season.

    Parameters
    ----------
    values : ndarray, shape (season,)

    Returns
    -------
    float
        In the unit of the values.

    Examples
    --------
    >>> mean_error(np.array([1.0, 2.0, 3.0, 4.0]))
    0.6454972243679028
    """
    return float(values.std(ddof=1) / math.sqrt(values.size)) if values.size > 1 else math.nan


def years_error(values: NDArray[np.float64], replicate: NDArray[np.int64]) -> float:
    """Return the standard error of a mean that the few years behind a day source leave.

    The means of the replicates differ because their sources rest on other years, and because each
    has few seasons; the second part is taken off.

    Parameters
    ----------
    values : ndarray, shape (season,)
    replicate : ndarray of int64, shape (season,)
        Which replicate of the source each season was drawn from.

    Returns
    -------
    float
        In the unit of the values; 0 where the replicates differ no more than their seasons explain.

    Notes
    -----
    One-way analysis of variance with random effects: Searle, Casella and McCulloch (1992),
    Variance Components, section 3.4; cited from memory.

    Examples
    --------
    >>> replicate = np.repeat([0, 1], 500)
    >>> years_error(np.where(replicate == 0, 90.0, 110.0), replicate).__round__(2)
    14.14
    """
    groups = [values[replicate == number] for number in np.unique(replicate)]
    means = np.array([group.mean() for group in groups])
    within = np.mean([group.var(ddof=1) / group.size for group in groups])
    return math.sqrt(max(0.0, float(means.var(ddof=1) - within)))


def share_error(share: float, seasons: int) -> float:
    """Return the standard error of a share of seasons.

    A share of 0 or 1 is given the error of half a season more or less, since the true share need
    not be quite 0 or 1.

    Parameters
    ----------
    share : float
        0..1.
    seasons : int

    Returns
    -------
    float
        As a share.

    Examples
    --------
    >>> share_error(0.5, 100)
    0.05
    """
    inside = min(max(share, 0.5 / seasons), 1 - 0.5 / seasons)
    return math.sqrt(inside * (1 - inside) / seasons)


def quantile(values: NDArray[Any], share: float) -> Quantile:
    """Return a quantile over seasons with its 95 % band.

    The quantile is the smallest value that at least `share` of the seasons do not exceed, so that
    dates stay dates; NaT and nan count as larger than everything else. The band runs between the
    order statistics that a binomial count, by its normal approximation, leaves on either side.

    Parameters
    ----------
    values : ndarray, shape (season,)
        Numbers or dates.
    share : float
        0..1.

    Returns
    -------
    Quantile

    Notes
    -----
    David and Nagaraja (2003), Order Statistics, 3rd ed., section 7.1 (distribution-free confidence
    intervals for quantiles); cited from memory.

    Examples
    --------
    >>> [int(number) for number in quantile(np.arange(1, 101), 0.9)]
    [90, 85, 96]
    """
    ordered = np.sort(values)
    seasons = ordered.size
    spread = Z * math.sqrt(seasons * share * (1 - share))
    ranks = (
        seasons * share,
        seasons * share - spread,
        seasons * share + spread,
    )
    # A whisker is taken off first: 0.9 times 100 is not quite 90 in floating point.
    places = [min(max(math.ceil(rank - 1e-9), 1), seasons) - 1 for rank in ranks]
    return Quantile(*(ordered[place] for place in places))


def told_apart(difference: float, error: float) -> bool:
    """Say whether a mean difference lies outside its Monte Carlo error.

    Parameters
    ----------
    difference, error : float
        Mean of the paired differences and its standard error, in one unit.

    Returns
    -------
    bool
        False where the error is not known (a single season).

    Examples
    --------
    >>> told_apart(100.0, 60.0)
    False
    """
    return bool(abs(difference) > Z * error)
