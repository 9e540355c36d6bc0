"""Every argument of the costs is taken up to the bounds that its docstring states, no further."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from fieldsim.machines import (
    MachineCost,
    OwnedMachine,
    accumulated_repair_share,
    average_fuel_per_hour,
    capital_recovery,
    capital_recovery_factor,
    cost_per_area,
    cost_per_hour,
    custom_hire_cost,
    fuel_per_area,
    fuel_per_hour,
    labor_cost,
    lubricant_cost,
    machine_class,
    machine_cost,
    mean_yearly_hours,
    mean_yearly_repairs,
    ownership_cost,
    ownership_percentage,
    remaining_share,
    repair_cost,
    specific_consumption,
    yearly_repairs,
)
from tests.bounds import check_bounds

KIND = machine_class("tractor_medium")
MACHINE = OwnedMachine(KIND, 60_000, 52_000, 80, 10, 0.05, 0.01)
COST = MachineCost(4_000, 500, 1_500)
ABOVE_0 = {"above": 0.0}
POSITIVE = {"at_least": 0.0}
SHARE = {"at_least": 0.0, "at_most": 1.0}
RATE = {"at_least": -0.5, "at_most": 1.0}
LIFE = {"above": 0.0, "at_most": 100.0}
HOURS = {"at_least": 0.0, "at_most": 8784.0}
CASES: list[tuple[str, dict[str, float], Callable[[float], object]]] = [
    ("rate", RATE, lambda x: capital_recovery_factor(x, 10)),
    ("years", LIFE, lambda x: capital_recovery_factor(0.06, x)),
    ("purchase", POSITIVE, lambda x: capital_recovery(x, 0, 0.06, 10)),
    ("salvage", POSITIVE, lambda x: capital_recovery(1, x, 0.06, 10)),
    ("taxes_insurance_housing", SHARE, lambda x: ownership_cost(1, 0, 0.06, 10, x)),
    ("salvage_share", SHARE, lambda x: ownership_percentage(x, 0.06, 10, 0.02)),
    ("rate", RATE, lambda x: ownership_percentage(0.4, x, 10, 0.02)),
    ("years", LIFE, lambda x: ownership_percentage(0.4, 0.06, x, 0.02)),
    ("taxes_insurance_housing", SHARE, lambda x: ownership_percentage(0.4, 0.06, 10, x)),
    ("hours", POSITIVE, lambda x: labor_cost(x, 20)),
    ("wage", POSITIVE, lambda x: labor_cost(1, x)),
    ("share_above", POSITIVE, lambda x: labor_cost(1, 20, x)),
    ("area", POSITIVE, lambda x: custom_hire_cost(x, 50)),
    ("rate", POSITIVE, lambda x: custom_hire_cost(1, x)),
    ("list_price", POSITIVE, lambda x: replace(MACHINE, list_price=x)),
    ("purchase_price", POSITIVE, lambda x: replace(MACHINE, purchase_price=x)),
    ("yearly_hours", HOURS, lambda x: replace(MACHINE, yearly_hours=x)),
    ("years", LIFE, lambda x: replace(MACHINE, years=x)),
    ("interest", RATE, lambda x: replace(MACHINE, interest=x)),
    ("taxes_insurance_housing", SHARE, lambda x: replace(MACHINE, taxes_insurance_housing=x)),
    ("age", POSITIVE, lambda x: replace(MACHINE, age=x)),
    ("hours", POSITIVE, lambda x: replace(MACHINE, hours=x)),
    ("salvage", POSITIVE, lambda x: replace(MACHINE, salvage=x)),
    ("share_of_hours", SHARE, lambda x: machine_cost(MACHINE, x)),
    ("area", ABOVE_0, lambda x: cost_per_area(COST, x)),
    ("hours", ABOVE_0, lambda x: cost_per_hour(COST, x)),
    ("hours", POSITIVE, lambda x: accumulated_repair_share(KIND, x)),
    ("list_price", POSITIVE, lambda x: repair_cost(x, KIND, 0, 1)),
    ("start", POSITIVE, lambda x: repair_cost(1, KIND, x, 5)),
    ("end", POSITIVE, lambda x: repair_cost(1, KIND, 0, x)),
    ("end - start", POSITIVE, lambda x: repair_cost(1, KIND, 0.5, 0.5 + x)),
    ("hours", POSITIVE, lambda x: mean_yearly_repairs(1, KIND, x, 100, 10)),
    ("yearly_hours", POSITIVE, lambda x: mean_yearly_repairs(1, KIND, 10, x, 10)),
    ("years", ABOVE_0, lambda x: mean_yearly_repairs(1, KIND, 0, 100, x)),
    ("hours", POSITIVE, lambda x: yearly_repairs(1, KIND, x, 100, 10)),
    ("yearly_hours", POSITIVE, lambda x: yearly_repairs(1, KIND, 10, x, 10)),
    ("age", POSITIVE, lambda x: remaining_share(KIND, x, 100)),
    ("yearly_hours", HOURS, lambda x: remaining_share(KIND, 5, x)),
    ("age", POSITIVE, lambda x: mean_yearly_hours(x, 0, 1, 1)),
    ("hours", POSITIVE, lambda x: mean_yearly_hours(1, x, 1, 1)),
    ("years", POSITIVE, lambda x: mean_yearly_hours(1, 0, x, 1)),
    ("yearly_hours", HOURS, lambda x: mean_yearly_hours(1, 0, 1, x)),
    ("load", {"above": 0.0, "at_most": 1.0}, lambda x: specific_consumption(x)),
    ("pto_power", POSITIVE, lambda x: fuel_per_hour(x, 100)),
    ("available", ABOVE_0, lambda x: fuel_per_hour(0, x)),
    ("pto_power / available", {"at_most": 1.0}, lambda x: fuel_per_hour(100 * x, 100)),
    ("pto_power", POSITIVE, lambda x: average_fuel_per_hour(x)),
    ("fuel", POSITIVE, lambda x: fuel_per_area(x, 2)),
    ("capacity", ABOVE_0, lambda x: fuel_per_area(1, x)),
    ("fuel_cost", POSITIVE, lambda x: lubricant_cost(x)),
]


@pytest.mark.parametrize(("name", "bounds", "call"), CASES)
def test_an_argument_is_taken_up_to_its_bounds(
    name: str, bounds: dict[str, float], call: Callable[[float], object]
) -> None:
    check_bounds(call, name, **bounds)


@pytest.mark.parametrize("years", [1, 100])
def test_repairs_year_by_year_are_told_for_1_to_100_years(years: int) -> None:
    assert yearly_repairs(1, KIND, 0, 100, years).shape == (years,)
    for beyond in (0, 101):
        with pytest.raises(ValueError, match=f"years = {beyond} years"):
            yearly_repairs(1, KIND, 0, 100, beyond)
