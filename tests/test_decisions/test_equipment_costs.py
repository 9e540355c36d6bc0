"""What equipment and people of an option do and cost, on farms to work out by hand."""

from __future__ import annotations

import pandas as pd
import pytest
import xarray as xr

import fieldsim
from fieldsim.decisions.equipment_costs import equipment_costs, people_and_fuel
from tests.farms import hand_farm

OWNED = (
    'width = "2.5 m"',
    'width = "2.5 m"\nclass = "planter"\nprice = "$50,000"\nsalvage = "20 %"\nyears = 10',
)
TAXED = ('interest = "0 %"', 'interest = "0 %"\ntaxes_insurance_housing = "1 %"')


@pytest.fixture(scope="module")
def demo() -> xr.Dataset:
    return fieldsim.simulate(fieldsim.demo_farm(), 60)


def row(outcomes: xr.Dataset, equipment: str) -> pd.Series:
    table = equipment_costs(outcomes).set_index("equipment")
    return table.loc[equipment]


def test_a_planter_costs_by_part_by_hour_and_by_hectare() -> None:
    """$40,000 lost in 10 years; 1 % of $50,000; 40 h and 40 ha a year, half of each a unit."""
    outcomes = fieldsim.simulate(hand_farm(OWNED, TAXED, ("planter = 1 }", "planter = 2 }")), 3)
    planter = row(outcomes, "planter")
    assert (planter.kind, planter.units) == ("own", 2)
    assert (planter.hours, planter.hours_per_unit) == (pytest.approx(40), pytest.approx(20))
    assert planter.hours_error == pytest.approx(0, abs=1e-9)
    assert planter.area == pytest.approx(40)
    assert planter.capital_recovery == pytest.approx(2 * 4000)
    assert planter.taxes_insurance_housing == pytest.approx(2 * 500)
    assert planter.repairs == pytest.approx(float(outcomes.repair_cost.item()))
    assert planter.repairs > 0
    assert planter.total == pytest.approx(9000 + planter.repairs)
    assert planter.cost_per_hour == pytest.approx(planter.total / 40)
    assert planter.cost_per_area == pytest.approx(planter.total / 40)


def test_a_hired_machine_costs_its_rate() -> None:
    hired = ('width = "2.5 m"', 'width = "2.5 m"\ncustom = { rate = "$50/ha" }')
    outcomes = fieldsim.simulate(hand_farm(hired), 2)
    planter = row(outcomes, "planter")
    assert planter.kind == "hired"
    assert planter.hire == planter.total == pytest.approx(2000)
    assert planter.cost_per_area == pytest.approx(50)
    people = people_and_fuel(outcomes).loc["usual"]
    assert pd.isna(people.planted_per_labor_hour)  # its operator is not the farm's
    assert people.planted_area == pytest.approx(40)


def test_what_is_never_used_has_no_cost_of_an_hour_or_a_hectare() -> None:
    outcomes = fieldsim.simulate(
        hand_farm(
            OWNED,
            ('lag = "1 day"', 'lag = "1 day"\nearliest = "29 Apr"\nlatest = "29 Apr"'),
            ("10 h\"\n\n[money]", "10 h\"\ndays_off = [\"Wednesday\"]\n\n[money]"),
        ),
        2,
    )  # 29 April 2026 is a Wednesday  # fmt: skip
    planter = row(outcomes, "planter")
    assert planter.hours == planter.area == 0
    assert planter.total == pytest.approx(4000)
    assert pd.isna(planter.cost_per_hour)
    assert pd.isna(planter.cost_per_area)


def test_parts_add_up_to_the_costs_of_the_option(demo: xr.Dataset) -> None:
    table = equipment_costs(demo)
    for option, of_option in table.groupby("option"):
        at = demo.sel(option=option)
        owned = of_option.capital_recovery + of_option.taxes_insurance_housing
        assert owned.sum() == pytest.approx(float(at.ownership_cost))
        assert of_option.repairs.sum() == pytest.approx(float(at.repair_cost))
        assert of_option.hire.sum() == pytest.approx(float(at.hire_cost.mean()))


def test_tractors_have_hours_and_no_land_and_units_are_told(demo: xr.Dataset) -> None:
    table = equipment_costs(demo)
    tractors = table[table.kind == "tractor"]
    assert (tractors.hours > 0).all()
    assert tractors.area.isna().all()
    assert table.attrs["units"] == {"area": "acre", "fuel": "gal", "money": "$"}
    own = table[table.option == "four_rows"].set_index("equipment")
    assert own.area["disk"] == pytest.approx(902)


def test_a_part_of_the_options_is_enough(demo: xr.Dataset) -> None:
    part = demo.isel(option=[3])
    whole = equipment_costs(demo)
    expected = whole[whole.option == "two_six_rows"].reset_index(drop=True)
    pd.testing.assert_frame_equal(equipment_costs(part), expected)
    assert list(people_and_fuel(part).index) == ["two_six_rows"]


def test_output_of_a_person_is_land_over_hours_and_hands() -> None:
    """Disk 20 h and planter 40 h on 40 ha, with 10 % of labor above machine hours."""
    more = ("interest", 'labor_above_machine_hours = "10 %"\ninterest')
    people = people_and_fuel(fieldsim.simulate(hand_farm(more), 2)).loc["usual"]
    assert people.operators == 1
    assert people.labor_hours == pytest.approx(66)
    assert people.planted_per_operator == pytest.approx(40)
    assert people.planted_per_labor_hour == pytest.approx(40 / 44)
    assert people.labor_hours_per_area == pytest.approx(66 / 40)


def test_fuel_is_that_of_the_outcomes(demo: xr.Dataset) -> None:
    table = people_and_fuel(demo)
    fuel = demo.fuel_use.sum(("operation", "crop")).mean("season")
    assert table.fuel.to_list() == pytest.approx(fuel.values.tolist())
    assert table.fuel_per_area["four_rows"] == pytest.approx(
        table.fuel["four_rows"] / table.planted_area["four_rows"]
    )
    assert table.operators.to_dict()["two_six_rows"] == 3
