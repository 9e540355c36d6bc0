from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fieldsim.crops import HarvestMoisture, drying_cost, harvest_moisture, wet_mass

CORN = HarvestMoisture(base=15.0, reference_day=120, points_on_time=5.0, points_per_day=0.2)


def test_no_land_is_dried_unless_it_is_asked_for() -> None:
    off = HarvestMoisture(base=15.5, reference_day=120)
    np.testing.assert_array_equal(harvest_moisture(off, [90, 120, 190]), 15.5)
    np.testing.assert_array_equal(drying_cost(off, [90, 120, 190], 10.0, 2.0), 0.0)


def test_moisture_rises_from_the_reference_day_on_and_not_before() -> None:
    np.testing.assert_allclose(harvest_moisture(CORN, [100, 120, 121, 145]), [20, 20, 20.2, 25])


def test_cost_is_points_times_cost_of_a_point_times_wet_mass() -> None:
    # By hand: 5 points x 1.5 $/t x 10 t/ha x 85 / 80, and 10 points x 1.5 x 10 x 85 / 75.
    np.testing.assert_allclose(drying_cost(CORN, [120, 145], 10.0, 1.5), [79.6875, 170.0])


def test_wet_grain_holds_the_dry_matter_of_grain_at_the_base() -> None:
    wet = wet_mass(10.0, 13.0, [0.0, 13.0, 18.0, 30.0])
    np.testing.assert_allclose(wet * (100 - np.array([0, 13, 18, 30])), 870)


def test_yield_and_planting_day_are_taken_together() -> None:
    days, yields = np.array([120.0, 145.0]), np.array([10.0, 8.0])
    one_by_one = [float(drying_cost(CORN, d, y, 1.5)) for d, y in zip(days, yields, strict=True)]
    np.testing.assert_allclose(drying_cost(CORN, days, yields, 1.5), one_by_one)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"base": 100.0}, r"base = 100 %: a number from 0 to 99 % is allowed"),
        ({"reference_day": np.inf}, "reference_day = inf: a finite number is allowed"),
        ({"points_on_time": -1.0}, "points_on_time = -1 points: a number of at least 0"),
        ({"points_per_day": -0.1}, "points_per_day = -0.1 points/day: a number of at least 0"),
    ],
)
def test_moisture_that_cannot_be_is_refused(change: dict[str, float], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        replace(CORN, **change)


def test_numbers_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match=r"moisture = 120 %"):
        drying_cost(replace(CORN, points_per_day=1.0), 220, 10.0, 1.5)
    with pytest.raises(ValueError, match="yield_ = -1 t/ha"):
        drying_cost(CORN, 120, -1.0, 1.5)
    with pytest.raises(ValueError, match=r"cost = -1 \$/t"):
        drying_cost(CORN, 120, 10.0, -1.0)
    with pytest.raises(ValueError, match="day_of_year = nan"):
        harvest_moisture(CORN, np.nan)
