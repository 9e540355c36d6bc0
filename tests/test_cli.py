"""The command line: answers, written files, and what it says of a user's mistakes."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest
from click.testing import CliRunner, Result

import fieldsim
from fieldsim.cli import main
from fieldsim.demo import demo_folder

FEW = ["--seasons", "40"]


def call(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture
def own_farm(tmp_path: Path) -> Path:
    assert call("new", tmp_path / "farm").exit_code == 0
    return tmp_path / "farm" / "farm.toml"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Result, Path]:
    out = tmp_path_factory.mktemp("demo") / "out"
    return call("demo", "--out", out, *FEW), out


def test_demo_ends_with_an_answer(demo: tuple[Result, Path]) -> None:
    result, _ = demo
    assert result.exit_code == 0, result.output
    text = " ".join(result.output.split())
    assert "least cost in an average year" in text or "cannot be told apart" in text
    assert "INVENTED" in (demo_folder() / "farm.toml").read_text()
    assert "invented" in result.output
    assert "40 seasons are few" in text


def test_demo_writes_table_data_figures_and_page(demo: tuple[Result, Path]) -> None:
    _, out = demo
    assert {path.name for path in out.iterdir()} == {
        *("comparison.csv", "outcomes.nc", "figures", "report.html", "handout.pdf")
    }
    outcomes = fieldsim.read_outcomes(out / "outcomes.nc")
    written = pd.read_csv(out / "comparison.csv", index_col="option")
    expected = fieldsim.compare(outcomes)
    pd.testing.assert_series_equal(written.total_cost, expected.total_cost)
    assert list((out / "figures").glob("*.png"))
    assert outcomes.identical(fieldsim.simulate(fieldsim.demo_farm(), 40, 0))


def test_the_same_command_writes_the_same_bytes(demo: tuple[Result, Path], tmp_path: Path) -> None:
    _, out = demo
    assert call("demo", "--out", tmp_path / "again", *FEW).exit_code == 0
    for name in ("comparison.csv", "report.html", "handout.pdf"):
        assert (tmp_path / "again" / name).read_bytes() == (out / name).read_bytes()


def test_new_writes_a_commented_farm_that_runs(own_farm: Path, tmp_path: Path) -> None:
    checked = call("check", own_farm)
    assert checked.exit_code == 0
    assert "No faults." in checked.output
    assert own_farm.read_text().count("#") > 20
    ran = call("run", own_farm, "--out", tmp_path / "out", *FEW)
    assert ran.exit_code == 0, ran.output
    assert "report.html" in ran.output


def test_new_leaves_an_existing_farm_alone(own_farm: Path) -> None:
    own_farm.write_text("mine")
    result = call("new", own_farm.parent)
    assert result.exit_code == 2
    assert "already there" in result.output
    assert own_farm.read_text() == "mine"


def test_every_fault_is_listed_and_nothing_is_written(own_farm: Path, tmp_path: Path) -> None:
    text = own_farm.read_text()
    text = text.replace('area = "78 acre"', "area = 78")
    text = text.replace('speed = "5.5 mph"', 'speed = "5.5 furlongs"')
    text = text.replace('earliest = "8 Apr"', 'earliest = "31 Apr"')
    own_farm.write_text(text)
    for words in (["check", own_farm], ["run", own_farm, "--out", tmp_path / "out"]):
        result = call(*words)
        assert result.exit_code == 2
        assert isinstance(result.exception, SystemExit)
        for part in ("fields.home_80.area", "machines.disk.speed", "operations.till.earliest"):
            assert part in result.output
        assert "3 faults." in result.output
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["run", "nowhere.toml"], "there is no such file"),
        (["demo", "--seasons", "0"], "seasons = 0"),
        (["demo", "--seasons", "-5"], "seasons = -5"),
        (["demo", "--seed", "-1"], "seed = -1"),
        (["demo", "--seasons", "many"], "not a valid integer"),
        (["demo", "--out", "/dev/null"], "is a file, not a folder"),
        (["demo", "--out", "/proc/nobody/there"], "nothing can be written"),
    ],
)
def test_a_mistake_on_the_command_line_ends_with_2_and_a_message(
    words: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    result = call(*words)
    assert result.exit_code == 2
    assert said in result.output
    assert list(tmp_path.iterdir()) == []


def test_results_replace_those_of_the_run_before(own_farm: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert call("run", own_farm, "--out", out, *FEW).exit_code == 0
    before = (out / "comparison.csv").read_bytes()
    assert call("run", own_farm, "--out", out, "--seed", "1", *FEW).exit_code == 0
    assert (out / "comparison.csv").read_bytes() != before
    assert not list(tmp_path.glob(".out.*"))


def test_a_table_in_the_place_of_a_farm_and_a_farm_of_a_table_are_told(own_farm: Path) -> None:
    table = own_farm.parent / "suitable_days.csv"
    for words, told in (
        (("run", table), f"{table}: this is a table, not a farm file; name the farm file, as "),
        (("fit", own_farm), f"{own_farm}: this is a farm file, not a table of past years; name "),
    ):
        result = call(*words)
        assert result.exit_code == 2
        assert result.output.startswith(told)
        assert result.output.endswith("1 fault.\n")
