"""Machines kept past what their class lasts are named, with the hours that make them so."""

from __future__ import annotations

import re

import pytest
from rich.console import Console

import fieldsim
from fieldsim.cli.tables import print_answer
from fieldsim.decisions import equipment_costs
from fieldsim.decisions.in_words.worn import worn_out
from fieldsim.machines import machine_class
from fieldsim.report import render_report
from tests.test_report.conftest import Page

DEMO = fieldsim.demo_farm()
NAMED = re.compile(r"([a-z_ 0-9]+?) \(([\d,]+) h, of ([\d,]+) h\)")


def with_years(years: int) -> fieldsim.Farm:
    return fieldsim.parse_farm(re.sub(r"^years = 1[25]$", f"years = {years}", DEMO.text,
                                      flags=re.MULTILINE), DEMO.tables)  # fmt: skip


def test_hours_are_those_of_the_years_kept_and_the_most_worn_stand_first() -> None:
    outcomes = fieldsim.simulate(DEMO, 100)
    (said,) = worn_out(DEMO, outcomes)
    found = NAMED.findall(said.partition(": ")[2].replace(" and ", ", "))
    assert len(found) == 3
    costs = equipment_costs(outcomes)
    shares = []
    for name, hours, life in found:
        key = name.strip(", ").replace(" ", "_")
        yearly = costs[costs.equipment == key].hours_per_unit.max()
        assert float(hours.replace(",", "")) == pytest.approx(12 * yearly, abs=1)
        assert float(life.replace(",", "")) == machine_class(DEMO.machines[key].class_).life
        shares.append(12 * yearly / float(life.replace(",", "")))
    assert shares == sorted(shares, reverse=True)
    assert min(shares) > 1


def test_who_keeps_machines_for_fewer_years_is_told_of_none() -> None:
    farm = with_years(3)
    assert worn_out(farm, fieldsim.simulate(farm, 100)) == []


def test_hours_of_a_used_machine_count() -> None:
    old = DEMO.text.replace('years = 12\n[machines.planter_6_rows.time]',
                            'years = 1\nlist_price = "$29,000"\nage = 9\nhours = "1600 h"\n'
                            "[machines.planter_6_rows.time]")  # fmt: skip
    assert old != DEMO.text
    farm = fieldsim.parse_farm(old, DEMO.tables)
    farm_years = re.sub(r"^years = 1[25]$", "years = 1", farm.text, flags=re.MULTILINE)
    farm = fieldsim.parse_farm(farm_years, DEMO.tables)
    (said,) = worn_out(farm, fieldsim.simulate(farm, 50))
    assert re.search(r"last: planter 6 rows \(1,7\d\d h, of 1,500 h\)\.", said)


def test_page_and_terminal_tell_it() -> None:
    outcomes = fieldsim.simulate(DEMO, 60)
    (said,) = worn_out(DEMO, outcomes)
    assert said in Page(render_report(DEMO, outcomes, {})).text
    console = Console(width=80, highlight=False)
    with console.capture() as capture:
        print_answer(DEMO, outcomes, console)
    assert said in " ".join(capture.get().split())
