"""Yield by planting date, relative to the best date: three curves, one question.

Day of year is that of a common year (1 January = 1) and counts on past 365 in a season that
crosses New Year; a curve and the days it is asked for must count alike.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.crops.yield_by_date import plateau_yield, quadratic_yield, table_yield

__all__ = ["PlateauCurve", "QuadraticCurve", "TableCurve", "YieldCurve", "relative_yield"]


@dataclass(frozen=True)
class TableCurve:
    """A table of relative yields by planting date.

    Parameters
    ----------
    days : tuple of float
        Days of year, rising, at least two; the middle of a window of dates.
    relative : tuple of float
        Yield on each day [1], 0 to 1, one of them above 0; `relative_yield` takes them relative
        to the largest.
    name : str
    source : str
        Where the table comes from.

    Raises
    ------
    ValueError
        If the table breaks these rules.
    """

    days: tuple[float, ...]
    relative: tuple[float, ...]
    name: str = ""
    source: str = ""

    def __post_init__(self) -> None:
        if len(self.days) < 2 or len(self.days) != len(self.relative):
            raise ValueError(
                f"{len(self.days)} days and {len(self.relative)} relative yields: "
                "at least two days with one yield each are allowed"
            )
        _finite("days", self.days)
        _rising("days", self.days)
        if not all(0.0 <= share <= 1.0 for share in self.relative) or max(self.relative) == 0.0:
            raise ValueError(
                f"relative = {self.relative}: numbers from 0 to 1, one above 0, are allowed"
            )


@dataclass(frozen=True)
class QuadraticCurve:
    """A parabola with its top at the best date.

    It holds near the dates to which it was fitted; outside them it falls ever faster, to both
    sides.

    Parameters
    ----------
    best_day : float
        Day of year of the highest yield.
    curvature : float
        Loss at one day from the best [1/day2], at least 0.

    Raises
    ------
    ValueError
        If a number is not finite or the curvature is below 0.
    """

    best_day: float
    curvature: float

    def __post_init__(self) -> None:
        _finite("best_day", (self.best_day,))
        _no_gain("curvature", (self.curvature,))


@dataclass(frozen=True)
class PlateauCurve:
    """A stretch of best dates with straight losses before and after it.

    Parameters
    ----------
    plateau_start : float
        First day of year of the plateau.
    slope_before : float
        Loss for each day before the plateau [1/day], at least 0.
    slopes : tuple of (float, float)
        Pieces after the plateau, at least one: the day of year from which a piece holds, rising,
        and the loss for each day in it [1/day], at least 0. The plateau ends where the first
        piece begins.

    Raises
    ------
    ValueError
        If a number is not finite, a slope is below 0 or the days do not rise.

    Examples
    --------
    >>> curve = PlateauCurve(105, 0.002, ((125, 0.005), (145, 0.012)))
    >>> relative_yield(curve, [95, 115, 135, 155])
    array([0.98, 1.  , 0.95, 0.78])
    """

    plateau_start: float
    slope_before: float
    slopes: tuple[tuple[float, float], ...]

    def __post_init__(self) -> None:
        if not self.slopes:
            raise ValueError(
                "slopes = (): at least one (day of year, loss for each day) is allowed"
            )
        days = [day for day, _ in self.slopes]
        _finite("plateau_start", (self.plateau_start,))
        _finite("slopes", days)
        _rising("slopes", days)
        if days[0] < self.plateau_start:
            raise ValueError(
                f"slopes = {days[0]:g} at first: a day not before the start of the plateau "
                f"({self.plateau_start:g}) is allowed"
            )
        _no_gain("slope_before", (self.slope_before,))
        _no_gain("slopes", [slope for _, slope in self.slopes])


YieldCurve = TableCurve | QuadraticCurve | PlateauCurve


def relative_yield(curve: YieldCurve, day_of_year: ArrayLike) -> NDArray[np.float64]:
    """Return the yield of land planted on a day, relative to the best date.

    Parameters
    ----------
    curve : TableCurve, QuadraticCurve or PlateauCurve
    day_of_year : array_like, any shape
        Planting day [day of a common year].

    Returns
    -------
    ndarray of float64, shape of `day_of_year`
        [1], 0 to 1.

    Raises
    ------
    ValueError
        If a day is not finite.
    TypeError
        If `curve` is none of the three.

    Examples
    --------
    >>> relative_yield(QuadraticCurve(best_day=118, curvature=1.8e-4), [118, 138, 300])
    array([1.   , 0.928, 0.   ])
    """
    match curve:
        case TableCurve():
            return table_yield(day_of_year, curve.days, curve.relative)
        case QuadraticCurve():
            return quadratic_yield(day_of_year, curve.best_day, curve.curvature)
        case PlateauCurve():
            return plateau_yield(day_of_year, curve.plateau_start, curve.slope_before, curve.slopes)
        case _:
            raise TypeError(f"{type(curve).__name__} is not a yield curve")


def _finite(name: str, numbers: Sequence[float]) -> None:
    for number in numbers:
        if not math.isfinite(number):
            raise ValueError(f"{name} = {number:g}: a finite number is allowed")


def _rising(name: str, days: Sequence[float]) -> None:
    for day, later in itertools.pairwise(days):
        if later <= day:
            raise ValueError(f"{name} = {later:g} after {day:g}: rising days are allowed")


def _no_gain(name: str, losses: Sequence[float]) -> None:
    for loss in losses:
        if not (math.isfinite(loss) and loss >= 0.0):
            raise ValueError(f"{name} = {loss:g}: a loss of at least 0 is allowed")
