"""A place's daily weather record, and its years cut to one window of the calendar."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsim.season import CalendarDay, Season

__all__ = ["Weather", "WeatherRecord", "Windows", "windows"]

YEAR = 365
FEW_YEARS = 10  # fewer are used, with a warning: common practice, no source
LITTLE_RAIN = 100.0  # mm a year; less is a desert, or a record in inches


class Weather(NamedTuple):
    """Daily weather of several seasons, nothing missing.

    Parameters
    ----------
    tmax, tmin : ndarray of float64, shape (season, day)
        Highest and lowest air temperature of the day [degC].
    rain : ndarray of float64, shape (season, day)
        Precipitation of the day, snow as water [mm].
    """

    tmax: NDArray[np.float64]
    tmin: NDArray[np.float64]
    rain: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class WeatherRecord:
    """Daily weather of one place, day after day without a jump; nan is a missing value.

    Parameters
    ----------
    first_day : datetime.date
    tmax, tmin : ndarray of float64, shape (day,)
        Highest and lowest air temperature of the day [degC].
    rain : ndarray of float64, shape (day,)
        Precipitation of the day, snow as water [mm].
    latitude : float
        Of the place [deg], south negative.

    Raises
    ------
    ValueError
        If the arrays are not equally long, a highest temperature is below the lowest of its day,
        rain is negative, or the latitude is not from -90 to 90.

    Examples
    --------
    >>> three = WeatherRecord(
    ...     date(2011, 4, 30), *np.array([[18.0, np.nan, 21.5], [6.0, 5.5, 9.0], [0, 2.5, 0]]), 42.0
    ... )
    >>> three.last_day, three.gaps
    (datetime.date(2011, 5, 2), ((datetime.date(2011, 5, 1), datetime.date(2011, 5, 1)),))
    """

    first_day: date
    tmax: NDArray[np.float64]
    tmin: NDArray[np.float64]
    rain: NDArray[np.float64]
    latitude: float

    def __post_init__(self) -> None:
        shapes = {self.tmax.shape, self.tmin.shape, self.rain.shape}
        if len(shapes) > 1 or self.rain.ndim != 1 or not self.rain.size:
            raise ValueError(f"tmax, tmin and rain have the shapes {shapes}; one (day,) is allowed")
        if (self.tmax < self.tmin).any():
            day = self._date(int(np.argmax(self.tmax < self.tmin)))
            raise ValueError(f"{day}: the highest temperature is below the lowest")
        if (self.rain < 0).any():
            day = self._date(int(np.argmax(self.rain < 0)))
            raise ValueError(f"{day}: the rain is negative; 0 or more is allowed, nan if missing")
        if not -90 <= self.latitude <= 90:
            raise ValueError(f"latitude = {self.latitude}: -90 to 90 degrees are allowed")

    @property
    def last_day(self) -> date:
        """The last day of the record."""
        return self._date(len(self.rain) - 1)

    @property
    def missing(self) -> NDArray[np.bool_]:
        """Days on which at least one value is missing, shape (day,)."""
        missing: NDArray[np.bool_] = np.isnan(self.tmax) | np.isnan(self.tmin) | np.isnan(self.rain)
        return missing

    @property
    def gaps(self) -> tuple[tuple[date, date], ...]:
        """First and last date of each run of days on which a value is missing."""
        days = np.flatnonzero(self.missing)
        runs = np.split(days, np.flatnonzero(np.diff(days) > 1) + 1) if len(days) else []
        return tuple((self._date(run[0]), self._date(run[-1])) for run in runs)

    @property
    def years(self) -> int:
        """Whole years that the days with all values amount to."""
        return int(np.sum(~self.missing)) // YEAR

    @property
    def warnings(self) -> tuple[str, ...]:
        """Sentences on what makes the record weak: few years, gaps, little rain."""
        sentences = []
        if self.years < FEW_YEARS:
            sentences.append(
                f"The weather record has {self.years} complete years; with fewer than {FEW_YEARS}, "
                "rare seasons are missing from it or stand for too many."
            )
        if gaps := self.gaps:
            first, last = max(gaps, key=lambda gap: gap[1] - gap[0])
            sentences.append(
                f"The weather record lacks values on {int(self.missing.sum())} days in {len(gaps)} "
                f"gaps, the longest from {first} to {last}; years with a gap in them are left out."
            )
        a_year = float(np.nanmean(self.rain)) * YEAR if self.years else np.inf
        if a_year < LITTLE_RAIN:
            sentences.append(
                f"The weather record has {a_year:.0f} mm of rain a year; if it was written in "
                "inches, the column is rain_in."
            )
        return tuple(sentences)

    def _date(self, day: int) -> date:
        """Return the date of a day of the record."""
        return self.first_day + timedelta(days=int(day))


class Windows(NamedTuple):
    """The years of a record, cut to one window of the calendar.

    Parameters
    ----------
    years : ndarray of int64, shape (year,)
        Calendar year of each window's last day.
    tmax, tmin : ndarray of float64, shape (year, day)
        Highest and lowest air temperature of the day [degC].
    rain : ndarray of float64, shape (year, day)
        Precipitation of the day [mm].
    left_out : tuple of int
        Years whose window the record covers, but with values missing.
    """

    years: NDArray[np.int64]
    tmax: NDArray[np.float64]
    tmin: NDArray[np.float64]
    rain: NDArray[np.float64]
    left_out: tuple[int, ...]


def windows(record: WeatherRecord, window: Season) -> Windows:
    """Cut a record into windows of the same calendar days, one a year, complete ones only.

    Where the window has no 29 February and a year of the record has one, its rain falls on
    28 February and its temperatures are dropped. Where the window has one and the year has not, it
    repeats the temperatures of 28 February, without rain.

    Parameters
    ----------
    record : WeatherRecord
    window : Season
        The days wanted, in any year; it may cross New Year.

    Returns
    -------
    Windows
        Without a year if none is complete.

    Examples
    --------
    >>> record = WeatherRecord(date(2010, 1, 1), *np.ones((3, 3 * 365)), latitude=42.0)
    >>> winters = windows(record, Season(date(2025, 12, 1), date(2026, 2, 28)))
    >>> winters.years.tolist(), winters.rain.shape
    ([2011, 2012], (2, 90))
    """
    calendar = [(CalendarDay(day.month, day.day), day.year) for day in window.dates.tolist()]
    series = (record.tmax, record.tmin, record.rain)
    cut: dict[int, list[NDArray[np.float64]]] = {}
    left_out = []
    for year in range(record.first_day.year, record.last_day.year + 1):
        shift = year - window.last_day.year
        dates = [day.in_year(of + shift) for day, of in calendar]
        if dates[0] < record.first_day or dates[-1] > record.last_day:
            continue
        at = np.array([(day - record.first_day).days for day in dates])
        tmax, tmin, rain = (values[at] for values in series)
        steps = np.diff(at)
        passed_over = np.flatnonzero(steps == 2)
        rain[passed_over] += record.rain[at[passed_over] + 1]
        rain[1:][steps == 0] = 0.0
        if np.isnan([tmax, tmin, rain]).any():
            left_out.append(year)
        else:
            cut[year] = [tmax, tmin, rain]
    arrays = np.array(list(cut.values())).reshape(len(cut), 3, window.days)
    years = np.array(list(cut), dtype=np.int64)
    return Windows(years, arrays[:, 0], arrays[:, 1], arrays[:, 2], tuple(left_out))
