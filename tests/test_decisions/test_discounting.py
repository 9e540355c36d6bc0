"""Present values, pay-back, returns and loans, against another implementation and formulas."""

from __future__ import annotations

import numpy as np
import numpy_financial as npf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim.decisions import Loan
from fieldsim.decisions.investment.discounting import (
    net_present_value,
    payback_year,
    rate_of_return,
)
from fieldsim.decisions.investment.loan import loan_payments

RATES = st.floats(1e-4, 0.3)


@given(rate=RATES, years=st.integers(1, 30), saving=st.floats(-1e5, 1e5))
def test_a_constant_saving_is_worth_what_the_annuity_formula_says(
    rate: float, years: int, saving: float
) -> None:
    cash = np.concatenate([[-1000.0], np.full(years, saving)])
    annuity = (1 - (1 + rate) ** -years) / rate
    value = float(net_present_value(cash, rate))
    assert value == pytest.approx(-1000 + saving * annuity, rel=1e-9, abs=1e-9 * 1e6)
    assert value == pytest.approx(npf.npv(rate, cash), rel=1e-9, abs=1e-6)


@given(rate=RATES, years=st.integers(1, 30), principal=st.floats(1, 1e6))
def test_loan_payments_are_those_of_numpy_financial(
    rate: float, years: int, principal: float
) -> None:
    payments = loan_payments(principal, Loan(1.0, rate, years))
    np.testing.assert_allclose(payments, -npf.pmt(rate, years, principal), rtol=1e-7)


def test_a_loan_without_interest_is_paid_back_in_equal_parts() -> None:
    np.testing.assert_allclose(loan_payments(700.0, Loan(1.0, 0.0, 7)), 100.0)


def test_rates_of_return_are_those_of_numpy_financial() -> None:
    random = np.random.default_rng(4)
    for _ in range(50):
        cash = np.concatenate([[-random.uniform(1e4, 1e5)], random.uniform(2e3, 2e4, 10)])
        assert rate_of_return(cash) == pytest.approx(npf.irr(cash), abs=1e-8)


@pytest.mark.parametrize(
    "cash", [[1.0, 1.0], [-1.0, -1.0], [5.0, -1.0], [-1.0, 3.0, -1.0], [0.0, 0.0], [-1e9, 1e-9]]
)
def test_no_rate_of_return_is_given_where_there_is_none_or_no_single_one(cash: list[float]) -> None:
    assert np.isnan(rate_of_return(cash))


@pytest.mark.parametrize(
    ("cash", "plain"),
    [
        ([-10.0, 4, 4, 4], 3),
        ([-10.0, 10, 0, 0], 1),
        ([-10.0, 12, -5, 4], 3),  # back in the red after a year: not paid back yet
        ([-10.0, 12, -5, 2], np.nan),
        ([0.0, 1, 1, 1], 0),
        ([0.0, -1, 3, 1], 2),
        ([-0.3, 0.1, 0.1, 0.1], 3),  # no failing by a rounding of the sum
    ],
)
def test_payback_is_the_year_from_whose_end_on_all_has_come_back(
    cash: list[float], plain: float
) -> None:
    np.testing.assert_equal(float(payback_year(cash)), plain)


@pytest.mark.parametrize(
    ("terms", "told"),
    [
        ((1.2, 0.07, 7), "share = 1.2"),
        ((0.8, 7.0, 7), "rate = 7"),
        ((0.8, 0.07, 0), "years = 0"),
        ((0.8, 0.07, 2.5), "whole years"),
        ((0.8, 0.07, 7, 3.0), "inflation = 3"),
    ],
)
def test_a_loan_out_of_range_is_refused(terms: tuple[float, ...], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        Loan(*terms)
