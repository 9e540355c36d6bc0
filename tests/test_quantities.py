from __future__ import annotations

import math
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim.quantities import (
    KINDS,
    UNIT_SYSTEMS,
    UnitSystem,
    area_covered,
    area_text,
    factor,
    parse,
    split,
    unit,
    with_unit,
)

# Definitions, exact; from memory, of NIST Special Publication 811 (2008), appendix B.8. An acre is
# 43,560 square feet of 0.3048 m (Federal Register 85 FR 62698, 2020).
FOOT, INCH, MILE, POUND, GRAVITY = 0.3048, 0.0254, 1.609344, 0.45359237, 9.80665
BUSHEL = 2150.42 * INCH**3  # m3


@pytest.mark.parametrize(
    ("text", "kind", "inside"),
    [
        ("1 acre", "area", 43_560 * FOOT**2 / 10_000),
        ("600 acres", "area", 600 * 43_560 * FOOT**2 / 10_000),
        ("3 ha", "area", 3.0),
        ("1,300 ft", "length", 1300 * FOOT),
        ("30 in", "row_spacing", 30 * INCH),
        ("75 cm", "row_spacing", 0.75),
        ("2 mile", "distance", 2 * MILE),
        ("500 m", "distance", 0.5),
        ("5 mph", "speed", 5 * MILE),
        ("8 km/h", "speed", 8.0),
        ("20 min", "time", 1 / 3),
        ("25 s", "time", 25 / 3600),
        ("21 days", "days", 21.0),
        ("8 %", "share", 0.08),
        ("6 %/year", "rate", 0.06),
        ("0.7 %/day", "loss_rate", 0.007),
        # A horsepower is 550 feet times pounds of force a second.
        ("120 hp", "power", 120 * 550 * FOOT * POUND * GRAVITY / 1000),
        ("$42,000", "money", 42_000.0),
        ("42000 dollars", "money", 42_000.0),
        ("$25/h", "wage", 25.0),
        ("$120/acre", "money_per_area", 120 / (43_560 * FOOT**2 / 10_000)),
        ("56 lb/bu", "test_weight", 56 * POUND / 1000 / BUSHEL),
        ("72 kg/hL", "test_weight", 0.72),
        ("11 t/ha", "yield", 11.0),
        ("$177/t", "price", 177.0),
        ("12 ha/h", "field_capacity", 12.0),
    ],
)
def test_text_with_a_unit_is_read_into_the_unit_inside(text: str, kind: str, inside: float) -> None:
    assert parse(text, kind) == pytest.approx(inside, rel=1e-12)


def test_bushels_become_tonnes_through_the_test_weight() -> None:
    weight = parse("56 lb/bu", "test_weight")
    acre = 43_560 * FOOT**2 / 10_000
    tonnes = 180 * 56 * POUND / 1000
    assert parse("180 bu/acre", "yield", test_weight=weight) == pytest.approx(tonnes / acre)
    assert parse("$4.50/bu", "price", test_weight=weight) == pytest.approx(
        4.50 / (56 * POUND / 1000)
    )


def test_revenue_of_an_acre_does_not_depend_on_the_test_weight() -> None:
    for weight in (0.5, 0.72, 0.9):
        worth = parse("180 bu/acre", "yield", test_weight=weight) * parse(
            "$4.50/bu", "price", test_weight=weight
        )
        assert worth * parse("1 acre", "area") == pytest.approx(180 * 4.50, rel=1e-12)


@pytest.mark.parametrize(
    ("value", "kind", "problem"),
    [
        ("5", "speed", "the unit is missing"),
        (5, "speed", "the unit is missing"),
        (5.5, "speed", "the unit is missing"),
        (10**400, "speed", "the unit is missing"),
        (math.inf, "speed", "not a finite number"),
        (math.nan, "speed", "not a finite number"),
        (True, "speed", "not text with a unit"),
        (None, "speed", "not text with a unit"),
        (["5 mph"], "speed", "not text with a unit"),
        ("", "speed", "not a number with a unit"),
        ("mph", "speed", "not a number with a unit"),
        ("five mph", "speed", "not a number with a unit"),
        ("nan mph", "speed", "not a number with a unit"),
        ("inf mph", "speed", "not a number with a unit"),
        ("5 mph\n6 mph", "speed", "not a number with a unit"),
        ("1,30 ft", "length", "not a number with a unit"),
        ("1e400 mph", "speed", "the number is too large"),
        ("5 acer", "area", 'there is no unit "acer"'),
        ("5 lb", "area", '"lb" is not a unit of area'),
        ("5 acre", "yield", '"acre" is not a unit of yield'),
        ("180 bu", "yield", '"bu" is not a unit of yield'),
        ("180 bu/acre", "yield", "bushels need the crop's test weight"),
        ("$4.50", "price", '"$" is not a unit of price'),
        ("4.50/bu", "price", '"/bu" is not a unit'),
        ("$20 lb", "money", '"lb" does not follow a sum of money'),
        ("1 %", "loss_rate", '"%" is not a unit of loss rate'),
        ("5 degC", "speed", '"degC" is not a unit of speed'),
        ("5 decibelwatt/meter", "speed", '"decibelwatt/meter" is not a unit of speed'),
        ("5 acre**", "area", '"acre**" is not a unit'),
        ("5 d**9**9e9", "area", '"d**9**9e9" is not a unit'),
        ("5 mile^9 ^9^9", "area", '"mile^9 ^9^9" is not a unit'),
        ("5 ft**100000000", "area", '"ft**100000000" is not a unit'),
        ("5 " + "x" * 100, "area", '"' + "x" * 60 + '" is not a unit'),
    ],
)
def test_what_is_no_quantity_is_told_what_it_lacks(value: object, kind: str, problem: str) -> None:
    with pytest.raises(ValueError) as caught:  # noqa: PT011
        parse(value, kind)
    assert str(caught.value) == problem


@given(
    st.one_of(
        st.text("0123456789.,eE+-$%/*^ _acdehilmnprt(){}'\"é\n", max_size=25),
        st.builds(
            "{} {}{}{}".format,
            st.sampled_from(["5", "1e300", "-2", "0", "$3"]),
            st.sampled_from(["acre", "degF", "dBm", "%", "bu", "neper", "mph", "/lb"]),
            st.sampled_from(["/", "*", "**", "^", " ", "/ ", "** "]),
            st.sampled_from(["acre", "2", "99999999", "9e9", "-1", "2 3", "h", "degC"]),
        ),
    ),
    st.sampled_from(list(KINDS)),
)
def test_any_text_gives_a_finite_number_or_a_message(text: str, kind: str) -> None:
    try:
        number = parse(text, kind, test_weight=0.7)
    except ValueError:
        return
    assert math.isfinite(number)


def test_the_example_of_every_kind_can_be_read() -> None:
    for kind, description in KINDS.items():
        for example in description.example.split(" or "):
            assert parse(example.strip('"'), kind, test_weight=0.7) > 0


@given(st.floats(1e-6, 1e6), st.sampled_from(list(KINDS)), st.sampled_from(UNIT_SYSTEMS))
def test_a_number_shown_to_people_is_read_back_as_it_was(
    number: float, kind: str, units: UnitSystem
) -> None:
    weight = 0.72 if kind in ("yield", "price") else None
    shown = number * factor(kind, units, test_weight=weight)
    label = unit(kind, units)
    text = f"${shown!r}{label[1:]}" if label.startswith("$") else f"{shown!r} {label}"
    assert parse(text, kind, test_weight=weight) == pytest.approx(number, rel=1e-9)


@pytest.mark.parametrize(
    ("hopper", "rate", "acres"),
    [
        ("900 lb", "200 lb/acre", 4.5),
        ("480,000 seeds", "32,000 seeds/acre", 15.0),
        ("300 gal", "20 gal/acre", 15.0),
        ("0.5 ton", "200 lb/acre", 5.0),  # a U.S. ton is 2,000 lb
    ],
)
def test_a_hopper_covers_what_it_holds_over_its_rate(hopper: str, rate: str, acres: float) -> None:
    assert area_covered(hopper, rate) * factor("area", "us") == pytest.approx(acres)


@pytest.mark.parametrize(
    ("hopper", "rate", "problem"),
    [
        ("900 lb", "30 gal/acre", '"900 lb" at "30 gal/acre" covers no area'),
        ("900 lb", "200 lb", '"900 lb" at "200 lb" covers no area'),
        ("0 lb", "200 lb/acre", "a hopper and its rate are above 0"),
        ("900 lb", "-1 lb/acre", "a hopper and its rate are above 0"),
        (900, "200 lb/acre", "a hopper and its rate are text with units"),
    ],
)
def test_a_hopper_that_does_not_fit_its_rate_is_refused(
    hopper: object, rate: object, problem: str
) -> None:
    with pytest.raises(ValueError) as caught:  # noqa: PT011
        area_covered(hopper, rate)
    assert str(caught.value) == problem


def test_bushels_cannot_be_shown_without_a_test_weight() -> None:
    with pytest.raises(ValueError, match="test weight"):
        factor("yield", "us")
    assert factor("yield", "metric") == 1.0


def test_labels_are_those_of_the_unit_system() -> None:
    assert [unit("price", "us"), unit("price", "metric")] == ["$/bu", "$/t"]
    assert [unit("area", "us"), unit("area", "metric")] == ["acre", "ha"]


def test_areas_are_written_in_one_way() -> None:
    acre = parse("1 acre", "area")
    for count, said in ((1, "1 acre"), (0, "0 acres"), (462, "462 acres"), (1804, "1,804 acres")):
        assert area_text(count * acre, "us") == said
        assert with_unit(f"{count:,}", unit("area", "us")) == said
        assert parse(said, "area") == pytest.approx(count * acre)
    for area, said in ((1.0, "1 ha"), (187.4, "187 ha"), (32.499, "32.5 ha"), (0.4, "0.4 ha"),
                       (99.94, "99.9 ha"), (99.96, "100 ha")):  # fmt: skip
        assert area_text(area, "metric") == said
    assert with_unit("300 to 600", "acre") == "300 to 600 acres"
    assert with_unit("11.2", "acre/h") == "11.2 acre/h"


def test_split_keeps_the_number_as_written() -> None:
    assert split("1,250.5 lb").magnitude == 1250.5


READ_AN_ACRE = "from fieldsim.quantities import parse; print(parse('1 acre', 'area'))"


@pytest.mark.parametrize("damage", ["none", "no folder", "damaged files"])
def test_units_are_read_whatever_became_of_the_cache(damage: str, tmp_path: Path) -> None:
    folder = tmp_path / "cache"
    surroundings = os.environ | {"XDG_CACHE_HOME": str(folder), "HOME": str(folder)}

    def acre() -> str:
        command = [sys.executable, "-c", READ_AN_ACRE]
        run = subprocess.run(command, env=surroundings, capture_output=True, text=True, check=True)
        return run.stdout

    if damage == "no folder":
        folder.write_text("a file where the folder should be")
    else:
        acre()
    for kept in folder.rglob("*.pickle"):
        if damage == "damaged files":
            kept.write_bytes(b"damaged")
    assert float(acre()) == pytest.approx(43_560 * FOOT**2 / 10_000, rel=1e-12)
