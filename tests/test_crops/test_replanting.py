from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fieldsim.crops import (
    QuadraticCurve,
    Replanting,
    expected_replanting_cost,
    published_curve,
    relative_yield,
    replanting_loss,
)

CURVE = QuadraticCurve(best_day=120, curvature=2e-4)
REPLANTING = Replanting(
    probability=0.1, cost=125.0, delays=(15.0, 25.0), shares=(0.25, 0.75), yield_kept=0.9
)


def test_replanting_loses_the_later_date_and_what_the_rule_takes() -> None:
    # By hand: y(125) = 0.995, y(150) = 0.82.
    assert replanting_loss(CURVE, 125, 25, 1.0) == pytest.approx(0.175)
    assert replanting_loss(CURVE, 125, 25, 0.9) == pytest.approx(0.995 - 0.738)


def test_replanting_very_early_land_may_gain_yield() -> None:
    assert replanting_loss(CURVE, 90, 30, 1.0) == pytest.approx(-0.18)


def test_replanted_land_yields_what_the_curve_has_on_its_second_date() -> None:
    curve = published_curve("corn_minnesota_1988_2003")
    days, delays = np.array([115.0, 125.0]), np.array([20.0, 30.0])
    left = relative_yield(curve, days) - replanting_loss(curve, days, delays, 1.0)
    np.testing.assert_allclose(left, relative_yield(curve, [135, 155]))


def test_the_mean_cost_is_that_of_seasons_drawn_one_by_one() -> None:
    rng = np.random.default_rng(5)
    seasons = 200_000
    delays = rng.choice(REPLANTING.delays, size=seasons, p=REPLANTING.shares)
    cost = 125.0 + 12.0 * 160.0 * replanting_loss(CURVE, 118, delays, 0.9)
    drawn = np.where(rng.random(seasons) < 0.1, cost, 0.0)
    error = drawn.std() / seasons**0.5
    expected = float(expected_replanting_cost(REPLANTING, CURVE, 118, 12.0, 160.0))
    assert drawn.mean() == pytest.approx(expected, abs=4 * error)
    assert error < 0.01 * expected


def test_cost_keeps_the_shape_of_the_planting_days() -> None:
    days = np.array([[110.0, 120.0, 130.0], [115.0, 125.0, 135.0]])
    costs = expected_replanting_cost(REPLANTING, CURVE, days, 12.0, 160.0)
    assert costs.shape == days.shape
    alone = expected_replanting_cost(REPLANTING, CURVE, 135.0, 12.0, 160.0)
    assert alone.shape == ()
    assert costs[1, 2] == pytest.approx(float(alone))


def test_land_that_is_never_replanted_costs_nothing() -> None:
    never = replace(REPLANTING, probability=0.0)
    assert expected_replanting_cost(never, CURVE, 120, 12.0, 160.0) == 0


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"probability": 1.2}, "probability = 1.2: a number from 0 to 1 is allowed"),
        ({"cost": -1.0}, r"cost = -1 \$/ha: a number of at least 0 .*is allowed"),
        ({"delays": (-1.0, 20.0)}, "delays = -1 days"),
        ({"shares": (0.5, 0.4)}, "shares add up to 0.9: 1 is allowed"),
        ({"shares": (1.0,)}, "2 delays and 1 shares"),
        ({"shares": (1.5, -0.5)}, "shares = 1.5"),
        ({"yield_kept": 1.1}, "yield_kept = 1.1"),
        ({"delays": (), "shares": ()}, "shares add up to 0"),
    ],
)
def test_replanting_that_cannot_be_is_refused(change: dict[str, object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        replace(REPLANTING, **change)
