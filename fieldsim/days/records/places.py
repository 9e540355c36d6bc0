"""The calendar of a record: years that begin on a given day, counted as common years.

The *place* of a day is the number of days from the beginning of its record year, counted as if the
year were a common one: 29 February has the place of 28 February. A day before the beginning has a
negative place.
"""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.weekly_table import COMMON_YEAR
from fieldsim.errors import Fault, InputError
from fieldsim.season import CalendarDay, Season

__all__ = ["calendar_day", "date_at", "is_leap_day", "place", "season_places", "year_of"]

COMMON = 2001  # any common year


@cache
def _day_of_year(month: int, day: int) -> int:
    return CalendarDay(month, day).day_of_year


def is_leap_day(day: date) -> bool:
    """Say whether a date is a 29 February."""
    return (day.month, day.day) == (2, 29)


def year_of(day: date, begins: CalendarDay) -> int:
    """Return the record year of a date, named after the year in which it begins.

    Parameters
    ----------
    day : date
    begins : CalendarDay
        First day of a record year.

    Returns
    -------
    int

    Examples
    --------
    >>> year_of(date(2020, 2, 1), CalendarDay(10, 1))
    2019
    """
    return day.year - (_day_of_year(day.month, day.day) < begins.day_of_year)


def place(day: date, year: int, begins: CalendarDay) -> int:
    """Return the days from the beginning of a record year to a date [days].

    Parameters
    ----------
    day : date
    year : int
        The record year; the date may lie before or after it.
    begins : CalendarDay
        First day of a record year.

    Returns
    -------
    int
        0 for the first day; 29 February counts as 28 February.

    Examples
    --------
    >>> place(date(2020, 3, 1), 2019, CalendarDay(2, 28))
    366
    """
    after_new_year = _day_of_year(day.month, day.day) - begins.day_of_year
    return after_new_year + COMMON_YEAR * (day.year - year)


def date_at(place: int, year: int, begins: CalendarDay) -> date:
    """Return the date at a place of a record year; never a 29 February.

    Examples
    --------
    >>> date_at(5, 2019, CalendarDay(12, 30))
    datetime.date(2020, 1, 4)
    """
    years, day = divmod(begins.day_of_year - 1 + place, COMMON_YEAR)
    return (date(COMMON, 1, 1) + timedelta(days=day)).replace(year=year + years)


def calendar_day(place: int, begins: CalendarDay) -> CalendarDay:
    """Return the day of the calendar at a place.

    Examples
    --------
    >>> str(calendar_day(-1, CalendarDay(1, 1)))
    '31 Dec'
    """
    day = date_at(place, COMMON, begins)
    return CalendarDay(day.month, day.day)


def season_places(season: Season, begins: CalendarDay, file: str) -> NDArray[np.int64]:
    """Return the place of each day of a season.

    Parameters
    ----------
    season : Season
    begins : CalendarDay
        First day of a record year.
    file : str
        What to call the record in a message.

    Returns
    -------
    ndarray of int, shape (day,)
        0 to 364.

    Raises
    ------
    InputError
        If the season runs over the day on which the record's years begin.

    Examples
    --------
    >>> season = Season(date(2026, 4, 1), date(2026, 4, 3))
    >>> season_places(season, CalendarDay(1, 1), "records").tolist()
    [90, 91, 92]
    """
    places: NDArray[np.int64] = season.day_of_year - begins.day_of_year
    if places[0] < 0:
        places = places + COMMON_YEAR
    if places[-1] >= COMMON_YEAR:
        first = CalendarDay(season.first_day.month, season.first_day.day)
        problem = f"the season runs over {begins}, the day on which a year of the records begins"
        repair = f"read the records with years that begin on {first} or before"
        raise InputError([Fault(file, "season", f"from {first}", problem, repair)])
    return places
