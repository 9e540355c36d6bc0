"""``fieldsim days``: what a source of suitable days is, whether its draws are right, its figure."""

from __future__ import annotations

import time
from pathlib import Path

import matplotlib.image
import numpy as np
import pandas as pd
import pytest

from fieldsim.days.records import check_days, parse_records, trend
from fieldsim.demo import demo_folder
from fieldsim.farm import read_farm
from fieldsim.season import CalendarDay
from tests.farms import SMALL_FARM, SMALL_TABLES, always, changed
from tests.test_cli import call
from tests.weather import records_text, weather_text

DAYS = '[days]\nsource = "weekly_table"\ntable = "days.csv"\nweek_correlation = 0.3\n'
SOILS = '[days.soils.hill]\nclass = "loam"\n[days.soils.creek]\nclass = "clay_loam_untiled"\n'
FEW = ["--seasons", "200"]


def farm(
    folder: Path, days: str = DAYS, table: str = SMALL_TABLES["days.csv"], text: str = SMALL_FARM
) -> Path:
    """Write the small farm with other days into a folder."""
    (folder / "soybean_yield.csv").write_text(SMALL_TABLES["soybean_yield.csv"])
    (folder / "days.csv").write_text(table)
    (folder / "farm.toml").write_text(changed((DAYS, days), text=text))
    return folder / "farm.toml"


def records_farm(folder: Path, table: str, more: str = "") -> Path:
    return farm(folder, f'[days]\nsource = "records"\ntable = "days.csv"\n{more}', table)


def weather_farm(folder: Path, weather: str = "years", years: int = 12) -> Path:
    days = f'[days]\nsource = "soil_water"\ntable = "days.csv"\nweather = "{weather}"\n{SOILS}'
    text = changed(
        ('units = "us"', 'units = "us"\nlatitude = "42 degrees"'),
        ("[fields.home]", '[fields.home]\nsoil = "hill"'),
        ("[fields.river]", '[fields.river]\nsoil = "creek"'),
    )
    return farm(folder, days, weather_text(years), text)


def said(farm_file: Path, *words: object) -> str:
    """What the command prints, on one line."""
    result = call("days", farm_file, "--out", farm_file.parent / "out", *FEW, *words)
    assert result.exit_code == 0, result.output
    return " ".join(result.output.split())


def table_of(farm_file: Path) -> pd.DataFrame:
    return pd.read_csv(farm_file.parent / "out" / "days.csv", keep_default_na=False)


def test_the_demo_farm_is_checked_and_drawn_in_less_than_10_seconds(tmp_path: Path) -> None:
    begun = time.perf_counter()
    result = call("days", demo_folder() / "farm.toml", "--out", tmp_path / "out")
    assert time.perf_counter() - begun < 10
    assert result.exit_code == 0, result.output
    assert {path.name for path in (tmp_path / "out").iterdir()} == {"days.csv", "days.png"}
    assert "suitable_days.csv: drawn from a weekly table" in result.output
    assert "Of single weeks 68 of 68 rows pass (4 levels of 17 weeks)." in result.output


def test_the_table_written_is_that_of_check_days(tmp_path: Path) -> None:
    file = farm(tmp_path)
    said(file, "--seed", "3")
    read = read_farm(file)
    expected = check_days(read.day_source, read.season, seasons=200, seed=3)
    written = table_of(file)
    assert set(written.pop("soil")) == {"any"}
    pd.testing.assert_frame_equal(written, expected)


def test_the_figure_written_shows_something(tmp_path: Path) -> None:
    file = farm(tmp_path)
    said(file)
    picture = matplotlib.image.imread(tmp_path / "out" / "days.png")
    assert picture.shape[:2] == (624, 1040)
    assert len(np.unique(picture.reshape(-1, picture.shape[2]), axis=0)) > 20


def test_the_same_command_writes_the_same_bytes(tmp_path: Path) -> None:
    file = records_farm(tmp_path, records_text())
    written = []
    for _ in range(2):
        said(file)
        written.append([path.read_bytes() for path in sorted((tmp_path / "out").iterdir())])
    assert written[0] == written[1]


def test_mean_and_bad_seasons_are_those_of_the_draws(tmp_path: Path) -> None:
    file = farm(tmp_path)
    read = read_farm(file)
    totals = np.sort(read.day_source.draw(read.season, 200, 0).sum(axis=(1, 2)))
    error = 1.96 * totals.std(ddof=1) / np.sqrt(200)
    text = said(file)
    assert f"A season has {totals.mean():.1f} ± {error:.1f} suitable days of 122" in text
    low, high = totals[19], totals[179]  # the 20th and the 180th of 200
    ends = totals[[11, 29, 170, 188]]  # ranks that a binomial count of 200 leaves (2.5 % beyond)
    few, many = (f"({a:.1f} to {b:.1f})" for a, b in (ends[:2], ends[2:]))
    tenths = f"1 season in 10 has {low:.1f} {few} or fewer, 1 in 10 {high:.1f} {many} or more"
    assert tenths in text
    assert "does not say how many years lie behind the table" in text
    assert "30 years lie behind the table" in said(farm(tmp_path, f"{DAYS}years = 30\n"))


def test_records_are_told_with_their_years_gaps_and_trend(tmp_path: Path) -> None:
    text = records_text(per_year=0.1)
    line = next(line for line in text.splitlines() if line.startswith("2004,10 May"))
    text = text.replace(f"{line}\n", "")
    told = said(records_farm(tmp_path, text))
    assert "records of 12 years, 2001 to 2012: whole years" in told
    assert "1 of 240 weeks are missing and not taken for zero: 1 from 4 May 2004" in told
    season = (CalendarDay(4, 1), CalendarDay(7, 31))
    fitted = trend(parse_records(text, "days.csv"), *season)
    slope, error = 10 * fitted.slope, 10 * fitted.standard_error
    assert slope > 2 * error
    assert f"Trend of 2001 to 2012: {slope:+.1f} days a decade (standard error {error:.1f})" in told
    assert "is more than chance alone" in told
    assert "of the few years on record" in told


def test_a_trend_that_the_farm_takes_out_is_told_as_read_and_only_once(tmp_path: Path) -> None:
    text = records_text(per_year=0.1)
    told = said(records_farm(tmp_path, text, "reference_year = 2012\n"))
    assert told.count("Trend of 2001 to 2012") == 1
    assert "is more than chance alone" in told
    assert "All years moved to the level of 2012" in told


def test_a_replay_has_as_many_seasons_as_years_and_no_other_draws(tmp_path: Path) -> None:
    told = said(records_farm(tmp_path, records_text(), 'resampling = "replay"\n'))
    assert "in the mean of 12 drawn" in told
    assert "±" not in told


def test_three_years_are_enough_and_said_to_be_few(tmp_path: Path) -> None:
    told = said(records_farm(tmp_path, records_text(3)))
    assert "3 years are few" in told
    assert "Trend of 2001 to 2003" in told
    result = call("days", records_farm(tmp_path, records_text(2)), "--out", tmp_path / "out", *FEW)
    assert result.exit_code == 2
    assert "no week of the season is known for half of the years and 3; add years" in result.output


@pytest.mark.parametrize("weather", ["years", "generator"])
def test_weather_is_held_against_its_own_years_soil_by_soil(tmp_path: Path, weather: str) -> None:
    file = weather_farm(tmp_path, weather)
    text = said(file)
    assert text.count("held against the 11 years whose weather is complete") == 2
    assert text.count("Trend of 2002 to 2012") == 2
    rows = table_of(file)
    assert list(rows.soil.unique()) == ["hill", "creek"]
    mean = rows[rows.what.str.startswith("season mean")].set_index("soil").expected
    assert mean.hill > mean.creek
    assert matplotlib.image.imread(tmp_path / "out" / "days.png").shape[0] == 2 * 624


def test_one_soil_can_be_asked_for(tmp_path: Path) -> None:
    file = weather_farm(tmp_path)
    text = said(file, "--soil", "creek")
    assert "hill" not in text.partition("creek A season has")[2]
    assert set(table_of(file).soil) == {"creek"}
    result = call("days", file, "--soil", "peat", "--out", tmp_path / "none", *FEW)
    assert result.exit_code == 2
    assert "--soil = 'peat': there is no such soil; soils are hill, creek" in result.output
    assert not (tmp_path / "none").exists()


def test_rows_that_fail_are_listed_and_counted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def failing(*args: object, **options: object) -> pd.DataFrame:
        rows = check_days(*args, **options)
        rows.loc[[2, len(rows) - 1], "passed"] = False
        return rows

    monkeypatch.setattr("fieldsim.cli.day_checks.check_days", failing)
    text = said(farm(tmp_path))
    assert "15 Apr: days had in at least 80 % of" in text
    assert text.count(" NO ") == 2
    assert "Of single weeks 50 of 51 rows pass" in text
    assert "the others stand above" in text


def test_a_chain_is_checked_by_the_means_of_its_weeks(tmp_path: Path) -> None:
    days = '[days]\nsource = "daily_chain"\ntable = "days.csv"\n'
    text = said(farm(tmp_path, days, always(0.8, 0.3)))
    assert "drawn day by day" in text
    assert "17 of 17 rows pass (the mean of 17 weeks)" in text
    assert "P(suitable | unsuitable before) 0.300" in text


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--seasons", "5"], "--seasons = 5: a whole number from 100 to 100,000 is allowed"),
        (["--seed", "-1"], "--seed = -1"),
        (["--out", "/dev/null"], "is a file, not a folder"),
    ],
)
def test_a_mistake_ends_with_2_and_a_message(tmp_path: Path, words: list[str], told: str) -> None:
    result = call("days", farm(tmp_path), "--out", tmp_path / "out", *words)
    assert result.exit_code == 2
    assert isinstance(result.exception, SystemExit)
    assert told in result.output
    assert not (tmp_path / "out").exists()
