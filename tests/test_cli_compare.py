"""``fieldsim compare``, and seasons drawn until the options are told apart."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest
from click.testing import CliRunner, Result

import fieldsim
from fieldsim.cli import main
from fieldsim.decisions.in_words.few import few_seasons
from fieldsim.demo import demo_folder

FARM = demo_folder() / "farm.toml"


def call(*words: object, columns: int = 80) -> Result:
    return CliRunner(env={"COLUMNS": str(columns)}).invoke(main, [str(word) for word in words])


def said(result: Result) -> str:
    return " ".join(result.output.split())


@pytest.fixture(scope="module")
def compared(tmp_path_factory: pytest.TempPathFactory) -> tuple[Result, Path]:
    out = tmp_path_factory.mktemp("compare") / "out"
    return call("compare", FARM, "--seasons", 300, "--wealth", 900_000, "--out", out), out


def test_tables_of_pairs_and_risk_fit_a_terminal_of_80_letters(
    compared: tuple[Result, Path],
) -> None:
    result, _ = compared
    assert result.exit_code == 0, result.output
    lines = [line for line in result.output.splitlines() if not line.startswith("Wrote")]
    assert max(map(len, lines)) <= 80
    for words in ("300 seasons", "Which costs less in a year", "How the cost of a year varies"):
        assert words in said(result)
    assert "INVENTED" in FARM.read_text()
    assert "invented" in said(result)


def test_the_printed_figures_are_those_of_pairwise_and_risk(compared: tuple[Result, Path]) -> None:
    result, _ = compared
    outcomes = fieldsim.simulate(fieldsim.demo_farm(), 300)
    for row in fieldsim.pairwise(outcomes).itertuples():
        assert f"{abs(row.difference):,.0f} ± {1.96 * row.difference_error:,.0f}" in said(result)
    for _, row in fieldsim.risk(outcomes, wealth=900_000).iterrows():
        for column in ("mean", "standard_deviation", "shortfall_0.95", "certain_relative_2"):
            assert f"{row[column]:,.0f}" in result.output
            if column == "mean":
                assert f"± {1.96 * row.mean_error:,.0f}" in said(result)
                continue
            assert f"{row[f'{column}_from']:,.0f} to" in result.output
            assert f"{row[f'{column}_to']:,.0f}" in result.output
        assert f"{row['quantile_0.9_from']:,.0f} to" in result.output
    assert "300 seasons are few to tell the worst 1 year in 100" in said(result)
    assert "before you act on this" not in said(result)


def test_the_options_worth_choosing_are_named(compared: tuple[Result, Path]) -> None:
    outcomes = fieldsim.simulate(fieldsim.demo_farm(), 300)
    labels = outcomes.option_label.to_series()
    for wish, degree in (("spend less,", 1), ("spend less and dislikes risk,", 2)):
        sentence = said(compared[0]).split(f"whoever wants to {wish} ")[1].split(".")[0]
        named = {name for name, label in labels.items() if label in sentence}
        assert named == set(fieldsim.efficient(outcomes, degree))


def test_files_hold_the_whole_tables_and_the_figure(compared: tuple[Result, Path]) -> None:
    _, out = compared
    assert {path.name for path in out.iterdir()} == {
        *("compare.csv", "pairs.csv", "risk.csv", "yearly_cost.png")
    }
    outcomes = fieldsim.simulate(fieldsim.demo_farm(), 300)
    pairs = pd.read_csv(out / "pairs.csv")
    assert (pairs.difference <= 0).all()  # the cheaper one first
    assert sorted(-pairs.difference) == pytest.approx(
        sorted(fieldsim.pairwise(outcomes).difference.abs())
    )
    risk = pd.read_csv(out / "risk.csv", index_col="option")
    expected = fieldsim.risk(outcomes, wealth=900_000)
    pd.testing.assert_frame_equal(risk.loc[expected.index], expected, check_names=False)
    compare = pd.read_csv(out / "compare.csv", index_col="option")
    assert compare.difference.to_dict() == pytest.approx(
        fieldsim.compare(outcomes).difference.to_dict()
    )


def test_a_baseline_leaves_the_pairs_with_it(tmp_path: Path) -> None:
    words = ("compare", FARM, "--seasons", 100, "--baseline", "eight_rows", "--out", tmp_path)
    result = call(*words, columns=200)
    table = result.output.split("How the cost")[0]
    assert result.exit_code == 0, result.output
    assert table.count("one outfit of 8 rows") == 2  # once cheaper than two others, once dearer
    assert "All 6 pairs stand in pairs.csv" in result.output
    assert pd.read_csv(tmp_path / "compare.csv", index_col=0).difference["eight_rows"] == 0
    assert "a sure cost" not in result.output


def test_alike_options_are_called_too_alike_to_choose(tmp_path: Path) -> None:
    farm = tmp_path / "farm.toml"
    text = FARM.read_text().split("[options.six_rows]")[0]
    again = text[text.index("[options.four_rows]") :].replace("four_rows]", "again]")
    farm.write_text(text + again.replace("one outfit of 4 rows", "the same once more"))
    (tmp_path / "suitable_days.csv").write_bytes((FARM.parent / "suitable_days.csv").read_bytes())
    result = call("compare", farm, "--seasons", 50, "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    assert "cannot tell apart" in said(result)
    assert "differ by less than $1 a year: too little to choose by" in said(result)
    assert few_seasons(50)[0] in said(result)
    assert "no option is ruled out" in said(result)


def test_auto_says_how_many_seasons_were_drawn_and_why(tmp_path: Path) -> None:
    for command in ("compare", "run"):
        result = call(command, FARM, "--seasons", "auto", "--out", tmp_path / command)
        assert result.exit_code == 0, result.output
        assert "1,000 seasons" in said(result)
        assert "After 500 seasons the cheapest option was told from the others" in said(result)
    outcomes = fieldsim.read_outcomes(tmp_path / "run" / "outcomes.nc")
    direct = fieldsim.simulate(fieldsim.demo_farm(), 1000)
    assert outcomes.attrs.pop("stopping").startswith("After 500")
    assert outcomes.identical(direct)


@pytest.mark.parametrize(
    ("words", "problem"),
    [
        (["compare", FARM, "--baseline", "none"], "--baseline = 'none': there is no such option"),
        (["compare", FARM, "--wealth", "-5"], "--wealth = -5.0: an amount above 0"),
        (["compare", FARM, "--wealth", "1", "--seasons", "0"], "seasons = 0"),
        (["compare", "nowhere.toml"], "there is no such file"),
        (["run", FARM, "--seasons", "several"], "not a valid integer, and not auto"),
        (["run", FARM, "--seasons", "auto", "--replicates", "5"], "known beforehand"),
        (["days", FARM, "--seasons", "auto"], "not a valid integer"),
    ],
)
def test_a_mistake_ends_with_2_and_a_message(
    words: list[object], problem: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    result = call(*words)
    assert result.exit_code == 2
    assert problem in said(result)
    assert list(tmp_path.iterdir()) == []
