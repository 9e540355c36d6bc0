"""Repairs, worth and replacement of each machine, by its place in life."""

from __future__ import annotations

import numpy as np
import pytest
import xarray as xr

import fieldsim
from fieldsim.decisions import invest
from fieldsim.decisions.investment.change import usual_years
from fieldsim.decisions.investment.ownership import owned_years, worth
from fieldsim.farm import Farm, changed
from fieldsim.machines import accumulated_repair_share, machine_class, remaining_share
from tests.farms import hand_farm


@pytest.fixture(scope="module")
def farm() -> Farm:
    return fieldsim.demo_farm()


@pytest.fixture(scope="module")
def outcomes(farm: Farm) -> xr.Dataset:
    return fieldsim.simulate(farm, 400)


PLANTER = (
    '[machines.planter]\noperations = ["plant"]\nprice = "$6,000"\nsalvage = "20 %"\nyears = 4'
)


def test_repairs_over_the_years_of_the_file_add_up_to_the_yearly_cost_of_the_outcomes(
    farm: Farm, outcomes: xr.Dataset
) -> None:
    parts = dict(farm.machines) | dict(farm.tractors)
    for name, count in {"planter_8_rows": 1, "disk": 1, "tractor_130": 1}.items():
        at = outcomes.sel(option="eight_rows", equipment=name)
        part, hours = parts[name], float(at.equipment_hours.mean()) / count
        repairs = owned_years(part, hours, part.years).repairs
        expected = float(at.equipment_cost.sel(cost_part="repairs"))
        assert repairs[1:].mean() == pytest.approx(expected)
        assert (np.diff(repairs[1:]) > 0).all()  # more with every hour behind it


def test_repairs_and_worth_go_on_from_where_the_machine_is_in_its_life(farm: Farm) -> None:
    planter = farm.machines["planter_6_rows"].model_copy(
        update={"age": 3, "hours": 200.0, "list_price": 31_000.0, "price": 20_000.0}
    )
    kind, hours = machine_class("planter"), 60.0
    found = owned_years(planter, hours, 2, owned=4, tax_share=0.02)
    meter = 200 + 60 * np.arange(4, 7)
    np.testing.assert_allclose(
        found.repairs[1:], 31_000 * np.diff(accumulated_repair_share(kind, meter))
    )
    assert found.worth_now == pytest.approx(31_000 * remaining_share(kind, 7, 440 / 7))
    assert found.worth_then == pytest.approx(31_000 * remaining_share(kind, 9, 560 / 9))
    np.testing.assert_allclose(found.taxes_insurance_housing, [0, 400, 400])
    assert (found.replacement == 0).all()


def test_a_machine_that_has_had_its_years_is_traded_and_begins_its_life_anew(farm: Farm) -> None:
    planter = farm.machines["planter_6_rows"].model_copy(update={"years": 3})
    kind, hours, price = machine_class("planter"), 60.0, planter.price
    found = owned_years(planter, hours, 5, owned=2)
    # Its third year, three of the next one, and the first of the one after that.
    of_life = price * np.diff(accumulated_repair_share(kind, hours * np.arange(4)))
    np.testing.assert_allclose(found.repairs[1:], of_life[[2, 0, 1, 2, 0]])
    traded = price - price * float(remaining_share(kind, 3, hours))
    np.testing.assert_allclose(found.replacement, [0, traded, 0, 0, traded, 0])
    assert found.worth_now == pytest.approx(price * remaining_share(kind, 2, hours))
    assert found.worth_then == pytest.approx(price * remaining_share(kind, 1, hours))


def test_a_salvage_value_of_the_farm_file_goes_before_the_class(farm: Farm) -> None:
    planter = farm.machines["planter_6_rows"].model_copy(update={"years": 4, "salvage": 0.2})
    expected = planter.price * np.array([1.0, 0.8, 0.6, 0.4, 0.2, 0.2])
    np.testing.assert_allclose(worth(planter, 50.0, np.arange(6)), expected)


def test_a_machine_with_neither_class_nor_salvage_is_worth_nothing_in_the_end() -> None:
    line = PLANTER.replace('\nsalvage = "20 %"', "")
    planter = hand_farm(('[machines.planter]\noperations = ["plant"]', line)).machines["planter"]
    np.testing.assert_allclose(worth(planter, 50.0, np.arange(5)), [6000, 4500, 3000, 1500, 0])


def test_a_tractor_ages_by_all_its_hours_and_bears_repairs_by_its_share_of_them(
    farm: Farm,
) -> None:
    tractor = farm.tractors["tractor_95"]  # with 150 h of other work
    kind = machine_class("tractor_medium")
    found = owned_years(tractor, 100.0, 3)
    assert found.worth_then == pytest.approx(66_000 * remaining_share(kind, 3, 250))
    all_repairs = 66_000 * np.diff(accumulated_repair_share(kind, 250 * np.arange(4)))
    np.testing.assert_allclose(found.repairs[1:], 100 / 250 * all_repairs)


def test_the_plan_is_that_of_every_unit_kept_traded_and_bought(
    farm: Farm, outcomes: xr.Dataset
) -> None:
    found = invest(farm, outcomes, "two_six_rows", "eight_rows", futures=2, years=13, owned=4)

    def unit(name: str, option: str, count: int, owned: int) -> tuple[float, float, np.ndarray]:
        part = dict(farm.machines) | dict(farm.tractors)
        hours = outcomes.equipment_hours.sel(option=option, equipment=name).mean() / count
        years = owned_years(part[name], float(hours), 13, owned=owned)
        return years.worth_now, years.worth_then, years.repairs + years.replacement

    kept = ("disk", "tractor_130", "tractor_95")
    old = [("planter_6_rows", 2), ("cultivator_6_rows", 2), ("disk", 1)]
    old += [("tractor_130", 1), ("tractor_95", 2)]
    before = [(n, *unit(name, "two_six_rows", n, 4)) for name, n in old]
    new = [*kept, "planter_8_rows", "cultivator_8_rows"]
    after = [unit(name, "eight_rows", 1, 4 if name in kept else 0) for name in new]
    costs = sum(n * cost for n, _, _, cost in before) - sum(cost for _, _, cost in after)
    plan = found.plan.to_pandas().T
    np.testing.assert_allclose(plan.repairs + plan.replacement, costs)
    worth = sum(then for _, then, _ in after) - sum(n * then for n, _, then, _ in before)
    assert plan.end_worth.iloc[-1] == pytest.approx(worth)
    now = dict(zip([name for name, _ in old], before, strict=True))
    gone = {"planter_6_rows": 2, "cultivator_6_rows": 2, "tractor_95": 1}
    trade_in = sum(count * now[name][1] for name, count in gone.items())
    assert plan.trade_in[0] == pytest.approx(trade_in)
    assert plan.purchase[0] == -64_000


def test_a_machine_without_a_class_loses_worth_in_a_straight_line_and_needs_no_repairs() -> None:
    planter = hand_farm(('[machines.planter]\noperations = ["plant"]', PLANTER)).machines["planter"]
    np.testing.assert_allclose(
        worth(planter, 50.0, np.arange(6)), [6000, 4800, 3600, 2400, 1200, 1200]
    )
    assert (owned_years(planter, 50.0, 3).repairs == 0).all()


def test_years_are_those_for_which_the_new_machines_are_kept(farm: Farm) -> None:
    assert usual_years(farm, "six_rows", "two_six_rows") == 12  # the tractor is kept for 15
    longer = changed(farm, {"machines.*.years": 20})
    assert usual_years(longer, "six_rows", "two_six_rows") == 15
    same = changed(farm, {"options.eight_rows.machines": longer.options["six_rows"].machines})
    assert usual_years(same, "six_rows", "eight_rows") == 10  # nothing is bought
