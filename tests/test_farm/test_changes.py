"""Changing a farm's figures by their paths."""

from __future__ import annotations

import pytest

from fieldsim.errors import InputError
from fieldsim.farm import Farm, Times, changed, figure_at, parse_farm
from fieldsim.simulation import simulate
from tests.farms import small_farm


@pytest.fixture(scope="module")
def farm() -> Farm:
    return small_farm()


def messages_of(farm: Farm, values: dict[str, object]) -> list[str]:
    with pytest.raises(InputError) as caught:
        changed(farm, values)
    return [str(fault) for fault in caught.value.faults]


def test_a_farm_without_changes_is_the_same_farm(farm: Farm) -> None:
    same = changed(farm, {})
    for name in ("crops", "fields", "operations", "machines", "tractors", "options", "money"):
        assert getattr(same, name) == getattr(farm, name), name


def test_a_figure_is_written_as_in_the_file(farm: Farm) -> None:
    dear = changed(farm, {"crops.corn.price": "$9.00/bu", "crew.operators": 3})
    assert dear.crops["corn"].price == pytest.approx(2 * farm.crops["corn"].price)
    assert dear.crops["soybeans"] == farm.crops["soybeans"]
    assert dear.crew.operators == 3


@pytest.mark.parametrize(
    ("path", "of"),
    [
        ("fields.*.area", lambda farm: [field.area for field in farm.fields.values()]),
        ("crops.*.price", lambda farm: [crop.price for crop in farm.crops.values()]),
        ("money.labor_above_machine_hours", lambda farm: [farm.money.labor_above_machine_hours]),
        (
            "machines.cultivator.field_efficiency",
            lambda f: [f.machines["cultivator"].field_efficiency],
        ),
        ("operations.plant.hours_per_day", lambda f: [f.operations["plant"]["corn"].hours_per_day]),
        ("machines.planter.speed", lambda farm: [farm.machines["planter"].speed]),
        ("tractors.*.price", lambda farm: [tractor.price for tractor in farm.tractors.values()]),
    ],
)
def test_a_factor_multiplies_every_figure_that_the_path_names(farm, path, of) -> None:
    scaled = changed(farm, {path: Times(1.1)})
    assert of(scaled) == pytest.approx([1.1 * figure for figure in of(farm)], rel=1e-12)


def test_a_table_with_a_value_for_each_crop_is_multiplied_throughout(farm: Farm) -> None:
    longer = changed(farm, {"operations.cultivate.latest_after_planting": Times(2)})
    waits = [part.latest_after_planting for part in longer.operations["cultivate"].values()]
    assert [wait.days for wait in waits] == [90, 100]


def test_a_figure_that_was_left_out_can_be_added(farm: Farm) -> None:
    assert changed(farm, {"money.fuel_price": "$3.00/gal"}).money.fuel_price is not None


def test_its_text_reads_back_as_the_same_farm(farm: Farm) -> None:
    scaled = changed(farm, {"fields.*.area": Times(1.37)})
    again = parse_farm(scaled.text, dict(scaled.tables))
    assert simulate(again, 20).identical(simulate(scaled, 20))


def test_the_first_figure_of_a_path_is_found(farm: Farm) -> None:
    assert figure_at(farm, "fields.*.area") == "200 acre"
    assert figure_at(farm, "crew.operators") == 1
    with pytest.raises(InputError, match="there is no such figure"):
        figure_at(farm, "fields.home.depth")


def test_all_faults_are_told_at_once(farm: Farm) -> None:
    found = messages_of(
        farm, {"crop.corn.price": "$1/bu", "fields.*.crop": Times(2), "days.source": Times(1)}
    )
    assert len(found) == 4  # two fields
    assert found[0].startswith("crop.corn.price: there is no such figure in the farm")
    assert all("no figure that can be multiplied" in message for message in found[1:])


def test_a_farm_that_is_not_sound_with_it_is_refused(farm: Farm) -> None:
    (message,) = messages_of(farm, {"crops.corn.price": "$-4.00/bu"})
    assert "crops.corn.price" in message
