"""Records of past years: the suitable days of each week or day, missing ones left missing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.layout import DAYS
from fieldsim.days.records.gaps import gap_sentences
from fieldsim.days.records.places import (
    calendar_day,
    date_at,
    is_leap_day,
    place,
    season_places,
    year_of,
)
from fieldsim.season import CalendarDay, Season

__all__ = ["Records", "from_seasons", "weekly"]

FEW_YEARS = 10  # fewer hold no estimate of what is had in 9 years of 10
NEW_YEAR = CalendarDay(1, 1)


@dataclass(frozen=True, eq=False)
class Records:
    """Suitable days of past years, one figure a week or one a day.

    A record year is named after the year in which its first day lies. Weeks of different years
    that stand in the same column are those nearest to each other on the calendar; they begin up to
    3 days (4 across a leap day) from the middle of the column. A year may stand in a record
    twice, as in a bootstrap sample.

    Parameters
    ----------
    years : tuple of int
        At least two.
    starts : ndarray of datetime64[D], shape (year, column)
        First day of each week, or the day; also where the figure is missing.
    days : ndarray of float64, shape (year, column)
        Suitable days of the week [days, 0..7], or share of the day that is suitable [0..1]; nan
        where missing.
    unit : "week" or "day"
        What one figure stands for.
    begins : CalendarDay
        First day of a record year.
    file : str
        What to call the records in messages.

    Raises
    ------
    ValueError
        If the arrays do not fit together, a figure is out of its bounds, all are missing, or there
        are fewer than two years.

    Examples
    --------
    >>> april = Season(date_at(90, 2001, NEW_YEAR), date_at(103, 2001, NEW_YEAR))
    >>> records = from_seasons(np.ones((3, 14)), april)
    >>> records.years, records.days.shape, weekly(records).days.tolist()
    ((1, 2, 3), (3, 14), [[7.0, 7.0], [7.0, 7.0], [7.0, 7.0]])
    """

    years: tuple[int, ...]
    starts: NDArray[np.datetime64]
    days: NDArray[np.float64]
    unit: Literal["week", "day"] = "week"
    begins: CalendarDay = NEW_YEAR
    file: str = "records"

    def __post_init__(self) -> None:
        if len(self.years) < 2:
            raise ValueError(f"years = {self.years}: at least two years make a record")
        shape = (len(self.years), self.days.shape[-1])
        if self.days.shape != shape or self.starts.shape != shape or not shape[1]:
            raise ValueError(
                f"starts and days have the shapes {self.starts.shape} and {self.days.shape}; "
                f"the axes are year ({shape[0]}) and column"
            )
        most = self.longest
        if np.isnan(self.days).all() or not (
            np.nanmin(self.days) >= 0 and np.nanmax(self.days) <= most
        ):
            raise ValueError(f"days: figures of a {self.unit} from 0 to {most}, or nan if missing")

    @property
    def longest(self) -> int:
        """Days that one figure stands for, which is also the largest figure [days]."""
        return DAYS if self.unit == "week" else 1

    @property
    def places(self) -> NDArray[np.int64]:
        """Place of each column's first day, in the middle of the years, shape (column,) [days]."""
        middle = self.starts.shape[1] // 2
        at = [
            place(day, year, self.begins)
            for year, day in zip(self.years, self.starts[:, middle].tolist(), strict=True)
        ]
        first = round(float(np.median(at))) - middle * self.longest
        places: NDArray[np.int64] = first + self.longest * np.arange(self.starts.shape[1])
        return places

    @property
    def columns(self) -> tuple[CalendarDay, ...]:
        """First day of each column in the middle of the years."""
        return tuple(calendar_day(int(at), self.begins) for at in self.places)

    @property
    def missing(self) -> list[tuple[int, CalendarDay]]:
        """Year and first day of each week (or day) without a figure, in order.

        Looked for are all weeks that any year of the record has.
        """
        first_days = [
            (self.years[year], self.starts[year, column].item())
            for year, column in np.argwhere(np.isnan(self.days))
        ]
        return [(year, CalendarDay(day.month, day.day)) for year, day in first_days]

    @property
    def warnings(self) -> tuple[str, ...]:
        """What to know before relying on the records, in plain sentences."""
        sentences = []
        if len(self.years) < FEW_YEARS:
            sentences.append(
                f"{self.file}: {len(self.years)} years are few: what is had in 9 years of 10 "
                f"cannot be told from fewer than {FEW_YEARS}, and the worst year is yet to come"
            )
        missing = np.isnan(self.days)
        sentences += gap_sentences(self.file, self.unit, self.years, self.starts, missing)
        return tuple(sentences)


def from_seasons(
    suitable: NDArray[np.float64],
    season: Season,
    years: Sequence[int] | None = None,
    file: str = "seasons",
) -> Records:
    """Make daily records of seasons that are given as an array.

    Parameters
    ----------
    suitable : ndarray, shape (year, day)
        Share of each day that is suitable [0..1]; nan where missing.
    season : Season
        The days along the second axis. Its 29 February is left out: records count common years.
    years : sequence of int, optional
        Names of the years; default 1, 2, 3 and so on.
    file : str
        What to call the records in messages.

    Returns
    -------
    Records
        With years that begin on the first day of the season.

    Raises
    ------
    ValueError
        If the array has other days than the season, or as `Records`.

    Examples
    --------
    >>> april = Season(date_at(90, 2001, NEW_YEAR), date_at(119, 2001, NEW_YEAR))
    >>> from_seasons(np.zeros((2, 30)), april, (2001, 2002)).columns[0]
    CalendarDay(month=4, day=1)
    """
    suitable = np.asarray(suitable, dtype=np.float64)
    if suitable.ndim != 2 or suitable.shape[1] != season.days:
        raise ValueError(
            f"suitable has the shape {suitable.shape}; "
            f"the axes are year and day ({season.days} days of the season)"
        )
    names = tuple(range(1, len(suitable) + 1)) if years is None else tuple(years)
    begins = calendar_day(0, CalendarDay(season.first_day.month, season.first_day.day))
    kept = np.array([not is_leap_day(season.date(day)) for day in range(season.days)])
    places = season_places(season, begins, file)[kept]
    starts = [[date_at(int(at), year, begins) for at in places] for year in names]
    return Records(names, np.array(starts, "datetime64[D]"), suitable[:, kept], "day", begins, file)


def weekly(records: Records, first: CalendarDay | None = None) -> Records:
    """Add daily records up over weeks.

    Parameters
    ----------
    records : Records
        Daily ones; weekly ones come back as they are.
    first : CalendarDay, optional
        First day of the first week, the same calendar day in every year; default: the first day
        of the records. Days before it, and those of a last week that is not full, are left out.

    Returns
    -------
    Records
        Weekly; a week with a missing day is missing, as its total is not known.

    Raises
    ------
    ValueError
        If no full week is left.

    Examples
    --------
    >>> april = Season(date_at(90, 2001, NEW_YEAR), date_at(106, 2001, NEW_YEAR))
    >>> weekly(from_seasons(np.ones((2, 17)), april), CalendarDay(4, 2)).columns[1]
    CalendarDay(month=4, day=9)
    """
    if records.unit == "week":
        return records
    begin = 0
    if first is not None:
        in_any_year = first.in_year(2001)
        at = place(in_any_year, year_of(in_any_year, records.begins), records.begins)
        begin = at - int(records.places[0])
    weeks = (records.days.shape[1] - begin) // DAYS
    if begin < 0 or weeks < 1:
        raise ValueError(
            f"no full week from {first or records.columns[0]} on; "
            f"the records run from {records.columns[0]} to {records.columns[-1]}"
        )
    cut = slice(begin, begin + DAYS * weeks)
    totals = records.days[:, cut].reshape(len(records.years), weeks, DAYS).sum(axis=-1)
    starts = records.starts[:, cut][:, ::DAYS]
    return Records(records.years, starts, totals, "week", records.begins, records.file)
