"""``fieldsim invest``: what it prints and writes, and what it says of mistakes."""

from __future__ import annotations

from pathlib import Path

import matplotlib.image
import numpy as np
import pandas as pd
import pytest
from click.testing import CliRunner, Result

import fieldsim
from fieldsim.cli import main
from fieldsim.decisions import Loan, cash_by_year, invest, investment_table
from fieldsim.demo import demo_folder

FARM = demo_folder() / "farm.toml"
MOVE = ["--from", "six_rows", "--to", "two_six_rows"]
LOAN = ["--loan", "80 %", "--loan-rate", "7 %", "--loan-years", "7"]
FEW = ["--seasons", "60", "--futures", "100"]


def call(*words: object) -> Result:
    return CliRunner().invoke(main, ["invest", *map(str, words)])


@pytest.fixture(scope="module")
def answer(tmp_path_factory: pytest.TempPathFactory) -> tuple[Result, Path]:
    out = tmp_path_factory.mktemp("invest") / "out"
    owned = ["--owned", "4", "--years", "10", "--inflation", "2 %"]
    return call(FARM, *MOVE, *LOAN, *FEW, *owned, "--seed", 3, "--out", out), out


def test_it_ends_with_an_answer_and_cautions(answer: tuple[Result, Path]) -> None:
    result, _ = answer
    assert result.exit_code == 0, result.output
    text = " ".join(result.output.split())
    assert "From one outfit of 6 rows to two outfits of 6 rows" in text
    assert "Half of the futures have paid back" in text or "of futures pay back" in text
    assert "Bad start:" in text
    assert "the lender's rate holds 2 % inflation" in text
    assert "talk with your lender and a licensed adviser" in text
    assert "look at the bad years" in text
    assert "100 futures of 60 seasons are few" in text


def test_no_line_is_longer_than_80_letters(answer: tuple[Result, Path]) -> None:
    lines = answer[0].output.splitlines()
    assert max(len(line.rstrip()) for line in lines if not line.startswith("Wrote")) <= 80


def test_what_is_written_is_what_python_gives(answer: tuple[Result, Path]) -> None:
    _, out = answer
    assert {path.name for path in out.iterdir()} == {
        *("investment.csv", "cash_by_year.csv", "investment.png")
    }
    farm = fieldsim.demo_farm()
    found = invest(
        farm,
        fieldsim.simulate(farm, 60, 3),
        "six_rows",
        "two_six_rows",
        years=10,
        futures=100,
        seed=3,
        loan=Loan(0.8, 0.07, 7, 0.02),
        owned=4,
    )
    written = pd.read_csv(out / "investment.csv", index_col="figure")
    pd.testing.assert_frame_equal(written, investment_table(found))
    by_year = pd.read_csv(out / "cash_by_year.csv", index_col="year")
    pd.testing.assert_frame_equal(by_year, cash_by_year(found))


def test_each_quantile_of_the_table_by_year_stands_above_its_band(
    answer: tuple[Result, Path],
) -> None:
    result, out = answer
    table = result.output.split("Cash added up since the start ($1,000)")[1]
    table = table.rpartition("─")[2].splitlines()
    by_year = pd.read_csv(out / "cash_by_year.csv", index_col="year")
    for year in (1, 5, 10):
        place = next(i for i, line in enumerate(table) if line.split()[:1] == [str(year)])
        row = by_year.loc[year] / 1000
        figures = [f"{row[f'added_p{share}']:,.1f}" for share in (10, 50, 90)]
        assert table[place].split()[1:4] == figures
        bands = [f"{row[f'added_p{s}_from']:,.1f} to {row[f'added_p{s}_to']:,.1f}"
                 for s in (10, 50, 90)]  # fmt: skip
        assert table[place + 1].split() == " ".join(bands).split()
    start = next(i for i, line in enumerate(table) if line.split()[:1] == ["start"])
    assert table[start + 1].split()[0] == "1"  # nothing is unsure of the start


def test_the_figure_written_shows_something(answer: tuple[Result, Path]) -> None:
    picture = matplotlib.image.imread(answer[1] / "investment.png")
    assert picture.shape[:2] == (585, 1040)
    assert len(np.unique(picture.reshape(-1, picture.shape[2]), axis=0)) > 20


def test_the_same_command_writes_the_same_bytes(tmp_path: Path) -> None:
    written = []
    for name in ("a", "b"):
        assert call(FARM, *MOVE, *FEW, "--out", tmp_path / name).exit_code == 0
        written.append([path.read_bytes() for path in sorted((tmp_path / name).iterdir())])
    assert written[0] == written[1]


def test_interest_and_old_machines_are_as_asked_for(tmp_path: Path) -> None:
    swap = ["--from", "six_rows", "--to", "eight_rows"]
    said = call(FARM, *swap, *FEW, "--interest", "3 %", "--keep-old", "--out", tmp_path / "out")
    assert said.exit_code == 0, said.output
    text = " ".join(said.output.split())
    assert "at 3 % interest" in text
    assert "those not kept bring nothing" in text
    assert "borrowed" not in text


def test_help_shows_an_example() -> None:
    text = call("--help").output
    assert "fieldsim invest my_farm/farm.toml --from six_rows --to eight_rows" in text
    assert max(map(len, text.splitlines())) <= 80


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ([*MOVE, "--loan", "80 %"], "--loan-rate: a loan takes all of --loan, --loan-rate"),
        ([*MOVE, "--loan", "80"], '--loan = 80: the unit is missing; write it as "80 %"'),
        ([*MOVE, *LOAN[:2], "--loan-rate", "much", *LOAN[4:]], "--loan-rate = much"),
        ([*MOVE, "--loan", "180 %", *LOAN[2:]], "--loan = 180 %: a number from 0 to 1"),
        ([*MOVE, *LOAN, "--years", "5"], "--loan-years = 7: the loan is longer than the 5 years"),
        ([*MOVE, "--inflation", "2 %"], "--inflation = 2 %: it is of use for a loan only"),
        ([*MOVE, "--years", "0"], "--years = 0: a whole number from 1 to 60 is allowed"),
        (["--from", "six_rows", "--to", "ten"], "--to = 'ten': there is no such option"),
        ([*MOVE[:2], "--to", "six_rows"], "the two options are the same"),
        ([*MOVE, "--futures", "0"], "--futures = 0"),
        ([*MOVE, "--interest", "200 %"], "--interest = 2.0: a rate from -0.5 to 1"),
        ([*MOVE, "--out", "/dev/null"], "is a file, not a folder"),
    ],
)
def test_a_mistake_ends_with_2_and_a_message(tmp_path: Path, words: list[str], told: str) -> None:
    result = call(FARM, "--seasons", "20", "--out", tmp_path / "out", *words)
    assert result.exit_code == 2
    assert isinstance(result.exception, SystemExit)
    assert told in result.output
    assert not (tmp_path / "out").exists()


def test_every_fault_of_a_loan_is_told_as_it_was_written(tmp_path: Path) -> None:
    loan = ["--loan", "130 %", "--loan-rate", "200 %", "--loan-years", "0", "--inflation", "-30 %"]
    result = call(FARM, "--out", tmp_path / "out", *MOVE, *loan)
    assert result.exit_code == 2
    assert result.output.splitlines() == [
        '--loan = 130 %: a number from 0 to 1 is allowed; write --loan "80 %"',
        '--loan-rate = 200 %: a number from -0.5 to 1 is allowed; write --loan-rate "7 %"',
        "--loan-years = 0: a number from 1 to 60 years is allowed; write --loan-years 7",
        '--inflation = -30 %: a number from -0.2 to 1 is allowed; write --inflation "2.5 %"',
        "4 faults.",
    ]
