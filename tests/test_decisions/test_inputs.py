"""Inputs and their ranges: on a farm, in a file, and what is wrong with them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import fieldsim
from fieldsim.decisions.sensitivity.input_checks import check_inputs
from fieldsim.decisions.sensitivity.inputs import (
    COMMON_PRACTICE,
    Input,
    farm_at,
    own_position,
    shown_at,
    span,
)
from fieldsim.decisions.sensitivity.range_files import parse_ranges, ranges_text, read_ranges
from fieldsim.decisions.sensitivity.usual_inputs import CUT, usual_inputs
from fieldsim.errors import InputError
from fieldsim.farm import Farm, changed
from tests.farms import hand_farm

WAGE = Input("wage", ("money.wage",), "$20/h", "$30/h", "figure")


def messages(*inputs: Input) -> list[str]:
    with pytest.raises(InputError) as caught:
        check_inputs(fieldsim.demo_farm(), inputs)
    return [str(fault) for fault in caught.value.faults]


def test_a_factor_moves_all_figures_that_its_paths_name() -> None:
    farm = fieldsim.demo_farm()
    hours = Input("hours", ("crew.hours_per_day", "operations.*.hours_per_day"), 0.9, 1.1)
    longer = farm_at(farm, {hours: 1.1})
    assert longer.crew.hours_per_day == pytest.approx(12.1)
    assert longer.operations["plant"]["corn"].hours_per_day == pytest.approx(11.0)


def test_several_inputs_are_moved_at_once() -> None:
    area = Input("area", ("fields.*.area",), 0.5, 2.0)
    farm = farm_at(hand_farm(), {WAGE: 25.0, area: 0.5})
    assert (farm.money.wage, farm.fields["north"].area) == (25.0, pytest.approx(20.0))


def test_whole_figures_stay_whole() -> None:
    crew = Input("operators", ("crew.operators",), 1, 3, "figure")
    assert farm_at(hand_farm(), {crew: 2.2}).crew.operators == 2
    assert shown_at(hand_farm(), crew, 2.2) == "2"


def test_an_input_may_be_the_losses_of_one_curve_or_of_all() -> None:
    farm = changed(hand_farm(), {"crops.corn.planting_loss": "120 %"})
    for path, losses in (("crops.corn", (2.4, 1.0)), ("crops.*", (2.4, 2.0))):
        item = Input("loss", (f"{path}.yield_by_planting_date",), 0.5, 2)
        crops = farm_at(farm, {item: 2.0}).crops
        assert (crops["corn"].planting_loss, crops["soybeans"].planting_loss) == losses


def test_losses_are_those_of_the_same_figure_in_the_file() -> None:
    farm = fieldsim.demo_farm()
    item = Input("loss", ("crops.*.yield_by_planting_date",), 0.5, 2)
    written = changed(farm, {f"crops.{crop}.planting_loss": 1.5 for crop in farm.crops})
    plain, moved, same = (
        fieldsim.simulate(each, 10).lost_revenue
        for each in (farm, farm_at(farm, {item: 1.5}), written)
    )
    np.testing.assert_array_equal(moved, same)
    assert moved.mean() > 1.1 * plain.mean()


def test_figures_are_shown_as_people_write_them() -> None:
    farm = fieldsim.demo_farm()
    price = Input("prices", ("machines.planter_6_rows.price",), 0.85, 1.15)
    assert shown_at(farm, price, 1.15) == "$33,350"
    assert shown_at(farm, price) == "$29,000"
    assert [shown_at(farm, WAGE, at) for at in span(WAGE)] == ["$20.00/h", "$30.00/h"]
    loss = Input("loss", ("crops.*.yield_by_planting_date",), 0.5, 1.5)
    assert [shown_at(farm, loss, at) for at in (0.5, 1.0, 1.5)] == ["−50 %", "±0 %", "+50 %"]
    assert shown_at(farm, loss) == "as in the file"


def test_the_farms_own_figure_lies_on_the_scale_of_its_range_or_nowhere() -> None:
    farm = fieldsim.demo_farm()
    assert own_position(farm, WAGE) == 24.0
    assert own_position(farm, Input("w", ("money.wage",), 0.5, 2)) == 1.0
    assert (
        own_position(farm, Input("s", ("machines.*.speed",), "6 km/h", "9 km/h", "figure")) is None
    )
    metric = Input("s", ("machines.disk.speed",), "6 km/h", "9 km/h", "figure")
    assert own_position(farm, metric) is None


def test_usual_inputs_are_those_that_a_farm_has() -> None:
    names = [item.name for item in usual_inputs(fieldsim.demo_farm())]
    for name in ("corn price", "soybeans yield", "corn weed pressure", "fuel price", "interest"):
        assert name in names
    assert "hired rates" not in names
    bare = [item.name for item in usual_inputs(hand_farm())]
    assert bare == [
        *("corn price", "corn yield", "corn planting loss", "wage"),
        *("hours a day", "planter speed", "field area"),
    ]


def test_usual_ranges_say_where_they_come_from_and_are_sound() -> None:
    farm = fieldsim.demo_farm()
    inputs = usual_inputs(farm)
    assert {item.basis for item in inputs} == {COMMON_PRACTICE}
    check_inputs(farm, inputs)


def usual(farm: Farm, name: str) -> Input:
    return next(item for item in usual_inputs(farm) if item.name == name)


def test_a_usual_range_gives_no_day_more_than_24_hours_and_no_chance_more_than_certainty() -> None:
    farm = hand_farm(
        ('hours_per_day = "10 h"\n\n[money]', 'hours_per_day = "23 h"\n\n[money]'),
        ("[money]", '[crew.helpers.ann]\nprobability = "90 %"\n\n[money]'),
    )
    assert usual(farm, "hours a day").high == pytest.approx(24 / 23, abs=1e-4)
    assert usual(farm, "help turning up").high == pytest.approx(1 / 0.9, abs=1e-4)
    check_inputs(farm, usual_inputs(farm))


def test_a_usual_range_ends_where_tractors_could_not_pull_more() -> None:
    pulled = (
        'operations = ["plant"]\n',
        'operations = ["plant"]\nclass = "planter"\n'
        'draft = { machine = "planter_drawn_seed_only", spacing = "50 cm" }\n',
    )
    weak = [f'[tractors.small]\npower = "{power} kW"\n\n[options.usual]' for power in (60, 20)]
    machines = "{ disk = 1, planter = 1 }", "{ disk = 1, planter = 1 }\ntractors = { small = 1 }"
    strong, short = (hand_farm(pulled, ("[options.usual]", text), machines) for text in weak)
    assert usual(strong, "planter speed").high == 1.2
    assert usual(short, "planter speed").high == 1.0
    assert CUT in usual(short, "planter speed").basis


def test_ranges_are_read_back_from_the_text_that_is_written(tmp_path: Path) -> None:
    own = (
        *usual_inputs(fieldsim.demo_farm()),
        Input("operators", ("crew.operators",), 1, 3, "figure", "asked around"),
        Input("own wage", ("money.wage",), "$20/h", "$30/h", "figure"),
    )
    (tmp_path / "ranges.csv").write_text(ranges_text(own), encoding="utf-8")
    assert read_ranges(tmp_path / "ranges.csv") == own


def test_every_fault_of_a_file_of_ranges_is_told_with_its_line() -> None:
    text = (
        "input,paths,kind,low,high,note\n"
        "wage,money.wage,figure,$30/h,$20/h,x\n"
        ",money.wage,factor,0.5,x,x\n"
        "price,,share,1,2,x\n"
        "loss,crops.corn.yield_by_planting_date,figure,1,2,x\n"
        "speed,machines.disk.speed,figure,5 mph,9 km/h,x\n"
    )
    with pytest.raises(InputError) as caught:
        parse_ranges(text, "mine.csv")
    said = [str(fault) for fault in caught.value.faults]
    assert all(message.startswith("mine.csv: ") for message in said)
    for part in (
        "note: there is no such column",
        "line 2: input 'wage': low, high = $30/h to $20/h: low must lie below high",
        "line 3: input '': an input needs a name",
        "line 3: input '': high = \"x\": a factor is a number from 0 to 1,000",
        "line 4: input 'price': paths: an input needs a path",
        "line 4: input 'price': kind = 'share': no such kind",
        "line 5: input 'loss': kind = figure: losses by planting date take a factor",
        'line 6: input \'speed\': low, high = "5 mph" to "9 km/h": the two ends have',
    ):
        assert any(part in message for message in said), (part, said)
    assert len(said) == 8


def test_a_missing_column_of_a_file_of_ranges_is_told() -> None:
    with pytest.raises(InputError, match="the column 'kind' is missing"):
        parse_ranges("input,paths,low,high\na,b,1,2\n")


def test_what_does_not_fit_the_farm_is_told_for_each_end() -> None:
    said = messages(
        Input("a", ("crops.rye.price",), 0.8, 1.2),
        Input("b", ("crops.rye.yield_by_planting_date",), 0.8, 1.2),
        Input("c", ("crew.hours_per_day",), 1.0, 3.0),
    )
    assert sum("there is no such figure" in message for message in said) == 2
    assert sum("there is no such crop" in message for message in said) == 2
    assert any(m.startswith("input 'c': high: crew.hours_per_day") for m in said)
    assert len(said) == 5


def test_one_name_or_one_figure_twice_is_refused() -> None:
    said = messages(WAGE, WAGE)
    assert "'wage': 2 inputs have this name; leave all but one out" in said
    assert "'money.wage': 2 inputs move this figure; leave all but one out" in said
    assert messages() == ["inputs: there is none; name one or more"]
