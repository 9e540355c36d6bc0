"""The equipment shelf: machines and tractors that could be bought, read from a table."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from fieldsim.errors import Fault, InputError
from fieldsim.farm.entries import name_problem
from fieldsim.farm.messages import from_validation, meant
from fieldsim.farm.shelf_parts import Implement, Offer, Shelf, ShelfTractor
from fieldsim.tables import Row, Table, parse_table, read_text

__all__ = ["parse_shelf", "read_shelf"]

REQUIRED = ("kind", "name", "price")
BY_ROWS = ("planter", "row_cultivator")
KINDS = (*BY_ROWS, "rotary_hoe", "disk", "field_cultivator", "tractor")
MOST_OFFERS = 1000
WHOLE = ("rows", "age", "years")  # columns of whole numbers
WHOLE_NUMBER = re.compile(r"[+-]?\d{1,9}")
FILLING = re.compile(r"(?P<material>.+)_(?P<what>hopper|fill_time)")


def read_shelf(path: str | Path) -> Shelf:
    """Read a table of machines and tractors.

    Parameters
    ----------
    path : str or Path
        A CSV file; the one that ``fieldsim new`` writes says what its columns hold.

    Returns
    -------
    Shelf

    Raises
    ------
    InputError
        With every fault, each with its line and column.
    """
    return parse_shelf(read_text(Path(path)), str(path))


def parse_shelf(text: str, file: str = "machines") -> Shelf:
    r"""Read a shelf from text, as `read_shelf` does from a file.

    Parameters
    ----------
    text : str
    file : str
        What to call the table in messages.

    Returns
    -------
    Shelf

    Raises
    ------
    InputError
        With every fault, each with its line and column.

    Examples
    --------
    >>> shelf = parse_shelf('kind,name,power,price\ntractor,old one,95 hp,$24500\n')
    >>> round(shelf.tractors[0].power), shelf.tractors[0].price
    (71, 24500.0)
    """
    table = parse_table(text, file, REQUIRED, MOST_OFFERS)
    faults = list(_columns(table))
    if faults:
        raise InputError(faults)
    offers: list[Implement | ShelfTractor] = []
    lines: dict[str, int] = {}
    for row in table.rows:
        name = row.cells["name"]
        offer, found = _offer(table, row)
        if name in lines:
            problem, repair = f"stands on line {lines[name]} already", "name each machine once"
            found.append(table.fault(row, "name", problem, repair))
        lines.setdefault(name, row.line)
        faults += found
        if offer is not None:
            offers.append(offer)
    if faults:
        raise InputError(faults)
    return Shelf(
        file,
        tuple(offer for offer in offers if isinstance(offer, Implement)),
        tuple(offer for offer in offers if isinstance(offer, ShelfTractor)),
    )


def _names(model: type[Offer]) -> list[str]:
    return [name for name in model.model_fields if name not in ("hoppers", "written")]


def _columns(table: Table) -> Iterator[Fault]:
    """Yield the columns that there are not."""
    allowed = list(dict.fromkeys((*_names(Implement), *_names(ShelfTractor))))
    for column in table.columns:
        if column not in allowed and not FILLING.fullmatch(column):
            repair = meant(column, [*allowed, "NAME_hopper", "NAME_fill_time"])
            yield Fault(table.file, "header", f'"{column}"', "there is no such column", repair)


def _offer(table: Table, row: Row) -> tuple[Implement | ShelfTractor | None, list[Fault]]:
    """Read one line; return its faults beside it."""
    kind = row.cells["kind"]
    if kind not in KINDS:
        repair = f"write one of {', '.join(KINDS)}"
        return None, [table.fault(row, "kind", "there is no such kind of machine", repair)]
    model: type[Implement | ShelfTractor] = ShelfTractor if kind == "tractor" else Implement
    filled = {column: cell for column, cell in row.cells.items() if cell}
    faults = list(_misplaced(table, row, filled, kind))
    cells, hoppers = _sorted(
        {column: cell for column, cell in filled.items() if _belongs(column, kind)}
    )
    written = {c: cell for c, cell in cells.items() if c not in ("kind", "name", "source", "turn")}
    content = cells | {"written": written} | ({"hoppers": hoppers} if hoppers else {})
    faults += _needed(table, row, filled)
    try:
        offer = model.model_validate(content)
    except ValidationError as error:
        faults += [_in_table(found, row) for found in from_validation(error, model, table.file, "")]
        return None, faults
    return offer, faults


def _sorted(filled: Mapping[str, str]) -> tuple[dict[str, Any], dict[str, dict[str, str]]]:
    """Return cells as a farm file has them, and apart those of hoppers, by material."""
    cells: dict[str, Any] = {}
    hoppers: dict[str, dict[str, str]] = {}
    for column, cell in filled.items():
        match = FILLING.fullmatch(column)
        if match:
            word = "hopper" if match["what"] == "hopper" else "time"
            hoppers.setdefault(match["material"], {})[word] = cell
        elif column in WHOLE and WHOLE_NUMBER.fullmatch(cell):
            cells[column] = int(cell)
        else:
            cells[column] = cell
    return cells, hoppers


def _belongs(column: str, kind: str) -> bool:
    """Say whether machines of a kind have a column."""
    if kind == "tractor":
        return column in ShelfTractor.model_fields
    if column in ("rows", "row_spacing", "width"):
        return (column == "width") != (kind in BY_ROWS)
    if FILLING.fullmatch(column):
        return kind == "planter"
    return column in Implement.model_fields


def _misplaced(table: Table, row: Row, filled: Mapping[str, str], kind: str) -> Iterator[Fault]:
    for column in filled:
        if not _belongs(column, kind):
            problem = f"a {kind.replace('_', ' ')} has no such entry"
            yield table.fault(row, column, problem, "leave the cell empty")


def _needed(table: Table, row: Row, filled: Mapping[str, str]) -> Iterator[Fault]:
    """Yield what a line lacks that its model cannot tell."""
    kind, name = row.cells["kind"], row.cells["name"]
    problem = name_problem(name) if name else ""
    if problem:
        yield table.fault(row, "name", problem, "choose a shorter, plainer name")
    sized = {"rows": "6", "row_spacing": '"30 in"'} if kind in BY_ROWS else {"width": '"21 ft"'}
    for column, example in sized.items() if kind != "tractor" else ():
        if column not in filled:
            yield table.fault(row, column, "is missing", f"write {example}")
    if ("age" in filled or "hours" in filled) and "list_price" not in filled:
        problem = "is missing: a used machine wears by the price of a new one"
        yield table.fault(row, "list_price", problem, "write what a new one costs today")
    if "hours" in filled and "age" not in filled:
        yield table.fault(row, "age", "is missing", "write its years, as 8")


def _in_table(found: Fault, row: Row) -> Fault:
    """Return a fault of a part with its place in the table."""
    steps = found.field.split(".")
    words = {"hopper": "hopper", "time": "fill_time"}
    column = f"{steps[1]}_{words[steps[2]]}" if steps[0] == "hoppers" else found.field
    repair = re.sub(rf"^write {steps[-1]} = ", "write ", found.repair)
    return replace(found, field=f"line {row.line}, {column}", repair=repair)
