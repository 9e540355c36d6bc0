"""The days of a record, placed in the calendar, for the fit of the weather generator."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.weather.generator_months import calendar_places
from fieldsim.days.weather.generator_temperature import Temperatures

__all__ = ["WET", "DailyRecord", "RainDays", "place_days", "with_neighbours"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

WET = 0.25  # rain of the least wet day [mm]: 0.01 inch, the step of a gauge
FEWEST = 10  # days of a kind that a figure of a month rests on at least
FEWEST_DAYS = 300  # days with all three figures that a record has at least


class DailyRecord(Protocol):
    """Daily weather of one place, day after day; nan is missing."""

    @property
    def first_day(self) -> date:
        """Date of the first day."""

    @property
    def tmax(self) -> Floats:
        """Highest temperature of each day [degC], shape (day,)."""

    @property
    def tmin(self) -> Floats:
        """Lowest temperature of each day [degC], shape (day,)."""

    @property
    def rain(self) -> Floats:
        """Rain of each day [mm], shape (day,)."""


class RainDays(NamedTuple):
    """Every day of a record."""

    year: Ints  # (day,) index of the calendar year
    month: Ints  # (day,) 0 to 11
    rain: Floats  # (day,) [mm], nan is missing
    years: int

    def by_month(self, days: Ints, weights: Floats | None = None) -> Floats:
        """Return how many the days are, or a sum over them, shape (year, month)."""
        index = self.year[days] * 12 + self.month[days]
        sums = np.bincount(index, weights, minlength=12 * self.years)
        return sums.reshape(-1, 12).astype(np.float64)


def place_days(record: DailyRecord) -> tuple[RainDays, Temperatures]:
    """Return all days of a record, and those with temperatures; for errors see `fit_generator`."""
    rain = np.asarray(record.rain, dtype=np.float64)
    degrees = np.column_stack([record.tmax, record.tmin]).astype(np.float64)
    if rain.ndim != 1 or degrees.shape != (len(rain), 2):
        raise ValueError("tmax, tmin and rain: one number a day in each, as many in all three")
    if np.isinf(rain).any() or np.isinf(degrees).any() or (rain < 0).any():
        raise ValueError("tmax, tmin, rain: finite numbers, rain of 0 or more; nan if missing")
    if (degrees[:, 0] < degrees[:, 1]).any():
        raise ValueError(f"tmax is below tmin on day {np.argmax(degrees[:, 0] < degrees[:, 1])}")
    complete = np.flatnonzero(~np.isnan(rain + degrees.sum(axis=1)))
    if len(complete) < FEWEST_DAYS:
        raise ValueError(
            f"the record has {len(complete)} days with rain, tmax and tmin; "
            f"a generator is fitted to {FEWEST_DAYS} or more"
        )
    dates = np.datetime64(record.first_day, "D") + np.arange(len(rain))
    year, month, place = calendar_places(dates)
    year = year - year[0]
    wet = (rain[complete] >= WET).astype(np.int64)
    return (
        RainDays(year, month, rain, int(year[-1]) + 1),
        Temperatures(complete, year[complete], place[complete], wet, degrees[complete]),
    )


def with_neighbours(days: Floats, kind: str) -> Floats:
    """Return which months each month takes in so as to have enough days of a kind.

    Parameters
    ----------
    days : ndarray, shape (month,)
        Number of days in each month.
    kind : str
        What the days are, for the message.

    Returns
    -------
    ndarray, shape (month, month)
        1 where the month of the column takes in that of the row, else 0.

    Raises
    ------
    ValueError
        If the whole year has too few.

    Examples
    --------
    >>> with_neighbours(np.array([9.0, 0, 4, 4, 4, *[20] * 7]), "wet days")[:, 1]
    array([1., 1., 1., 0., 0., 0., 0., 0., 0., 0., 0., 0.])
    """
    if days.sum() < FEWEST:
        raise ValueError(f"the record has {days.sum():.0f} {kind}; {FEWEST} or more are needed")
    months = np.arange(12)
    apart = np.abs(months - months[:, None])
    apart = np.minimum(apart, 12 - apart)
    enough = np.array([(apart <= reach) @ days >= FEWEST for reach in range(7)])
    near: Floats = (apart <= enough.argmax(axis=0)).astype(np.float64)
    return near
