from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim.season import MONTH_LENGTHS, CalendarDay, Season, parse_calendar_day

CALENDAR_DAYS = [
    CalendarDay(month, day)
    for month, length in enumerate(MONTH_LENGTHS, 1)
    for day in range(1, length + 1)
]


@pytest.mark.parametrize(
    "text", ["20 Apr", "20 April", "Apr 20", "april 20", " 20. Apr ", "20  APR", "Apr  20"]
)
def test_a_day_is_read_as_people_write_it(text: str) -> None:
    assert parse_calendar_day(text) == CalendarDay(4, 20)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("31 Apr", "April has no day 31"),
        ("30 Feb", "February has no day 30"),
        ("0 May", "May has no day 0"),
        ("20 Ap", "no month is called 'Ap'"),
        ("20 Mart", "no month is called 'Mart'"),
        ("4/20", "not a day of the calendar: give the day and the month as a word"),
        ("2026-04-20", "not a day of the calendar: give the day and the month as a word"),
        ("20 Apr 2026", "not a day of the calendar: give the day and the month as a word"),
        ("Apr", "not a day of the calendar: give the day and the month as a word"),
        ("", "not a day of the calendar: give the day and the month as a word"),
    ],
)
def test_a_day_that_does_not_exist_is_refused(text: str, problem: str) -> None:
    with pytest.raises(ValueError) as caught:  # noqa: PT011
        parse_calendar_day(text)
    assert str(caught.value) == problem


def test_every_day_of_the_calendar_is_written_as_it_is_read() -> None:
    assert [parse_calendar_day(str(day)) for day in CALENDAR_DAYS] == CALENDAR_DAYS


def test_days_of_year_are_those_of_a_common_year() -> None:
    numbers = [day.day_of_year for day in CALENDAR_DAYS]
    assert numbers == sorted(numbers)
    assert set(numbers) == set(range(1, 366))
    assert CalendarDay(2, 29).day_of_year == CalendarDay(2, 28).day_of_year == 59
    assert CalendarDay(3, 1).day_of_year == 60


@pytest.mark.parametrize("month", [0, 13])
def test_a_month_that_does_not_exist_is_refused(month: int) -> None:
    with pytest.raises(ValueError, match="has no day"):
        CalendarDay(month, 1)


def test_leap_day_is_the_day_before_in_a_common_year() -> None:
    assert CalendarDay(2, 29).in_year(2028) == date(2028, 2, 29)
    assert CalendarDay(2, 29).in_year(2026) == date(2026, 2, 28)


def test_a_season_of_spring_and_early_summer() -> None:
    season = Season.of_year(2026, CalendarDay(4, 1), CalendarDay(7, 31))
    assert season.days == 30 + 31 + 30 + 31
    assert season.dates[0] == np.datetime64("2026-04-01")
    assert season.dates[-1] == np.datetime64("2026-07-31")
    assert season.day_of_year[0] == 91
    assert season.date(19) == date(2026, 4, 20)


def test_a_season_crosses_new_year_and_counts_on() -> None:
    season = Season.of_year(2026, CalendarDay(11, 1), CalendarDay(2, 28))
    assert season.last_day == date(2027, 2, 28)
    assert season.index(CalendarDay(1, 1)) == 61
    assert season.day_of_year[61] == 366
    assert (np.diff(season.day_of_year) == 1).all()


def test_a_leap_day_has_the_day_of_year_of_the_day_before() -> None:
    season = Season.of_year(2028, CalendarDay(2, 27), CalendarDay(3, 2))
    assert season.days == 5
    assert season.day_of_year.tolist() == [58, 59, 59, 60, 61]


@given(st.integers(1900, 2200), st.sampled_from(CALENDAR_DAYS), st.integers(0, 365))
def test_the_index_of_each_of_its_days_is_its_place(
    year: int, first: CalendarDay, length: int
) -> None:
    start = first.in_year(year)
    season = Season(start, start + timedelta(days=length))
    for place in {0, length // 3, length // 2, length}:
        day = season.date(place)
        index = season.index(CalendarDay(day.month, day.day))
        # The two ends of a season of a whole year may be one day of the calendar.
        assert index == place or season.date(index).timetuple()[1:3] == day.timetuple()[1:3]
        assert season.weekday[place] == day.weekday()


def test_a_day_outside_the_season_has_an_index_outside_it() -> None:
    season = Season.of_year(2026, CalendarDay(4, 1), CalendarDay(7, 31))
    assert season.index(CalendarDay(3, 31)) == -1
    assert season.index(CalendarDay(8, 1)) == season.days


def test_a_season_that_ends_before_it_begins_or_is_too_long_is_refused() -> None:
    with pytest.raises(ValueError, match="before it begins"):
        Season(date(2026, 4, 1), date(2026, 3, 31))
    with pytest.raises(ValueError, match="the season has 367 days; 366 is the most"):
        Season(date(2026, 4, 1), date(2027, 4, 2))
