"""Outcomes at other prices are those of a farm that pays them, to the last bit."""

from __future__ import annotations

import pytest
import xarray as xr

from fieldsim.decisions.sensitivity.inputs import Input, farm_at
from fieldsim.farm import Farm, parse_farm
from fieldsim.outcomes import at_prices_of
from fieldsim.simulation import simulate
from tests.reliability.corpus import CASES

WAGE = Input("wage", ("money.wage",), 0.8, 1.25)


def _prices(farm: Farm) -> tuple[Input, ...]:
    own = tuple(f"machines.{name}.price" for name, part in farm.machines.items() if part.price)
    machines = Input("prices", (*own, "tractors.*.price"), 0.8, 1.2)
    return machines, WAGE, Input("interest", ("money.interest",), 0.5, 1.5)


@pytest.mark.parametrize("name", ["demo", "small", "full"])
def test_what_is_paid_changes_no_fieldwork(name: str) -> None:
    farm = parse_farm(CASES[name].text, CASES[name].tables)
    outcomes = simulate(farm, 60)
    costs = []
    for item in _prices(farm):
        dear = farm_at(farm, {item: 1.2})
        found = at_prices_of(dear, outcomes)
        told = {key: outcomes.attrs[key] for key in ("farm_text", "farm_tables")}
        xr.testing.assert_identical(found, simulate(dear, 60).assign_attrs(told))
        costs.append(found.drop_attrs())
    assert not any(cost.equals(outcomes) for cost in costs)  # each price is paid


def test_operations_may_stand_in_any_order_of_axes() -> None:
    farm = parse_farm(CASES["small"].text, CASES["small"].tables)
    outcomes = simulate(farm, 20)
    turned = outcomes.transpose("crop", "season", "operation", "option", ...)
    dear = farm_at(farm, {WAGE: 1.2})
    assert at_prices_of(dear, turned).labor_cost.equals(at_prices_of(dear, outcomes).labor_cost)
