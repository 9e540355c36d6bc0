from __future__ import annotations

import json

import numpy as np
import pytest
import xarray as xr

from fieldsim.farm import Farm, parse_farm
from fieldsim.outcomes.dataset import not_counted
from fieldsim.simulation import simulate
from fieldsim.variables import CAUSES, DATE, FLAG, VARIABLES
from tests.farms import hand_farm, small_farm

BECAME = ("done_area", "unfinished_area", "missed_area", "switched_area", "prevented_area")


@pytest.fixture(scope="module")
def farm() -> Farm:
    """Return a farm on which land is missed, switched, left and prevented."""
    return small_farm(
        ('area = "200 acre"', 'area = "700 acre"'),
        ('area = "150 acre"', 'area = "400 acre"'),
        ('"1 Jun"', '"20 May"'),
        ('"10 Jul"', '"10 Jun"'),
        ('"31 Jul"', '"5 Jul"'),
        ("operators = 1\n", "operators = 0\n"),
    )


@pytest.fixture(scope="module")
def outcomes(farm: Farm) -> xr.Dataset:
    return simulate(farm, 200)


def test_every_variable_of_the_registry_is_there_with_its_dims(outcomes: xr.Dataset) -> None:
    assert set(outcomes.data_vars) == set(VARIABLES)
    for name, variable in VARIABLES.items():
        assert outcomes[name].dims == variable.dims, name


def test_every_variable_has_a_label_a_meaning_and_a_unit(outcomes: xr.Dataset) -> None:
    units = {"area": "acre", "time": "h", "money": "$", "fuel": "gal", "share": "%"}
    for name, variable in VARIABLES.items():
        attrs = outcomes[name].attrs
        assert attrs["long_name"] == variable.label
        assert attrs["description"] == variable.meaning
        if variable.kind not in (DATE, FLAG):
            assert attrs["units"] == units[variable.kind], name


def test_the_axes_are_named_by_the_farm(outcomes: xr.Dataset) -> None:
    assert outcomes.option.values.tolist() == ["one_outfit", "two_planters"]
    assert outcomes.operation.values.tolist() == ["till", "plant", "cultivate"]
    assert outcomes.crop.values.tolist() == ["corn", "soybeans"]
    assert outcomes.cause.values.tolist() == list(CAUSES)
    assert outcomes.season.values.tolist() == list(range(200))


def test_options_have_labels_and_else_their_names() -> None:
    farm = small_farm(("operators = 2\n", 'operators = 2\nlabel = "a planter more"\n'))
    labels = simulate(farm, 1).option_label
    assert labels.values.tolist() == ["one outfit", "a planter more"]


def test_where_the_numbers_come_from_stands_in_the_attributes(outcomes: xr.Dataset) -> None:
    attrs = outcomes.attrs
    assert (attrs["farm"], attrs["units"]) == ("Small farm", "us")
    assert (attrs["seed"], attrs["seasons"]) == (0, 200)
    assert (attrs["first_day"], attrs["last_day"]) == ("2026-04-01", "2026-07-05")
    assert attrs["fieldsim_version"]


def test_the_farm_in_the_attributes_gives_the_same_farm_and_outcomes(
    farm: Farm, outcomes: xr.Dataset
) -> None:
    again = parse_farm(outcomes.attrs["farm_text"], json.loads(outcomes.attrs["farm_tables"]))
    assert again == farm
    seasons, seed = outcomes.attrs["seasons"], outcomes.attrs["seed"]
    xr.testing.assert_identical(simulate(again, seasons, seed), outcomes)


def test_every_fate_of_land_occurs_on_this_farm(outcomes: xr.Dataset) -> None:
    for name in BECAME:
        assert float(outcomes[name].sum()) > 0, name
    assert outcomes.finish_date.isnull().any()
    assert outcomes.finish_date.notnull().any()


def test_land_adds_up_in_every_season_and_operation(outcomes: xr.Dataset) -> None:
    parts = sum(outcomes[name] for name in BECAME)
    switched = outcomes.switched_area.sel(crop="corn")
    corn, soybeans = (outcomes.crop_area.sel(crop=crop) for crop in ("corn", "soybeans"))
    np.testing.assert_allclose(parts.sel(crop="corn"), float(corn), rtol=1e-12)
    after = ["plant", "cultivate"]  # land comes to soybeans with planting; tillage is corn's
    expected = float(soybeans) + switched.sel(operation=after)
    np.testing.assert_allclose(parts.sel(crop="soybeans", operation=after), expected, rtol=1e-12)
    till = parts.sel(crop="soybeans", operation="till")
    np.testing.assert_allclose(till, float(soybeans), rtol=1e-12)


def test_the_causes_add_up_to_the_loss_and_the_loss_to_the_potential(
    farm: Farm, outcomes: xr.Dataset
) -> None:
    np.testing.assert_allclose(
        outcomes.lost_revenue_by_cause.sum("cause"), outcomes.lost_revenue, atol=1e-6
    )
    worth = [farm.crops[crop].yield_ * farm.crops[crop].price for crop in ("corn", "soybeans")]
    hectares = outcomes.crop_area / 2.4710538146716534  # 1 / 0.40468564224
    np.testing.assert_allclose(outcomes.potential_revenue, hectares * worth, rtol=1e-12)
    assert (outcomes.lost_revenue.sum("crop") <= float(outcomes.potential_revenue.sum())).all()


def test_an_operation_is_finished_when_all_its_land_is_done(outcomes: xr.Dataset) -> None:
    undone = sum(outcomes[name] for name in BECAME if name != "done_area")
    all_done = (undone <= 1e-6) & (outcomes.done_area > 0)
    assert (outcomes.finish_date.notnull() == all_done).all()


def test_planting_is_marked(outcomes: xr.Dataset) -> None:
    assert outcomes.plants.sel(crop="corn").values.tolist() == [False, True, False]


def test_the_target_date_is_that_of_the_crop(outcomes: xr.Dataset) -> None:
    assert [str(date)[:10] for date in outcomes.target_date.values] == ["2026-05-10", "2026-05-25"]


def test_crops_that_stand_nowhere_are_left_out() -> None:
    assert simulate(hand_farm(), 1).crop.values.tolist() == ["corn"]


def test_a_farm_in_metric_units_shows_hectares() -> None:
    outcomes = simulate(hand_farm(), 1)
    assert outcomes.crop_area.attrs["units"] == "ha"
    assert outcomes.crop_area.values.tolist() == [40.0]


def test_what_the_file_says_too_little_of_is_named() -> None:
    assert not_counted(small_farm()) == (
        "fuel (no fuel_price), repairs of disk, planter, cultivator (no class), "
        "losses to weeds in corn, soybeans (no weeds)"
    )
    paid = small_farm(
        ('interest = "5 %"', 'interest = "5 %"\nfuel_price = "$3/gal"'),
        ('tractor_power = "60 hp"\n', ""),
    )
    assert not_counted(paid).startswith("fuel of cultivator (no tractor_power or draft), repairs")
