"""``--replicates``: how little a few years of record tell, carried to the answer."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
import xarray as xr

from fieldsim.decisions.in_words.few import few_years
from fieldsim.farm import read_farm
from tests.test_cli import call
from tests.test_cli_days import DAYS, farm, records_farm, weather_farm
from tests.test_cli_sensitivity import RANGES
from tests.weather import records_text

FEW = ["--seasons", "200", "--replicates", "10"]


def run(file: Path, *words: object) -> tuple[str, pd.DataFrame]:
    """What a run prints, on one line, and the comparison it writes."""
    out = file.parent / "out"
    result = call("run", file, "--out", out, *words)
    assert result.exit_code == 0, result.output
    return " ".join(result.output.split()), pd.read_csv(out / "comparison.csv", index_col="option")


@pytest.mark.parametrize("source", ["table", "records"])
def test_each_option_is_told_with_what_the_few_years_leave_unsure(
    tmp_path: Path, source: str
) -> None:
    if source == "table":
        file = farm(tmp_path, f"{DAYS}years = 8\n")
    else:
        file = records_farm(tmp_path, records_text(8))
    text, table = run(file, *FEW)
    assert "is not counted in their errors" not in text
    row = table.loc["two_planters"]
    less = "less" if row.difference < 0 else "more"
    margin = 1.96 * row.difference_years_error
    told = "cannot" if row.cannot_tell_with_these_years else "can"
    if np.isnan(margin):
        assert "how unsure the few years on record leave that cannot be seen in so few" in text
        return
    assert (
        f"two planters: ${abs(row.difference):,.0f} a year {less} than the first, ± ${margin:,.0f} "
        f"in view of the few years on record; with these years the two {told} be told apart."
    ) in text
    assert len(re.findall("in view of the few years", text)) == 1  # not for the first


FEW_YEARS = (
    "{} years lie behind the days of this farm, and how far other years would move these "
    "figures is not counted in their errors. "
)
NOT_COUNTED = f"{FEW_YEARS}Count it with --replicates 20, in Python with replicates=20."
COUNTED_BY_RUN = f"{FEW_YEARS}fieldsim run --replicates 20 counts it for what the options cost."


@pytest.mark.parametrize("source", ["table", "records", "weather"])
def test_a_short_record_without_replicates_is_told_to_be_one(tmp_path: Path, source: str) -> None:
    def file(years: int) -> Path:
        if source == "table":
            return farm(tmp_path, f"{DAYS}years = {years}\n")
        if source == "records":
            return records_farm(tmp_path, records_text(years))
        return weather_farm(tmp_path, years=years)

    text, table = run(file(9), "--seasons", "50")
    told = NOT_COUNTED.format("Only 9")
    assert told in text
    assert told in (tmp_path / "out" / "report.html").read_text(encoding="utf-8")
    assert "difference_years_error" not in table
    drawn = xr.Dataset(coords={"season": range(50)})
    assert few_years(read_farm(file(9)), drawn) == [told]
    assert few_years(read_farm(file(10)), drawn) == [NOT_COUNTED.format("10")]
    assert few_years(read_farm(file(29)), drawn) == [NOT_COUNTED.format("29")]
    assert few_years(read_farm(file(30)), drawn) == []
    assert few_years(read_farm(file(9)), drawn.assign_coords(replicate=drawn.season)) == []


def test_an_investment_on_a_short_record_says_so_too(tmp_path: Path) -> None:
    file = records_farm(tmp_path, records_text(8))
    move = ["--from", "one_outfit", "--to", "two_planters", "--out", tmp_path / "out"]
    few = ["--seasons", "40", "--futures", "20"]  # replicates have two seasons each
    told = " ".join(call("invest", file, *move, *few).output.split())
    assert NOT_COUNTED.format("Only 8") in told
    counted = call("invest", file, *move, *few, "--replicates", "20")
    assert counted.exit_code == 0, counted.output
    assert "lie behind the days" not in counted.output


@pytest.mark.parametrize(
    ("command", "words"),
    [
        ("compare", []),
        ("size", ["--certainty", "80"]),
        ("sizes", ["--areas", "200"]),
        ("sensitivity", ["--ranges", "ranges.csv"]),
        ("breakeven", ["--over", "crops.corn.price"]),
    ],
)
def test_a_study_of_a_short_record_says_so_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: str, words: list[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("ranges.csv").write_text(RANGES[: RANGES.index("field")])
    file = records_farm(tmp_path, records_text(8))
    result = call(command, file, *words, "--seasons", "20", "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    assert " ".join(result.output.split()).count(COUNTED_BY_RUN.format("Only 8")) == 1


def test_a_study_of_thirty_years_or_of_a_replay_says_nothing_of_them(tmp_path: Path) -> None:
    def told(years: int, more: str = "") -> str:
        file = records_farm(tmp_path, records_text(years), more)
        result = call("compare", file, "--seasons", "8", "--out", tmp_path / "out")
        assert result.exit_code == 0, result.output
        return result.output

    assert "lie behind the days" in told(29)
    assert "lie behind the days" not in told(30)
    assert "lie behind the days" not in told(8, 'resampling = "replay"\n')


def test_what_a_study_tells_to_run_counts_it(tmp_path: Path) -> None:
    words = COUNTED_BY_RUN.partition("fieldsim run ")[2].split()[:2]
    _, table = run(records_farm(tmp_path, records_text(8)), "--seasons", "40", *words)
    assert table.difference_years_error.notna().any()


def test_the_years_of_a_replay_are_its_seasons_and_their_errors_counted(tmp_path: Path) -> None:
    file = records_farm(tmp_path, records_text(8), 'resampling = "replay"\n')
    assert "lie behind the days" not in run(file, "--seasons", "8")[0]


def test_without_replicates_nothing_is_said_of_the_few_years(tmp_path: Path) -> None:
    text, table = run(farm(tmp_path), "--seasons", "50")
    assert "few years" not in text
    assert "difference_years_error" not in table


@pytest.mark.parametrize(
    ("days", "words", "told"),
    [
        (DAYS, FEW, "write years = 30 in [days]"),
        (f"{DAYS}years = 8\n", ["--replicates", "1"], "replicates = 1"),
        (f"{DAYS}years = 8\n", ["--replicates", "9", "--seasons", "10"], "replicates = 9"),
    ],
)
def test_replicates_that_cannot_be_made_are_refused(
    tmp_path: Path, days: str, words: list[str], told: str
) -> None:
    result = call("run", farm(tmp_path, days), "--out", tmp_path / "out", *words)
    assert result.exit_code == 2
    assert told in result.output
    assert not (tmp_path / "out").exists()
