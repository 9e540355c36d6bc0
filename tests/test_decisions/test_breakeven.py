"""Break-even: against the closed form where it holds, and what it says where there is none."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

import fieldsim
from fieldsim.days import Given
from fieldsim.decisions.break_even.cost_curves import cost_curve, curve_crossings
from fieldsim.decisions.break_even.crossing import breakeven
from fieldsim.decisions.break_even.result import breakeven_table
from fieldsim.decisions.studied_figures import (
    StudiedFigure,
    at_factor,
    figure_axis,
    figure_text,
    same_seasons,
    studied,
)
from fieldsim.errors import InputError
from fieldsim.farm import Farm, changed, parse_farm
from fieldsim.machines import capital_recovery_factor
from tests.farms import always, small_farm
from tests.one_field import CAPACITY, HOURS, PRICE, YIELD, one_field

K, SHARE, AREA = 0.002, 0.6, 1900.0  # loss [1/day], suitable share of every day, land [ha]
SMALL, LARGE = 20_000.0, 200_000.0  # prices [$]
WAGE = 20.0  # [$/h]
HOURS_SAVED = 1 / CAPACITY - 1 / (2 * CAPACITY)  # by the large planter [h/ha]
# The closed form lets work flow through the day of the last piece of land, the simulation not:
# an error of at most one part in 4 n^2 of the loss, n being the days of work, 20 at least here.
CLOSED_FORM = 2e-3


@pytest.fixture(scope="module")
def two() -> Farm:
    """One operation on one field with a planter of 10 m or one of 20 m; every day is alike."""
    losses = f'losses = [{{ from = "10 Apr", loss = "{100 * K} %/day" }}]'
    curve = f'{{ plateau = {{ full_from = "10 Apr", {losses} }} }}'
    text = one_field(area=AREA, curve=curve, earliest="10 Apr", last_day="31 Dec")
    planter = {
        "operations": ["plant"],
        "width": "20 m",
        "speed": "10 km/h",
        "field_efficiency": "80 %",
        "price": f"${LARGE:,.0f}",
    }
    changes = {
        "machines.large": planter,
        "machines.planter.price": f"${SMALL:,.0f}",
        "options.large": {"machines": {"large": 1}},
    }
    farm = changed(parse_farm(text, {"days.csv": always(0.8, 0.3)}), changes)
    return replace(farm, day_source=Given(np.full((2, 1, farm.season.days), SHARE)))


def closed_form(
    area: float = AREA, worth: float = 1.0, hours: float = HOURS, large: float = LARGE
) -> float:
    """Cost of the large planter less that of the small one [$/year].

    Ownership by capital recovery; labor; timeliness K A^2 Y V / (2 G C p) of ASABE EP496 (form
    from memory; tests/published/test_closed_form_timeliness.py holds the simulation to it).
    """
    own = (large - SMALL) * float(capital_recovery_factor(0.05, 12))
    delay = worth * K * area * YIELD * PRICE / (2 * hours * SHARE)
    return own - area * HOURS_SAVED * (WAGE + delay)


def test_the_area_is_that_of_the_closed_form(two: Farm) -> None:
    found = breakeven(two, "large", "one_planter", "area", (0.3, 2.0), seasons=2, tolerance=1e-6)
    assert closed_form(found.factor * AREA) == pytest.approx(0, abs=CLOSED_FORM * 20_000)
    own = -closed_form(0) / HOURS_SAVED
    a, b = K * YIELD * PRICE / (2 * HOURS * SHARE), WAGE
    expected = (-b + math.sqrt(b * b - 4 * a * own)) / (2 * a)
    assert found.factor * AREA == pytest.approx(expected, rel=CLOSED_FORM)
    assert found.value == f"{found.factor * AREA:,.0f} ha"
    assert found.low == found.factor == found.high  # nothing is left to chance
    [crossing] = found.crossings
    assert (crossing.cheaper_below, crossing.cheaper_above) == ("one_planter", "large")
    assert found.note == f"one planter costs less below {found.value}, large above {found.value}"


@pytest.mark.parametrize("over", ["price", "yield", "loss"])
def test_price_yield_and_slope_of_the_loss_work_alike(two: Farm, over: str) -> None:
    found = breakeven(two, "large", "one_planter", over, (0.1, 4.0), seasons=2, tolerance=1e-6)
    delay = K * AREA * YIELD * PRICE / (2 * HOURS * SHARE)
    expected = (LARGE - SMALL) * float(
        capital_recovery_factor(0.05, 12)
    ) / HOURS_SAVED / AREA - WAGE
    assert found.factor == pytest.approx(expected / delay, rel=CLOSED_FORM)
    assert closed_form(worth=found.factor) == pytest.approx(0, abs=100)


def test_the_price_of_a_machine_is_what_it_saves(two: Farm) -> None:
    found = breakeven(two, "large", "one_planter", "purchase", seasons=2, tolerance=1e-7)
    assert found.figure.paths == ("machines.large.price",)
    saved = closed_form(large=SMALL) / float(capital_recovery_factor(0.05, 12))
    assert found.factor * LARGE == pytest.approx(SMALL - saved, rel=CLOSED_FORM)
    assert found.value == f"${found.factor * LARGE:,.0f}"
    assert found.now == "$200,000"


def test_hours_a_day_stand_in_for_width(two: Farm) -> None:
    dear = replace(changed(two, {"machines.large.price": "$400,000"}), day_source=two.day_source)
    found = breakeven(dear, "large", "one_planter", "hours", seasons=2, tolerance=1e-6)
    expected = closed_form(hours=found.factor * HOURS, large=400_000.0)
    assert expected == pytest.approx(0, abs=CLOSED_FORM * 40_000)
    assert found.value == f"{found.factor * HOURS:.1f} h"
    assert found.crossings[0].cheaper_below == "large"


@pytest.fixture(scope="module")
def by_chance(two: Farm) -> Farm:
    return changed(two, {})  # its days are those of the chain again


def test_ends_of_the_interval_lie_at_the_error_of_the_paired_difference(by_chance: Farm) -> None:
    found = breakeven(by_chance, "large", "one_planter", "price", seasons=60, tolerance=1e-5)
    assert found.low < found.factor < found.high
    for factor, ratio in ((found.low, 1.96), (found.factor, 0.0), (found.high, 1.96)):
        farm = at_factor(by_chance, ["crops.corn.price"], factor)
        row = fieldsim.compare(fieldsim.simulate(farm, 60), "one_planter").loc["large"]
        assert abs(row.difference) / row.difference_error == pytest.approx(ratio, abs=2e-3)


def test_more_seasons_make_the_interval_narrower_around_the_same_place(by_chance: Farm) -> None:
    few, many = (
        breakeven(by_chance, "large", "one_planter", "area", (0.3, 3), seasons=n) for n in (30, 480)
    )
    assert abs(few.factor - many.factor) < few.high - few.low
    assert (many.high - many.low) == pytest.approx((few.high - few.low) / 4, rel=0.5)


def test_what_is_exchanged_gives_the_same_place(by_chance: Farm) -> None:
    one, other = (
        breakeven(by_chance, *pair, "area", (0.3, 3), seasons=30, tolerance=1e-5)
        for pair in (("large", "one_planter"), ("one_planter", "large"))
    )
    assert one.factor == pytest.approx(other.factor, rel=1e-4)
    assert one.difference_now == pytest.approx(-other.difference_now)
    assert one.crossings[0].cheaper_above == other.crossings[0].cheaper_above == "large"


def hired_or_own() -> Farm:
    """Hiring pays on little land, and where one's own machine is too slow."""
    hired = {
        "operations": ["plant"],
        "width": "100 m",
        "speed": "10 km/h",
        "field_efficiency": "80 %",
        "custom": {"rate": "$12/ha"},
    }
    losses = f'losses = [{{ from = "10 Apr", loss = "{100 * K} %/day" }}]'
    curve = f'{{ plateau = {{ full_from = "10 Apr", {losses} }} }}'
    text = one_field(area=300, curve=curve, earliest="10 Apr", last_day="31 Dec")
    farm = changed(
        parse_farm(text, {"days.csv": always(0.8, 0.3)}),
        {
            "machines.hired": hired,
            "machines.planter.price": "$8,000",
            "options.hired": {"label": "hired planter", "machines": {"hired": 1}},
        },
    )
    return replace(farm, day_source=Given(np.ones((2, 1, farm.season.days))))


def test_several_crossings_are_all_told() -> None:
    farm = hired_or_own()
    found = breakeven(farm, "one_planter", "hired", "area", (0.1, 5.0), seasons=2)
    assert [c.cheaper_above for c in found.crossings] == ["one_planter", "hired"]
    first, second = (c.value for c in found.crossings)
    assert found.note == (
        f"hired planter costs less below {first}, one planter from {first} to {second}, "
        f"hired planter above {second}"
    )
    nearest = min(found.crossings, key=lambda c: abs(c.factor - 1))
    assert (found.value, found.factor) == (nearest.value, nearest.factor)
    table = breakeven_table([found])
    assert table.value.tolist() == [first, second]
    assert table.factor.tolist() == [c.factor for c in found.crossings]


def test_without_a_crossing_the_cheaper_one_is_named(two: Farm) -> None:
    found = breakeven(two, "large", "one_planter", "area", (0.01, 0.1), seasons=2)
    assert found.crossings == ()
    assert math.isnan(found.factor)
    assert found.value == ""
    assert found.cheaper == "one_planter"
    assert found.note == "one planter costs less throughout, from 19 ha to 190 ha"
    assert breakeven_table([found]).note.tolist() == [found.note]


def test_options_that_are_the_same_cost_the_same_throughout(two: Farm) -> None:
    twins = changed(two, {"options.twin": {"machines": {"planter": 1}}})
    found = breakeven(twins, "twin", "one_planter", "price", (0.5, 2), seasons=20)
    assert (found.cheaper, found.note) == ("", "the two cost the same throughout")


def test_a_close_call_at_an_end_is_told(by_chance: Farm) -> None:
    crossing = breakeven(by_chance, "large", "one_planter", "area", (0.3, 3), seasons=30)
    close = (crossing.low + crossing.factor) / 2
    found = breakeven(by_chance, "large", "one_planter", "area", (0.1, close), seasons=30)
    assert found.note.endswith(f"; at {close * AREA:,.0f} ha the two cannot be told apart")
    ended = breakeven(by_chance, "large", "one_planter", "area", (close, 3), seasons=30)
    assert ended.note.endswith("; how sure that is reaches to the end of what was searched")
    assert ended.low == close


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"option": "three"}, "option = 'three': there is no such option; options are one_planter"),
        ({"against": "large"}, "against = large: is the option itself; name another option"),
        ({"path": "rent"}, "over = rent: there is no such word; write one of area, price"),
        (
            {"path": "operations.plant.earliest"},
            "operations.plant.earliest = 10 Apr: no figure that",
        ),
        ({"path": "crops.rye.price"}, "crops.rye.price: there is no such figure in the farm"),
        ({"bounds": (2.0, 1.0)}, "bounds = 2, 1: two rising factors of at least 0 are allowed"),
        ({"bounds": (0.0, 1.0)}, r"farm: crops.corn.price = \"\$0.0/t\": must be above 0"),
        ({"seasons": 1}, "seasons = 1: a whole number of at least 2 is allowed"),
        ({"tolerance": 1.0}, "tolerance = 1: a number between 0 and 1 is allowed"),
    ],
)
def test_wrong_questions_are_told(two: Farm, asked: dict, said: str) -> None:
    usual = {"option": "large", "against": "one_planter", "path": "price", "seasons": 2}
    with pytest.raises(InputError, match=f"^{said}"):
        breakeven(two, **(usual | asked))


def test_words_stand_for_paths_and_figures_are_read_as_the_farm_writes_them() -> None:
    farm = small_farm()
    crops = ("crops.corn.planting_loss", "crops.soybeans.planting_loss")
    assert studied(farm, "loss").paths == crops
    assert figure_text(farm, crops, 1.25) == "125 %"
    assert at_factor(farm, crops[:1], 1.25).crops["corn"].planting_loss == pytest.approx(1.25)
    own = changed(farm, {crops[0]: "80 %"})
    assert at_factor(own, crops[:1], 1.5).crops["corn"].planting_loss == pytest.approx(1.2)
    assert figure_text(farm, ["fields.*.area"], 2) == "700 acres"
    assert figure_text(farm, ["fields.home.area"], 0.5) == "100 acres"
    assert figure_text(farm, ["crops.*.price"], 1.1) == "$4.95/bu and $11.00/bu"
    assert figure_text(farm, ["operations.*.hours_per_day", "crew.hours_per_day"], 0.5) == (
        "5.5 h and 5 h and 6 h"
    )
    assert figure_text(farm, ["machines.*.price", "tractors.*.price"], 1.5) == "1.5 times"
    assert figure_text(farm, ["operations.plant.earliest.corn"], 1.0) == "18 Apr"
    assert figure_axis(farm, ["crops.corn.price"], 2.0) == (9.0, "$/bu")
    assert figure_axis(farm, ["fields.*.area"], 2.0) == (pytest.approx(700), "acre")
    assert figure_axis(farm, ["crops.*.price"], 2.0) == (200.0, "% of what the file says")


def test_a_purchase_is_that_of_the_dearest_machine_that_only_the_option_has() -> None:
    farm = small_farm()
    more = studied(farm, "purchase", option="two_planters", against="one_outfit")
    assert more.paths == ("machines.planter.price",)
    assert studied(farm, "purchase", machine="disk").name == "price of disk"
    with pytest.raises(InputError, match="one_outfit has no machine with a price that two_plant"):
        studied(farm, "purchase", option="one_outfit", against="two_planters")
    with pytest.raises(InputError, match="machine = 'plow': there is no such machine; machines"):
        studied(farm, "purchase", machine="plow")
    with pytest.raises(InputError, match="crop = 'rye': there is no such crop; crops are corn"):
        studied(farm, "price", crop="rye")


def test_seasons_are_drawn_again_only_where_figures_are_part_of_the_draw() -> None:
    assert same_seasons(["crops.corn.price", "crew.hours_per_day", "operations.plant.lag"])
    for path in (
        "days.week_correlation",
        "crew.helpers.n.probability",
        "last_day",
        "crops.corn.replanting.probability",
    ):
        assert not same_seasons([path])
    farm = small_farm()
    figure = StudiedFigure("helper", ("crew.helpers.neighbor.probability",))
    cost = cost_curve(farm, figure, [0.0, 1.0, 2.5], seasons=40).total_cost
    assert (cost.diff("factor") != 0).any()


def test_a_curve_is_the_total_cost_of_compare_at_each_factor(by_chance: Farm) -> None:
    curve = cost_curve(by_chance, "area", [0.5, 1.0, 1.5], seasons=30, seed=4)
    for factor in (0.5, 1.5):
        farm = at_factor(by_chance, ["fields.*.area"], factor)
        table = fieldsim.compare(fieldsim.simulate(farm, 30, 4))
        at = curve.sel(factor=factor)
        assert at.total_cost.values == pytest.approx(table.total_cost.values)
        assert at.total_cost_error.values == pytest.approx(table.total_cost_error.values)
        assert at.area == at.value == pytest.approx(factor * AREA)
        assert (at.cost_per_area * at.area).values == pytest.approx(at.total_cost.values)
    assert curve.attrs["value_now"] == pytest.approx(AREA)
    assert curve.attrs["figure_units"] == "ha"
    assert curve.cost_per_area.attrs["units"] == "$/ha"


def test_crossings_of_a_curve_lie_where_breakeven_finds_them() -> None:
    farm = hired_or_own()
    found = breakeven(farm, "one_planter", "hired", "area", (0.1, 5.0), seasons=2)
    curve = cost_curve(farm, "area", np.geomspace(0.1, 5.0, 15).tolist(), seasons=2)
    crossings = curve_crossings(curve)
    assert crossings.factor.tolist() == pytest.approx([c.factor for c in found.crossings], rel=0.01)
    assert crossings.least.all()
    assert crossings.value.tolist() == pytest.approx(300 * crossings.factor, rel=1e-6)


def test_a_crossing_of_two_dear_options_is_not_the_least(two: Farm) -> None:
    gift = {"operations": ["plant"], "width": "40 m", "speed": "10 km/h", "field_efficiency": 0.8}
    third = changed(two, {"machines.gift": gift, "options.third": {"machines": {"gift": 1}}})
    crossings = curve_crossings(cost_curve(third, "area", [0.2, 0.6, 1.2, 2.4], seasons=2))
    assert set(crossings.option) | set(crossings.against) == {"one_planter", "large"}
    assert not crossings.least.any()


def test_factors_of_a_curve_rise() -> None:
    with pytest.raises(InputError, match="two or more rising numbers of at least 0 are allowed"):
        cost_curve(small_farm(), "area", [1.0, 1.0], seasons=2)
    with pytest.raises(InputError, match="seasons = 1"):
        cost_curve(small_farm(), "area", [1.0, 2.0], seasons=1)
