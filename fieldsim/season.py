"""The season axis: calendar days <-> day indices. The only module that knows leap years."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

__all__ = ["CalendarDay", "Season", "parse_calendar_day"]

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTH_LENGTHS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MONTH_WORDS = (
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)
LONGEST_SEASON = 366


@dataclass(frozen=True, order=True)
class CalendarDay:
    """A day of the calendar in no particular year, such as 20 April.

    Parameters
    ----------
    month : int
        1 to 12.
    day : int
        1 to the length of the month (29 for February).

    Raises
    ------
    ValueError
        If the day does not exist in any year.
    """

    month: int
    day: int

    def __post_init__(self) -> None:
        if not 1 <= self.month <= 12 or not 1 <= self.day <= MONTH_LENGTHS[self.month - 1]:
            raise ValueError(f"month {self.month} has no day {self.day}")

    def __str__(self) -> str:
        return f"{self.day} {MONTHS[self.month - 1]}"

    def in_year(self, year: int) -> date:
        """Return the date in `year`; 29 February becomes 28 February in common years."""
        try:
            return date(year, self.month, self.day)
        except ValueError:
            return date(year, 2, 28)

    @property
    def day_of_year(self) -> int:
        """Day of a common year, 1 January = 1; 29 February counts as 28 February."""
        return self.in_year(2001).timetuple().tm_yday


def parse_calendar_day(text: str) -> CalendarDay:
    """Read a day of the calendar as people write it.

    Parameters
    ----------
    text : str
        ``"20 Apr"``, ``"20 April"`` or ``"Apr 20"``; the month is always a word, so that nothing
        is guessed.

    Returns
    -------
    CalendarDay

    Raises
    ------
    ValueError
        If the text is not such a day or the day does not exist.

    Examples
    --------
    >>> parse_calendar_day("April 20")
    CalendarDay(month=4, day=20)
    """
    match = re.fullmatch(r"\s*(?:(\d{1,2})\.?\s+([A-Za-z]+)|([A-Za-z]+)\s+(\d{1,2}))\s*", text)
    if match is None:
        raise ValueError("not a day of the calendar: give the day and the month as a word")
    word = (match[2] or match[3]).lower()
    day = int(match[1] or match[4])
    months = [
        i for i, name in enumerate(MONTH_WORDS, 1) if len(word) >= 3 and name.startswith(word)
    ]
    if len(months) != 1:
        raise ValueError(f"no month is called {match[2] or match[3]!r}")
    if not 1 <= day <= MONTH_LENGTHS[months[0] - 1]:
        raise ValueError(f"{MONTH_WORDS[months[0] - 1].title()} has no day {day}")
    return CalendarDay(months[0], day)


@dataclass(frozen=True)
class Season:
    """The days of one crop year in which fieldwork is simulated, indexed 0 to ``days - 1``.

    Parameters
    ----------
    first_day, last_day : datetime.date
        Both included. A season may cross New Year; it is at most 366 days long.

    Raises
    ------
    ValueError
        If the last day comes before the first, or the season is longer than 366 days.

    Examples
    --------
    >>> season = Season(date(2026, 4, 1), date(2026, 7, 31))
    >>> season.days, season.index(CalendarDay(4, 20))
    (122, 19)
    """

    first_day: date
    last_day: date

    def __post_init__(self) -> None:
        if self.last_day < self.first_day:
            raise ValueError(f"the season ends ({self.last_day}) before it begins")
        if self.days > LONGEST_SEASON:
            raise ValueError(f"the season has {self.days} days; {LONGEST_SEASON} is the most")

    @classmethod
    def of_year(cls, year: int, first: CalendarDay, last: CalendarDay) -> Season:
        """Return the season that begins in `year`; it ends in the next where `last` < `first`."""
        return cls(first.in_year(year), last.in_year(year if last >= first else year + 1))

    @property
    def days(self) -> int:
        """Number of days in the season."""
        return (self.last_day - self.first_day).days + 1

    @property
    def dates(self) -> NDArray[np.datetime64]:
        """Dates of the season, shape (day,), unit days."""
        return np.datetime64(self.first_day, "D") + np.arange(self.days)

    @property
    def day_of_year(self) -> NDArray[np.int64]:
        """Day of a common year of each day, shape (day,); counts on past 365 after New Year."""
        return _day_of_year(self)

    @property
    def weekday(self) -> NDArray[np.int64]:
        """Day of the week of each day, shape (day,); Monday = 0."""
        return (self.first_day.weekday() + np.arange(self.days)) % 7

    def date(self, index: int) -> date:
        """Return the date at a day index (any whole number)."""
        return self.first_day + timedelta(days=int(index))

    def index(self, day: CalendarDay) -> int:
        """Return the index of the occurrence of `day` nearest the middle of the season.

        The index is below 0 or at least `days` for a day outside the season.
        """
        middle = self.first_day + timedelta(days=self.days // 2)
        years = (middle.year - 1, middle.year, middle.year + 1)
        nearest = min((day.in_year(y) for y in years), key=lambda d: abs((d - middle).days))
        return (nearest - self.first_day).days


@lru_cache(maxsize=64)
def _day_of_year(season: Season) -> NDArray[np.int64]:
    """Return the day of a common year of each day of a season, to be read only."""
    dates = [season.date(i) for i in range(season.days)]
    first = season.first_day.year
    found = np.array(
        [CalendarDay(d.month, d.day).day_of_year + 365 * (d.year - first) for d in dates]
    )
    found.flags.writeable = False
    return found
