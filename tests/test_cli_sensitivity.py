"""``fieldsim sensitivity``: what it prints in 80 columns and writes, and what it refuses."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from fieldsim.decisions.in_words.few import few_seasons
from fieldsim.decisions.sensitivity.inputs import Input
from fieldsim.decisions.sensitivity.range_files import read_ranges
from fieldsim.farm import read_farm
from tests.farms import SMALL_FARM, SMALL_TABLES
from tests.test_cli import call

RANGES = (
    "input,paths,kind,low,high,basis\n"
    "wage,money.wage,figure,$15/h,$60/h,the neighbor\n"
    'corn price,crops.corn.price,factor,0.8,1.2,"common practice, no source"\n'
    "field area,fields.*.area,factor,0.2,4,\n"
)
FEW = ["--seasons", "60"]


TOGETHER = ["--ranges", "mine.csv", "--global", "--samples", "16"]


def small_farm_in(folder: Path) -> Path:
    (folder / "farm.toml").write_text(SMALL_FARM, encoding="utf-8")
    for name, text in SMALL_TABLES.items():
        (folder / name).write_text(text, encoding="utf-8")
    (folder / "mine.csv").write_text(RANGES, encoding="utf-8")
    return folder / "farm.toml"


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    return small_farm_in(tmp_path)


@pytest.fixture(scope="module")
def together(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path]:
    return asked(small_farm_in(tmp_path_factory.mktemp("farm")), *TOGETHER)


def asked(farm: Path, *words: object) -> tuple[str, Path]:
    """What is printed, and the folder that is written; a file is looked for beside the farm."""
    out = farm.parent / "out"
    words = tuple(farm.parent / word if word == "mine.csv" else word for word in words)
    result = call("sensitivity", farm, "--out", out, *FEW, *words)
    assert result.exit_code == 0, result.output
    return result.output, out


def test_without_ranges_the_usual_ones_are_taken_and_written_to_be_edited(farm: Path) -> None:
    printed, out = asked(farm)
    assert {path.name for path in out.iterdir()} == {
        *("sensitivity.csv", "sensitivity.png", "one_more.csv", "ranges.csv")
    }
    inputs = read_ranges(out / "ranges.csv")
    assert {"corn price", "wage", "field area", "hours a day"} <= {item.name for item in inputs}
    table = pd.read_csv(out / "sensitivity.csv", index_col="input")
    assert set(table.index) == {item.name for item in inputs}
    assert table.effect.abs().is_monotonic_decreasing
    assert "Input, alone" in printed
    assert "What one more saves in a year ($)" in printed


def test_lines_keep_to_80_columns(together: tuple[str, Path]) -> None:
    printed, _ = together
    lines = [line for line in printed.splitlines() if not line.startswith("Wrote")]
    assert max(map(len, lines)) <= 80
    assert max(map(len, call("sensitivity", "-h").output.splitlines())) <= 80


def test_own_ranges_are_used_and_kept(together: tuple[str, Path]) -> None:
    printed, out = together
    assert not (out / "ranges.csv").exists()
    table = pd.read_csv(out / "sensitivity.csv", index_col="input")
    row = table.loc["wage", ["low", "high", "basis"]]
    assert row.tolist() == ["$15.00/h", "$60.00/h", "the neighbor"]
    for words in ("$15.00/h", "$60.00/h", "−80 %", "+300 %"):
        assert words in printed


def test_what_flips_the_decision_is_said(together: tuple[str, Path]) -> None:
    printed, out = together
    text = " ".join(printed.split())
    table = pd.read_csv(out / "sensitivity.csv", index_col="input", keep_default_na=False)
    flipping = table[table.flips]
    assert list(flipping.index) == ["field area"]
    flips_at = flipping.flips_at.iloc[0]
    assert f"With field area beyond {flips_at}, two planters would cost less." in text
    assert "one outfit costs $" in text
    assert few_seasons(60)[0] in text


def test_the_option_asked_about_is_held_against_the_cheapest_other(farm: Path) -> None:
    prices = write(farm, RANGES[: RANGES.index("field")])
    printed, _ = asked(farm, "--ranges", prices, "--option", "two_planters")
    assert "Cost of a year, two planters less one outfit ($)" in printed
    assert "No input alone, within its range, changes" in " ".join(printed.split())


def write(farm: Path, text: str) -> Path:
    path = farm.parent / "other.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_all_inputs_together_are_tables_and_a_figure_of_shares(together: tuple[str, Path]) -> None:
    printed, out = together
    table = pd.read_csv(out / "sensitivity_together.csv", index_col="input")
    assert set(table.index) == {"wage", "corn price", "field area"}
    assert (out / "sensitivity_together.png").stat().st_size > 10_000
    text = " ".join(printed.split())
    assert "All moved together" in text
    assert "of 100 samples one outfit costs less than two planters." in text


def test_the_same_command_writes_the_same_bytes(together: tuple[str, Path], tmp_path: Path) -> None:
    _, first = together
    _, second = asked(small_farm_in(tmp_path), *TOGETHER)
    names = [path.name for path in first.glob("*.csv")]
    assert len(names) == 3
    for name in names:
        assert (first / name).read_bytes() == (second / name).read_bytes()


def test_a_farm_with_one_option_is_told_what_it_hangs_on(farm: Path) -> None:
    farm.write_text(SMALL_FARM[: SMALL_FARM.index("[options.two")], encoding="utf-8")
    printed, _ = asked(farm, "--ranges", "mine.csv")
    assert "Total cost of a year with" in printed
    assert "On the farm's own figures a year with" in printed


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--option", "none"], "--option = 'none': there is no such option"),
        (["--samples", "100"], "samples = 100: a power of 2"),
        (["--ranges", "nowhere.csv"], "there is no such file"),
        (["--seasons", "0"], "seasons = 0"),
        (["--out", "/dev/null"], "is a file, not a folder"),
    ],
)
def test_a_mistake_ends_with_2_and_a_message_and_nothing_written(farm, words, said) -> None:
    out = farm.parent / "out"
    result = call("sensitivity", farm, "--out", out, *words)
    assert result.exit_code == 2, result.output
    assert said in result.output
    assert not out.exists()


def test_every_fault_of_the_ranges_is_listed(farm: Path) -> None:
    text = (
        "input,paths,kind,low,high\na,crops.rye.price,factor,0.8,1.2\n"
        "b,money.wage,figure,5 mph,6 mph\n"
    )
    result = call("sensitivity", farm, "--ranges", write(farm, text), *FEW)
    assert result.exit_code == 2
    assert result.output.count("there is no such figure in the farm") == 2
    assert result.output.count("is not a unit of wage") == 2
    assert "4 faults." in result.output


def test_the_small_farms_ranges_are_sound(farm: Path) -> None:
    assert read_farm(farm).options.keys() == {"one_outfit", "two_planters"}
    assert read_ranges(farm.parent / "mine.csv")[0] == Input(
        "wage", ("money.wage",), "$15/h", "$60/h", "figure", "the neighbor"
    )
