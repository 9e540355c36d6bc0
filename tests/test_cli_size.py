"""``fieldsim size`` and ``fieldsim breakeven``: what they print, write and warn of."""

from __future__ import annotations

from pathlib import Path

import matplotlib.image
import numpy as np
import pandas as pd
import pytest
from click.testing import Result

from fieldsim.decisions.break_even.crossing import breakeven
from fieldsim.decisions.break_even.result import breakeven_table
from fieldsim.decisions.in_words.few import few_seasons
from fieldsim.decisions.sizing.by_days import needed_capacity
from fieldsim.decisions.sizing.by_runs import sized_capacity
from fieldsim.farm import read_farm
from tests.farms import SMALL_FARM, SMALL_TABLES, changed
from tests.test_cli import call

FEW = ["--seasons", "40"]
QUICK = [*FEW, "--certainty", "80"]


def farm_in(folder: Path, *changes: tuple[str, str]) -> Path:
    """Write the small farm into a folder."""
    for name, text in SMALL_TABLES.items():
        (folder / name).write_text(text)
    (folder / "farm.toml").write_text(changed(*changes, text=SMALL_FARM))
    return folder / "farm.toml"


def plain(result: Result) -> str:
    assert result.exit_code == 0, result.output
    return " ".join(result.output.split())


def widest(result: Result) -> int:
    return max(len(line) for line in result.output.splitlines() if not line.startswith("Wrote"))


@pytest.fixture(scope="module")
def size(tmp_path_factory: pytest.TempPathFactory) -> tuple[Result, Path]:
    folder = tmp_path_factory.mktemp("size")
    asked = ["--by", "20 May", "--operation", "plant", "--crop", "corn", "--option", "two_planters"]
    return call("size", farm_in(folder), *asked, *QUICK, "--out", folder / "out"), folder


@pytest.fixture(scope="module")
def even(tmp_path_factory: pytest.TempPathFactory) -> tuple[Result, Path]:
    folder = tmp_path_factory.mktemp("even")
    pair = ["--option", "two_planters", "--against", "one_outfit"]
    over = ["--over", "area", "--over", "hours", "--over", "crops.corn.price"]
    return call("breakeven", farm_in(folder), *pair, *over, *FEW, "--out", folder / "out"), folder


def test_size_writes_what_the_functions_return(size: tuple[Result, Path]) -> None:
    _, folder = size
    farm = read_farm(folder / "farm.toml")
    days = pd.read_csv(folder / "out" / "size_days.csv")
    expected = needed_capacity(farm, "200 acre", "18 Apr", "20 May", "10 h", [0.8], seasons=40)
    pd.testing.assert_frame_equal(days.drop(columns="rows"), expected)
    options = pd.read_csv(folder / "out" / "size_options.csv").set_index("option")
    runs = sized_capacity(
        farm, "one_outfit", "plant", "20 May", "corn", [0.8], tolerance=0.02, seasons=40
    )
    assert options.capacity["one_outfit"] == pytest.approx(runs.capacity[0])
    assert options.share_now["one_outfit"] == pytest.approx(runs.attrs["share_now"])
    assert set(options.index) == {"one_outfit", "two_planters"}


def test_size_prints_both_answers_and_what_moves_them(size: tuple[Result, Path]) -> None:
    result, folder = size
    text = plain(result)
    assert "Small farm: plant 200 acres of corn from 18 Apr to 20 May, 10 h a day" in text
    days = pd.read_csv(folder / "out" / "size_days.csv").iloc[0]
    assert f"80 {days.suitable_days:.1f} {days.capacity:.1f} (" in text
    assert f"{days.area_per_day:,.1f} {days.rows:.0f} " in text
    moved = pd.read_csv(folder / "out" / "size_tradeoff.csv").set_index(
        ["hours_per_day", "first", "outfits"]
    )
    row = [moved.capacity["12 h", day, n] for day in ("18 Apr", "25 Apr") for n in (1, 2)]
    assert f"12 h {' '.join(f'{value:,.1f}' for value in row)}" in text
    assert widest(result) <= 80


def test_few_seasons_are_called_few_as_by_the_verdict(
    size: tuple[Result, Path], even: tuple[Result, Path]
) -> None:
    few = "40 seasons are few: run 2,000 or more before you act on this."
    assert few_seasons(40) == [few]
    for result, _ in (size, even):
        assert few in plain(result)
    rough = "Fewer than 10 of the 40 seasons lie beyond 80 years of 100: take what that asks for"
    assert f"{rough} as rough." in plain(size[0])


def test_certainties_that_enough_seasons_lie_beyond_are_not_called_rough(tmp_path: Path) -> None:
    asked = ["--by", "20 May", "--seasons", "40", "--certainty", "50, 75"]
    text = plain(call("size", farm_in(tmp_path), *asked, "--out", tmp_path / "out"))
    assert "lie beyond" not in text


def test_a_day_before_the_work_may_begin_is_told_by_the_option_that_gave_it(tmp_path: Path) -> None:
    result = call("size", farm_in(tmp_path), "--by", "5 Apr", "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert "--by = 5 Apr: comes before 18 Apr, the first day on which the work may be done; " in (
        result.output
    )
    assert "write a later day" in result.output


def test_rows_reach_the_capacity_and_one_fewer_does_not(size: tuple[Result, Path]) -> None:
    _, folder = size
    farm = read_farm(folder / "farm.toml")
    now = sized_capacity(farm, "two_planters", "plant", "20 May", "corn", [0.5], seasons=2)
    of_a_row = now.attrs["capacity_now"] / 12
    days = pd.read_csv(folder / "out" / "size_days.csv").iloc[0]
    assert (days.rows - 1) * of_a_row < days.capacity <= days.rows * of_a_row


def test_the_figures_written_show_something(
    size: tuple[Result, Path], even: tuple[Result, Path]
) -> None:
    pictures = [size[1] / "out" / "size.png", *sorted((even[1] / "out").glob("*.png"))]
    names = ["size", "breakeven_area", "breakeven_crops_corn_price", "breakeven_hours"]
    assert [path.stem for path in pictures] == names
    for path in pictures:
        picture = matplotlib.image.imread(path)
        assert picture.shape[1] == 1040
        assert len(np.unique((255 * picture[..., :3]).astype(int) @ [65536, 256, 1])) > 20


def test_the_picture_of_a_breakeven_marks_what_its_table_says(even: tuple[Result, Path]) -> None:
    out = even[1] / "out"
    (factor,) = pd.read_csv(out / "breakeven.csv").factor.dropna()  # of the area alone
    costs = pd.read_csv(out / "breakeven_costs.csv").query("over == 'area'")
    assert np.abs(costs.factor - factor).min() < 1e-12
    drawn = pd.read_csv(out / "breakeven_crossings.csv").query("over == 'area'")
    assert np.abs(drawn.factor / factor - 1).min() < 1e-4


def test_breakeven_writes_and_prints_what_the_function_returns(even: tuple[Result, Path]) -> None:
    result, folder = even
    farm = read_farm(folder / "farm.toml")
    words = ("area", "hours", "crops.corn.price")
    found = [breakeven(farm, "two_planters", "one_outfit", w, seasons=40) for w in words]
    written = pd.read_csv(folder / "out" / "breakeven.csv", keep_default_na=False)
    assert written.value.tolist() == breakeven_table(found).value.tolist()
    text = plain(result)
    now = found[0].difference_now
    assert f"two planters: ${abs(now):,.0f} a year (± $" in text
    assert f"{'less' if now < 0 else 'more'} than one outfit." in text
    for one in found:
        assert all(crossing.value in text for crossing in one.crossings)
    assert "never" in text or all(one.crossings for one in found)
    assert widest(result) <= 80


def test_without_options_the_two_cheapest_are_taken_and_every_word(tmp_path: Path) -> None:
    out = tmp_path / "out"
    text = plain(call("breakeven", farm_in(tmp_path), "--seasons", "10", "--out", out))
    # One outfit costs less and has no machine of its own, so that there is no purchase to look at.
    names = {path.stem for path in out.glob("*.png")}
    words = {f"breakeven_{word}" for word in ("area", "price", "yield", "loss", "hours")}
    assert words <= names <= words | {"breakeven_purchase"}
    assert "As it is, " in text


def test_long_days_are_warned_of(tmp_path: Path, size: tuple[Result, Path]) -> None:
    assert "More than 12 hours a day" not in plain(size[0])  # 10 h, and 12 h to compare with
    ten, eleven = (f'hours_per_day = "{h} h"\n\n[operations.cult' for h in (10, 11))
    longer = farm_in(tmp_path, (ten, eleven))
    text = plain(call("size", longer, *QUICK, "--scale", "speed", "--out", tmp_path / "out"))
    assert "11 h a day" in text
    assert "More than 12 hours a day wear people out and cause accidents." in text


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["size", "--crop", "rye"], "--crop = 'rye': there is no such crop; crops are corn"),
        (["size", "--option", "x"], "--option = 'x': there is no such option; options are one"),
        (["size", "--operation", "mow"], "--operation = 'mow': there is no such operation; oper"),
        (["size", "--by", "1 Dec"], "by = 1 Dec: lies outside the season, 1 Apr to 31 Jul"),
        (["size", "--certainty", "0, x"], "--certainty = 0, x: numbers between 0 and 100, with"),
        (["breakeven", "--option", "x"], "--option = 'x': there is no such option; options are"),
        (["breakeven", "--over", "rent"], "over = rent: there is no such word; write one of area"),
        (["breakeven", "--seasons", "1"], "seasons = 1: a whole number of at least 2 is allowed"),
        (["breakeven", "--machine", "plow", "--over", "purchase"], "machine = 'plow': there is no"),
        (
            ["breakeven", "--option", "one_outfit", "--against", "one_outfit"],
            "--against = one_outfit: is the option itself; name another",
        ),
    ],
)
def test_mistakes_are_told_without_a_traceback(tmp_path: Path, words: list[str], said: str) -> None:
    command, *more = words
    result = call(command, farm_in(tmp_path), *more, "--out", tmp_path / "out")
    assert result.exit_code == 2, result.output
    assert said in result.output
    assert not (tmp_path / "out").exists()


def test_a_single_option_has_no_breakeven(tmp_path: Path) -> None:
    farm = farm_in(tmp_path)
    text = farm.read_text()
    farm.write_text(text[: text.index("[options.two_planters]")])
    result = call("breakeven", farm, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert "options: this farm has one option only; a break-even takes two" in result.output


@pytest.mark.parametrize("command", ["size", "breakeven"])
def test_help_gives_an_example(command: str) -> None:
    assert f"  fieldsim {command} farm.toml --" in call(command, "--help").output
