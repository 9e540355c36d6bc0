from __future__ import annotations

from dataclasses import replace

import numpy_financial as npf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim.machines import (
    OwnedMachine,
    capital_recovery_factor,
    cost_per_area,
    cost_per_hour,
    custom_hire_cost,
    machine_class,
    machine_cost,
    ownership_cost,
    trade_in_value,
    yearly_repairs,
)

PLANTER = OwnedMachine(
    machine_class=machine_class("planter"),
    list_price=60_000,
    purchase_price=52_000,
    yearly_hours=80,
    years=10,
    interest=0.05,
    taxes_insurance_housing=0.01,
)
USED_TRACTOR = OwnedMachine(
    machine_class=machine_class("tractor_medium"),
    list_price=90_000,
    purchase_price=40_000,
    yearly_hours=300,
    years=10,
    interest=0.05,
    taxes_insurance_housing=0.01,
    age=5,
    hours=3_000,
)
# In tenths of a percent: the reference package loses its digits where a rate is all but 0.
RATES = st.integers(-50, 200).map(lambda tenths: tenths / 1_000)
YEARS = st.integers(1, 30)


@given(rate=RATES, years=YEARS)
def test_capital_recovery_factor_is_the_payment_on_a_dollar(rate: float, years: int) -> None:
    assert capital_recovery_factor(rate, years) == pytest.approx(float(npf.pmt(rate, years, -1.0)))


@given(rate=RATES, years=YEARS, price=st.floats(1, 5e5))
def test_capital_cost_is_the_payment_on_price_and_trade_in_value(
    rate: float, years: int, price: float
) -> None:
    machine = replace(PLANTER, purchase_price=price, years=years, interest=rate)
    payment = -float(npf.pmt(rate, years, price, -trade_in_value(machine)))
    assert machine_cost(machine).capital_recovery == pytest.approx(payment, abs=1e-3)


def test_the_yearly_cost_of_capital_is_worth_as_much_as_buying_and_selling() -> None:
    cost = machine_cost(USED_TRACTOR).capital_recovery
    paid = float(npf.npv(0.05, [0.0] + [cost] * 10))
    sold = float(npf.npv(0.05, [0.0] * 10 + [trade_in_value(USED_TRACTOR)]))
    assert paid == pytest.approx(40_000 - sold)


def test_without_a_salvage_value_the_machine_is_traded_at_its_remaining_value() -> None:
    share = (0.883 - 0.0787 * 10**0.5) ** 2
    assert trade_in_value(PLANTER) == pytest.approx(60_000 * share)


def test_a_used_machine_is_traded_at_the_age_and_use_it_then_has() -> None:
    # 5 + 10 years; (3,000 + 10 x 300) h over 15 years = 400 h a year.
    share = (0.942 - 0.100 * 15**0.5 - 0.0008 * 20) ** 2
    assert trade_in_value(USED_TRACTOR) == pytest.approx(90_000 * share)


def test_a_given_salvage_value_goes_before_the_equation() -> None:
    machine = replace(PLANTER, salvage=9_000.0)
    assert trade_in_value(machine) == 9_000
    cost = machine_cost(machine)
    owned = ownership_cost(52_000, 9_000, 0.05, 10, 0.01)
    assert cost.capital_recovery + cost.taxes_insurance_housing == pytest.approx(owned)
    assert trade_in_value(replace(PLANTER, salvage=0.0)) == 0


def test_repairs_follow_list_price_and_the_hours_on_the_meter() -> None:
    expected = yearly_repairs(90_000, USED_TRACTOR.machine_class, 3_000, 300, 10).mean()
    assert machine_cost(USED_TRACTOR).repairs == pytest.approx(expected)
    cheaper = replace(USED_TRACTOR, purchase_price=1.0)
    assert machine_cost(cheaper).repairs == machine_cost(USED_TRACTOR).repairs


def test_parts_of_a_planter_by_hand() -> None:
    # No interest: (52,000 - 9,000) / 10; 1 % of 52,000; 60,000 x 0.32 x 0.8^2.1 / 10.
    cost = machine_cost(replace(PLANTER, interest=0.0, salvage=9_000.0))
    assert cost.capital_recovery == pytest.approx(4_300)
    assert cost.taxes_insurance_housing == pytest.approx(520)
    assert cost.repairs == pytest.approx(1_920 * 0.8**2.1)
    assert cost.total == pytest.approx(4_820 + 1_920 * 0.8**2.1)


@given(share=st.floats(0.01, 1))
def test_a_shared_tractor_charges_its_hours_at_an_unchanged_price(share: float) -> None:
    whole, part = machine_cost(USED_TRACTOR), machine_cost(USED_TRACTOR, share)
    assert part.total == pytest.approx(share * whole.total)
    an_hour = cost_per_hour(part, share * USED_TRACTOR.yearly_hours)
    assert an_hour.total == pytest.approx(cost_per_hour(whole, 300).total)
    assert an_hour.repairs == pytest.approx(cost_per_hour(whole, 300).repairs)


def test_works_of_one_tractor_share_all_of_its_cost() -> None:
    parts = [machine_cost(USED_TRACTOR, share).total for share in (0.2, 0.3, 0.5)]
    assert sum(parts) == pytest.approx(machine_cost(USED_TRACTOR).total)


def test_more_hours_a_year_make_an_hour_cheaper_and_a_year_dearer() -> None:
    little, much = (machine_cost(replace(PLANTER, yearly_hours=h)) for h in (40.0, 120.0))
    assert much.total > little.total
    assert cost_per_hour(much, 120).total < cost_per_hour(little, 40).total


def test_a_machine_that_stands_still_costs_its_ownership() -> None:
    idle = machine_cost(replace(PLANTER, yearly_hours=0))
    assert idle.repairs == 0
    assert idle.capital_recovery > 0
    with pytest.raises(ValueError, match=r"hours = 0 h/year: a number above 0"):
        cost_per_hour(idle, 0)


def test_cost_of_a_hectare_by_part() -> None:
    a_hectare = cost_per_area(machine_cost(PLANTER), 250)
    assert a_hectare.repairs == pytest.approx(machine_cost(PLANTER).repairs / 250)
    assert a_hectare.total == pytest.approx(machine_cost(PLANTER).total / 250)
    with pytest.raises(ValueError, match=r"area = 0 ha/year: a number above 0"):
        cost_per_area(machine_cost(PLANTER), 0)


def test_a_machine_sold_for_more_than_it_cost_earns_on_its_capital() -> None:
    bargain = replace(PLANTER, purchase_price=10_000, salvage=15_000.0, interest=0.0)
    assert machine_cost(bargain).capital_recovery == pytest.approx(-500)


def test_hired_work_costs_its_area_times_its_rate() -> None:
    assert custom_hire_cost([10, 20], [50.0, 45.0]).tolist() == [500, 900]
    with pytest.raises(ValueError, match=r"area = -1 ha"):
        custom_hire_cost(-1, 50)
    with pytest.raises(ValueError, match=r"rate = -1 \$/ha"):
        custom_hire_cost(1, -1)


@pytest.mark.parametrize(
    ("field", "value", "message"),
    [
        ("list_price", -1.0, r"list_price = -1 \$"),
        ("purchase_price", -1.0, r"purchase_price = -1 \$"),
        ("yearly_hours", 9_000.0, r"yearly_hours = 9000 h/year: .* 8784"),
        ("years", 0.0, r"years = 0 years"),
        ("interest", 5.0, r"interest = 5 1/year"),
        ("taxes_insurance_housing", -0.1, r"taxes_insurance_housing = -0.1 1/year"),
        ("age", -1.0, r"age = -1 years"),
        ("hours", float("inf"), r"hours = inf h"),
        ("salvage", -1.0, r"salvage = -1 \$"),
    ],
)
def test_machines_out_of_range_are_named(field: str, value: float, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        replace(PLANTER, **{field: value})


def test_a_share_of_hours_above_1_is_named() -> None:
    with pytest.raises(ValueError, match=r"share_of_hours = 1.5"):
        machine_cost(PLANTER, 1.5)
