from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import ndtr, ndtri

from fieldsim.days.weather.generator_months import calendar_places, smooth_course
from tests.test_weather_generator.records import MONTH

scores = st.lists(st.floats(-2.5, 1.5), min_size=12, max_size=12).map(np.array)


def same(values):
    return values


def month_means(course, weights=None):
    return [
        np.average(course[m == MONTH], weights=None if weights is None else weights[m == MONTH])
        for m in range(12)
    ]


@given(scores)
@settings(max_examples=50, deadline=None)
def test_the_course_of_a_probability_keeps_its_monthly_means_and_its_bounds(monthly):
    course = smooth_course(ndtr(monthly), ndtri, ndtr)
    assert month_means(course) == pytest.approx(ndtr(monthly), rel=1e-9)
    assert ((course >= 0) & (course <= 1)).all()


@given(scores)
@settings(max_examples=50, deadline=None)
def test_the_course_of_what_is_positive_keeps_its_monthly_means(monthly):
    course = smooth_course(np.exp(monthly), np.log, np.exp)
    assert month_means(course) == pytest.approx(np.exp(monthly), rel=1e-9)
    assert (course > 0).all()


def test_the_means_may_be_weighted_by_day():
    monthly = 5.0 + np.arange(12) % 5
    weights = 1.0 + np.sin(np.arange(365) / 20) ** 2
    course = smooth_course(monthly, np.log, np.exp, weights)
    assert month_means(course, weights) == pytest.approx(monthly, rel=1e-9)
    assert np.abs(month_means(course) - monthly).max() > 0.01


def test_equal_months_have_a_level_course():
    assert smooth_course(np.full(12, 0.3), ndtri, ndtr) == pytest.approx(0.3, rel=1e-9)


def test_no_course_with_the_same_monthly_means_changes_less_from_day_to_day():
    random = np.random.default_rng(5)
    course = smooth_course(random.standard_normal(12), same, same)

    def roughness(values):
        return np.sum((values - np.roll(values, 1)) ** 2)

    for _ in range(20):
        other = np.cumsum(random.standard_normal(365)) * 1e-3
        other -= np.array(month_means(other))[MONTH]
        assert roughness(course + other) > roughness(course)


def test_a_course_that_would_have_to_jump_is_refused():
    monthly = np.where(np.arange(12) % 2, 1e-12, 1 - 1e-12)
    with pytest.raises(ValueError, match="jump too far for a smooth course"):
        smooth_course(monthly, ndtri, ndtr)


def test_days_stand_where_they_do_in_a_common_year():
    days = [date(1899, 12, 25) + timedelta(days=n) for n in range(800)]
    days += [date(1999, 12, 25) + timedelta(days=n) for n in range(800)]
    year, month, place = calendar_places(np.array(days, dtype="datetime64[D]"))
    assert year.tolist() == [d.year for d in days]
    assert month.tolist() == [d.month - 1 for d in days]
    leap_day = (2, 29)
    common = [d.replace(day=28) if (d.month, d.day) == leap_day else d for d in days]
    assert place.tolist() == [d.replace(year=2001).timetuple().tm_yday - 1 for d in common]
