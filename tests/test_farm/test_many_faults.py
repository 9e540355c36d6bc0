from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from fieldsim.demo import demo_folder
from fieldsim.errors import InputError
from fieldsim.farm import Farm, parse_farm
from fieldsim.simulation import simulate
from tests.farms import (
    SMALL_FARM,
    SOYBEAN_YIELD,
    WEEKS,
    changed,
    faults_of,
    messages,
    small_farm,
)

MANY = (
    ('units = "us"', 'units = "imperial"'),
    ("week_correlation = 0.3", "week_correlation = 1.3"),
    ('"12 h"', '"30 h"'),
    ('"$20/h"', "20"),
    ('"180 bu/acre"', '"180 bu"'),
    ("[fields.home]\n", "[fields.home]\nhectares = 1\n"),
    ('soybeans = "1 May"', 'soybeans = "31 Apr"'),
    ('operations = ["till"]', 'operations = ["tilt"]'),
    ('power = "95 hp"', 'power = "95"'),
    ("tractors = { large = 2, small = 1 }", "tractors = { huge = 2, small = 1 }"),
)
BROKEN_TABLES = {
    "days.csv": WEEKS.replace("8 Apr,0.7", "8 Apr,x"),
    "soybean_yield.csv": SOYBEAN_YIELD.replace("1 Jun,80", "1 Jun,180"),
}


def test_the_small_farm_has_no_fault() -> None:
    assert isinstance(small_farm(), Farm)


def test_ten_faults_of_as_many_places_and_those_of_the_tables_come_at_once() -> None:
    found = [(f.file, f.field) for f in faults_of(changed(*MANY), BROKEN_TABLES)]
    assert found == [
        ("farm.toml", "units"),
        ("farm.toml", "days.week_correlation"),
        ("farm.toml", "crew.hours_per_day"),
        ("farm.toml", "money.wage"),
        ("farm.toml", "crops.corn.yield"),
        ("farm.toml", "fields.home.hectares"),
        ("farm.toml", "operations.plant.earliest.soybeans"),
        ("farm.toml", "tractors.small.power"),
        ("days.csv", "line 3, at_least_80"),
        ("soybean_yield.csv", "line 3, percent_of_maximum"),
        ("farm.toml", "machines.disk.operations"),
        ("farm.toml", "options.two_planters.tractors.huge"),
    ]


@pytest.mark.parametrize("change", MANY, ids=lambda change: change[1].strip()[:20])
def test_a_fault_says_the_same_alone_and_among_others(change: tuple[str, str]) -> None:
    (alone,) = messages(change)
    assert alone in [str(fault) for fault in faults_of(changed(*MANY), BROKEN_TABLES)]


@pytest.mark.parametrize(
    ("changes", "fields"),
    [
        # Faults of one part: entries of its own, and what does not fit other parts.
        (
            (('area = "200 acre"', "area = 200"), ('crop = "corn"', 'crop = "maize"')),
            ["fields.home.area", "fields.home.crop"],
        ),
        (
            (('"180 bu/acre"', "180"), ('"10 May"', '"10 Nov"'), ('"1 Jun"', '"1 Nov"')),
            ["crops.corn.yield", "crops.corn.target_date", "crops.corn.late.switch_from"],
        ),
        (
            (('"180 bu/acre"', "180"), ('"corn_minnesota_1988_2003"', '"corn_mars"')),
            ["crops.corn.yield", "crops.corn.yield_by_planting_date"],
        ),
        (
            (('hours_per_day = "11 h"', ""), ('"5 Apr"', '"5 Nov"')),
            ["operations.till.hours_per_day", "operations.till.earliest"],
        ),
        (
            (('"5.5 mph"', "5.5"), ('["till"]', '["tilt"]'), ('width = "20 ft"\n', "")),
            ["machines.disk.speed", "machines.disk.operations", "machines.disk"],
        ),
        (
            (("{ large = 2, small = 1 }", "{ large = 2.5, huge = 1 }"),),
            ["options.two_planters.tractors.large", "options.two_planters.tractors.huge"],
        ),
        (
            (('name = "Small farm"\n', ""), ('e", "till"]', 'e", "sow"]')),
            ["name", "priority (item 3)", "priority"],
        ),
        (
            (("operators = 1\n", "operators = 1.5\n"), ('["Sunday"]', "3"), ('"40 %"', "4")),
            ["crew.operators", "crew.days_off", "crew.helpers.neighbor.probability"],
        ),
    ],
)
def test_the_faults_of_one_part_hide_none_of_each_other(
    changes: tuple[tuple[str, str], ...], fields: list[str]
) -> None:
    assert [fault.field for fault in faults_of(changed(*changes))] == fields


@pytest.mark.parametrize(
    "section",
    ["days", "crew", "money", "crops", "fields", "operations", "machines", "options"],
)
def test_a_missing_section_is_one_fault(section: str) -> None:
    document = tomllib.loads(SMALL_FARM)
    del document[section]
    (fault,) = faults_of(as_toml(document))
    assert (fault.field, fault.problem) == (section, "the section is missing")


def test_an_empty_file_is_told_all_that_it_needs() -> None:
    fields = [fault.field for fault in faults_of("")]
    assert fields == [
        *("name", "units", "crop_year", "priority", "days", "crew", "money"),
        *("crops", "fields", "operations", "machines", "options"),
    ]


def as_toml(document: dict[str, Any]) -> str:
    """Return a document as TOML, every table of a section on a line of its own."""
    lines = [f"{inline_key(k)} = {inline(v)}" for k, v in document.items() if not is_section(v)]
    for name, section in document.items():
        if is_section(section):
            lines.append(f"[{inline_key(name)}]")
            lines += [f"{inline_key(key)} = {inline(value)}" for key, value in section.items()]
    return "\n".join(lines)


def is_section(value: object) -> bool:
    return isinstance(value, dict)


def inline_key(key: str) -> str:
    return json.dumps(key)


def inline(value: object) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{inline_key(k)} = {inline(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(inline, value)) + "]"
    if isinstance(value, float):
        return repr(value)
    return json.dumps(value)


DEMO = tomllib.loads((demo_folder() / "farm.toml").read_text(encoding="utf-8"))
DEMO_TABLES = {"suitable_days.csv": (demo_folder() / "suitable_days.csv").read_text()}


def places(value: object, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the path of every entry of a document."""
    inner = value.items() if isinstance(value, dict) else ()
    inner = enumerate(value) if isinstance(value, list) else inner
    for key, entry in inner:
        yield (*path, key)
        yield from places(entry, (*path, key))


PLACES = list(places(DEMO))
WORDS = st.sampled_from(
    ["", "corn", "till", "plant", "disk", "loss", "1 Apr", "31 Apr", "1 Dec", "5 %", "5 acre",
     "0 h", "-1 mph", "1e-300 ft", "1e300 mile", "400 days", "0 days", "$1/bu", "daily_chain",
     "suitable_days.csv", "Sunday", "metric", "1e-300 seeds", "a\nb"]
)  # fmt: skip
SCALARS = st.one_of(
    WORDS, st.booleans(), st.integers(-2, 400), st.floats(), st.text(max_size=5), st.just(10**30)
)
JUNK = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["corn", "table", "x", "disk", "plateau"]), inner, max_size=3
        )
    ),
    max_leaves=4,
)
FAST = [phase for phase in Phase if phase is not Phase.explain]  # explaining takes a tracer
MUTATION = st.tuples(st.sampled_from(PLACES), st.one_of(st.none(), JUNK), st.booleans())


def mutate(document: Any, path: tuple[Any, ...], value: Any, beside: bool) -> Any:
    """Return the document with the entry at `path` deleted, replaced, or joined by another."""
    key, *rest = path
    there = key in document if isinstance(document, dict) else False
    if isinstance(document, list):
        there = isinstance(key, int) and key < len(document)
    if not there:  # an earlier mutation has taken it away
        return document
    copy = document.copy()
    if rest:
        copy[key] = mutate(copy[key], tuple(rest), value, beside)
    elif value is None:
        del copy[key]
    elif beside and isinstance(copy, dict):
        copy["x"] = value
    else:
        copy[key] = value
    return copy


@settings(max_examples=200, deadline=None, phases=FAST)
@given(st.lists(MUTATION, min_size=1, max_size=3))
def test_any_mutation_of_the_demo_farm_gives_a_farm_that_runs_or_faults_to_mend(
    mutations: list[tuple[tuple[Any, ...], Any, bool]],
) -> None:
    document = DEMO
    for path, value, beside in mutations:
        document = mutate(document, path, value, beside)
    try:
        farm = parse_farm(as_toml(document), DEMO_TABLES, "farm.toml")
    except InputError as error:
        faults = error.faults
    else:
        simulate(farm, 2, threads=1)  # what has passed every check can be run
        return
    assert faults
    assert len(set(faults)) == len(faults)
    for fault in faults:
        assert fault.file
        assert fault.field
        assert fault.problem
        assert fault.repair
        assert "Input should" not in str(fault)
        assert "Value " not in str(fault)


def test_the_demo_farm_is_the_same_written_by_the_mutations() -> None:
    farm = parse_farm(as_toml(DEMO), DEMO_TABLES)
    as_shipped = parse_farm((demo_folder() / "farm.toml").read_text(encoding="utf-8"), DEMO_TABLES)
    assert farm.machines == as_shipped.machines
    assert farm.operations == as_shipped.operations
