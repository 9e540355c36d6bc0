"""``fieldsim sizes``: its table, its sentences, what it writes, and what it says of mistakes."""

from __future__ import annotations

import re
import time
from pathlib import Path

import matplotlib.image
import numpy as np
import pandas as pd
import pytest
from click.testing import Result

import fieldsim
from fieldsim.decisions.in_words.few import few_seasons
from fieldsim.decisions.sizing.sizes import sizes
from fieldsim.demo import demo_folder
from fieldsim.farm.shelf import read_shelf
from tests.farms import SMALL_TABLES, changed
from tests.test_cli import call
from tests.test_decisions.test_sizes import CULTIVATORS, HEADER, PLANTERS, TRACTORS

FEW = ["--seasons", "40"]
OWN_SHELF = HEADER + PLANTERS + CULTIVATORS + TRACTORS


def farm(folder: Path, *changes: tuple[str, str]) -> Path:
    """Write the small farm with changes into a folder."""
    for name, text in SMALL_TABLES.items():
        (folder / name).write_text(text)
    (folder / "farm.toml").write_text(changed(*changes))
    return folder / "farm.toml"


def said(result: Result) -> str:
    assert result.exit_code == 0, result.output
    return " ".join(result.output.split())


def ask(farm_file: Path, *words: object) -> Result:
    return call("sizes", farm_file, "--out", farm_file.parent / "out", *FEW, *words)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Result, Path]:
    out = tmp_path_factory.mktemp("sizes") / "out"
    words = ["--areas", "450,900", "--seed", "3", "--out", out]
    return call("sizes", demo_folder() / "farm.toml", *words, *FEW), out


def test_the_table_marks_the_cheapest_and_fits_80_letters(demo: tuple[Result, Path]) -> None:
    result, _ = demo
    assert result.exit_code == 0, result.output
    lines = result.output.splitlines()
    assert max(len(line) for line in lines if "Wrote" not in line) <= 80
    shipped = read_shelf(demo_folder() / "machines.csv")
    table = sizes(fieldsim.demo_farm(), shipped, areas=[450, 900], seasons=40, seed=3)
    for bought, heading in (("new", "bought new"), ("used", "bought used")):
        begin = next(i for i, line in enumerate(lines) if heading in line)
        block = lines[begin : begin + 20]
        best = table[(table.bought == bought) & table.cheapest]
        for row in best.to_dict("records"):
            line = next(line for line in block if line.strip().startswith(f"{row['size']} "))
            assert f"{row['total_cost']:,.1f} ◄" in line
        assert sum(line.count("◄") for line in block if "◄:" not in line) == 2


def test_the_shipped_shelf_is_said_to_be_invented(demo: tuple[Result, Path]) -> None:
    text = said(demo[0])
    assert "64 machines and 18 tractors" in text
    assert "machines and prices are INVENTED" in text
    assert "disk stays as in it at every area" in text
    assert "No breakdowns are counted" in text
    assert few_seasons(40)[0] in text


def test_what_is_written_is_the_table_and_a_figure_that_shows_something(
    demo: tuple[Result, Path],
) -> None:
    _, out = demo
    assert {path.name for path in out.iterdir()} == {"sizes.csv", "sizes.png"}
    written = pd.read_csv(out / "sizes.csv", keep_default_na=False)
    shipped = read_shelf(demo_folder() / "machines.csv")
    table = sizes(fieldsim.demo_farm(), shipped, areas=[450, 900], seasons=40, seed=3)
    pd.testing.assert_frame_equal(written, table)
    picture = matplotlib.image.imread(out / "sizes.png")
    assert picture.shape[1] == 1040
    assert len(np.unique(picture.reshape(-1, picture.shape[2]), axis=0)) > 50


def test_the_demo_farm_with_the_whole_shelf_takes_less_than_15_seconds(tmp_path: Path) -> None:
    # Of one processor, so that what else runs does not count; several take less by the clock.
    begun = time.process_time()
    result = call("sizes", demo_folder() / "farm.toml", "--out", tmp_path / "out")
    assert time.process_time() - begun < 15
    text = said(result)
    assert re.search(r"at 451 (to [\d,]+ )?acres", text)
    assert re.search(r"1,804 acres?\b", text)
    assert "2,000 seasons, the same for every size and area" in text
    assert "seasons are few" not in text


def test_a_new_farm_has_a_shelf_of_its_own_and_a_price_is_replaced_in_one_line(
    tmp_path: Path,
) -> None:
    assert call("new", tmp_path / "mine").exit_code == 0
    own = tmp_path / "mine" / "machines.csv"
    text = own.read_text()
    words = ["--areas", "900", "--option", "six_rows"]
    before = said(ask(tmp_path / "mine" / "farm.toml", *words))
    assert f"Shelf:{own}," in before.replace(" ", "")
    assert "option six_rows (one outfit of 6 rows)" in before
    line = next(line for line in text.splitlines() if line.startswith("planter,planter_24_rows,"))
    dear = line.replace("$205000", "$60000").replace("invented", "dealer").replace("invented", "d")
    own.write_text(text.replace(line, dear))
    after = said(ask(tmp_path / "mine" / "farm.toml", *words))
    assert "81 of its lines are INVENTED" in after
    costs = [float(told.partition(" 24 rows ")[2].split()[0]) for told in (before, after)]
    # $145,000 less at 12 years and 5 % interest, with salvage by list price: about $15,000 a year.
    assert costs[0] - costs[1] > 8


def test_a_farm_without_a_shelf_gets_the_shipped_one_and_is_told(tmp_path: Path) -> None:
    text = said(ask(farm(tmp_path), "--areas", "200"))
    assert "the one that comes with fieldsim; there is no machines.csv beside the farm" in text
    assert "INVENTED" in text


def test_a_shelf_can_be_named_and_is_the_users_own(tmp_path: Path) -> None:
    (tmp_path / "dealer.csv").write_text(OWN_SHELF)
    text = said(ask(farm(tmp_path), "--areas", "200", "--shelf", tmp_path / "dealer.csv"))
    assert "7 machines" not in text
    assert "5 machines and 4 tractors" in text
    assert "INVENTED" not in text
    assert "bought used" not in text


def test_metric_farms_are_answered_in_hectares(tmp_path: Path) -> None:
    (tmp_path / "machines.csv").write_text(OWN_SHELF)
    text = said(ask(farm(tmp_path, ('units = "us"', 'units = "metric"')), "--areas", "60,150"))
    assert "[$/ha]" in text
    assert "at 60 ha" in text or "at 60 to 150 ha" in text


def test_small_areas_stand_as_they_were_asked_for(tmp_path: Path) -> None:
    (tmp_path / "machines.csv").write_text(OWN_SHELF)
    small = farm(tmp_path, ('area = "200 acre"', 'area = "3 acre"'), ('"150 acre"', '"1 acre"'))
    text = said(ask(small, "--areas", "0.5,1,12.5"))
    assert "0.5 1 12.5 Size acres acre acres" in text
    assert "0.5 to 12.5 acres" in text


def test_the_ends_of_the_shelf_are_pointed_out(tmp_path: Path) -> None:
    (tmp_path / "machines.csv").write_text(OWN_SHELF)
    text = said(ask(farm(tmp_path), "--areas", "2000"))
    assert "8 rows at 2,000 acres" in text
    assert "8 rows is the largest on the shelf: one beyond it might cost less" in text
    assert "smallest" not in text
    words = ["--areas", "2000", "--option", "two_planters"]
    text = said(ask(tmp_path / "farm.toml", *words))  # 8 rows in all, in one outfit or in two
    assert "rows is the largest on the shelf" in text


def test_what_is_left_out_is_said(tmp_path: Path) -> None:
    (tmp_path / "machines.csv").write_text(OWN_SHELF.replace("90 hp", "900 hp"))
    text = said(ask(farm(tmp_path), "--areas", "200"))
    assert "Left out: p8: no tractor on the shelf is strong enough, the strongest has 130" in text


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--areas", "300,many"], '--areas = "many": not a number; write numbers separated'),
        (["--areas", "1,2,3,4,5,6,7,8"], "8 areas are more than the table holds; write at most 7"),
        (["--areas", "nan"], "areas = nan"),
        (["--areas", "-5"], "areas = -5"),
        (["--option", "none"], "--option = 'none': there is no such option; options are one"),
        (["--shelf", "nowhere.csv"], "nowhere.csv: there is no such file"),
        (["--seasons", "0"], "seasons = 0"),
        (["--seed", "-1"], "seed = -1"),
        (["--out", "/dev/null"], "is a file, not a folder"),
    ],
)
def test_a_mistake_ends_with_2_and_a_message(tmp_path: Path, words: list[str], told: str) -> None:
    (tmp_path / "machines.csv").write_text(OWN_SHELF)
    result = ask(farm(tmp_path), *words)
    assert result.exit_code == 2
    assert isinstance(result.exception, SystemExit)
    assert told in result.output
    assert not (tmp_path / "out").exists()


def test_every_fault_of_a_shelf_is_listed_and_nothing_is_written(tmp_path: Path) -> None:
    bad = OWN_SHELF.replace("$16000", "$nan").replace("50 hp", "50").replace("row_cultivator", "x")
    (tmp_path / "machines.csv").write_text(bad)
    result = ask(farm(tmp_path))
    assert result.exit_code == 2
    for told in ("line 3, price", "line 5, kind", "line 6, kind", "line 7, power", "4 faults."):
        assert told in result.output
    assert not (tmp_path / "out").exists()


def test_the_same_command_writes_the_same_bytes(tmp_path: Path) -> None:
    (tmp_path / "machines.csv").write_text(OWN_SHELF)
    written = []
    for _ in range(2):
        said(ask(farm(tmp_path), "--areas", "100,200"))
        written.append([path.read_bytes() for path in sorted((tmp_path / "out").iterdir())])
    assert written[0] == written[1]
