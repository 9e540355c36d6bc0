import numpy as np
import pytest

from fieldsim.days.records import from_seasons, level, remove_trend, season_totals, trend
from fieldsim.errors import InputError
from fieldsim.season import CalendarDay
from tests.test_records.made import FIRST_YEAR, SPRING, record_of, spring_table, weekly_records


def trending(years=40, weeks=11, slope=-0.25, noise=1.2, seed=0):
    """Weeks around a line of season totals from 45 days on."""
    rng = np.random.default_rng(seed)
    line = 45 + slope * np.arange(years)
    return weekly_records(
        np.clip(line[:, None] / weeks + noise * rng.normal(size=(years, weeks)), 0, 7)
    )


def test_the_line_is_that_of_least_squares():
    records = trending()
    line = trend(records)
    totals = records.days.sum(axis=1)
    (slope, start), covariance = np.polyfit(records.years, totals, 1, cov=True)
    assert line.slope == pytest.approx(slope, rel=1e-9)
    assert line.standard_error == pytest.approx(np.sqrt(covariance[0, 0]), rel=1e-6)
    assert line.mean == pytest.approx(totals.mean())
    assert level(line, FIRST_YEAR) == pytest.approx(start + slope * FIRST_YEAR)
    assert (line.first, line.last, line.length) == (CalendarDay(4, 1), CalendarDay(6, 10), 77)
    assert line.low < line.slope < line.high


def test_the_95_percent_interval_of_the_slope_holds_the_true_slope_in_95_percent():
    lines = [trend(trending(years=20, noise=0.8, seed=seed)) for seed in range(400)]
    held = np.mean([line.low <= -0.25 <= line.high for line in lines])
    assert held == pytest.approx(0.95, abs=4 * np.sqrt(0.95 * 0.05 / 400))


def test_no_trend_is_found_where_there_is_none():
    lines = [trend(record_of(spring_table(), 30, seed)) for seed in range(100)]
    assert np.mean([line.low <= 0 <= line.high for line in lines]) >= 0.87


def test_a_missing_week_counts_with_its_mean_and_a_year_without_many_is_left_out():
    records = trending()
    days = records.days.copy()
    days[3, 2] = np.nan
    days[7, :3] = np.nan
    holed = weekly_records(days)
    totals, columns = season_totals(holed)
    assert columns.all()
    assert np.isnan(totals[7])
    expected = np.nansum(days[3]) + np.nanmean(days[:, 2])
    assert totals[3] == pytest.approx(expected)
    assert trend(holed).left_out == (FIRST_YEAR + 7,)


def test_a_trend_may_be_taken_over_a_part_of_the_season():
    records = trending()
    line = trend(records, CalendarDay(4, 15), CalendarDay(5, 13))
    assert (line.length, line.first, line.last) == (35, CalendarDay(4, 15), CalendarDay(5, 13))
    assert line.totals == pytest.approx(records.days[:, 2:7].sum(axis=1))


def test_weeks_that_few_years_have_do_not_count():
    days = trending().days.copy()
    days[:9, 0] = np.nan
    line = trend(weekly_records(days))
    assert line.first == CalendarDay(4, 8)
    assert line.left_out == ()


def test_too_few_years_or_weeks_for_a_trend_are_named():
    with pytest.raises(InputError) as error:
        trend(weekly_records(np.ones((2, 3))))
    assert str(error.value) == (
        "records: trend: 2 years have a season total; a trend needs 3; "
        "choose days that more of the years have"
    )
    with pytest.raises(InputError) as error:
        season_totals(weekly_records(np.ones((3, 3))), CalendarDay(6, 1), CalendarDay(6, 30))
    assert str(error.value) == (
        "records: season totals: no week from 1 Jun to 30 Jun is known for 80 % of the years; "
        "choose other days, or leave out years with few figures"
    )


@pytest.mark.parametrize("reference", [FIRST_YEAR, FIRST_YEAR + 20, FIRST_YEAR + 45])
def test_moved_records_lie_on_the_level_of_the_reference_year(reference):
    records = trending()
    moved = remove_trend(records, reference)
    assert trend(moved.records).slope == pytest.approx(0, abs=0.02)
    line = moved.trend
    assert moved.records.days.sum(axis=1).mean() == pytest.approx(level(line, reference), abs=0.3)
    assert moved.records.days.min() >= 0
    assert moved.records.days.max() <= 7


def test_a_season_on_the_line_moves_exactly_and_missing_weeks_stay_missing():
    years = np.arange(10)
    days = np.repeat((3.0 + 0.1 * years)[:, None], 10, axis=1)
    days[4, 2] = np.nan
    moved = remove_trend(weekly_records(days), FIRST_YEAR + 5).records.days
    assert np.isnan(moved[4, 2])
    assert moved[np.isfinite(moved)] == pytest.approx(3.5, abs=0.02)


def test_what_was_done_is_said():
    text = remove_trend(trending(), 2026).text
    assert text == (
        "All years moved to the level of 2026: 32.7 of 77 days, by the trend of -0.28 days a year "
        "(standard error 0.05; 40 years, 1981 to 2020, weeks of 1 Apr to 10 Jun). In years above "
        "that level the suitable days of each week were multiplied by one factor, in years below "
        "it the unsuitable days; weeks stay within 0 and 7 days."
    )


@pytest.mark.parametrize(("year", "told"), [(2060, ""), (2061, "2061 lies 41 years from a record "
    "that spans 40: nobody knows that the trend held so long. Choose a year nearer the record."),
    (1940, "1940 lies 41 years from a record that spans 40: nobody knows that")])  # fmt: skip
def test_a_year_farther_away_than_the_record_is_long_is_said_to_be_so(year: int, told: str):
    text = remove_trend(trending(), year).text
    assert told in text
    assert ("nobody knows" in text) == bool(told)


def test_daily_records_and_lines_that_leave_the_season_are_refused():
    with pytest.raises(InputError, match=r"add the days up first: weekly\(records\)"):
        remove_trend(from_seasons(np.ones((3, SPRING.days)), SPRING), 2026)
    with pytest.raises(InputError) as error:
        remove_trend(trending(), 2300)
    assert str(error.value) == (
        "records: reference_year = 2300: the line leaves 0 to 77 days; "
        "choose a reference year nearer the records"
    )
