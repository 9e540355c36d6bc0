from __future__ import annotations

from pathlib import Path

import pytest

from fieldsim.demo import demo_folder
from fieldsim.errors import InputError
from fieldsim.farm import parse_farm, read_farm
from tests.farms import (
    SMALL_FARM,
    SMALL_TABLES,
    SOYBEAN_YIELD,
    WEEKS,
    changed,
    faults_of,
    messages,
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with the small farm and its tables."""
    (tmp_path / "farm.toml").write_text(SMALL_FARM, encoding="utf-8")
    for name, text in SMALL_TABLES.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def problems(path: Path) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_farm(path)
    return [str(fault).replace(f"{path.parent}/", "") for fault in caught.value.faults]


def test_a_farm_read_from_files_is_the_farm_parsed_from_their_text(folder: Path) -> None:
    assert read_farm(folder / "farm.toml") == parse_farm(SMALL_FARM, SMALL_TABLES)


def test_the_demo_farm_has_no_fault() -> None:
    farm = read_farm(demo_folder() / "farm.toml")
    acres = sum(field.area for field in farm.fields.values()) / 0.40468564224
    assert acres == pytest.approx(902)


def test_a_missing_farm_file_and_a_folder_are_told(folder: Path) -> None:
    (folder / "inner").mkdir()
    assert problems(folder / "frm.toml") == [
        "frm.toml: there is no such file; check name and folder"
    ]
    assert problems(folder / "inner") == ["inner: this is a folder; name a file in it"]


def test_a_missing_table_is_told_where_it_is_named(folder: Path) -> None:
    (folder / "days.csv").unlink()
    (folder / "soybean_yield.csv").unlink()
    (folder / "soybean_yield.csv").mkdir()
    assert problems(folder / "farm.toml") == [
        'farm.toml: days.table = "days.csv": there is no such file; check name and folder',
        "farm.toml: crops.soybeans.yield_by_planting_date.table = "
        '"soybean_yield.csv": this is a folder; name a file in it',
    ]


def test_a_table_that_is_not_utf_8_is_told_where_it_is_named(folder: Path) -> None:
    (folder / "days.csv").write_bytes(WEEKS.encode("utf-16"))
    assert problems(folder / "farm.toml") == [
        'farm.toml: days.table = "days.csv": the file is not UTF-8 text (byte 0); '
        'save it again with the encoding "UTF-8"'
    ]


def test_a_farm_file_that_is_not_utf_8_is_told(folder: Path) -> None:
    (folder / "farm.toml").write_bytes(SMALL_FARM.replace("Small", "Größte").encode("latin-1"))
    assert problems(folder / "farm.toml") == [
        'farm.toml: the file is not UTF-8 text (byte 10); save it again with the encoding "UTF-8"'
    ]


def test_a_table_that_was_not_given_is_told_where_it_is_named() -> None:
    assert [str(fault) for fault in faults_of(SMALL_FARM, {"days.csv": WEEKS})] == [
        "farm.toml: crops.soybeans.yield_by_planting_date.table = "
        "\"soybean_yield.csv\": this table was not given; give tables['soybean_yield.csv']"
    ]


@pytest.mark.parametrize(
    ("weeks", "message"),
    [
        ("", "days.csv: the table is empty; "
         "write a header line (week_starting) and rows below it"),
        (WEEKS.splitlines()[0], "days.csv: line 1 = "
         '"week_starting,at_least_80,at_least_50,at_least_20": the table has a header and no rows; '
         "write rows below the header"),
        (WEEKS.replace("1 Apr,0.5,1.5,3.0", "1 Apr,0.5,1.5"),
         'days.csv: line 2 = "1 Apr,0.5,1.5": 3 cells where the header has 4; '
         "write one cell for each column, separated by commas"),
        (WEEKS.replace("1 Apr,0.5,1.5,3.0", "1 Apr,0.5,1.5,8.0"),
         'days.csv: line 2, at_least_20 = "8.0": a number from 0 to 7 is allowed (days); '
         "write the days of that week, as 4.3"),
        (WEEKS.replace("1 Apr,0.5,1.5,3.0", "1 Apr,0.5,3.5,3.0"),
         "days.csv: line 2, at_least_50 and at_least_20 = 3.5 and 3: days that are had in more of "
         "the years cannot be more days; correct the days; or perhaps the direction is the wrong "
         "way round, and the columns are percentile_50 and percentile_20"),
        (WEEKS.replace("1 Apr,", "31 Apr,"),
         'days.csv: line 2, week_starting = "31 Apr": April has no day 31; '
         "write the first day of the week, as 1 Apr"),
        (WEEKS.replace("at_least_80", "atleast_80"),
         "days.csv: column atleast_80: not a column of a weekly table; "
         "name a level from 0 to 100, as at_least_90 or percentile_10"),
        (WEEKS.replace("8 Apr,0.7,1.7,3.2\n", ""),
         'days.csv: line 3, week_starting = "15 Apr": missing before it: the week of 8 Apr; '
         "add a line for each missing week"),
    ],
)  # fmt: skip
def test_a_faulty_table_of_weeks_is_told_by_its_lines(weeks: str, message: str) -> None:
    assert [str(f) for f in faults_of(SMALL_FARM, SMALL_TABLES | {"days.csv": weeks})] == [message]


def test_levels_in_the_wrong_direction_are_told_week_by_week() -> None:
    turned = WEEKS.replace("at_least", "percentile")
    found = faults_of(SMALL_FARM, SMALL_TABLES | {"days.csv": turned})
    assert len(found) == 2 * 18  # each of the weeks has three levels, so two pairs of them
    assert {fault.problem for fault in found} == {"a lower percentile cannot have more days"}
    assert "the direction is the wrong way round" in found[0].repair


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ("", "soybean_yield.csv: the table is empty; write a header line and rows below it"),
        ("planted,percent_of_maximum\n", "soybean_yield.csv: line 1 = "
         '"planted,percent_of_maximum": the table has a header and no rows; '
         "write rows below the header"),
        (SOYBEAN_YIELD.replace("1 Jun,80", "1 Jun,180"), "soybean_yield.csv: line 3, "
         'percent_of_maximum = "180": not a number from 0 to 100; write a number such as '
         "95 or 92.5"),
        (SOYBEAN_YIELD.replace("1 Jun,80", "1 Jun,80,x"), 'soybean_yield.csv: line 3 = '
         '"1 Jun,80,x": 3 cells where the header has 2; '
         "write one cell for each column, separated by commas"),
    ],
)  # fmt: skip
def test_a_faulty_table_of_yields_is_told_by_its_lines(table: str, message: str) -> None:
    tables = SMALL_TABLES | {"soybean_yield.csv": table}
    assert [str(fault) for fault in faults_of(SMALL_FARM, tables)] == [message]


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (('"Small farm"', '"Small farm'), "farm.toml: line 1 = 'name = \"Small farm': "
         "a quote is not closed on this line"),
        (("crop_year = 2026", "crop_year 2026"), "farm.toml: line 3 = 'crop_year 2026': "
         'the sign "=" is missing'),
        (('units = "us"', "units = us"), "farm.toml: line 2 = 'units = us': "
         "the value is not written as it should be"),
        (("crop_year = 2026", f"crop_year = {'9' * 5000}"), "farm.toml: not a farm file in TOML "
         "(a number has thousands of digits)"),
    ],
)  # fmt: skip
def test_a_line_that_is_not_toml_is_shown(change: tuple[str, str], message: str) -> None:
    repair = '; write each line as name = value, with text in quotes: area = "80 acre"'
    assert messages(change) == [message + repair]


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (("operators = 1\n", "operators = 1\noperators = 2\n"), "line 15 = 'operators = 2': "
         "this name stands in the file twice; keep the line that is right"),
        (("[money]", "[crew]"), "line 21 = '[crew]': this section stands in the file twice; "
         "keep one of the two, or give one another name"),
        (("[money]", "[money"), "line 21 = '[money': the name of a section is not closed with ]; "
         "write it as [crew]"),
        (('units = "us"', "units = \u201cus\u201d"), "line 2 = 'units = \u201cus\u201d': it has "
         'curly quotes; write straight ones, as in area = "80 acre"'),
    ],
)  # fmt: skip
def test_what_stands_in_the_file_twice_or_in_curly_quotes_is_shown(
    change: tuple[str, str], message: str
) -> None:
    assert messages(change) == [f"farm.toml: {message}"]


def test_a_file_nested_too_deeply_is_told() -> None:
    (message,) = messages(("crop_year = 2026", "crop_year = " + "[" * 5000))
    assert message == "farm.toml: tables are nested too deeply; see fieldsim new for the form"


def test_one_broken_table_named_by_two_crops_is_told_once() -> None:
    text = changed(('"corn_minnesota_1988_2003"', '{ table = "soybean_yield.csv" }'))
    tables = SMALL_TABLES | {"soybean_yield.csv": "planted,percent_of_maximum\n1 May,x\n1 Jun,80\n"}
    assert len(faults_of(text, tables)) == 1


@pytest.mark.parametrize("persistence", [0.05, 0.999])
def test_a_persistence_that_the_weeks_do_not_allow_is_told_in_the_farm_file(
    persistence: float,
) -> None:
    (message,) = messages(("week_correlation = 0.3", f"persistence = {persistence}"))
    assert message.startswith(
        f"farm.toml: days.persistence = {persistence}: the weeks of this table allow from 0."
    )


@pytest.mark.parametrize("name", ["", "..", "a\\u0000b", "x" * 300])
def test_a_table_name_that_no_file_can_have_is_told(folder: Path, name: str) -> None:
    text = changed(('"days.csv"', f'"{name}"'))
    (folder / "farm.toml").write_text(text, encoding="utf-8")
    (message,) = problems(folder / "farm.toml")
    assert message.startswith("farm.toml: days.table = ")
