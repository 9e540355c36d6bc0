"""No cell of a table that is written is run by a spreadsheet, whatever a farm is called."""

from __future__ import annotations

import ast
import csv
from collections.abc import Iterator
from pathlib import Path

import pandas as pd
import pytest

from fieldsim.decisions.sensitivity.inputs import Input
from fieldsim.decisions.sensitivity.range_files import parse_ranges, ranges_text
from fieldsim.tables import parse_table
from fieldsim.writing import guarded, unguarded, write_csv
from tests.farms import SMALL_TABLES, changed
from tests.reliability.commands import call
from tests.weather import records_text

PACKAGE = Path(__file__).parents[2] / "fieldsim"
SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
CALL = "=HYPERLINK(0)"


@pytest.mark.parametrize("sign", SIGNS)
def test_a_text_that_would_run_is_guarded_and_read_back(sign: str) -> None:
    cell = f"{sign}cmd|' /C calc'!A0"
    assert guarded(cell) == "'" + cell
    assert unguarded(guarded(cell)) == cell


@pytest.mark.parametrize("cell", [-1.5, None, True, "", "disk", "-20 %", "+1,200.5", "-1e-3", "'a"])
def test_numbers_and_plain_text_stay_as_they_are(cell: object) -> None:
    assert guarded(cell) is cell


def test_every_place_of_a_table_is_guarded(tmp_path: Path) -> None:
    columns = {CALL: [CALL, -1.0], "kind": pd.Categorical([CALL, "b"]), "cost": [-1.5, 2.0]}
    table = pd.DataFrame(columns, index=pd.Index([CALL, "c"], name="@option"))
    write_csv(table, tmp_path / "a.csv")
    rows = list(csv.reader((tmp_path / "a.csv").open(encoding="utf-8", newline="")))
    safe = "'" + CALL
    assert rows[0] == ["'@option", safe, "kind", "cost"]
    assert rows[1] == [safe, safe, safe, "-1.5"]
    assert rows[2] == ["c", "-1.0", "b", "2.0"]
    assert table.index[0] == CALL  # what was given is not touched


def test_ranges_go_out_and_come_back() -> None:
    inputs = (Input("@wage", ("money.wage",), "$-1/h", "=1", "figure", basis="-"),)
    text = ranges_text(inputs)
    assert ",=1," not in text
    cells = parse_table(text, "ranges.csv").rows[0].cells
    assert [cells[name] for name in ("input", "high", "basis")] == ["@wage", "=1", "-"]
    plain = (Input("@wage", ("money.wage",), "$18/h", "$30/h", "figure"),)
    assert parse_ranges(ranges_text(plain)) == plain


def test_labels_that_would_run_do_not_in_what_commands_write(tmp_path: Path) -> None:
    text = changed(
        ("[options.one_outfit]\n", f'[options.one_outfit]\nlabel = "{CALL}"\n'),
        ("[options.two_planters]\n", '[options.two_planters]\nlabel = "@SUM(1)"\n'),
    )
    (tmp_path / "farm.toml").write_text(text, encoding="utf-8")
    for name, table in SMALL_TABLES.items():
        (tmp_path / name).write_text(table, encoding="utf-8")
    for command in ("run", "compare"):
        result = call(command, tmp_path / "farm.toml", "--seasons", 20, "--out", tmp_path / "out")
        assert result.exit_code == 0, result.output
    written = list((tmp_path / "out").glob("*.csv"))
    assert len(written) == 4
    cells = {cell for path in written for cell in cells_of(path)}
    assert "'" + CALL in cells
    assert not {cell for cell in cells if guarded(cell) != cell}


def cells_of(path: Path) -> Iterator[str]:
    with path.open(encoding="utf-8", newline="") as stream:
        for row in csv.reader(stream):
            yield from row


def test_tables_are_written_in_one_place() -> None:
    writing = {
        path.name
        for path in PACKAGE.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute) and node.attr in ("to_csv", "writerow", "writerows")
    }
    assert writing == {"writing.py", "range_files.py"}


def test_the_name_of_a_records_file_makes_no_cells_or_lines_of_its_own(tmp_path: Path) -> None:
    records = tmp_path / "past,=1+1\n=2,é.csv"
    records.write_text(records_text(), encoding="utf-8")
    result = call("fit", records, "--out", tmp_path / "fitted.csv")
    assert result.exit_code == 0, result.output
    first = (tmp_path / "fitted.csv").read_text(encoding="utf-8").splitlines()[0]
    assert first.endswith("/past__1_1__2_é.csv")
    assert not {cell for cell in cells_of(tmp_path / "fitted.csv") if guarded(cell) != cell}
