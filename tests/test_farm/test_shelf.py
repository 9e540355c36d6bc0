"""The equipment shelf: what a line becomes, the shipped one, and every fault with its cell."""

from __future__ import annotations

import re

import pytest

from fieldsim.demo import demo_folder
from fieldsim.errors import InputError
from fieldsim.farm.shelf import parse_shelf, read_shelf
from fieldsim.farm.shelf_parts import Implement, Shelf
from fieldsim.machines import machine_class, remaining_share, tractor_class
from fieldsim.quantities import parse

HEADER = (
    "kind,name,rows,row_spacing,width,seed_hopper,seed_fill_time,tractor_power,power,price,"
    "list_price,age,hours\n"
)
PLANTER = "planter,six,6,30 in,,480000 seeds,12 min,70 hp,,$29000,,,\n"
TRACTOR = "tractor,red,,,,,,,95 hp,$66000,,,\n"


def faults(rows: str, header: str = HEADER) -> list[str]:
    with pytest.raises(InputError) as caught:
        parse_shelf(header + rows, "machines.csv")
    return [str(fault) for fault in caught.value.faults]


@pytest.fixture(scope="module")
def shipped() -> Shelf:
    return read_shelf(demo_folder() / "machines.csv")


def test_a_line_becomes_a_part_in_internal_units() -> None:
    shelf = parse_shelf(HEADER + PLANTER + TRACTOR)
    planter, tractor = shelf.implements[0], shelf.tractors[0]
    assert (planter.kind, planter.name, planter.rows, planter.bought) == (
        *("planter", "six", 6, "new"),
    )
    assert planter.working_width == pytest.approx(6 * 30 * 0.0254)
    assert planter.tractor_power == pytest.approx(70 * 0.7457, rel=1e-4)
    assert planter.hoppers["seed"].hopper == "480000 seeds"
    assert planter.hoppers["seed"].time == pytest.approx(0.2)
    assert planter.price == 29_000
    assert planter.speed is None
    assert tractor.power == pytest.approx(95 * 0.7457, rel=1e-4)


def test_cells_are_kept_as_a_farm_file_has_them() -> None:
    planter = parse_shelf(HEADER + PLANTER).implements[0]
    assert planter.written == {
        "rows": 6,
        "row_spacing": "30 in",
        "tractor_power": "70 hp",
        "price": "$29000",
    }


def test_a_sum_with_a_comma_may_stand_in_quotes() -> None:
    shelf = parse_shelf(HEADER + TRACTOR.replace("$66000", '"$66,000"'))
    assert shelf.tractors[0].price == 66_000


def test_parts_are_frozen() -> None:
    tractor = parse_shelf(HEADER + TRACTOR).tractors[0]
    with pytest.raises(ValueError, match="frozen"):
        tractor.price = 1.0  # type: ignore[misc]


def test_age_or_hours_make_a_machine_used() -> None:
    used = TRACTOR.replace("$66000,,,", "$24500,$66000,10,4000 h")
    assert parse_shelf(HEADER + used).tractors[0].bought == "used"


@pytest.mark.parametrize(
    ("row", "told"),
    [
        (PLANTER.replace("$29000", "nan"), 'price = "nan": not a number with a unit; write "$42,'),
        (PLANTER.replace("$29000", "$nan"), 'price = "$nan": not a number with a unit'),
        (PLANTER.replace("$29000", "29000"), 'price = "29000": the unit is missing; write "$42,'),
        (PLANTER.replace("$29000", ""), 'price: is missing; write "$42,000"'),
        (PLANTER.replace("$29000", "29 ft"), 'price = "29 ft": "ft" is not a unit of money'),
        (PLANTER.replace("70 hp", "70"), 'tractor_power = "70": the unit is missing; write "120'),
        (PLANTER.replace("70 hp", ""), "tractor_power: is missing"),
        (PLANTER.replace(",6,", ",6.5,"), 'rows = "6.5": not a whole number; write 6'),
        (PLANTER.replace(",6,", ",0,"), "rows = 0: must be at least 1 and at most 100"),
        (PLANTER.replace(",6,", ",,"), 'rows = "": is missing; write 6'),
        (PLANTER.replace("30 in", "30 hp"), 'row_spacing = "30 hp": "hp" is not a unit of row'),
        (PLANTER.replace("30 in,", "30 in,15 ft"), 'width = "15 ft": a planter has no such entry'),
        (PLANTER.replace("480000 seeds", "480000"), 'seed_hopper = "480000": the unit is missing'),
        (PLANTER.replace("480000 seeds", "0 lb"), 'seed_hopper = "0 lb": must be above 0'),
        (PLANTER.replace("12 min", ""), "seed_fill_time: is missing"),
        (PLANTER.replace("planter,", "plow,"), 'kind = "plow": there is no such kind of machine'),
        (PLANTER.replace("six", ""), "name: is missing"),
        (PLANTER.replace("six", "a/b"), 'name = "a/b": a name has 1 to 40 letters'),
        (PLANTER.replace("$29000,,", "$9000,,8"), 'list_price = "": is missing: a used machine'),
        (PLANTER.replace("$29000,,,", "$9000,$29000,,900 h"), 'age = "": is missing; write its'),
        (TRACTOR.replace("95 hp", ""), "power: is missing"),
        (TRACTOR.replace("red,", "red,4"), 'rows = "4": a tractor has no such entry'),
        ("disk,d,,,,,,110 hp,,$34000,,,\n", 'width = "": is missing; write "21 ft"'),
    ],
)
def test_a_fault_names_line_column_value_and_what_is_allowed(row: str, told: str) -> None:
    found = faults(row)
    assert len(found) == 1
    assert found[0].startswith("machines.csv: line 2, ")
    assert told in found[0]


def test_every_fault_is_listed_at_once() -> None:
    found = faults(PLANTER.replace("$29000", "dear") + TRACTOR.replace("95 hp", "95") + PLANTER)
    assert [text.split(":")[1].split(" =")[0].strip() for text in found] == [
        *("line 2, price", "line 3, power", "line 4, name"),
    ]
    assert "stands on line 2 already" in found[2]


def test_missing_and_unknown_columns_are_faults() -> None:
    assert "the column 'price' is missing; add price" in faults("tractor,a\n", "kind,name\n")[0]
    unknown = faults("tractor,a,$3,95 hp,\n", "kind,name,price,power,lst_price\n")
    assert unknown == [
        'machines.csv: header = "lst_price": there is no such column; perhaps list_price is meant'
    ]


def test_the_shipped_shelf_says_in_its_head_and_on_each_line_that_it_is_invented(
    shipped: Shelf,
) -> None:
    text = (demo_folder() / "machines.csv").read_text()
    assert "INVENTED" in text.splitlines()[0]
    assert {offer.source for offer in (*shipped.implements, *shipped.tractors)} == {"invented"}
    columns = next(line for line in text.splitlines() if not line.startswith("#")).split(",")
    head = text.partition("kind,name")[0]
    for column in columns:
        word = re.sub(r".+_(hopper|fill_time)", r"NAME_\1", column)
        assert word in head, f"{column} is not described in the head comment"


def test_the_shipped_shelf_has_each_size_new_and_used(shipped: Shelf) -> None:
    for kind in ("planter", "row_cultivator"):
        for bought in ("new", "used"):
            rows = [i.rows for i in shipped.implements if (i.kind, i.bought) == (kind, bought)]
            assert rows == [2, 4, 6, 8, 12, 16, 24]
    for kind in ("rotary_hoe", "disk", "field_cultivator"):
        widths = {i.working_width for i in shipped.implements if i.kind == kind}
        assert len(widths) == 6


def test_larger_new_machines_cost_more(shipped: Shelf) -> None:
    for kind in ("planter", "row_cultivator", "rotary_hoe", "disk", "field_cultivator"):
        new = [i for i in shipped.implements if i.kind == kind and i.bought == "new"]
        for figure in ("price", "tractor_power"):
            values = [getattr(item, figure) for item in new]
            assert values == sorted(set(values))
    tractors = [t for t in shipped.tractors if t.bought == "new"]
    assert [t.price for t in tractors] == sorted({t.price for t in tractors})
    assert [t.power for t in tractors] == sorted({t.power for t in tractors})


def test_used_machines_cost_what_the_remaining_value_of_their_class_leaves(shipped: Shelf) -> None:
    new = {offer.name: offer for offer in (*shipped.implements, *shipped.tractors)}
    used = [offer for offer in new.values() if offer.bought == "used"]
    assert len(used) == 41
    for offer in used:
        known = (
            machine_class(offer.kind)
            if isinstance(offer, Implement)
            else tractor_class(offer.power, False)
        )
        left = float(remaining_share(known, offer.age, offer.hours / offer.age))
        assert offer.list_price == new[offer.name.removesuffix("_used")].price
        assert offer.price == pytest.approx(offer.list_price * left, rel=0.03)  # rounded


def test_the_strongest_shipped_tractor_pulls_every_shipped_machine(shipped: Shelf) -> None:
    strongest = max(tractor.power for tractor in shipped.tractors)
    assert strongest == pytest.approx(parse("320 hp", "power"))
    assert max(item.tractor_power for item in shipped.implements) < strongest
