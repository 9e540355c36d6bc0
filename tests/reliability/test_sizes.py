"""Files and farms far larger than any real one are refused soon and plainly."""

from __future__ import annotations

import resource
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

import fieldsim
from fieldsim.days import parse_daily_chain, parse_weekly_table
from fieldsim.days.records import parse_records
from fieldsim.days.weather import parse_weather
from fieldsim.errors import InputError
from fieldsim.farm import parse_farm
from fieldsim.farm.draft import MOST_FAULTS
from fieldsim.farm.shelf import parse_shelf
from fieldsim.tables import MOST_ROWS, parse_table
from tests.farms import HAND_FARM, HAND_TABLES, SMALL_FARM, SMALL_TABLES, changed
from tests.reliability.commands import ROOT, call, start

SOON = 5.0  # seconds of processor time
MOST_GROWTH = 1_000_000  # kilobytes


@contextmanager
def soon_and_small() -> Iterator[None]:
    """Hold a block to its time and its memory."""
    began, before = time.process_time(), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    yield
    assert time.process_time() - began < SOON
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < MOST_GROWTH


def refused(text: str, tables: dict[str, str] | None = None) -> str:
    """Return the first fault of a farm's text that is refused soon."""
    with soon_and_small(), pytest.raises(InputError) as caught:
        parse_farm(text, tables or SMALL_TABLES, "farm.toml")
    assert len(caught.value.faults) <= MOST_FAULTS + 1
    return str(caught.value.faults[0])


def test_a_file_of_100_mb_is_refused_unread(tmp_path: Path) -> None:
    (tmp_path / "huge").touch()
    with (tmp_path / "huge").open("wb") as stream:
        stream.truncate(100_000_000)
    huge = tmp_path / "huge"
    farm = tmp_path / "farm.toml"
    farm.write_text(changed(('"days.csv"', '"huge"')), encoding="utf-8")
    (tmp_path / "soybean_yield.csv").write_text(SMALL_TABLES["soybean_yield.csv"])
    with soon_and_small():
        for words, most in (
            (["check", huge], 1),
            (["check", farm], 10),
            (["fit", huge], 10),
            (["sizes", ROOT / "data/demo/farm.toml", "--shelf", huge], 10),
        ):
            result = call(*words)
            assert result.exit_code == 2
            assert f"the file is larger than {most} MB; name the right file" in result.output


@pytest.mark.parametrize(
    ("read", "header", "row"),
    [
        (parse_records, "year,week_ending,days", "2001,5 Apr,3.5"),
        (parse_records, "year,week_ending,days", "x,y,z"),
        (parse_weekly_table, "week_starting,at_least_80,at_least_50", "1 Apr,1,2"),
        (parse_daily_chain, "date,suitable_after_suitable,suitable_after_unsuitable", "1 Apr,1,1"),
        (lambda text, file: parse_weather(text, file, 42.0), "date,tmax_c,rain_mm", "x,1,1"),
        (parse_shelf, "kind,name,power,price", "tractor,a,95 hp,$3"),
    ],
    ids=["records", "junk", "weeks", "chain", "weather", "shelf"],
)
def test_tables_with_very_many_rows_are_refused_or_read_soon(
    read: object, header: str, row: str
) -> None:
    for rows in (MOST_ROWS // 4, MOST_ROWS + 1):
        with soon_and_small(), pytest.raises(InputError) as caught:
            read("\n".join([header, *[row] * rows]), "a.csv")  # type: ignore[operator]
    assert "is the most" in str(caught.value)


def test_a_table_with_very_many_columns_is_refused() -> None:
    text = ",".join(f"c{i}" for i in range(10**6)) + "\n" + "1," * 999_999 + "1\n"
    with soon_and_small(), pytest.raises(InputError, match="columns; 1,000 is the most"):
        parse_table(text, "a.csv")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a." * 100_000 + "b = 1", "a line with more dots than names need"),
        ("[" + "a." * 100_000 + "b]", "a line with more dots than names need"),
        ("a = " + "[" * 100_000, "nested too deeply"),
        ("a = " + "{b=" * 100_000, "nested too deeply"),
        ("a = " + "9" * 100_000, "a number has thousands of digits"),
        ("#" * 2_000_000, "larger than 1 MB"),
        ("".join(f"k{i} = 1\n" for i in range(70_000)), "70,000 entries; 500 is the most"),
        ("[[options]]\n" * 70_000, "70,000 entries; 500 is the most"),
        ("priority = [" + '"x",' * 100_000 + "]", "priority: 100,000 entries; 500 is the most"),
    ],
    ids=lambda value: value[:12],
)
def test_texts_made_to_choke_a_reader_are_refused(text: str, said: str) -> None:
    assert said in refused(text)


@pytest.mark.parametrize(
    ("section", "count", "said"),
    [
        ("crops", 31, "crops: 31 entries; 30 is the most"),
        ("operations", 61, "operations: 61 entries; 60 is the most"),
        ("fields", 501, "fields: 501 entries; 500 is the most"),
        ("machines", 501, "machines: 501 entries; 500 is the most"),
        ("options", 501, "options: 501 entries; 500 is the most"),
        ("days.soils", 51, "days.soils: 51 entries; 50 is the most"),
        ("crew.helpers", 501, "crew.helpers: 501 entries; 500 is the most"),
    ],
)
def test_more_parts_than_any_farm_has_are_refused(section: str, count: int, said: str) -> None:
    more = "".join(f"[{section}.a{i}]\n" for i in range(count))
    assert said in refused(more)


def test_very_many_faults_end_the_reading(tmp_path: Path) -> None:
    wrong = "".join(
        f"[fields.f{i}]\n" + "".join(f"x{j} = {j}\n" for j in range(150)) for i in range(400)
    )
    (tmp_path / "farm.toml").write_text(SMALL_FARM + wrong)
    for name, table in SMALL_TABLES.items():
        (tmp_path / name).write_text(table)
    with soon_and_small():
        result = call("check", tmp_path / "farm.toml")
    assert result.exit_code == 2
    assert result.output.endswith("faults; above are the first 100.\n")
    assert result.output.count("\n") == 101


def test_the_faults_of_a_long_table_end_the_reading() -> None:
    table = "date,suitable_after_suitable,suitable_after_unsuitable\n" + "x,y,z\n" * 50_000
    assert "not a day of the calendar" in refused(HAND_FARM, {"days.csv": table})


def large_farm(fields: int, options: int) -> str:
    """Return a farm with many fields and options."""
    start = HAND_FARM.index("[options.usual]")
    more = "".join(f'[fields.f{i}]\ncrop = "corn"\narea = "1 ha"\n' for i in range(fields - 1))
    choices = "".join(
        f"[options.o{i}]\nmachines = {{ disk = 1, planter = {1 + i % 90} }}\n"
        for i in range(options)
    )
    return HAND_FARM[:start] + more + choices


def test_more_fields_and_options_than_can_be_worked_are_refused() -> None:
    said = refused(large_farm(500, 500), HAND_TABLES)
    assert "500 x 2 x 500: 500,000 of them; 50,000 is the most" in said


def test_a_farm_as_large_as_is_allowed_is_checked_soon(tmp_path: Path) -> None:
    (tmp_path / "farm.toml").write_text(large_farm(100, 250))
    (tmp_path / "days.csv").write_text(HAND_TABLES["days.csv"])
    with soon_and_small():
        result = call("check", tmp_path / "farm.toml")
    assert result.exit_code == 0, result.output[-1000:]


def test_more_seasons_than_fit_into_memory_are_refused_before_any_is_drawn() -> None:
    with soon_and_small(), pytest.raises(InputError) as caught:
        fieldsim.simulate(fieldsim.demo_farm(), 1_000_000)
    said = str(caught.value)
    assert "about 8 GB of memory would be needed; write 474,264 or fewer" in said
    farm = parse_farm(large_farm(100, 250), HAND_TABLES)
    with soon_and_small(), pytest.raises(InputError, match="memory would be needed"):
        fieldsim.simulate(farm, 1_000_000)


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="memory is not told here")
def test_memory_is_estimated_within_a_factor_of_two() -> None:
    code = """
import re
from pathlib import Path
import fieldsim
from fieldsim.running import memory_needed
def peak():
    return 1024 * int(re.search("VmHWM:\\s*(\\d+)", Path("/proc/self/status").read_text())[1])
farm = fieldsim.demo_farm()
fieldsim.simulate(farm, 10)
before = peak()
fieldsim.simulate(farm, 20_000)
used, needed = peak() - before, memory_needed(farm, 20_000)
assert used / 2 < needed < used * 2, (used, needed)
"""
    child = start("--version", code=code)
    _, said = child.communicate()
    assert child.returncode == 0, said
