"""What equipment costs at the hours that a season takes, against `machine_cost` called by hand.

The farm of `test_money`: 20 h of disking and 40 h of planting.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy_financial as npf
import pytest
import xarray as xr

from fieldsim.machines import OwnedMachine, machine_class, machine_cost, tractor_class
from fieldsim.simulation import simulate
from tests.farms import always, hand_farm, work_farm
from tests.test_outcomes.test_money import season

MONEY = ('interest = "0 %"', 'interest = "5 %"\ntaxes_insurance_housing = "2 %"')
DISK, PLANTING = 20.0, 40.0  # hours


def planter(lines: str) -> tuple[str, str]:
    return 'width = "2.5 m"', f'width = "2.5 m"\n{lines}'


def with_tractor(lines: str, count: int = 1) -> tuple[tuple[str, str], ...]:
    """Return the changes that let a tractor of 60 kW pull the disk."""
    return (
        ('width = "5 m"', 'width = "5 m"\ntractor_power = "50 kW"'),
        ("[options.usual]", f'[tractors.one]\npower = "60 kW"\n{lines}\n\n[options.usual]'),
        ("planter = 1 }", f"planter = 1 }}\ntractors = {{ one = {count} }}"),
    )


def costs(outcomes: xr.Dataset, name: str) -> list[float]:
    return [float(cost) for cost in outcomes.equipment_cost.sel(equipment=name)]


def by_hand(cost: Any) -> Any:
    parts = [cost.capital_recovery, cost.taxes_insurance_housing, cost.repairs]
    return pytest.approx(parts, rel=1e-12)


def owned(kind: Any, price: float, yearly: float, years: int = 12, **more: Any) -> OwnedMachine:
    return OwnedMachine(
        kind, more.pop("list_price", price), price, yearly, years, 0.05, 0.02, **more
    )


PLANTER = machine_class("planter")


def test_a_machine_with_a_class_costs_what_its_hours_make_of_it() -> None:
    outcomes = season(MONEY, planter('class = "planter"\nprice = "$50,000"'))
    cost = machine_cost(owned(PLANTER, 50_000, PLANTING))
    assert costs(outcomes, "planter") == by_hand(cost)
    # 12 years of 40 h are 480 h: 0.32 x 0.48^2.1 of the list price, 571 $ a year.
    assert cost.repairs == pytest.approx(50_000 * 0.32 * 0.48**2.1 / 12)
    assert float(outcomes.repair_cost) == pytest.approx(cost.repairs)
    standing = cost.capital_recovery + cost.taxes_insurance_housing
    assert float(outcomes.ownership_cost) == pytest.approx(standing)


def test_two_units_share_the_hours_and_each_has_its_price() -> None:
    # Two planters and one operator: both plant side by side for half of the 40 h.
    two = ("planter = 1 }", "planter = 2 }")
    outcomes = season(MONEY, two, planter('class = "planter"\nprice = "$50,000"'))
    cost = machine_cost(owned(PLANTER, 50_000, PLANTING / 2))
    assert costs(outcomes, "planter") == pytest.approx(
        [2 * cost.capital_recovery, 2 * cost.taxes_insurance_housing, 2 * cost.repairs]
    )
    assert float(outcomes.equipment_hours.sel(equipment="planter")) == pytest.approx(PLANTING)


def test_a_used_machine_goes_by_its_age_its_hours_and_the_price_of_a_new_one() -> None:
    used = (
        'class = "planter"\nprice = "$18,000"\nlist_price = "$60,000"\nage = 6\nhours = "500 h"\n'
        "years = 8"
    )
    cost = machine_cost(
        owned(PLANTER, 18_000, PLANTING, 8, list_price=60_000, age=6.0, hours=500.0)
    )
    assert costs(season(MONEY, planter(used)), "planter") == by_hand(cost)
    # From 500 to 820 h, of the list price.
    repairs = 60_000 * 0.32 * (0.82**2.1 - 0.5**2.1) / 8
    assert cost.repairs == pytest.approx(repairs)


def test_a_salvage_share_of_the_price_paid_takes_the_place_of_what_the_class_says() -> None:
    lines = 'class = "planter"\nprice = "$40,000"\nlist_price = "$50,000"\nsalvage = "25 %"'
    cost = machine_cost(owned(PLANTER, 40_000, PLANTING, list_price=50_000, salvage=10_000.0))
    assert costs(season(MONEY, planter(lines)), "planter") == by_hand(cost)
    plain = machine_cost(owned(PLANTER, 40_000, PLANTING, list_price=50_000))
    assert plain.capital_recovery != pytest.approx(cost.capital_recovery)


def test_a_machine_without_a_class_has_no_repairs_and_says_so() -> None:
    outcomes = season(MONEY, planter('price = "$50,000"\nsalvage = "20 %"'))
    capital, taxes, repairs = costs(outcomes, "planter")
    assert (taxes, repairs) == (pytest.approx(1000.0), 0.0)
    # Paid off over 12 years at 5 %, down to a fifth of the price.
    assert capital == pytest.approx(-float(npf.pmt(0.05, 12, 50_000, -10_000)))
    assert "repairs of disk, planter (no class)" in outcomes.attrs["not_counted"]
    known = season(MONEY, planter('class = "planter"'))
    assert "repairs of disk (no class)" in known.attrs["not_counted"]


def test_a_tractor_of_this_work_alone_bears_all_of_its_cost() -> None:
    outcomes = season(MONEY, *with_tractor('price = "$70,000"\nyears = 15'))
    small = tractor_class(60.0)
    assert small.name == "tractor_medium"  # 80 hp
    assert costs(outcomes, "one") == by_hand(machine_cost(owned(small, 70_000, DISK, 15)))


def test_a_tractor_with_other_work_bears_the_share_of_its_hours() -> None:
    outcomes = season(MONEY, *with_tractor('price = "$70,000"\nyears = 15\nother_hours = "180 h"'))
    # 20 of 200 hours.
    cost = machine_cost(owned(tractor_class(60.0), 70_000, 200.0, 15), 0.1)
    assert costs(outcomes, "one") == by_hand(cost)


def test_each_of_two_tractors_has_its_other_work() -> None:
    lines = 'price = "$70,000"\nother_hours = "90 h"'
    outcomes = season(MONEY, *with_tractor(lines, count=2))
    # 10 h here for each, of 100.
    cost = machine_cost(owned(tractor_class(60.0), 70_000, 100.0), 0.1)
    assert costs(outcomes, "one") == pytest.approx(
        [2 * cost.capital_recovery, 2 * cost.taxes_insurance_housing, 2 * cost.repairs]
    )


@pytest.mark.parametrize(
    ("drive", "name"),
    [
        ("two_wheel", "tractor_medium"),
        ("front_wheel_assist", "tractor_medium"),
        ("four_wheel", "tractor_4wd"),
        ("tracks", "tractor_4wd"),
    ],
)
def test_the_class_of_a_tractor_goes_by_its_power_and_its_wheels(drive: str, name: str) -> None:
    outcomes = season(MONEY, *with_tractor(f'price = "$70,000"\ndrive = "{drive}"'))
    cost = machine_cost(owned(machine_class(name), 70_000, DISK))
    assert costs(outcomes, "one") == by_hand(cost)


def test_equipment_that_never_works_costs_its_owning_and_no_repairs() -> None:
    farm = work_farm(
        [("corn", 10.0)],
        chain=always(0, 0),
        changes=(MONEY, planter('class = "planter"\nprice = "$50,000"'),
                 *with_tractor('price = "$70,000"\nother_hours = "100 h"')[:2],
                 ("planter = 1 }", "planter = 1 }\ntractors = { one = 1 }")),
    )  # fmt: skip
    outcomes = simulate(farm, 2).isel(option=0)
    assert not outcomes.equipment_hours.any()
    assert costs(outcomes, "planter") == by_hand(machine_cost(owned(PLANTER, 50_000, 0.0)))
    assert costs(outcomes, "planter")[2] == 0.0
    # All the hours of the tractor are those of the other work, which bears all of its cost.
    assert costs(outcomes, "one") == [0.0, 0.0, 0.0]
    assert np.isfinite(outcomes.equipment_cost).all()


def test_hours_of_a_year_are_not_exceeded() -> None:
    lines = 'price = "$70,000"\nother_hours = "8784 h"'
    outcomes = season(MONEY, *with_tractor(lines))
    cost = machine_cost(owned(tractor_class(60.0), 70_000, 8784.0), DISK / (DISK + 8784))
    assert costs(outcomes, "one") == by_hand(cost)


def test_repairs_go_by_the_mean_hours_of_the_seasons() -> None:
    # In some seasons land is left, so that hours differ.
    farm = work_farm(
        [("corn", 120.0)],
        chain=always(0.6, 0.4),
        changes=(MONEY, planter('class = "planter"\nprice = "$50,000"')),
    )
    outcomes = simulate(farm, 40).isel(option=0)
    hours = outcomes.equipment_hours.sel(equipment="planter")
    assert float(hours.std()) > 1
    cost = machine_cost(owned(PLANTER, 50_000, float(hours.mean())))
    assert costs(outcomes, "planter") == by_hand(cost)


def test_hired_machines_are_owned_by_others() -> None:
    hired = planter('class = "planter"\nyears = 5\ncustom = { rate = "$60/ha" }')
    outcomes = season(MONEY, hired)
    assert costs(outcomes, "planter") == [0.0, 0.0, 0.0]
    assert float(outcomes.hire_cost) == pytest.approx(40 * 60)
    assert "planter" not in outcomes.attrs["not_counted"]


def test_equipment_of_other_options_costs_an_option_nothing() -> None:
    other = (
        "[options.usual]",
        '[machines.wide]\noperations = ["plant"]\nwidth = "5 m"\nspeed = "8 km/h"\n'
        'field_efficiency = 0.5\nclass = "planter"\nprice = "$90,000"\n\n'
        "[options.large]\nmachines = { disk = 1, wide = 1 }\n\n[options.usual]",
    )
    outcomes = simulate(hand_farm(MONEY, other), 1)
    assert list(outcomes.equipment.values) == ["disk", "planter", "wide"]
    usual = outcomes.sel(option="usual")
    assert costs(usual, "wide") == [0.0, 0.0, 0.0]
    assert float(usual.equipment_area.sel(equipment="wide").sum()) == 0
    large = outcomes.sel(option="large", season=0)
    assert float(large.equipment_area.sel(equipment="wide")) == pytest.approx(40)
    assert float(large.equipment_hours.sel(equipment="wide")) == pytest.approx(20)
    assert float(large.equipment_cost.sum()) == pytest.approx(
        machine_cost(owned(PLANTER, 90_000, 20.0)).total
    )
