"""Trend of the season totals of a record over the years."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.records.record import Records
from fieldsim.errors import Fault, InputError
from fieldsim.season import CalendarDay
from fieldsim.student import student_quantile

__all__ = ["Trend", "level", "season_totals", "trend"]

WELL_HELD = 0.8  # share of the years that must have a week for it to count in the totals
LARGEST_GAP = 0.1  # share of these weeks that a year may lack
FEWEST_YEARS = 3


@dataclass(frozen=True, eq=False)
class Trend:
    """A straight line through the season totals of a record, by least squares.

    Parameters
    ----------
    years : tuple of int
        Years used, in the order of the record.
    totals : ndarray, shape (year,)
        Suitable days of the season in each of them [days].
    left_out : tuple of int
        Years that lack too many weeks.
    first, last : CalendarDay
        First days of the first and the last week (or day) counted.
    length : int
        Days that are counted in a season, suitable or not [days].
    middle_year : float
        Mean of the years used.
    mean : float
        Mean season total, which is the level of the line in the middle year [days].
    slope : float
        Change of the season total [days per year].
    standard_error : float
        Of the slope [days per year].
    low, high : float
        95 % interval of the slope, by Student's t [days per year].
    """

    years: tuple[int, ...]
    totals: NDArray[np.float64]
    left_out: tuple[int, ...]
    first: CalendarDay
    last: CalendarDay
    length: int
    middle_year: float
    mean: float
    slope: float
    standard_error: float
    low: float
    high: float


def season_totals(
    records: Records, first: CalendarDay | None = None, last: CalendarDay | None = None
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Return each year's total, and the columns it is taken over.

    Counted are the columns that at least 80 % of the years have. A year that lacks more than 10 %
    of these has no total; what a year lacks otherwise is counted with the mean of the other years,
    never with zero.

    Parameters
    ----------
    records : Records
    first, last : CalendarDay, optional
        Only columns that begin on these days or between them; default: all.

    Returns
    -------
    tuple of ndarray
        Totals, shape (year,) [days], nan where a year lacks too much; and whether each column is
        counted, shape (column,).

    Raises
    ------
    InputError
        If no column is left.

    Examples
    --------
    >>> from datetime import date
    >>> from fieldsim.days.records.record import from_seasons
    >>> from fieldsim.season import Season
    >>> april = Season(date(2026, 4, 1), date(2026, 4, 30))
    >>> season_totals(from_seasons(np.ones((3, 30)), april))[0].tolist()
    [30.0, 30.0, 30.0]
    """
    known = ~np.isnan(records.days)
    columns = known.mean(axis=0) >= WELL_HELD
    days_of_year = np.array([day.day_of_year for day in records.columns])
    after = (days_of_year - records.begins.day_of_year) % 365
    for day, sign in ((first, 1), (last, -1)):
        if day is not None:
            bound = (day.day_of_year - records.begins.day_of_year) % 365
            columns &= sign * after >= sign * bound
    if not columns.any():
        problem = f"no {records.unit} from {first} to {last} is known for 80 % of the years"
        repair = "choose other days, or leave out years with few figures"
        raise InputError([Fault(records.file, "season totals", "", problem, repair)])
    days, known = records.days[:, columns], known[:, columns]
    means = np.nanmean(days, axis=0)
    totals = np.where(known, days, means).sum(axis=1)
    totals[(~known).mean(axis=1) > LARGEST_GAP] = np.nan
    return totals, columns


def trend(
    records: Records, first: CalendarDay | None = None, last: CalendarDay | None = None
) -> Trend:
    """Fit a straight line to the season totals, by ordinary least squares.

    The standard error takes the years as independent around the line.

    Parameters
    ----------
    records : Records
    first, last : CalendarDay, optional
        Only weeks (or days) that begin on these days or between them; see `season_totals`.

    Returns
    -------
    Trend

    Raises
    ------
    InputError
        If fewer than 3 years have a total, or all are the same year.

    Examples
    --------
    >>> from datetime import date
    >>> from fieldsim.days.records.record import from_seasons
    >>> from fieldsim.season import Season
    >>> april = Season(date(2026, 4, 1), date(2026, 4, 30))
    >>> drier = np.tri(30)[[10, 12, 14, 16]]
    >>> round(trend(from_seasons(drier, april)).slope, 6)
    2.0
    """
    totals, columns = season_totals(records, first, last)
    used = ~np.isnan(totals)
    years = np.array(records.years, dtype=float)[used]
    if len(years) < FEWEST_YEARS or years.min() == years.max():
        problem = f"{len(years)} years have a season total; a trend needs {FEWEST_YEARS}"
        repair = "choose days that more of the years have"
        raise InputError([Fault(records.file, "trend", "", problem, repair)])
    totals, middle = totals[used], float(years.mean())
    spread = float(((years - middle) ** 2).sum())
    slope = float(((years - middle) * totals).sum()) / spread
    residuals = totals - totals.mean() - slope * (years - middle)
    freedom = len(years) - 2
    error = float(np.sqrt((residuals**2).sum() / freedom / spread))
    half = student_quantile(freedom, 0.975) * error
    counted = np.flatnonzero(columns)
    return Trend(
        years=tuple(int(year) for year in years),
        totals=totals,
        left_out=tuple(y for y, kept in zip(records.years, used, strict=True) if not kept),
        first=records.columns[counted[0]],
        last=records.columns[counted[-1]],
        length=len(counted) * records.longest,
        middle_year=middle,
        mean=float(totals.mean()),
        slope=slope,
        standard_error=error,
        low=slope - half,
        high=slope + half,
    )


def level(trend: Trend, year: float) -> float:
    """Return the season total on the line of a trend [days].

    Parameters
    ----------
    trend : Trend
    year : float

    Returns
    -------
    float

    Examples
    --------
    >>> day = CalendarDay(4, 1)
    >>> line = Trend((), np.zeros(0), (), day, day, 77, 1991.5, 41.5, -0.25, 0.05, -0.35, -0.15)
    >>> level(line, 2019.5)
    34.5
    """
    return trend.mean + trend.slope * (year - trend.middle_year)
