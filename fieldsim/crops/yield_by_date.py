"""Relative yield by planting date as plain formulas: a table, a parabola, a plateau with slopes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["plateau_yield", "quadratic_yield", "table_yield"]


def table_yield(
    day_of_year: ArrayLike, days: Sequence[float], relative: Sequence[float]
) -> NDArray[np.float64]:
    """Return relative yield by straight lines between the points of a table.

    Before the first day the first value is held: planting ahead of a table is rare, and tables
    begin near their best date. After the last day the line through the last two points goes on
    down to 0. That is an extrapolation, but holding the last value would flatter late planting,
    which is what the simulation weighs. Where the table rises to its end, its last value is held.

    Parameters
    ----------
    day_of_year : array_like, any shape
        Planting day [day of a common year].
    days, relative : sequence of float
        See `TableCurve`; yields are taken relative to the largest.

    Returns
    -------
    ndarray of float64, shape of `day_of_year`
        [1], 0 to 1.

    Raises
    ------
    ValueError
        If a day is not finite.

    Examples
    --------
    >>> table_yield([100, 130, 150], days=[110, 120, 140], relative=[1.0, 0.9, 0.5])
    array([1. , 0.7, 0.3])
    """
    asked = _days(day_of_year)
    known = np.asarray(days, dtype=np.float64)
    shares = np.asarray(relative, dtype=np.float64)
    shares = shares / shares.max()
    last_slope = min((shares[-1] - shares[-2]) / (known[-1] - known[-2]), 0.0)
    late = shares[-1] + last_slope * (asked - known[-1])
    inside = np.interp(asked, known, shares)
    return _share(np.where(asked > known[-1], late, inside))


def quadratic_yield(
    day_of_year: ArrayLike, best_day: float, curvature: float
) -> NDArray[np.float64]:
    """Return relative yield 1 - c (d - b)^2, not below 0.

    Parameters
    ----------
    day_of_year : array_like, any shape
        Planting day d [day of a common year].
    best_day, curvature : float
        b and c; see `QuadraticCurve`.

    Returns
    -------
    ndarray of float64, shape of `day_of_year`
        [1], 0 to 1.

    Raises
    ------
    ValueError
        If a day is not finite.

    Examples
    --------
    >>> quadratic_yield([110, 130], best_day=120, curvature=2e-4)
    array([0.98, 0.98])
    """
    return _share(1.0 - curvature * (_days(day_of_year) - best_day) ** 2)


def plateau_yield(
    day_of_year: ArrayLike,
    plateau_start: float,
    slope_before: float,
    slopes: Sequence[tuple[float, float]],
) -> NDArray[np.float64]:
    """Return relative yield 1 on a plateau, falling by straight pieces to both sides, not below 0.

    Parameters
    ----------
    day_of_year : array_like, any shape
        Planting day [day of a common year].
    plateau_start, slope_before, slopes
        See `PlateauCurve`.

    Returns
    -------
    ndarray of float64, shape of `day_of_year`
        [1], 0 to 1.

    Raises
    ------
    ValueError
        If a day is not finite.

    Examples
    --------
    >>> plateau_yield([100, 130], plateau_start=110, slope_before=0.0, slopes=[(120, 0.01)])
    array([1. , 0.9])
    """
    asked = _days(day_of_year)
    loss = slope_before * np.maximum(plateau_start - asked, 0.0)
    slope = 0.0
    for from_day, piece in slopes:
        loss = loss + (piece - slope) * np.maximum(asked - from_day, 0.0)
        slope = piece
    return _share(1.0 - loss)


def _days(day_of_year: ArrayLike) -> NDArray[np.float64]:
    """Return days as an array, all of them finite."""
    days = np.asarray(day_of_year, dtype=np.float64)
    if not np.isfinite(days).all():
        raise ValueError("day_of_year: only finite numbers are allowed")
    return days


def _share(relative: ArrayLike) -> NDArray[np.float64]:
    """Return relative yields held to at least 0; an array also where there is one number."""
    return np.asarray(np.maximum(relative, 0.0), dtype=np.float64)
