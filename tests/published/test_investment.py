"""Present values, pay-back and loan payments against printed examples of capital budgeting."""

from __future__ import annotations

import numpy as np
import numpy_financial as npf
import pytest

import fieldsim
from fieldsim.decisions import Loan, invest
from fieldsim.decisions.investment.discounting import (
    discount_factors,
    net_present_value,
    payback_year,
)
from fieldsim.decisions.investment.loan import loan_payments

# "Net Present Value Analysis - Converting Wheat to Native Range", table 4, a ranch at 7 % interest:
# $89.93 an acre is spent at the start, $8.71 comes in from year 3 on. As read in a web copy that
# names neither author nor year; years 0 to 7 could be read there.
RANGE_FACTORS = [1, 0.9346, 0.8734, 0.8163, 0.7629, 0.7130, 0.6663, 0.6227]
RANGE_CASH = [-89.93, 0, 0, 8.71, 8.71, 8.71, 8.71, 8.71]
RANGE_WORTH = [-89.93, 0, 0, 7.11, 6.64, 6.21, 5.80, 5.42]


def test_range_land_example_of_extension() -> None:
    factors = discount_factors(0.07, 7)
    np.testing.assert_allclose(factors, RANGE_FACTORS, atol=0.00005)
    np.testing.assert_allclose(RANGE_CASH * factors, RANGE_WORTH, atol=0.0051)
    # Eight rounded figures add up to within 8 half cents.
    assert net_present_value(RANGE_CASH, 0.07) == pytest.approx(sum(RANGE_WORTH), abs=0.04)


# An examination question in farm economics, as posted on the web: a cotton farmer's tractor costs
# $350,000, brings $70,000 a year for six years and is bought back for $30,000; at 6 % one of the
# eight answers offered is $15,362.
def test_cotton_farmers_tractor() -> None:
    cash = [-350_000, 70_000, 70_000, 70_000, 70_000, 70_000, 100_000]
    assert net_present_value(cash, 0.06) == pytest.approx(15_362, abs=0.5)


# Slides of a farm management course (week 5, capital budgets), non-time methods: pay-back of an
# equal and of an unequal flow after 4.8 and 2.0 years; fieldsim counts whole years, by their ends.
@pytest.mark.parametrize(
    ("cash", "printed"),
    [([-48_000, *[10_000] * 5], 4.8), ([-4_000, 2_000, 2_000, 3_000], 2.0)],
)
def test_payback_of_a_farm_management_course(cash: list[float], printed: float) -> None:
    assert payback_year(cash) == np.ceil(printed)


# Lecture slides on capital budgeting, as posted on the web: $500, then $250 a year at 14 %, whose
# worth is 219.30, 192.37 and 168.74; discounted pay-back 2.52 years.
def test_discounted_payback_of_a_lecture() -> None:
    cash = np.array([-500.0, 250, 250, 250, 250, 250])
    worth = cash * discount_factors(0.14, 5)
    np.testing.assert_allclose(worth[1:4], [219.30, 192.37, 168.74], atol=0.0051)
    assert payback_year(cash, 0.14) == np.ceil(2.52)
    assert payback_year(cash) == 2
    short = -worth[:3].sum()
    assert short == pytest.approx(88.33, abs=0.0051)
    assert 2 + short / worth[3] == pytest.approx(2.52, abs=0.005)


# Solutions to chapter 6 of a textbook of corporate finance, as posted on the web: $42,000 at 8 % in
# five equal payments, with the balance after each; and an exercise of $30,000 at 6 % in three.
SCHEDULES = [
    (42_000, 0.08, 10_519.17, [34_840.83, 27_108.92, 18_758.47, 9_739.97, 0.0]),
    (30_000, 0.06, 11_223.29, [20_576.71, 10_588.01, 0.0]),
]


@pytest.mark.parametrize(("principal", "rate", "payment", "balances"), SCHEDULES)
def test_printed_loan_schedules(
    principal: float, rate: float, payment: float, balances: list[float]
) -> None:
    payments = loan_payments(principal, Loan(1.0, rate, len(balances)))
    assert payments == pytest.approx(payment, abs=0.0051)
    balance = float(principal)
    for paid, printed in zip(payments, balances, strict=True):
        balance = balance * (1 + rate) - paid
        assert balance == pytest.approx(printed, abs=0.011)


def test_every_future_is_worth_what_numpy_financial_says() -> None:
    farm = fieldsim.demo_farm()
    outcomes = fieldsim.simulate(farm, 100)
    loan = Loan(0.75, 0.08, 6, 0.02)
    found = invest(farm, outcomes, "six_rows", "two_six_rows", futures=25, loan=loan, owned=7)
    with_end = found.cash_flow + found.plan.sel(part="end_worth")
    expected = [npf.npv(0.05, cash) for cash in with_end.values]
    np.testing.assert_allclose(found.net_present_value, expected)
    # The lender's fixed payment, in the dollars of its year.
    fixed = npf.pmt(0.08, 6, found.attrs["borrowed"])
    paid = found.plan.sel(part="loan").values[1:7] * 1.02 ** np.arange(1, 7)
    np.testing.assert_allclose(paid, fixed)
