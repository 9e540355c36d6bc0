"""``fieldsim new``: six questions, or a copy."""

from __future__ import annotations

import re
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

import fieldsim
from fieldsim.cli import main
from fieldsim.cli.new_answers import Answers, Crew, Land, Outfit, crew, land, outfits, tillage
from fieldsim.cli.new_text import farm_text, planter_rows, shelf_rows
from fieldsim.demo import demo_folder

ROOM = demo_folder()
DEMO = (ROOM / "farm.toml").read_text(encoding="utf-8")
SHELF = shelf_rows((ROOM / "machines.csv").read_text(encoding="utf-8"))
TABLES = {name: (ROOM / name).read_text(encoding="utf-8") for name in ("suitable_days.csv",)}
ANSWERS = ["Lone Oak", "600 acre on 5", "300 acres", "3, 12 h", "28 ft", "8, 12, 2 x 8"]
ACRE = 0.40468564224  # ha


def new(folder: Path, answers: list[str] | None = None, *options: str) -> Result:
    text = None if answers is None else "".join(f"{line}\n" for line in answers)
    return CliRunner().invoke(main, ["new", str(folder), *options], input=text)


def test_six_answers_make_a_farm_that_checks_and_runs(tmp_path: Path) -> None:
    folder = tmp_path / "oak"
    result = new(folder, ANSWERS, "--ask")
    assert result.exit_code == 0, result.output
    assert result.output.count("?") == 5  # of six questions, one is none
    assert "suitable days" in result.output
    farm = fieldsim.read_farm(folder / "farm.toml")
    assert farm.name == "Lone Oak"
    areas = {crop: [f.area for f in farm.fields.values() if f.crop == crop]
             for crop in ("corn", "soybeans")}  # fmt: skip
    assert len(areas["corn"]) == 5
    assert sum(areas["corn"]) == pytest.approx(600 * ACRE)
    assert sum(areas["soybeans"]) == pytest.approx(300 * ACRE)
    assert (farm.crew.operators, farm.crew.hours_per_day) == (3, 12.0)
    assert farm.machines["disk"].width == pytest.approx(28 * 0.3048)
    assert [option.label for option in farm.options.values()] == [
        "one outfit of 8 rows",
        "one outfit of 12 rows",
        "two outfits of 8 rows",
    ]
    assert farm.options["two_8_rows"].operators == 4
    checked = CliRunner().invoke(main, ["check", str(folder / "farm.toml")])
    assert checked.exit_code == 0, checked.output
    words = ["run", str(folder / "farm.toml"), "--out", str(tmp_path / "out"), "--seasons", "30"]
    assert CliRunner().invoke(main, words).exit_code == 0


def test_enter_at_every_question_gives_the_options_of_the_demo_farm(tmp_path: Path) -> None:
    assert new(tmp_path / "farm", [""] * 6, "--ask").exit_code == 0
    farm, demo = fieldsim.read_farm(tmp_path / "farm" / "farm.toml"), fieldsim.demo_farm()
    assert farm.name == "My farm"
    assert [o.label for o in farm.options.values()] == [o.label for o in demo.options.values()]
    for name in ("machines", "tractors", "operations", "crops", "crew", "money"):
        assert getattr(farm, name) == getattr(demo, name), name


def test_comments_of_the_demo_farm_stay() -> None:
    answers = Answers(
        "A", Land(100, "acre", 1), Land(0, "acre", 0), Crew(1, 10), 14.0, (Outfit(6, 1),)
    )
    text = farm_text(DEMO, SHELF, answers)
    comments = re.findall(r"#.*", DEMO)[2:]  # the first two are of the demo farm
    assert len(comments) > 60
    assert [comment for comment in comments if comment not in text] == []
    assert "still invented" in text


def test_an_answer_that_cannot_be_read_is_asked_for_again(tmp_path: Path) -> None:
    answers = ["", "Oak", "many", "600", "-5", "0", "no one", "2, 30 h", "2, 10 h", "99 ft",
               "6.4 m", "7", "6, 8"]  # fmt: skip
    result = new(tmp_path / "oak", answers[1:], "--ask")
    assert result.exit_code == 0, result.output
    assert result.output.count("Error: ") == 6
    farm = fieldsim.read_farm(tmp_path / "oak" / "farm.toml")
    assert farm.machines["disk"].width == pytest.approx(6.4, abs=0.02)
    assert {field.crop for field in farm.fields.values()} == {"corn"}


def test_a_farm_without_land_is_asked_again(tmp_path: Path) -> None:
    result = new(tmp_path / "oak", ["Oak", "0", "0", "0", "80 ha", "", "", ""], "--ask")
    assert result.exit_code == 0, result.output
    assert "a farm needs land" in result.output
    farm = fieldsim.read_farm(tmp_path / "oak" / "farm.toml")
    assert farm.units == "metric"
    assert sum(field.area for field in farm.fields.values()) == pytest.approx(80)


def test_who_stops_half_way_has_nothing_written(tmp_path: Path) -> None:
    result = new(tmp_path / "oak", ANSWERS[:3], "--ask")
    assert result.exit_code == 1
    assert "Aborted" in result.output
    assert not (tmp_path / "oak").exists()


@pytest.mark.parametrize("options", [(), ("--copy",)])
def test_without_a_terminal_or_at_ones_word_the_demo_farm_is_copied(
    tmp_path: Path, options: tuple[str, ...]
) -> None:
    result = new(tmp_path / "farm", None, *options)
    assert result.exit_code == 0
    assert "1." not in result.output
    for path in (tmp_path / "farm").iterdir():
        assert path.read_bytes() == (ROOM / path.name).read_bytes()
    assert (tmp_path / "farm" / "farm.toml").exists()


def test_a_farm_that_is_there_is_found_before_anything_is_asked(tmp_path: Path) -> None:
    (tmp_path / "farm.toml").write_text("mine")
    result = new(tmp_path, ANSWERS, "--ask")
    assert result.exit_code == 2
    assert "already there" in result.output
    assert "What is the farm called" not in result.output
    assert (tmp_path / "farm.toml").read_text() == "mine"


NAMES = st.text(st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]), min_size=1).map(
    lambda text: "".join(sign for sign in text if sign.isprintable()).strip() or "x"
)
LANDS = st.builds(
    Land,
    st.floats(1.0, 20_000.0).map(lambda area: round(area, 1)),
    st.sampled_from(["acre", "ha"]),
    st.integers(1, 12),
)


@settings(max_examples=25, deadline=None)
@given(
    name=NAMES,
    corn=LANDS,
    soybeans=st.one_of(LANDS, st.just(Land(0.0, "acre", 0))),
    hands=st.builds(Crew, st.integers(1, 12), st.sampled_from([2.0, 8.5, 11.0, 14.0, 24.0])),
    width=st.sampled_from([11.0, 17.5, 21.0, 28.0, 35.0, 42.0]),
    sizes=st.lists(
        st.builds(Outfit, st.sampled_from(planter_rows(SHELF)), st.integers(1, 4)),
        min_size=1,
        max_size=6,
        unique=True,
    ),
)
def test_any_answers_make_a_sound_farm(
    name: str, corn: Land, soybeans: Land, hands: Crew, width: float, sizes: list[Outfit]
) -> None:
    answers = Answers(name[:80], corn, soybeans, hands, width, tuple(sizes))
    farm = fieldsim.parse_farm(farm_text(DEMO, SHELF, answers), TABLES)
    assert farm.name == name[:80]
    hectares = sum(of.area * (ACRE if of.unit == "acre" else 1.0) for of in (corn, soybeans))
    total = sum(field.area for field in farm.fields.values())
    assert total == pytest.approx(hectares, rel=2e-4)  # five digits of each field
    counts = [o.machines[f"planter_{s.rows}_rows"]
              for o, s in zip(farm.options.values(), sizes, strict=True)]  # fmt: skip
    assert counts == [size.units for size in sizes]


@pytest.mark.parametrize(
    ("read", "text", "found"),
    [
        (land, "1,200 acres on 9 fields", Land(1200.0, "acre", 9)),
        (land, "80", Land(80.0, "acre", 1)),
        (land, "0", Land(0.0, "acre", 0)),
        (crew, "3 people, 10.5 hours", Crew(3, 10.5)),
        *((crew, text, Crew(1, 9)) for text in ("1 person, 9 h", "1 and 9 h", "1 driver 9 h")),
        (tillage, "21", 21.0),
        (outfits((6, 8)), "2x6, 8 rows, 8", (Outfit(6, 2), Outfit(8, 1))),
    ],
)
def test_answers_are_read_as_people_write_them(read, text: str, found: object) -> None:
    assert read(text) == found


@pytest.mark.parametrize(
    ("read", "text"),
    [
        *((land, text) for text in ("", "acre", "5 furlongs", "12 acre on 0 fields", "1e9 acre")),
        *((crew, text) for text in ("2", "0, 10 h", "2, 25 h", "two, ten")),
        *((tillage, text) for text in ("wide", "3 ft", "21 in")),
        *((outfits((6, 8)), text) for text in ("", "7", "9 x 6", "0 x 6", "6; 8")),
    ],
)
def test_other_answers_are_refused(read, text: str) -> None:
    with pytest.raises(click.BadParameter):
        read(text)
