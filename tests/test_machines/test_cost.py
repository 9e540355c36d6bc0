from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim.machines import (
    capital_recovery,
    capital_recovery_factor,
    labor_cost,
    ownership_cost,
    ownership_percentage,
)

RATES = st.floats(-0.1, 0.3)
LIVES = st.integers(1, 40)
SUMS = st.floats(0, 1e6)


@given(rate=RATES, years=LIVES)
def test_payments_of_the_factor_pay_off_one_dollar(rate: float, years: int) -> None:
    debt = 1.0
    payment = capital_recovery_factor(rate, years)
    for _ in range(years):
        debt += debt * rate - payment
    assert debt == pytest.approx(0.0, abs=1e-6)


@given(purchase=SUMS, salvage=SUMS, rate=RATES, years=LIVES)
def test_capital_recovery_pays_the_price_down_to_the_salvage_value(
    purchase: float, salvage: float, rate: float, years: int
) -> None:
    value = purchase
    for _ in range(years):
        value += value * rate - capital_recovery(purchase, salvage, rate, years)
    assert value == pytest.approx(salvage, rel=1e-6, abs=1.0)


def test_without_interest_capital_recovery_is_straight_line_depreciation() -> None:
    assert capital_recovery(90_000, 30_000, 0.0, 12) == pytest.approx(5_000)


def test_the_factor_has_no_step_at_rate_0() -> None:
    for rate in (1e-15, -1e-15, 1e-9, -1e-9):
        assert capital_recovery_factor(rate, 10) == pytest.approx(0.1, rel=1e-7)


def test_ownership_adds_a_share_of_the_purchase_price() -> None:
    without = capital_recovery(80_000, 20_000, 0.05, 10)
    assert ownership_cost(80_000, 20_000, 0.05, 10, 0.0) == without
    assert ownership_cost(80_000, 20_000, 0.05, 10, 0.02) == pytest.approx(without + 1_600)


def test_flat_percentage_equals_compounded_ownership_without_interest() -> None:
    flat = ownership_percentage(0.25, 0.0, 8, 0.02)
    assert flat == pytest.approx(100 * ownership_cost(1.0, 0.25, 0.0, 8, 0.02))


@given(salvage=st.floats(0, 1), rate=st.floats(0.001, 0.15), years=LIVES, share=st.floats(0, 0.05))
def test_flat_percentage_stays_below_compounded_ownership(
    salvage: float, rate: float, years: int, share: float
) -> None:
    # The flat form takes interest on the mean of first and last value. Payments at the end of the
    # year run later than that, and compounding adds to them.
    flat = ownership_percentage(salvage, rate, years, share)
    exact = 100 * ownership_cost(1.0, salvage, rate, years, share)
    assert flat <= exact + 1e-9


def test_labor_costs_more_than_machine_hours_by_the_share_above() -> None:
    np.testing.assert_allclose(labor_cost([10, 20], 20.0, 0.15), [230.0, 460.0])
    assert labor_cost(10, 20.0) == 200.0
    assert labor_cost(10, 20.0).shape == ()


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: capital_recovery_factor(6, 10), r"rate = 6 1/year: .*from -0.5 to 1 1/year"),
        (lambda: capital_recovery_factor(-1, 10), r"rate = -1 1/year"),
        (lambda: capital_recovery_factor(0.06, 0), r"years = 0 years: a number above 0 years"),
        (lambda: capital_recovery_factor(0.06, 101), r"years = 101 years"),
        (lambda: capital_recovery(-1, 0, 0.06, 10), r"purchase = -1 \$"),
        (lambda: capital_recovery(1, -1, 0.06, 10), r"salvage = -1 \$"),
        (lambda: ownership_cost(1, 0, 0.06, 10, 2), r"taxes_insurance_housing = 2 1/year"),
        (lambda: ownership_percentage(40, 0.06, 10, 0.02), r"salvage_share = 40: .* from 0 to 1"),
        (lambda: labor_cost(-1, 20), r"hours = -1 h"),
        (lambda: labor_cost(1, float("nan")), r"wage = nan \$/h"),
        (lambda: labor_cost(1, 20, -0.1), r"share_above = -0.1"),
    ],
)
def test_sums_out_of_range_are_named(make: object, message: str) -> None:
    assert callable(make)
    with pytest.raises(ValueError, match=message):
        make()
