from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim import tables
from fieldsim.errors import InputError
from fieldsim.tables import parse_table, read_table, read_text


def problems(text: str, *required: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        parse_table(text, "days.csv", required)
    return [str(fault) for fault in caught.value.faults]


def test_cells_come_with_the_line_they_stand_on() -> None:
    table = parse_table('# a comment\n\nday, share\n1 Apr, 0.5\n  # another\n"2 Apr",0.75\n', "t")
    assert table.columns == ("day", "share")
    assert [(row.line, row.cells) for row in table.rows] == [
        (4, {"day": "1 Apr", "share": "0.5"}),
        (6, {"day": "2 Apr", "share": "0.75"}),
    ]


def test_the_fault_of_a_cell_names_its_place_and_value() -> None:
    table = parse_table("day,share\n1 Apr,high\n", "days.csv")
    fault = table.fault(table.rows[0], "share", "not a number", "write 0.5")
    assert str(fault) == 'days.csv: line 2, share = "high": not a number; write 0.5'


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "days.csv: the table is empty; write a header line (day,share) and rows below it"),
        ("\n  \n# only notes\n", "days.csv: the table is empty; write a header line (day,share) "
         "and rows below it"),
        ("day,share\n", 'days.csv: line 1 = "day,share": the table has a header and no rows; '
         "write rows below the header"),
        ("day,share\n1 Apr\n", 'days.csv: line 2 = "1 Apr": 1 cell where the header has 2; '
         "write one cell for each column, separated by commas"),
        ("day,share\n1 Apr,0,5\n", 'days.csv: line 2 = "1 Apr,0,5": 3 cells where the header has '
         "2; write one cell for each column, separated by commas"),
        ("day\n1 Apr\n", "days.csv: line 1: the column 'share' is missing; add share"),
        ("day,share,day\n1 Apr,1,2\n", "days.csv: line 1: the column 'day' stands there twice; "
         "name each column once"),
        ("day,share,\n1 Apr,1,2\n", "days.csv: line 1: a column has no name; "
         "name each column once"),
        ("day;share\n1 Apr;1\n", 'days.csv: line 1 = "day;share": the cells are separated by '
         'semicolons; save the table again as "CSV, comma separated"'),
        ("day\tshare\n1 Apr\t1\n", 'days.csv: line 1 = "day\tshare": the cells are separated by '
         'tabs; save the table again as "CSV, comma separated"'),
        ('day,share\n"1 Apr\n,2"\n', "days.csv: a quoted cell runs over several lines; "
         "close each quote on its own line"),
        ('day,share\n"1 Apr"x,2\n', "days.csv: not a table (',' expected after '\"'); "
         "check quotes"),
    ],
)  # fmt: skip
def test_a_table_that_cannot_be_read_is_told_why(text: str, message: str) -> None:
    assert problems(text, "day", "share") == [message]


def test_all_faults_of_a_table_come_at_once() -> None:
    assert len(problems("day,day\n1 Apr\n2 Apr,1,1\n", "day", "share")) == 4


def test_a_long_line_is_shown_shortened() -> None:
    (message,) = problems("day\n" + "x," * 500 + "\n")
    assert f'"{"x," * 30}..."' in message


@given(st.text('abc,"\n#;\t0.é\r\x00', max_size=60))
def test_any_text_gives_a_table_or_faults(text: str) -> None:
    try:
        table = parse_table(text, "t.csv")
    except InputError:
        return
    assert all(set(row.cells) == set(table.columns) for row in table.rows)


def test_files_are_read_with_or_without_a_byte_order_mark(tmp_path: Path) -> None:
    for encoding in ("utf-8", "utf-8-sig"):
        (tmp_path / "t.csv").write_text("day\n1 Apr\n", encoding=encoding)
        assert read_table(tmp_path / "t.csv").columns == ("day",)


def file_problem(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        read_text(path)
    (fault,) = caught.value.faults
    return str(fault)


def test_a_file_that_cannot_be_read_is_told_why(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    missing, folder, latin = tmp_path / "a.csv", tmp_path / "b", tmp_path / "c.csv"
    folder.mkdir()
    latin.write_bytes("Fläche\n1\n".encode("latin-1"))
    assert file_problem(missing) == f"{missing}: there is no such file; check name and folder"
    assert file_problem(folder) == f"{folder}: this is a folder; name a file in it"
    assert file_problem(latin) == (
        f'{latin}: the file is not UTF-8 text (byte 2); save it again with the encoding "UTF-8"'
    )
    long = tmp_path / ("x" * 300)
    assert "cannot be read (File name too long)" in file_problem(long)
    monkeypatch.setattr(tables, "LARGEST_FILE", 2)
    assert "larger than 0 MB" in file_problem(latin)


def test_a_name_that_no_file_can_have_is_refused() -> None:
    assert "\0" in file_problem(Path("a\0b"))
