"""Exact means, variances and covariances of the weeks of a weekly table."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from fieldsim.days.copula import weekly_quantiles
from fieldsim.days.records.figures import ZERO
from fieldsim.days.weekly_table import WeeklyTable

__all__ = ["table_covariance", "table_means", "table_zero_weeks"]

POINTS = 20_000  # midpoints in the percentile
TERMS = 30


def table_means(table: WeeklyTable) -> NDArray[np.float64]:
    """Return the mean suitable days of each week, shape (week,) [days].

    Examples
    --------
    >>> from fieldsim.season import CalendarDay
    >>> weeks = (CalendarDay(5, 6), CalendarDay(5, 13))
    >>> even = WeeklyTable(weeks, (0.0, 1.0), ((1.0, 6.0), (0.0, 7.0)))
    >>> table_means(even).round(6).tolist()
    [3.5, 3.5]
    """
    means: NDArray[np.float64] = _totals(table).mean(axis=0)
    return means


def table_zero_weeks(table: WeeklyTable) -> NDArray[np.float64]:
    """Return each week's chance to have less than 0.05 suitable days, shape (week,) [0..1]."""
    shares: NDArray[np.float64] = (_totals(table) < ZERO).mean(axis=0)
    return shares


def table_covariance(table: WeeklyTable) -> NDArray[np.float64]:
    """Return the covariance of the weekly totals.

    A total is a function of a normal score z, T = sum_k c_k He_k(z) / sqrt(k!), with the Hermite
    polynomials He_k and c_k = E[T He_k(z)] / sqrt(k!). For two scores with the correlation rho,
    Cov(T_i, T_j) = sum over k >= 1 of c_ik c_jk rho^k (Mehler's formula). 30 terms are added up;
    variances are integrated.

    Parameters
    ----------
    table : WeeklyTable

    Returns
    -------
    ndarray, shape (week, week)
        [days^2]

    Examples
    --------
    >>> from fieldsim.season import CalendarDay
    >>> weeks = (CalendarDay(5, 6), CalendarDay(5, 13))
    >>> even = WeeklyTable(weeks, (0.0, 1.0), ((0.0, 6.0),) * 2, week_correlation=0.5)
    >>> table_covariance(even).round(2).tolist()
    [[3.0, 1.45], [1.45, 3.0]]
    """
    totals = _totals(table)
    scores = ndtri((np.arange(POINTS) + 0.5) / POINTS)
    before, now = np.zeros(POINTS), np.ones(POINTS)  # He_k / sqrt(k!), from k = 0
    apart = np.arange(totals.shape[1])
    lags = np.abs(apart[:, None] - apart)
    correlation = (
        table.season_share + (1 - table.season_share) * float(table.week_correlation) ** lags
    )
    covariance = np.zeros(correlation.shape)
    for order in range(1, TERMS + 1):
        before, now = now, (scores * now - np.sqrt(order - 1) * before) / np.sqrt(order)
        parts = (now[:, None] * totals).mean(axis=0)
        covariance += np.outer(parts, parts) * correlation**order
    np.fill_diagonal(covariance, totals.var(axis=0))
    return covariance


def _totals(table: WeeklyTable) -> NDArray[np.float64]:
    """Return each week's total at the midpoints of the percentile, shape (point, week)."""
    shares = np.repeat(((np.arange(POINTS) + 0.5) / POINTS)[:, None], len(table.days), axis=1)
    return weekly_quantiles(shares, np.array(table.percentiles), np.array(table.days), table.tails)
