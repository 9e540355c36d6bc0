"""Reading small CSV tables: cells as text with the line they stand on, every fault with its place.

A table is UTF-8 text, comma separated, with one header line. Lines that begin with ``#`` are
comments and may stand anywhere.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources.abc import Traversable
from pathlib import Path

from fieldsim.errors import Fault, InputError
from fieldsim.writing import unguarded

__all__ = ["Row", "Table", "parse_table", "read_table", "read_text"]

LARGEST_FILE = 10_000_000  # bytes; a century of daily weather has a third of it
MOST_ROWS = 100_000
MOST_COLUMNS = 1000
LONGEST_SHOWN = 60  # letters of a line in a message


@dataclass(frozen=True)
class Row:
    """One line of a table: its number in the file and its cells by column."""

    line: int
    cells: dict[str, str]


@dataclass(frozen=True)
class Table:
    """A table as read: where it came from, its columns in order, and its rows."""

    file: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]

    def fault(self, row: Row, column: str, problem: str, repair: str) -> Fault:
        """Return the fault of one cell."""
        value = row.cells.get(column, "")
        return Fault(self.file, f"line {row.line}, {column}", f'"{value}"', problem, repair)


def read_text(path: Path | Traversable, name: str | None = None, largest: int | None = None) -> str:
    """Return the text of a UTF-8 file.

    Parameters
    ----------
    path : Path or Traversable
    name : str, optional
        What to call the file in messages; default: the path.
    largest : int, optional
        Largest size of the file that is read [bytes]; default: 10 MB.

    Returns
    -------
    str

    Raises
    ------
    InputError
        If there is no such file, or it cannot be read, is too large or is not UTF-8.
    """
    file = name or str(path)
    largest = LARGEST_FILE if largest is None else largest
    try:
        if path.is_dir():
            raise InputError([Fault(file, "", "", "this is a folder", "name a file in it")])
        if isinstance(path, Path) and path.exists() and not path.is_file():
            raise InputError([Fault(file, "", "", "this is a device", "name a file of text")])
        if not path.is_file():
            missing = Fault(file, "", "", "there is no such file", "check name and folder")
            raise InputError([missing])
        with path.open("rb") as stream:
            content = stream.read(largest + 1)
        if len(content) > largest:
            problem = f"the file is larger than {largest // 10**6} MB"
            raise InputError([Fault(file, "", "", problem, "name the right file")])
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        problem = f"the file is not UTF-8 text (byte {error.start})"
        repair = 'save it again with the encoding "UTF-8"'
        raise InputError([Fault(file, "", "", problem, repair)]) from None
    except (OSError, ValueError) as error:  # ValueError: a name that no file can have
        reason = getattr(error, "strerror", None) or str(error)
        problem = f"the file cannot be read ({reason})"
        raise InputError([Fault(file, "", "", problem, "check its name and permissions")]) from None


def parse_table(
    text: str, file: str, required: Sequence[str] = (), most_rows: int = MOST_ROWS
) -> Table:
    """Split the text of a table into rows.

    Parameters
    ----------
    text : str
    file : str
        What to call the table in messages.
    required : sequence of str
        Columns that must be there; others are kept.
    most_rows : int
        Rows that are read.

    Returns
    -------
    Table

    Raises
    ------
    InputError
        If the table has no header, no rows, too many rows or columns, a missing, doubled or
        unnamed column, or a line with more or fewer cells than the header.
    """
    lines = [
        (number, line)
        for number, line in enumerate(text.splitlines(), 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not lines:
        columns = f" ({','.join(required)})" if required else ""
        repair = f"write a header line{columns} and rows below it"
        raise InputError([Fault(file, "", "", "the table is empty", repair)])
    if len(lines) > most_rows + 1:
        problem = f"{len(lines) - 1:,} rows; {most_rows:,} is the most"
        raise InputError([Fault(file, "", "", problem, "name the right file, or leave some out")])
    numbers = [number for number, _ in lines]
    try:
        cells = list(csv.reader((line for _, line in lines), strict=True))
    except csv.Error as error:
        raise InputError([Fault(file, "", "", f"not a table ({error})", "check quotes")]) from None
    if len(cells) != len(lines):
        problem = "a quoted cell runs over several lines"
        raise InputError([Fault(file, "", "", problem, "close each quote on its own line")])
    header = tuple(unguarded(cell.strip()) for cell in cells[0])
    _check_separator(header, file, numbers[0])
    if len(header) > MOST_COLUMNS:
        problem = f"{len(header):,} columns; {MOST_COLUMNS:,} is the most"
        raise InputError([Fault(file, f"line {numbers[0]}", "", problem, "name the right file")])
    faults = [
        Fault(file, f"line {numbers[0]}", "", f"the column {column!r} is missing", f"add {column}")
        for column in required
        if column not in header
    ]
    for column in sorted({c for c in header if header.count(c) > 1 or not c}):
        problem = f"the column {column!r} stands there twice" if column else "a column has no name"
        faults.append(Fault(file, f"line {numbers[0]}", "", problem, "name each column once"))
    if len(cells) == 1:
        problem, repair = "the table has a header and no rows", "write rows below the header"
        faults.append(Fault(file, f"line {numbers[0]}", _shown(header), problem, repair))
    for number, row in zip(numbers[1:], cells[1:], strict=True):
        if len(row) != len(header):
            problem = f"{len(row)} cell{'s' * (len(row) != 1)} where the header has {len(header)}"
            repair = "write one cell for each column, separated by commas"
            faults.append(Fault(file, f"line {number}", _shown(row), problem, repair))
    if faults:
        raise InputError(faults)
    rows = (
        Row(number, dict(zip(header, (unguarded(cell.strip()) for cell in row), strict=True)))
        for number, row in zip(numbers[1:], cells[1:], strict=True)
    )
    return Table(file, header, tuple(rows))


def _shown(cells: Sequence[str]) -> str:
    """Return a line as written, shortened."""
    line = ",".join(cells)
    return f'"{line}"' if len(line) <= LONGEST_SHOWN else f'"{line[:LONGEST_SHOWN]}..."'


def _check_separator(header: Sequence[str], file: str, line: int) -> None:
    """Raise if the cells are separated by something else, as some spreadsheets do."""
    for sign, name in ((";", "semicolons"), ("\t", "tabs")):
        if len(header) == 1 and sign in header[0]:
            problem = f"the cells are separated by {name}"
            repair = 'save the table again as "CSV, comma separated"'
            raise InputError([Fault(file, f"line {line}", _shown(header), problem, repair)])


def read_table(
    path: Path | Traversable, required: Sequence[str] = (), name: str | None = None
) -> Table:
    """Read a table from a file; see `read_text` and `parse_table` for errors."""
    return parse_table(read_text(path, name), name or str(path), required)
