"""The explorer's answers, held against the engine asked by other ways."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest

import fieldsim
from fieldsim import Times
from fieldsim.errors import InputError
from fieldsim.explorer import answer, farm_with, sliders_of
from fieldsim.explorer.answers import drawn, explorer_start
from fieldsim.farm import Farm
from tests.farms import hand_farm, small_farm

SEASONS = 60
DEMO = fieldsim.demo_farm()
OPTIONS = list(DEMO.options)


def ask(settings: dict[str, Any], farm: Farm = DEMO) -> dict[str, Any]:
    return answer(farm, settings, seasons=SEASONS, seed=3)


def compared(farm: Farm) -> Any:
    return fieldsim.compare(fieldsim.simulate(farm, SEASONS, 3))


def test_with_nothing_moved_the_answer_is_that_of_a_run() -> None:
    found, expected = ask({}), compared(DEMO)
    np.testing.assert_allclose(found["cost"]["total"], expected.total_cost, atol=0.01)
    np.testing.assert_allclose(found["lost"]["mean"], expected.lost_revenue, atol=0.6)
    np.testing.assert_allclose(found["lost"]["bad"], expected.lost_revenue_1_in_10, atol=0.6)
    ends = expected[["lost_revenue_1_in_10_from", "lost_revenue_1_in_10_to"]].to_numpy()
    assert found["lost"]["bad_band"] == [f"${low:,.0f} to ${high:,.0f}" for low, high in ends]
    corn = next(curve for curve in found["finish"] if curve["label"] == "plant: corn")
    on_target = [shares[corn["target"]] for shares in corn["shares"]]
    np.testing.assert_allclose(on_target, expected.corn_on_target, atol=1e-4)
    assert [option["changed"] for option in found["options"]] == [False] * 4


@pytest.mark.parametrize(
    ("settings", "values"),
    [
        ({"price.corn": 5.16}, {"crops.corn.price": "$5.16/bu"}),
        ({"area": 1500}, {"fields.*.area": Times(1500 / 902)}),
        ({"planting.corn": 23}, {"operations.plant.earliest.corn": "24 Apr"}),
        (
            {"hours": 12.5},
            {
                "crew.hours_per_day": "12.5 h",
                "operations.till.hours_per_day": "12.5 h",
                "operations.plant.hours_per_day": "11.5 h",
                "operations.first_cultivation.hours_per_day": "11.5 h",
                "operations.second_cultivation.hours_per_day": "11.5 h",
            },
        ),
    ],
)
def test_a_slider_of_the_farm_does_what_the_same_change_of_the_file_does(
    settings: dict[str, Any], values: dict[str, Any]
) -> None:
    expected = compared(fieldsim.changed(DEMO, values)).total_cost
    np.testing.assert_allclose(ask(settings)["cost"]["total"], expected, rtol=1e-6)
    assert not np.allclose(expected, compared(DEMO).total_cost, rtol=1e-4)


def test_sliders_of_an_outfit_change_that_outfit_alone() -> None:
    before, found = ask({}), ask({"option": "six_rows", "speed": 5.5, "hands": 3})
    values = {"machines.planter_6_rows.speed": "5.5 mph", "options.six_rows.operators": 3}
    place = OPTIONS.index("six_rows")
    expected = compared(fieldsim.changed(DEMO, values)).total_cost["six_rows"]
    assert found["cost"]["total"][place] == pytest.approx(expected, abs=0.01)
    others = [i for i in range(4) if i != place]
    assert [found["cost"]["total"][i] for i in others] == [
        before["cost"]["total"][i] for i in others
    ]
    assert found["options"][place] == {
        "name": "six_rows",
        "label": "yours: 5.5 mph, 3 people",
        "changed": True,
    }


def test_rows_bring_price_power_hoppers_and_the_cultivator_with_them() -> None:
    farm = farm_with(DEMO, "six_rows", {"rows": 8})
    planter = farm.machines["your planter_6_rows"]
    old = DEMO.machines["planter_6_rows"]
    assert (planter.rows, farm.machines["your cultivator_6_rows"].rows) == (8, 8)
    assert planter.price == pytest.approx(29_000 * 8 / 6)
    assert planter.tractor_power == pytest.approx((old.tractor_power or 0.0) * 8 / 6)
    assert planter.time is not None
    assert planter.time.fills["seed"].hopper.startswith("640000")
    assert planter.time.fills["seed"].time == pytest.approx(16 / 60)
    assert farm.machines["planter_6_rows"] == old
    assert farm.options["two_six_rows"] == DEMO.options["two_six_rows"]


def test_a_planter_that_no_tractor_pulls_is_refused_with_its_power() -> None:
    with pytest.raises(InputError, match="the strongest has 130 hp"):
        ask({"option": "six_rows", "rows": 16})


def test_the_parts_add_up() -> None:
    found = ask({"option": "two_six_rows", "hours": 9})
    for row, total in zip(found["cost"]["values"], found["cost"]["total"], strict=True):
        assert sum(row) == pytest.approx(total, abs=0.05)
    for row in found["days"]["values"]:
        assert sum(row) == pytest.approx(DEMO.season.days, abs=0.01)
        assert row[0] == 17  # Sundays from 1 April to 31 July 2026
    for curve in found["finish"]:
        assert all((np.diff(shares) >= 0).all() for shares in curve["shares"])


def test_days_at_work_are_those_worked_out_by_hand() -> None:
    # 40 ha tilled at 2 ha/h and planted at 1 ha/h take 60 of the 10 hours of a day: 2 and 4 days.
    found = answer(hand_farm(), {}, seasons=3)
    named = dict(zip(found["days"]["parts"], found["days"]["values"][0], strict=True))
    assert named == {"day off": 0, "soil too wet": 0, "till": 2, "plant": 4, "fit, not used": 24}


def test_the_same_seasons_serve_all_settings() -> None:
    kept = drawn(DEMO, SEASONS, 3)
    ask({"rows": 6, "hours": 14})
    assert drawn(DEMO, SEASONS, 3) is kept


def test_an_answer_is_plain_data_with_words_for_each_picture() -> None:
    found = ask({"hours": 13})
    assert json.loads(json.dumps(found, allow_nan=False)) == found
    for said in (found["lost"]["said"], found["cost"]["said"], found["days"]["said"]):
        assert all(option["label"] in said for option in found["options"])
    assert "accidents" in " ".join(found["cautions"])
    assert not ask({})["cautions"]


@pytest.mark.parametrize(
    ("settings", "name"),
    [
        ({"rows": 5000}, "rows"),
        ({"rows": 6.5}, "rows"),
        ({"rows": True}, "rows"),
        ({"hours": "12"}, "hours"),
        ({"hours": float("nan")}, "hours"),
        ({"hours": 10**400}, "hours"),
        ({"price.corn": -1}, "price.corn"),
        ({"weather": 1}, "weather"),
        ({"option": "ten_rows"}, "option"),
        ({"option": ["six_rows"]}, "option"),
    ],
)
def test_a_wrong_setting_is_named(settings: dict[str, Any], name: str) -> None:
    with pytest.raises(InputError) as caught:
        ask(settings)
    assert [fault.field for fault in caught.value.faults] == [name]


def test_sliders_have_the_units_of_the_farm() -> None:
    metric = sliders_of(hand_farm(), "usual")
    assert metric["area"].unit == "ha"
    assert metric["width"].value == pytest.approx(2.5)
    assert metric["price.corn"].unit == "$/t"
    us = sliders_of(small_farm(), "one_outfit")
    assert (us["area"].unit, us["speed"].unit, us["price.corn"].unit) == ("acres", "mph", "$/bu")
    for slider in (*metric.values(), *us.values()):
        assert slider.least <= slider.value <= slider.most


def test_every_slider_can_be_moved() -> None:
    for option in explorer_start(DEMO)["options"][2:]:
        for slider in option["sliders"]:
            step = slider["value"] + slider["step"]
            farm = farm_with(DEMO, option["name"], {slider["name"]: step})
            moved = sliders_of(farm, option["name"])[slider["name"]].value
            assert moved == pytest.approx(step, rel=1e-6), slider["name"]


def test_the_speed_of_an_answer(benchmark: Any) -> None:
    ask_all = {"option": "six_rows", "rows": 8}
    answer(DEMO, ask_all)
    benchmark(answer, DEMO, ask_all)
