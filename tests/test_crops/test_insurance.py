from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fieldsim.crops import (
    InsuranceRules,
    insured_share,
    least_prevented_area,
    prevented_planting_payment,
    published_insurance,
    published_insurances,
    revenue_guarantee,
)

RULES = InsuranceRules(
    final_day=150, late_days=20, daily_cut=0.01, share_after=0.55, prevented_share=0.6
)


def test_the_guarantee_is_whole_to_the_final_day_falls_daily_and_then_stays() -> None:
    days = [100, 150, 151, 160, 170, 171, 220]
    np.testing.assert_allclose(
        insured_share(RULES, days), [1, 1, 0.99, 0.9, 0.8, 0.55, 0.55], atol=1e-12
    )


def test_without_a_late_period_late_land_has_the_share_after_it_at_once() -> None:
    rules = replace(RULES, late_days=0)
    np.testing.assert_array_equal(insured_share(rules, [150, 151]), [1, 0.55])


def test_the_guarantee_is_coverage_times_yield_times_price() -> None:
    assert revenue_guarantee(0.75, 12.0, 150.0) == pytest.approx(1350)


def test_prevented_planting_pays_its_share_of_the_guarantee() -> None:
    np.testing.assert_allclose(prevented_planting_payment(RULES, [1000.0, 0.0]), [600, 0])


def test_small_units_need_a_fifth_unplanted_and_large_ones_20_acres() -> None:
    twenty_acres = 20 * 0.40468564224  # ha
    np.testing.assert_allclose(
        least_prevented_area([10.0, 5 * twenty_acres, 500.0]), [2.0, twenty_acres, twenty_acres]
    )


@pytest.mark.parametrize("name", published_insurances())
def test_published_rules_fall_with_lateness(name: str) -> None:
    rules = published_insurance(name)
    shares = insured_share(rules, np.arange(100, 230))
    assert (np.diff(shares) <= 0).all()
    assert shares[0] == 1
    assert shares[-1] == rules.share_after == rules.prevented_share


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"final_day": np.nan}, "final_day = nan: a finite number is allowed"),
        ({"late_days": -1}, "late_days = -1 days: a number of at least 0 days is allowed"),
        ({"daily_cut": 1.5}, "daily_cut = 1.5: a number from 0 to 1 is allowed"),
        ({"share_after": 55}, "share_after = 55: a number from 0 to 1 is allowed"),
        ({"prevented_share": -0.1}, "prevented_share = -0.1"),
        ({"daily_cut": 0.06}, "daily_cut x late_days = 1.2: a number of at most 1 is allowed"),
    ],
)
def test_rules_that_cannot_be_are_refused(change: dict[str, float], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        replace(RULES, **change)


def test_numbers_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="coverage = 80: a number from 0 to 1"):
        revenue_guarantee(80, 12.0, 150.0)
    with pytest.raises(ValueError, match="day_of_year = inf"):
        insured_share(RULES, np.inf)
    with pytest.raises(ValueError, match=r"guarantee = -1 \$/ha"):
        prevented_planting_payment(RULES, -1)
    with pytest.raises(ValueError, match="unit_area = -1 ha"):
        least_prevented_area(-1)


def test_unknown_rules_are_answered_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"'mars_corn': iowa_corn, .* are allowed"):
        published_insurance("mars_corn")
