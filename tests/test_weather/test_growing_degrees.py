"""Growing degrees of corn, day by day and summed."""

import numpy as np
import pytest

from fieldsim.days.weather import (
    celsius_degree_days,
    growing_degrees,
    growing_degrees_since_start,
)


@pytest.mark.parametrize(
    ("tmax", "tmin", "degrees"),
    [
        (25.0, 15.0, 10.0),  # nothing to cap
        (38.0, 22.0, 16.0),  # an afternoon of 38 counts as 30
        (20.0, 2.0, 5.0),  # a night of 2 counts as 10
        (9.0, -3.0, 0.0),  # cold all day
        (40.0, 32.0, 20.0),  # hot all day
    ],
)
def test_temperatures_count_between_10_and_30_degrees(tmax, tmin, degrees):
    assert growing_degrees(tmax, tmin) == degrees


def test_a_day_by_the_rule_of_50_and_86_degrees_fahrenheit():
    # A trade page's example of the rule, low 48 and high 90 degF: (86 + 50) / 2 - 50 = 18 degF day.
    low, high = (48 - 32) / 1.8, (90 - 32) / 1.8
    assert growing_degrees(high, low) == pytest.approx(celsius_degree_days(18.0))


def test_base_and_cap_of_another_crop_may_be_set():
    assert growing_degrees(20.0, 6.0, base=4.0, cap=18.0) == 8.0


def test_sums_grow_to_the_end_of_each_day_in_each_season():
    sums = growing_degrees_since_start(np.array([[5.0, 0.0, 2.5], [1.0, 1.0, 1.0]]))
    assert sums.tolist() == [[5.0, 5.0, 7.5], [1.0, 2.0, 3.0]]
