"""Ownership and labor against printed tables and worked examples."""

from __future__ import annotations

import pytest

from fieldsim.machines import (
    capital_recovery,
    capital_recovery_factor,
    labor_cost,
    ownership_percentage,
)

# Capital recovery factors of an engineering handbook's interest tables, to the digits printed.
FACTORS = {
    8: {0.035: 0.14548, 0.045: 0.15161, 0.06: 0.16104, 0.08: 0.17401, 0.10: 0.18744},
    10: {0.035: 0.12024, 0.045: 0.12638, 0.06: 0.13587, 0.08: 0.14903, 0.10: 0.16275},
    12: {0.035: 0.10348, 0.045: 0.10967, 0.06: 0.11928, 0.08: 0.13270, 0.10: 0.14676},
    16: {0.035: 0.08268, 0.045: 0.08902, 0.06: 0.09895, 0.08: 0.11298, 0.10: 0.12782},
}


@pytest.mark.parametrize(
    ("years", "rate", "printed"),
    [(years, rate, value) for years, row in FACTORS.items() for rate, value in row.items()],
)
def test_printed_capital_recovery_factors(years: int, rate: float, printed: float) -> None:
    assert capital_recovery_factor(rate, years) == pytest.approx(printed, abs=0.0000051)


# Agricultural engineering licensure examination, solutions. The second is worked out there with
# a rounded factor and printed as $7,105.
@pytest.mark.parametrize(
    ("purchase", "salvage_percent", "rate", "years", "printed", "rounding"),
    [(100_000, 20, 0.10, 15, 12_517.90, 0.005), (50_000, 10, 0.08, 10, 7_105, 1.5)],
)
def test_examination_problems_of_yearly_cost(
    purchase: float,
    salvage_percent: float,
    rate: float,
    years: int,
    printed: float,
    rounding: float,
) -> None:
    cost = capital_recovery(purchase, purchase * salvage_percent / 100, rate, years)
    assert cost == pytest.approx(printed, abs=rounding)


# Edwards, Estimating Farm Machinery Costs, Iowa State University Extension PM 710: salvage is a
# share of list price. First row: an older edition, printed whole. Second row: editions of about
# 2009-2015, of which the inputs were read and the answers worked out here. Third row: a payments
# company's article that cites the same table, with its straight-line sum.
@pytest.mark.parametrize(
    ("list_price", "purchase", "remaining", "years", "salvage", "lost"),
    [
        (110_000, 93_500, 0.23, 15, 25_300, 68_200),
        (150_000, 130_000, 0.23, 15, 34_500, 95_500),
        (150_000, 150_000, 0.27, 12, 40_500, 109_500),
    ],
)
def test_iowa_state_depreciation_comes_back_when_money_costs_nothing(
    list_price: float, purchase: float, remaining: float, years: int, salvage: float, lost: float
) -> None:
    value = remaining * list_price
    assert value == pytest.approx(salvage)
    assert capital_recovery(purchase, value, 0.0, years) * years == pytest.approx(lost)


# The same article: $9,125 a year, straight line.
def test_straight_line_depreciation_of_109500_dollars_over_12_years() -> None:
    assert capital_recovery(150_000, 40_500, 0.0, 12) == pytest.approx(9_125)


# PM 710, older edition: 8 % nominal less 3 % inflation is 5 % real. The factor of 15 years at 5 %,
# 0.096342, was worked out for this project, and so was the sum.
def test_real_rate_of_the_iowa_state_tractor() -> None:
    assert capital_recovery_factor(0.08 - 0.03, 15) == pytest.approx(0.096342, abs=5e-7)
    cost = capital_recovery(93_500, 25_300, 0.08 - 0.03, 15)
    assert cost == pytest.approx(68_200 * 0.096342 + 25_300 * 0.05, abs=0.05)


# ASABE EP496, Agricultural Machinery Management: the form is from memory, the sum was worked out
# for this project (6.0 + 5.6 + 2.0).
def test_flat_ownership_percentage() -> None:
    assert ownership_percentage(0.40, 0.08, 10, 0.02) == pytest.approx(13.6)


# University of Illinois tractor cost table (undated): labor time 10 % above tractor hours. Lattz &
# Schnitkey, farmdoc daily 2019 and 2021, charge $19.80 (2017) and $20.90 (2019) a tractor hour,
# which are $18 and $19 by the same 10 % (the wages are implied).
@pytest.mark.parametrize(("wage", "printed"), [(13.50, 14.85), (18.0, 19.80), (19.0, 20.90)])
def test_illinois_labor_charged_for_a_tractor_hour(wage: float, printed: float) -> None:
    assert float(labor_cost(1.0, wage, 0.10)) == pytest.approx(printed)
