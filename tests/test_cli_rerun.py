"""``fieldsim rerun``: a result is repeated from its own file, and what differs is told."""

from __future__ import annotations

import json
import os
from pathlib import Path

import numpy as np
import pytest
import xarray as xr
from click.testing import CliRunner, Result

import fieldsim
from fieldsim.cli import main
from fieldsim.cli.rerun import differences, repeated
from fieldsim.draws import draw_seasons
from tests.farms import hand_farm, small_farm


def call(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture(scope="module")
def ran(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("ran") / "out"
    assert call("demo", "--seasons", 600, "--seed", 5, "--out", out).exit_code == 0
    return out


@pytest.fixture
def stored() -> xr.Dataset:
    return fieldsim.simulate(small_farm(), 20, 3)


@pytest.mark.parametrize("threads", [1, 2])
def test_a_result_is_repeated_byte_for_byte_on_any_threads(
    threads: int, ran: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "cpu_count", lambda: threads)
    result = call("rerun", ran / "outcomes.nc", "--out", tmp_path / "again")
    assert result.exit_code == 0, result.output
    assert "600 seasons, seed 5" in result.output
    assert "Identical: all 32 variables, and all attributes." in result.output
    assert "differ" not in result.output
    for name in ("comparison.csv", "report.html"):
        assert (tmp_path / "again" / name).read_bytes() == (ran / name).read_bytes()
    again = fieldsim.read_outcomes(tmp_path / "again" / "outcomes.nc")
    xr.testing.assert_identical(again, fieldsim.read_outcomes(ran / "outcomes.nc"))


def test_without_a_folder_nothing_is_written(
    ran: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert call("rerun", ran / "outcomes.nc").exit_code == 0
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "more", [{"replicates": 4}, {"keep": "summary"}], ids=["replicates", "summary"]
)
def test_every_kind_of_result_is_repeated(more: dict[str, object], tmp_path: Path) -> None:
    farm = small_farm(("week_correlation = 0.3", "week_correlation = 0.3\nyears = 20"))
    outcomes = fieldsim.simulate(farm, 40, 1, **more)  # type: ignore[arg-type]
    fieldsim.write_outcomes(outcomes, tmp_path / "a.nc")
    again = repeated(fieldsim.read_outcomes(tmp_path / "a.nc"))[1]
    assert set(differences(outcomes, again).values()) == {"identical"}


def test_why_as_many_seasons_were_drawn_is_carried_over(stored: xr.Dataset) -> None:
    told = stored.assign_attrs(stopping="The limit came before.")
    assert repeated(told)[1].attrs["stopping"] == "The limit came before."


def test_what_differs_is_told_variable_by_variable(stored: xr.Dataset, tmp_path: Path) -> None:
    changed = stored.copy(deep=True)
    changed["lost_revenue"][0, 0, 0] += 12.5
    changed["finish_date"][0, 0, 0, 0] = np.datetime64("2000-01-01")
    changed["labor_cost"].attrs["units"] = "cents"
    changed["hire_cost"] = changed.hire_cost.astype(np.int64)
    changed = changed.drop_vars("fuel_cost").assign(made_up=1.0)
    changed.attrs |= {"fieldsim_version": "0.0.9", "note": "mine"}
    fieldsim.write_outcomes(changed, tmp_path / "a.nc")
    result = call("rerun", tmp_path / "a.nc")
    assert result.exit_code == 1
    said = {
        line.split()[0]: " ".join(line.split()[1:])
        for line in result.output.splitlines()
        if line.startswith("  ")
    }
    assert said.pop("attribute") == "note 'mine' became None"
    assert {name: told for name, told in said.items() if told != "identical"} == {
        "lost_revenue": "1 of 80 values differ, by at most 12.5 $",
        "finish_date": "1 of 240 values differ",
        "labor_cost": "its description differs",
        "hire_cost": "another type: int64 became float64",
        "fuel_cost": "only in the repeated result",
        "made_up": "not in the repeated result",
    }
    assert "written by fieldsim 0.0.9" in result.output
    assert "Not identical: 8 of 35 variables and attributes differ." in result.output
    assert "install fieldsim 0.0.9 to repeat it" in result.output


def test_missing_values_are_the_same_and_others_are_not() -> None:
    first = xr.Dataset({"a": ("x", [np.nan, np.nan, 1.0])})
    assert differences(first, first.copy(deep=True)) == {"a": "identical"}
    other = xr.Dataset({"a": ("x", [np.nan, 2.0, 1.0])})
    assert differences(first, other) == {"a": "1 of 3 values differ, by at most 0"}
    short = xr.Dataset({"a": ("x", [np.nan])})
    assert differences(first, short) == {"a": "another shape: (x 3) became (x 1)"}


@pytest.mark.parametrize(
    ("attribute", "value", "said"),
    [
        ("farm_text", None, "farm_text: is missing"),
        ("farm_text", "name = ", "farm_text: not a farm file"),
        ("farm_tables", "[1", "farm_tables: are not tables"),
        ("farm_tables", json.dumps({"days.csv": 3}), "farm_tables: are not tables"),
        ("farm_tables", "{}", "this table was not given"),
        ("farm_tables", "[" * 100_000, "farm_tables: are not tables"),
        ("seed", [1, 2], "seed: is not what it was"),
        ("seed", -1, "seed = -1"),
        ("seasons", 1.5, "seasons: is not what it was"),
        ("seasons", 10**9, "seasons = 1000000000"),
        ("replicates", "many", "replicates: is not what it was"),
        ("draws", "given", "changed by a program"),
    ],
)
def test_what_cannot_be_repeated_is_told(
    attribute: str, value: object, said: str, stored: xr.Dataset, tmp_path: Path
) -> None:
    stored.attrs[attribute] = value
    if value is None:
        del stored.attrs[attribute]
    fieldsim.write_outcomes(stored, tmp_path / "a.nc")
    result = call("rerun", tmp_path / "a.nc")
    assert result.exit_code == 2
    assert isinstance(result.exception, SystemExit)
    assert said in " ".join(result.output.split())


def test_draws_of_a_study_are_told(tmp_path: Path) -> None:
    farm = hand_farm()
    outcomes = fieldsim.simulate(farm, 3, draws=draw_seasons(farm, 3, 0))
    fieldsim.write_outcomes(outcomes, tmp_path / "a.nc")
    assert call("rerun", tmp_path / "a.nc").exit_code == 2
