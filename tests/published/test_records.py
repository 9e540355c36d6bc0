"""Published trends and gaps of suitable-day records, held against the tools for records."""

import numpy as np
import pytest

from fieldsim.days.records import level, remove_trend, trend
from tests.test_records.made import weekly_records

# Iowa State University Extension (Edwards, March 2020): suitable days of the 77 from 2 April to 17
# June, whole state, 1964-2019. The trend line falls from 48 to 35 days, "about a day in 4 years".
FIRST, LAST = 1964, 2019
WEEKS = 11


def iowa(seed):
    """Weeks whose season totals lie around the published line; their scatter is invented."""
    line = np.linspace(48, 35, LAST - FIRST + 1)
    wetness = np.random.default_rng(seed).normal(0, 6, len(line))
    weeks = np.repeat(((line + wetness) / WEEKS)[:, None], WEEKS, axis=1)
    return weekly_records(np.clip(weeks, 0, 7))


def test_the_published_ends_and_the_published_slope_of_iowa_are_one_line():
    records = weekly_records(np.repeat(np.linspace(48, 35, 56)[:, None] / WEEKS, WEEKS, axis=1))
    line = trend(records)
    assert -1 / line.slope == pytest.approx(4, abs=0.5)
    assert line.length == 77
    first, last = records.years[0], records.years[-1]
    assert (level(line, first), level(line, last)) == pytest.approx((48, 35))


def test_the_slope_of_iowa_is_told_from_none_in_56_years_but_not_in_20():
    # With a scatter of 6 days around the line, in between the published extremes (below 20 days in
    # 1993, 60 in 1977): a figure of this test, not published.
    lines = [trend(iowa(seed)) for seed in range(100)]
    assert np.mean([line.high < 0 for line in lines]) > 0.9
    assert np.mean([line.slope for line in lines]) == pytest.approx(-13 / 55, abs=0.03)
    short = [trend(weekly_records(iowa(seed).days[-20:])) for seed in range(100)]
    assert np.mean([line.high < 0 for line in short]) < 0.4


def test_years_moved_to_the_level_of_2019_have_its_35_days():
    records = weekly_records(np.repeat(np.linspace(48, 35, 56)[:, None] / WEEKS, WEEKS, axis=1))
    moved = remove_trend(records, records.years[-1])
    assert moved.records.days.sum(axis=1) == pytest.approx(35)
