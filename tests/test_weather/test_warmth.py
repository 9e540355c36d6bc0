"""When the soil is warm."""

import numpy as np
import pytest

from fieldsim.days.weather import soil_temperature, warm_day


def test_soil_temperature_is_the_mean_of_the_day_and_the_six_before_it():
    mean = np.array([3.0, 10.0, -4.0, 7.0, 0.0, 12.0, 5.0, 9.0, 21.0])
    smoothed = soil_temperature(mean + 6, mean - 6)
    assert smoothed == pytest.approx([mean[max(day - 6, 0) : day + 1].mean() for day in range(9)])


def test_soil_temperature_of_many_seasons_is_that_of_each():
    tmax = np.random.default_rng(0).normal(15, 6, (5, 40))
    together = soil_temperature(tmax, tmax - 10)
    assert together[3].tolist() == soil_temperature(tmax[3], tmax[3] - 10).tolist()


def test_a_short_season_is_smoothed_over_the_days_there_are():
    assert soil_temperature(np.array([10.0, 20.0]), np.array([10.0, 20.0])).tolist() == [10.0, 15.0]


def test_the_warm_day_is_the_first_of_three_in_a_row():
    assert warm_day(np.array([10.0, 10.0, 9.9, 10.0, 10.0, 10.0, 4.0])) == 3


def test_soil_that_is_warm_from_the_start_is_warm_on_day_0():
    assert warm_day(np.full(10, 12.0)) == 0


def test_soil_that_never_has_three_warm_days_is_warm_after_the_last_day():
    seasons = np.array([[10.0, 10.0, 9.0, 10.0, 10.0], [12.0, 8.0, 10.0, 10.0, 10.0]])
    assert warm_day(seasons).tolist() == [5, 2]
    assert warm_day(np.array([15.0, 15.0])) == 2


def test_another_threshold_may_be_set():
    assert warm_day(np.array([5.0, 6.0, 7.0, 8.0]), least=6.0) == 1
