"""The tables of the terminal: columns that add up, 80 letters, cautions."""

from __future__ import annotations

import re

import pytest
import xarray as xr
from rich.console import Console
from rich.table import Table

import fieldsim
from fieldsim.cli.money import cost_table, lost_table
from fieldsim.cli.tables import print_answer, print_farm
from fieldsim.decisions.cautions import cautions
from tests.farms import hand_farm
from tests.test_report.full_farm import FULL_FARM, full_farm

NUMBER = re.compile(r"(?<![\w.])-?\d[\d,]*(?![\w.])")


def printed(table: Table) -> list[str]:
    """Return the lines of a table on a wide screen."""
    console = Console(width=200, highlight=False)
    with console.capture() as capture:
        console.print(table)
    return capture.get().splitlines()


def figures(table: Table, label: str) -> list[int]:
    """Return the numbers in the row of an option."""
    row = next(line for line in printed(table) if label in line)
    found = NUMBER.findall(row.partition(label)[2].partition("±")[0])
    return [int(number.replace(",", "")) for number in found]


@pytest.fixture(scope="module")
def farm() -> fieldsim.Farm:
    return full_farm()


@pytest.fixture(scope="module")
def outcomes(farm: fieldsim.Farm) -> xr.Dataset:
    return fieldsim.simulate(farm, 60)


def test_causes_add_up_to_what_is_lost(outcomes: xr.Dataset) -> None:
    table = lost_table(fieldsim.compare(outcomes))
    *causes, lost, _ = figures(table, "geliehen")
    assert len(causes) == 4
    assert sum(causes) == pytest.approx(lost, abs=3)


def test_small_causes_stand_together_where_there_are_many(outcomes: xr.Dataset) -> None:
    rare = {"lost_wet_soil": 40.0, "lost_switched": -15.0, "lost_unplanted": 0.2}
    comparison = fieldsim.compare(outcomes).assign(**rare)
    comparison["lost_revenue"] += 25
    table = lost_table(comparison)
    heads = [str(column.header) for column in table.columns]
    assert heads[1:5] == ["late\nplanting", "weeds", "drying", "other\ncauses"]
    *causes, lost, _ = figures(table, "geliehen")
    assert sum(causes) == pytest.approx(lost, abs=3)
    assert causes[3] == pytest.approx(comparison.lost_replanting.iloc[0] + 25, abs=1)


def test_costs_add_up_and_only_those_that_occur_stand_at_the_head(outcomes: xr.Dataset) -> None:
    comparison = fieldsim.compare(outcomes)
    table = cost_table(comparison)
    lost, owned, work, together = figures(table, "geliehen")
    assert lost + owned + work == pytest.approx(together, abs=3)
    first = comparison.iloc[0]
    assert owned == pytest.approx(first.ownership_cost + first.repair_cost, abs=1)
    assert "labor,\nfuel,\nhired" in [str(column.header) for column in table.columns]
    calm = cost_table(fieldsim.compare(fieldsim.simulate(hand_farm(), 2)))
    assert "labor" in [str(column.header) for column in calm.columns]


def test_no_chance_is_written_without_its_error() -> None:
    demo = fieldsim.demo_farm()
    text = demo.text.replace('target_date = "10 May"', 'target_date = "18 Apr"')
    text = text.replace('target_date = "25 May"', 'target_date = "31 Jul"')
    farm = fieldsim.parse_farm(text, demo.tables)
    console = Console(width=80, highlight=False)
    with console.capture() as capture:
        print_answer(farm, fieldsim.simulate(farm, 2000), console)
    chances = re.findall(r"(\d+) % ± (\d+) \((\d+ [A-Z][a-z]+)\)", capture.get())
    assert ("0", "1", "18 Apr") in chances
    assert ("100", "1", "31 Jul") in chances
    assert "0" not in [error for _, error, _ in chances]


def test_everything_fits_80_letters_whatever_the_options_are_called() -> None:
    start = FULL_FARM.index("[options.one]")
    options = "".join(
        f"[options.o{n}]\nlabel = '[bold]an option[/bold] of a very long name, with a number {n}'\n"
        "machines = { disk = 1, planter = 1, hired_hoe = 1 }\n"
        f"tractors = {{ large = {1 + n % 2} }}\noperators = {1 + n % 3}\n"
        for n in range(12)
    )
    farm = full_farm(FULL_FARM[:start] + options)
    console = Console(width=80, highlight=False)
    with console.capture() as capture:
        print_answer(farm, fieldsim.simulate(farm, 20), console)
        print_farm(farm, console)
    lines = capture.get().splitlines()
    assert max(map(len, lines)) <= 80
    text = " ".join(" ".join(lines).split())
    assert "…" not in text
    assert "[bold]an option[/bold]" in text  # what users write is no markup


def test_cautions_insurance_and_what_is_not_counted_are_printed(
    farm: fieldsim.Farm, outcomes: xr.Dataset
) -> None:
    console = Console(width=80, highlight=False)
    with console.capture() as capture:
        print_answer(farm, outcomes, console)
    text = " ".join(capture.get().split())
    for caution in cautions(farm):
        assert f"{caution.topic}: {caution.text}" in text
    assert len(cautions(farm)) == 8
    assert "Insured revenue of corn that its planting dates keep, average: 100.0 %" in text
    assert "Not counted: losses to weeds in soybeans (no weeds)." in text
    assert "Long days wear people out" in text  # the general caution stays


def test_check_tells_where_the_day_goes(farm: fieldsim.Farm) -> None:
    console = Console(width=100, highlight=False)
    with console.capture() as capture:
        print_farm(farm, console)
    lines = capture.get().splitlines()
    row = next(line for line in lines if line.strip().startswith("planter"))
    assert row.split() == ["planter", "73", "%", "7", "%", "9", "%", "seed", "4", "%", "0.9", "%"]
    assert "corn: 80 ha on 1 field" in "\n".join(lines)
    assert "Wide machines on roads" in " ".join(lines)


def test_a_single_season_has_no_margin(farm: fieldsim.Farm) -> None:
    outcomes = fieldsim.simulate(farm, 1)
    text = "\n".join(printed(cost_table(fieldsim.compare(outcomes))))
    assert "cannot tell apart" in text
    assert "±" not in text
    assert "nan" not in text
