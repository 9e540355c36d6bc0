from datetime import date

import numpy as np
import pytest

from fieldsim.days.records import Records, from_seasons, weekly
from fieldsim.season import CalendarDay, Season
from tests.test_records.made import SPRING, weekly_records


def test_three_years_are_allowed_with_a_plain_warning():
    assert weekly_records(np.full((3, 2), 4.0)).warnings == (
        "records: 3 years are few: what is had in 9 years of 10 cannot be told from fewer than 10, "
        "and the worst year is yet to come",
    )
    assert weekly_records(np.full((10, 2), 4.0)).warnings == ()


def test_many_gaps_are_counted_not_listed():
    days = np.full((12, 9), 4.0)
    days[:, ::2] = np.where(np.arange(12)[:, None] % 3, 4.0, np.nan)
    (sentence,) = weekly_records(days).warnings
    assert sentence.startswith(
        "records: 20 of 108 weeks are missing and not taken for zero: 1 from"
    )
    assert sentence.endswith("and 14 more gaps")


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"years": (2001,)}, "at least two years"),
        ({"days": np.full((2, 3), 7.5)}, "figures of a week from 0 to 7, or nan"),
        ({"days": np.full((2, 3), -0.1)}, "figures of a week from 0 to 7, or nan"),
        ({"days": np.full((2, 3), 1.5), "unit": "day"}, "figures of a day from 0 to 1, or nan"),
        ({"days": np.full((2, 3), np.nan)}, "or nan if missing"),
        ({"days": np.full((3, 3), 1.0)}, r"the axes are year \(2\) and column"),
        ({"starts": np.full((2, 2), np.datetime64("2001-04-01"))}, "the axes are year"),
    ],
)
def test_arrays_that_make_no_record_are_refused(changes, message):
    starts = np.datetime64("2001-04-01") + 7 * np.arange(3)
    parts = {"years": (2001, 2002), "starts": np.stack([starts, starts + 365])}
    with pytest.raises(ValueError, match=message):
        Records(**{**parts, "days": np.ones((2, 3)), **changes})


def test_seasons_given_as_an_array_become_daily_records():
    suitable = np.random.default_rng(0).random((4, SPRING.days))
    records = from_seasons(suitable, SPRING, (2001, 2002, 2003, 2004))
    assert (records.days == suitable).all()
    assert records.columns[0] == CalendarDay(4, 1)
    assert records.starts[3, -1].item() == date(2004, 7, 31)


def test_a_leap_day_in_the_seasons_is_left_out():
    season = Season(date(2024, 2, 27), date(2024, 3, 2))
    records = from_seasons(np.array([[0.1, 0.2, 0.3, 0.4, 0.5]] * 2), season)
    assert records.days[0].tolist() == [0.1, 0.2, 0.4, 0.5]


def test_seasons_over_new_year_keep_their_order():
    season = Season(date(2025, 12, 30), date(2026, 1, 3))
    records = from_seasons(np.arange(10).reshape(2, 5) / 10, season, (2001, 2002))
    assert records.starts[0, -1].item() == date(2002, 1, 3)
    assert records.days[1].tolist() == [0.5, 0.6, 0.7, 0.8, 0.9]


def test_an_array_with_other_days_than_the_season_is_refused():
    with pytest.raises(ValueError, match=r"the axes are year and day \(122 days of the season\)"):
        from_seasons(np.ones((3, 121)), SPRING)


def test_days_add_up_to_weeks_and_a_missing_day_makes_its_week_missing():
    suitable = np.ones((2, SPRING.days))
    suitable[0, 9] = np.nan
    weeks = weekly(from_seasons(suitable, SPRING))
    assert weeks.days.shape == (2, 17)
    assert np.isnan(weeks.days[0, 1])
    assert np.nansum(weeks.days) == 7 * 33
    assert weekly(weeks) is weeks
    assert weekly(from_seasons(suitable, SPRING), CalendarDay(4, 3)).columns[1] == CalendarDay(
        4, 10
    )


@pytest.mark.parametrize("first", [CalendarDay(3, 31), CalendarDay(7, 26)])
def test_a_first_week_outside_the_days_is_refused(first):
    with pytest.raises(ValueError, match="no full week from"):
        weekly(from_seasons(np.ones((2, SPRING.days)), SPRING), first)
