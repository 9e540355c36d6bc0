"""Figures of seasons that a check compares, and their standard errors."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.layout import HALF
from fieldsim.days.records.dependence import lag_correlations

__all__ = ["DAILY", "WEEKLY", "ZERO", "jackknife"]

ZERO = 0.05  # days; a week with less is written as 0.0
FEW = 1e-12

Statistic = Callable[[NDArray[np.float64]], float]


def jackknife(
    statistic: Statistic, sample: NDArray[np.float64], groups: int
) -> tuple[float, float]:
    """Return a statistic and its standard error.

    One group of seasons after the other is left out (Efron 1982, The jackknife, the bootstrap and
    other resampling plans): with g groups and the statistics t_i without group i the standard
    error is sqrt((g - 1) / g sum (t_i - mean t)^2).

    Parameters
    ----------
    statistic : callable
        From an array of seasons to a number.
    sample : ndarray, shape (season, ...)
    groups : int
        Two or more; as many as there are seasons to leave out one at a time.

    Returns
    -------
    tuple of float

    Examples
    --------
    >>> value, error = jackknife(lambda x: float(x.mean()), np.array([1.0, 2.0, 3.0]), groups=3)
    >>> value, round(error, 4)
    (2.0, 0.5774)
    """
    groups = min(groups, len(sample))
    member = np.arange(len(sample)) % groups
    without = np.array([statistic(sample[member != group]) for group in range(groups)])
    spread = float(((without - without.mean()) ** 2).sum())
    return statistic(sample), float(np.sqrt((groups - 1) / groups * spread))


def _season_mean(weeks: NDArray[np.float64]) -> float:
    """Return the mean season total; a missing week counts with its mean."""
    return float(np.nanmean(weeks, axis=0).sum())


def _season_spread(weeks: NDArray[np.float64]) -> float:
    """Return the standard deviation of season totals; missing weeks count with their means."""
    filled = np.where(np.isnan(weeks), np.nanmean(weeks, axis=0), weeks)
    return float(filled.sum(axis=1).std(ddof=1))


def _week_correlation(weeks: NDArray[np.float64]) -> float:
    """Return the correlation of a week's total with the next week's, pooled over the season."""
    return float(lag_correlations(weeks)[0][0]) if weeks.shape[1] > 1 else float("nan")


def _zero_weeks(weeks: NDArray[np.float64]) -> float:
    """Return the share of weeks with less than 0.05 suitable days."""
    known = ~np.isnan(weeks)
    return float(((weeks < ZERO) & known).sum() / known.sum())


def _after(days: NDArray[np.float64], suitable_before: bool) -> float:
    """Return P(suitable | the day before suitable, or unsuitable), pooled over the season."""
    known, suitable = ~np.isnan(days), days >= HALF
    before = (suitable == suitable_before)[:, :-1] & known[:, :-1] & known[:, 1:]
    return float((before & suitable[:, 1:]).sum() / max(before.sum(), FEW))


def _run(days: NDArray[np.float64], suitable: bool) -> float:
    """Return suitable (unsuitable) days over their runs [days]."""
    inside = ((days >= HALF) == suitable) & ~np.isnan(days)
    starts = inside[:, 0].sum() + (inside[:, 1:] & ~inside[:, :-1]).sum()
    return float(inside.sum() / max(starts, FEW))


WEEKLY: dict[str, Statistic] = {
    "season mean [days]": _season_mean,
    "season spread (standard deviation) [days]": _season_spread,
    "correlation of a week with the next": _week_correlation,
    "share of weeks without a suitable day": _zero_weeks,
}
DAILY: dict[str, Statistic] = {
    "P(suitable | suitable before)": lambda days: _after(days, True),
    "P(suitable | unsuitable before)": lambda days: _after(days, False),
    "mean run of suitable days [days]": lambda days: _run(days, True),
    "mean run of unsuitable days [days]": lambda days: _run(days, False),
}
