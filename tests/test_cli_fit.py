"""``fieldsim fit``: from records of past years to the [days] section of a farm file."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from click.testing import Result

from fieldsim.days import parse_daily_chain, parse_weekly_table
from fieldsim.days.records import fit, parse_records, remove_trend, trend
from fieldsim.farm import read_farm
from tests.test_cli import call
from tests.test_cli_days import farm
from tests.weather import records_text, weather_text


@pytest.fixture(autouse=True)
def _in_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.chdir(tmp_path)
    return


def daily_text(years: int = 8) -> str:
    """Suitable days one by one from April to July: drier toward summer, in runs."""
    random = np.random.default_rng(5)
    lines = ["date,suitable"]
    for year in range(2001, 2001 + years):
        suitable = False
        for day in np.arange(f"{year}-04-01", f"{year}-08-01", dtype="M8[D]"):
            suitable = random.random() < (0.8 if suitable else 0.3)
            lines.append(f"{day},{int(suitable)}")
    return "\n".join(lines) + "\n"


def fitted(text: str, *words: object, name: str = "diary.csv") -> str:
    """What the command prints for records with a text, on one line."""
    Path(name).write_text(text)
    result = call("fit", name, *words)
    assert result.exit_code == 0, result.output
    return " ".join(result.output.split())


def section(result: Result) -> dict:
    """The [days] section that is printed for the farm file."""
    return tomllib.loads(result.output[result.output.index("  [days]") :])["days"]


def refused(text: str | None, *words: object) -> list[str]:
    """The faults that the command finds, with nothing written."""
    if text is not None:
        Path("diary.csv").write_text(text)
    before = sorted(Path.cwd().iterdir())
    result = call("fit", "diary.csv", *words)
    assert result.exit_code == 2, result.output
    assert isinstance(result.exception, SystemExit)
    assert sorted(Path.cwd().iterdir()) == before
    *faults, count = result.output.splitlines()
    assert count == ("1 fault." if len(faults) == 1 else f"{len(faults)} faults.")
    return faults


def test_the_file_written_reads_back_as_the_fitted_table() -> None:
    text = records_text()
    Path("diary.csv").write_text(text)
    result = call("fit", "diary.csv", "--seed", "2")
    assert result.exit_code == 0, result.output
    expected = fit(parse_records(text, "diary.csv"), seed=2)
    written = Path("diary_weekly_table.csv").read_text()
    assert written == expected.text
    days = section(result)
    assert days.pop("source") == "weekly_table"
    assert days.pop("years") == 12
    assert parse_weekly_table(written, days.pop("table"), **days) == expected.source


def test_the_lines_printed_make_a_farm_that_draws_from_the_fit(tmp_path: Path) -> None:
    Path("diary.csv").write_text(daily_text())
    result = call("fit", "diary.csv")
    assert result.exit_code == 0, result.output
    lines = result.output[result.output.index("  [days]") :]
    expected = fit(parse_records(daily_text(), "diary.csv"))
    assert 0.7 < expected.settings["persistence"] < 0.9
    last_day = ('last_day = "31 Jul"', 'last_day = "28 Jul"')  # 17 full weeks from 1 April
    file = farm(tmp_path, lines)
    file.write_text(file.read_text().replace(*last_day))
    read = read_farm(file)
    assert read.day_source == expected.source
    assert read.table_years == 8


def test_days_that_are_all_suitable_make_a_section_without_persistence(tmp_path: Path) -> None:
    Path("diary.csv").write_text(daily_text().replace(",0\n", ",1\n"))
    result = call("fit", "diary.csv")
    assert result.exit_code == 0, result.output
    file = farm(tmp_path, result.output[result.output.index("  [days]") :])
    file.write_text(file.read_text().replace('last_day = "31 Jul"', 'last_day = "28 Jul"'))
    read = read_farm(file)
    assert read.day_source.draw(read.season, 5, 0).min() == 1


def test_figures_stand_beside_their_standard_errors() -> None:
    text = fitted(records_text(), "--at-least", "80, 50")
    fit_of = fit(parse_records(records_text(), "diary.csv"), at_least=(80, 50))
    low, middle = fit_of.table[fit_of.table.week_starting == "6 Apr"].to_dict("records")
    cells = [f"{row['days']:.1f} ± {row['standard_error']:.1f}" for row in (low, middle)]
    assert f"6 Apr {cells[0]} {cells[1]} 12" in text
    share = fit_of.parameters.set_index("parameter").loc["season_share"]
    estimate = f"{share.estimate:.2f} ± {share.standard_error:.2f}"
    assert f"season_share {share.value:g} {estimate}" in text
    assert Path("diary_weekly_table.csv").read_text() == fit_of.text


def test_a_chain_is_fitted_to_daily_records() -> None:
    text = fitted(daily_text(), "--kind", "daily_chain", "--out", "chain.csv")
    expected = fit(parse_records(daily_text(), "diary.csv"), kind="daily_chain")
    assert parse_daily_chain(Path("chain.csv").read_text(), "chain.csv") == expected.source
    first = expected.table[expected.table.date == "8 Apr"]
    cells = " ".join(f"{row.value:.2f} ± {row.standard_error:.2f}" for row in first.itertuples())
    assert f"8 Apr {cells} 8" in text
    assert '[days] source = "daily_chain" table = "chain.csv"' in text


def test_a_chain_is_fitted_to_weekly_records_with_a_persistence() -> None:
    text = fitted(records_text(), "--kind", "daily_chain", "--persistence", "0.8")
    assert "the persistence is given, not fitted" in text
    told = refused(records_text(), "--kind", "daily_chain", "--replace")
    assert "weekly records do not say how suitable days follow one another" in told[0]
    assert "--persistence 0.80" in told[0]
    too_low = refused(records_text(), "--kind", "daily_chain", "--persistence", ".1", "--replace")
    assert "write persistence = " in too_low[0]


def test_a_trend_is_told_and_removed_only_where_a_year_is_named() -> None:
    source = records_text(per_year=0.1)
    line = trend(parse_records(source, "diary.csv"))
    told = f"{10 * line.slope:+.1f} days a decade (standard error {10 * line.standard_error:.1f})"
    text = fitted(source)
    assert told in text
    assert "The trend is not removed" in text
    kept = Path("diary_weekly_table.csv").read_text()
    text = fitted(source, "--reference-year", "2012", "--out", "moved.csv")
    assert told in text
    assert "The trend is not removed" not in text
    assert "All years moved to the level of 2012" in text
    moved = remove_trend(parse_records(source, "diary.csv"), 2012).records
    assert Path("moved.csv").read_text() == fit(moved).text != kept


def test_the_trend_of_daily_records_is_removed_from_their_weeks() -> None:
    text = fitted(daily_text(), "--reference-year", "2008")
    assert "added up over weeks" in text
    assert "persistence =" not in text
    assert "All years moved to the level of 2008" in text
    told = refused(daily_text(), "--reference-year", "2008", "--kind", "daily_chain", "--replace")
    assert told[0].startswith("--reference-year = 2008: a trend is taken out of weeks")


def test_only_weeks_between_two_days_are_used() -> None:
    text = fitted(records_text(), "--first", "1 May", "--last", "30 Jun")
    assert "9 weeks a year, beginning 4 May to 29 Jun, none missing" in text
    table = parse_weekly_table(Path("diary_weekly_table.csv").read_text(), "table")
    assert [str(table.week_starts[place]) for place in (0, -1)] == ["4 May", "29 Jun"]
    told = refused(records_text(), "--first", "1 Oct", "--replace")
    assert "the records hold 30 Mar to 10 Aug" in told[0]


def test_years_over_new_year_are_read_with_their_first_day() -> None:
    days = np.arange("2001-11-01", "2006-03-01", dtype="M8[D]")
    winter = [day for day in days if str(day)[5:7] in ("11", "12", "01", "02")]
    text = "date,suitable\n" + "".join(
        f"{day},{place % 3 % 2}\n" for place, day in enumerate(winter)
    )
    said = fitted(text, "--year-begins", "1 Sep", "--out", "winter.csv")
    assert "5 years, 2001 to 2005" in said
    assert "beginning 1 Nov to 28 Feb" in said


def test_missing_weeks_are_reported_and_not_taken_for_zero() -> None:
    text = records_text()
    gone = next(line for line in text.splitlines() if line.startswith("2004,10 May"))
    said = fitted(text.replace(f"{gone}\n", ""))
    assert "12 years, 2001 to 2012; 20 weeks a year, beginning 30 Mar to 10 Aug, 1 of 240" in said
    assert "1 of 240 weeks are missing and not taken for zero: 1 from 4 May 2004" in said


def test_three_years_are_fitted_with_a_warning() -> None:
    text = fitted(records_text(3))
    assert "Mind: diary.csv: 3 years are few" in text
    assert "standard error" in text
    two = fitted(records_text(2), "--replace")
    assert "No trend: 2 years have a season total; a trend needs 3." in two


def test_a_file_that_is_there_is_replaced_only_when_asked() -> None:
    Path("mine.csv").write_text("mine")
    told = refused(records_text(), "--out", "mine.csv")
    assert told == [
        "--out = mine.csv: there is a file of that name; name another with --out, or add "
        "--replace to write over it"
    ]
    assert Path("mine.csv").read_text() == "mine"
    fitted(records_text(), "--out", "mine.csv", "--replace")
    assert "week_starting" in Path("mine.csv").read_text()


def test_the_records_themselves_are_never_written_over() -> None:
    told = refused(records_text(), "--out", "../" + Path.cwd().name + "/diary.csv", "--replace")
    assert "these are the records themselves" in told[0]
    assert Path("diary.csv").read_text() == records_text()


def test_weather_is_not_fitted_but_named_in_the_farm_file() -> None:
    for text in (weather_text(2), weather_text(2).replace("tmax_c", "Tmax")):
        told = refused(text)
        assert "this is daily weather, not a record of suitable days" in told[0]
        assert 'source = "soil_water"' in told[0]


def test_every_fault_of_options_and_records_is_listed_at_once() -> None:
    text = records_text().replace("2003,5 Apr,", "2003,5 Apr,9")  # 9x.x days
    told = refused(
        *(text, "--first", "31 Apr", "--at-least", "90", "--seed", "-1"),
        *("--persistence", "1.5", "--reference-year", "20", "--out", "nowhere/x.csv"),
    )
    parts = ("--first = 31 Apr", "--at-least = 90", "--seed = -1", "--reference-year = 20")
    more = ("--persistence = 1.5", "--out = nowhere/x.csv: there is no folder nowhere")
    for part in (*parts, *more, "0 to 7 is allowed"):
        assert sum(part in fault for fault in told) == 1, part
    assert len(told) == 7


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--persistence", "0.8"], "only a chain from weekly records has to be given it"),
        (["--kind", "daily_chain", "--persistence", "0.8", "--at-least", "90, 50"], "--at-least"),
        (["--at-least", "90, many"], "two or more numbers between 0 and 100"),
        (["--at-least", "90, nan"], "two or more numbers between 0 and 100"),
        (["--out", "."], "this is a folder"),
        (["--year-begins", "spring"], "--year-begins = spring"),
    ],
)
def test_options_that_do_not_fit_are_refused(words: list[str], said: str) -> None:
    assert any(said in fault for fault in refused(records_text(), *words))


def test_bad_records_are_told_line_by_line() -> None:
    dated = "year,week_ending,days\n2001,2001-04-08,3\n2001,2001-04-15,2\n2002,2002-04-07,4\n"
    twice = refused(dated + "2002,2002-04-07,5\n")
    assert "line 5, week_ending" in twice[0]
    assert "the same week stands on line 4" in twice[0]
    two_weekdays = refused(dated + "2002,2002-04-13,5\n")
    assert "the week ends on a Saturday, 3 others on a Sunday" in two_weekdays[0]
    assert "not a table of records" in refused("a,b\n1,2\n")[0]
    assert "the table is empty" in refused("")[0]


def test_a_missing_file_is_said_to_be_missing() -> None:
    assert refused(None) == ["diary.csv: there is no such file; check name and folder"]


def test_a_folder_that_takes_no_file_is_named() -> None:
    Path("diary.csv").write_text(records_text())
    result = call("fit", "diary.csv", "--out", "/proc/table.csv")
    assert result.exit_code == 2
    assert "--out = /proc/table.csv: it cannot be written" in result.output
    assert "Wrote" not in result.output
