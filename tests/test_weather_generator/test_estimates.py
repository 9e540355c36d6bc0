import numpy as np
import pytest
from scipy import stats

from fieldsim.days.weather.generator_estimates import Estimate, interval, jackknife


def test_the_error_of_a_mean_is_its_standard_error():
    years = np.random.default_rng(0).normal(5.0, 2.0, (25, 3))
    without = (years.sum(axis=0) - years) / 24
    estimate = jackknife(years.mean(axis=0), without, np.ones_like(years, dtype=bool))
    assert estimate.error == pytest.approx(stats.sem(years))
    assert estimate.years.tolist() == [25, 25, 25]


def test_years_that_have_no_say_are_not_counted():
    years = np.array([4.0, 6.0, 11.0])
    without = np.append((years.sum() - years) / 2, 7.0)
    present = np.array([True, True, True, False])
    estimate = jackknife(np.array(7.0), without, present)
    assert estimate.error == pytest.approx(stats.sem(years))
    assert estimate.years == 3


def test_a_single_year_has_no_error():
    estimate = jackknife(np.array(7.0), np.array([np.nan]), np.array([True]))
    assert np.isnan(estimate.error)
    assert np.isnan(interval(estimate)).all()


def test_intervals_are_those_of_students_t():
    low, high = interval(Estimate(np.array(5.0), np.array(0.5), np.array(9)), level=0.9)
    assert (low, high) == pytest.approx(stats.t.interval(0.9, 8, loc=5.0, scale=0.5))
