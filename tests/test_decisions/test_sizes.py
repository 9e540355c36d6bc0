"""Sizes from the shelf: how outfits are put together, what they cost, and which is the cheapest."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest

import fieldsim
from fieldsim.decisions.comparison import total_cost
from fieldsim.decisions.sizing.shelf_outfits import ShelfOutfit, farm_entries, shelf_outfits
from fieldsim.decisions.sizing.shelf_pattern import pattern_of
from fieldsim.decisions.sizing.sizes import cheapest_sizes, sizes
from fieldsim.demo import demo_folder
from fieldsim.errors import InputError
from fieldsim.farm import Farm
from fieldsim.farm.shelf import parse_shelf, read_shelf
from fieldsim.farm.shelf_parts import Shelf
from tests.farms import small_farm

HEADER = "kind,name,rows,row_spacing,width,tractor_power,power,price,list_price,age,hours\n"
PLANTERS = """\
planter,p2,2,30 in,,25 hp,,$9000,,,
planter,p4,4,30 in,,45 hp,,$16000,,,
planter,p8,8,30 in,,90 hp,,$48000,,,
"""
CULTIVATORS = """\
row_cultivator,c2,2,30 in,,25 hp,,$3000,,,
row_cultivator,c4,4,30 in,,60 hp,,$5500,,,
"""
TRACTORS = """\
tractor,t50,,,,,50 hp,$33000,,,
tractor,t75,,,,,75 hp,$51000,,,
tractor,t95,,,,,95 hp,$66000,,,
tractor,t130,,,,,130 hp,$98000,,,
"""
TWO_MEN = ("operators = 1\nhours", "operators = 2\nhours")


def shelf(text: str = PLANTERS + CULTIVATORS + TRACTORS) -> Shelf:
    return parse_shelf(HEADER + text, "machines.csv")


def outfits(
    farm: Farm, items: Shelf, option: str | None = None
) -> tuple[dict[str, ShelfOutfit], list[str]]:
    found, left_out = shelf_outfits(farm, items, pattern_of(farm, option))
    return {f"{o.bought} {o.size}": o for o in found}, left_out


def problems(farm: Farm, items: Shelf, option: str | None = None) -> str:
    with pytest.raises(InputError) as caught:
        outfits(farm, items, option)
    return str(caught.value)


@pytest.fixture(scope="module")
def demo_table() -> pd.DataFrame:
    shipped = read_shelf(demo_folder() / "machines.csv")
    return sizes(fieldsim.demo_farm(), shipped, areas=[1800, 450], seasons=60)


def test_with_a_planter_go_the_cultivator_that_fits_and_the_weakest_tractor_for_both() -> None:
    found, left_out = outfits(small_farm(), shelf())
    assert left_out == []
    assert {size: (o.tools, o.tractor) for size, o in found.items()} == {
        "new 2 rows": (("c2",), "t50"),
        "new 4 rows": (("c4",), "t75"),
        "new 8 rows": (("c4",), "t95"),
    }


def test_what_stays_keeps_the_weakest_of_its_own_tractors_that_pulls_it() -> None:
    pattern = pattern_of(small_farm())
    assert pattern.staying == ("disk",)
    assert pattern.tractors == {"large": 1}
    assert pattern.pulled == ()
    outfit = outfits(small_farm(), shelf())[0]["new 4 rows"]
    assert outfit.option == {
        "machines": {"disk": 1, "p4": 1, "c4": 1},
        "tractors": {"large": 1, "t75": 1},
        "operators": 1,
    }


def test_where_no_tractor_is_free_the_one_from_the_shelf_pulls_what_its_forerunner_did() -> None:
    farm = small_farm(("tractors = { large = 1, small = 1 }", "tractors = { large = 1 }"))
    pattern = pattern_of(farm)
    assert (pattern.tractors, pattern.pulled) == ({}, ("disk",))
    found, _ = outfits(farm, shelf())
    assert {o.tractor for o in found.values()} == {"t130"}  # the disk takes 110 hp


def test_the_farms_own_work_stays_with_the_machine_and_its_price_goes() -> None:
    farm = small_farm(('price = "$29,000"', 'price = "$29,000"\nsalvage = "60 %"'))
    entry = outfits(farm, shelf())[0]["new 8 rows"].machines["p8"]
    assert entry["operations"] == ["plant"]
    assert (entry["road_speed"], entry["pattern"], entry["speed"]) == ("14 mph", "drill", "5 mph")
    assert (entry["class"], entry["rows"], entry["price"]) == ("planter", 8, "$48000")
    assert entry["time"]["fills"]["seed"]["hopper"] == "480,000 seeds"
    assert "salvage" not in entry


def test_turn_and_hoppers_come_from_the_shelf_and_rates_from_the_farm() -> None:
    header = HEADER.replace("\n", ",turn,field_efficiency,seed_hopper,seed_fill_time\n")
    rest = [f"{line},,,," for line in (CULTIVATORS + TRACTORS).splitlines()]
    planter = "planter,p4,4,30 in,,45 hp,,$16000,,,,30 s,66 %,320000 seeds,9 min"
    found, _ = outfits(small_farm(), parse_shelf("\n".join([header.strip(), planter, *rest])))
    entry = found["new 4 rows"].machines["p4"]
    assert "field_efficiency" not in entry  # the farm's own planter builds it up from time
    farm = fieldsim.changed(
        small_farm(), farm_entries(pattern_of(small_farm()), list(found.values()))
    )
    time = farm.machines["p4"].time
    assert time is not None
    assert time.turn == pytest.approx(30 / 3600)
    assert time.overlap == 0.01
    assert time.fills["seed"].rate == "32,000 seeds/acre"
    assert (time.fills["seed"].hopper, time.fills["seed"].time) == ("320000 seeds", 0.15)


def test_field_efficiency_of_the_shelf_holds_where_the_farms_own_machine_has_one() -> None:
    header = HEADER.replace("\n", ",field_efficiency\n")
    rows = (PLANTERS + TRACTORS).splitlines()
    text = "\n".join([header.strip(), *(f"{line}," for line in rows)])
    text += "\nrow_cultivator,c4,4,30 in,,60 hp,,$5500,,,,71 %\n"
    entry = outfits(small_farm(), parse_shelf(text))[0]["new 4 rows"].machines["c4"]
    assert entry["field_efficiency"] == "71 %"
    assert "width" not in entry


def test_a_machine_whose_draft_the_farm_gives_is_matched_by_its_draft() -> None:
    draft = 'draft = { machine = "planter_drawn_seed_fertilizer_herbicide" }\nroad_speed = "14 mph"'
    farm = small_farm(
        ('tractor_power = "70 hp"\nroad_speed = "14 mph"\nprice = "$29,000"',
         f'{draft}\nprice = "$29,000"'),
        ('tractor_power = "60 hp"', 'tractor_power = "10 hp"'),
    )  # fmt: skip
    light = CULTIVATORS.replace("60 hp", "10 hp").replace("25 hp", "10 hp")
    found, _ = outfits(farm, shelf(PLANTERS.replace("90 hp", "9 hp") + light + TRACTORS))
    # D497: 1550 N a row, 8 rows, 5 mph = 2.235 m/s: 27.7 kW at the drawbar; a two-wheel drive on
    # tilled soil passes on 0.67 of its PTO power, and a fifth is kept in reserve: 69 hp.
    assert "tractor_power" not in found["new 8 rows"].machines["p8"]
    assert found["new 8 rows"].tractor == "t75"


def test_two_outfits_are_looked_at_for_middle_sizes_where_there_are_two_operators() -> None:
    assert set(outfits(small_farm(), shelf())[0]) == {"new 2 rows", "new 4 rows", "new 8 rows"}
    found, _ = outfits(small_farm(TWO_MEN), shelf())
    assert list(found) == ["new 2 rows", "new 4 rows", "new 8 rows", "new two of 4 rows"]
    assert found["new two of 4 rows"].option == {
        "machines": {"disk": 1, "p4": 2, "c4": 2},
        "tractors": {"large": 1, "t75": 2},
        "operators": 2,
    }
    # The option's own word on operators goes before the farm's.
    assert "new two of 4 rows" in outfits(small_farm(), shelf(), "two_planters")[0]


def test_used_planters_get_used_tools_and_tractors_where_there_are_any() -> None:
    used = """\
planter,p4u,4,30 in,,45 hp,,$7000,$16000,8,700 h
row_cultivator,c4u,4,30 in,,60 hp,,$1800,$5500,8,700 h
tractor,t95u,,,,,95 hp,$24500,$66000,10,4000 h
"""
    found, _ = outfits(small_farm(), shelf(PLANTERS + CULTIVATORS + TRACTORS + used))
    assert (found["used 4 rows"].tools, found["used 4 rows"].tractor) == (("c4u",), "t95u")
    assert (found["new 4 rows"].tools, found["new 4 rows"].tractor) == (("c4",), "t75")
    alone, _ = outfits(
        small_farm(), shelf(PLANTERS + CULTIVATORS + TRACTORS + used.splitlines()[0])
    )
    assert (alone["used 4 rows"].tools, alone["used 4 rows"].tractor) == (("c4",), "t75")


def test_a_rotary_hoe_is_the_narrowest_that_covers_the_planter_else_the_widest() -> None:
    farm = small_farm(("[machines.cultivator]\n", '[machines.cultivator]\nclass = "rotary_hoe"\n'))
    hoes = "".join(
        f"rotary_hoe,h{feet},,,{feet} ft,20 hp,,${feet}00,,,\n" for feet in (12, 8, 10, 15)
    )
    found, _ = outfits(farm, shelf(PLANTERS + hoes + TRACTORS))
    assert [o.tools for o in found.values()] == [("h8",), ("h10",), ("h15",)]


def test_a_name_that_something_else_on_the_farm_has_is_no_trouble() -> None:
    items = shelf((PLANTERS + CULTIVATORS + TRACTORS).replace("p4,", "disk,"))
    outfit = outfits(small_farm(), items)[0]["new 4 rows"]
    assert set(outfit.option["machines"]) == {"disk", "shelf disk", "c4"}
    assert outfit.planter == "disk"


def test_two_planters_of_a_size_are_told_apart_by_name() -> None:
    cheap = "planter,bargain,4,30 in,,45 hp,,$11000,,,\n"
    found, _ = outfits(small_farm(), shelf(PLANTERS + cheap + CULTIVATORS + TRACTORS))
    assert {"new 4 rows (p4)", "new 4 rows (bargain)"} < set(found)


def test_what_does_not_go_together_is_left_out_with_the_reason() -> None:
    odd = "planter,p5,5,30 in,,50 hp,,$20000,,,\nplanter,p4x,4,38 in,,45 hp,,$1,,,\n"
    text = PLANTERS.replace("90 hp", "900 hp") + odd + CULTIVATORS + TRACTORS
    found, left_out = outfits(small_farm(), shelf(text))
    assert list(found) == ["new 2 rows", "new 4 rows"]
    assert left_out == [
        "p4x, p5: no row cultivator on the shelf goes with it",
        "p8: no tractor on the shelf is strong enough, the strongest has 130 hp",
    ]


def test_a_size_that_does_not_pass_the_gate_is_left_out() -> None:
    farm = small_farm(
        ('row_length = "2600 ft"', 'row_length = "2600 ft"\ngate_width = "16 ft"'),
        ('width = "20 ft"', 'width = "20 ft"\nfold_time = "5 min"'),
    )
    found, left_out = outfits(farm, shelf())
    assert list(found) == ["new 2 rows", "new 4 rows"]
    assert "p8 is 20 ft wide on the road: wider than the gate" in left_out[0]


def test_a_shelf_that_makes_no_outfit_is_a_fault() -> None:
    weak = "tractor,toy,,,,,8 hp,$900,,,\n"
    told = problems(small_farm(), shelf(PLANTERS + CULTIVATORS + weak))
    assert "machines.csv: p2, p4, p8: no tractor on the shelf is strong enough" in told
    assert "the strongest has 8 hp; add a planter" in told
    assert "there is no planter on the shelf" in problems(small_farm(), shelf(TRACTORS))


def test_an_option_that_is_no_pattern_is_a_fault() -> None:
    assert "options are one_outfit, two_planters" in problems(small_farm(), shelf(), "none")
    hired = small_farm(
        ('tractor_power = "70 hp"\nroad_speed = "14 mph"\nprice = "$29,000"',
         'road_speed = "14 mph"\ncustom = { rate = "$22/acre" }'),
    )  # fmt: skip
    assert "it owns no planter" in problems(hired, shelf())
    demo = fieldsim.changed(
        fieldsim.demo_farm(),
        {"options.both": {"machines": {"disk": 1, "planter_4_rows": 1, "planter_6_rows": 1,
                                       "cultivator_6_rows": 1},
                          "tractors": {"tractor_130": 1}}},
    )  # fmt: skip
    assert "2 of its machines do the same work, plant" in problems(demo, shelf(), "both")


def test_a_size_costs_what_the_same_outfit_written_as_an_option_costs() -> None:
    """The shipped shelf's 6 rows have the figures of the demo farm's own."""
    farm, shipped = fieldsim.demo_farm(), read_shelf(demo_folder() / "machines.csv")
    rival = {"disk": 1, "planter_8_rows": 1, "cultivator_8_rows": 1}
    written = fieldsim.changed(
        farm,
        {
            "tractors.red": {"power": "75 hp", "price": "$51000", "years": 15},
            "tractors.blue": {"power": "95 hp", "price": "$66000", "years": 15},
            "options.six_rows.tractors": {"tractor_130": 1, "red": 1},
            "options.eight_rows": {"machines": rival, "tractors": {"tractor_130": 1, "blue": 1}},
            "fields.*.area": fieldsim.Times(500 / 902),
        },
    )
    cost = total_cost(fieldsim.simulate(written, 60, 3)) / 500
    six, eight = (cost.sel(option=name).values for name in ("six_rows", "eight_rows"))
    table = sizes(farm, shipped, areas=[500], seasons=60, seed=3)
    at = table[table.bought == "new"].set_index("size")
    assert at.total_cost["6 rows"] == pytest.approx(six.mean(), rel=1e-9)
    assert at.total_cost_error["6 rows"] == pytest.approx(six.std(ddof=1) / 60**0.5, rel=1e-9)
    assert at.total_cost["8 rows"] == pytest.approx(eight.mean(), rel=1e-9)
    assert at.cheapest["6 rows"]
    paired = eight - six
    assert at.difference["8 rows"] == pytest.approx(paired.mean(), rel=1e-6)
    assert at.difference_error["8 rows"] == pytest.approx(paired.std(ddof=1) / 60**0.5, rel=1e-6)


def test_costs_add_up_and_areas_rise(demo_table: pd.DataFrame) -> None:
    parts = ["lost_revenue", "ownership_cost", "repair_cost", "labor_cost", "fuel_cost"]
    added = demo_table[[*parts, "hire_cost"]].sum(axis=1)
    np.testing.assert_allclose(added, demo_table.total_cost, rtol=1e-9)
    assert list(demo_table.area.unique()) == [450, 1800]
    assert demo_table.attrs["area_units"] == "acre"
    assert demo_table.attrs["cost_units"] == "$/acre"
    assert demo_table.attrs["staying"] == ["disk"]
    assert demo_table.attrs["left_out"] == []


def test_larger_outfits_lose_less_and_larger_farms_want_larger_ones(
    demo_table: pd.DataFrame,
) -> None:
    one = demo_table[(demo_table.units == 1) & (demo_table.bought == "new")]
    for _, group in one.groupby("area"):
        assert group.rows.is_monotonic_increasing
        assert group.lost_revenue.is_monotonic_decreasing
        assert group.ownership_cost.is_monotonic_increasing
    best = demo_table[demo_table.cheapest]
    assert len(best) == 4  # new and used, at two areas
    rows = best.assign(all=best.rows * best.units).pivot(
        index="area", columns="bought", values="all"
    )
    assert (rows.loc[1800] > rows.loc[450]).all()


def test_new_and_used_work_alike_and_differ_in_what_they_cost(demo_table: pd.DataFrame) -> None:
    at = demo_table.set_index(["bought", "area", "size"])
    new, used = at.loc["new"], at.loc["used"]
    np.testing.assert_allclose(new.lost_revenue, used.lost_revenue, rtol=1e-12)
    assert (used.ownership_cost < new.ownership_cost).all()


def test_the_farms_own_area_times_the_multiples_is_taken_where_none_is_given() -> None:
    table = sizes(small_farm(), shelf(), seasons=2)
    own = sum(f.area for f in small_farm().fields.values()) * 2.4710538
    assert list(table.area.unique()) == pytest.approx([own * k for k in (0.5, 0.75, 1, 1.5, 2)])


@pytest.mark.parametrize("areas", [[0.0], [-3.0], [math.nan], [math.inf], [1e9], []])
def test_areas_that_make_no_sense_are_faults(areas: list[float]) -> None:
    with pytest.raises(InputError, match="write areas such as 300,600,900"):
        sizes(small_farm(), shelf(), areas=areas, seasons=2)


def test_progress_runs_to_the_end() -> None:
    shares: list[float] = []
    sizes(small_farm(), shelf(), areas=[100, 200], seasons=2, progress=shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1.0


def test_one_season_has_no_error_and_nothing_can_be_told_apart() -> None:
    table = sizes(small_farm(), shelf(), areas=[100], seasons=1)
    assert table.total_cost_error.isna().all()
    assert table.cannot_tell_apart.sum() == len(table) - 1


def made_table() -> pd.DataFrame:
    """Three sizes at two areas: at the second the first two cannot be told apart."""
    costs = {100.0: [50.0, 53.0, 60.0], 200.0: [48.5, 48.0, 49.0]}
    rows = [
        {
            "area": area, "bought": "new", "size": f"{4 + 2 * i} rows", "rows": 4 + 2 * i,
            "units": 1, "total_cost": cost, "lost_revenue": 10.0, "ownership_cost": 20.0,
            "cheapest": cost == min(at), "difference": cost - min(at), "difference_error": 0.3,
            "cannot_tell_apart": 0 < cost - min(at) < 0.588,
        }
        for area, at in costs.items()
        for i, cost in enumerate(at)
    ]  # fmt: skip
    return pd.DataFrame(rows)


def test_the_cheapest_is_told_with_its_margin_over_the_next_and_what_ties() -> None:
    best = cheapest_sizes(made_table())
    assert list(best["size"]) == ["4 rows", "6 rows"]
    assert list(best.next_size) == ["6 rows", "4 rows"]
    assert list(best.margin) == [3.0, 0.5]
    assert list(best.margin_error) == [0.3, 0.3]
    assert list(best.tied) == [(), ("4 rows",)]


def test_a_single_size_has_no_next() -> None:
    best = cheapest_sizes(made_table().query("rows == 4 and area == 100"))
    assert best.next_size[0] == ""
    assert math.isnan(best.margin[0])
