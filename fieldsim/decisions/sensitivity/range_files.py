"""Ranges of inputs as a small table that people edit: ``ranges.csv``."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from fieldsim.decisions.sensitivity.input_checks import input_faults
from fieldsim.decisions.sensitivity.inputs import COMMON_PRACTICE, Input
from fieldsim.errors import Fault, InputError
from fieldsim.tables import parse_table, read_text
from fieldsim.writing import guarded

__all__ = ["parse_ranges", "ranges_text", "read_ranges"]

COLUMNS = ("input", "paths", "kind", "low", "high")
BASIS = "basis"
BETWEEN = ";"  # paths of one input
WHOLE = re.compile(r"\d{1,9}")
NOTES = """\
# What may be other than the farm file says, and between which two values. Edit it freely.
# paths: figures of the farm file that move together, separated by ";"; * stands for any name.
# kind: "factor" (low and high multiply the farm's own figures) or "figure" (low and high take
# their place, written as in the farm file, as "$3.60/bu").
"""


def read_ranges(path: str | Path) -> tuple[Input, ...]:
    """Read ranges from a file; see `parse_ranges`."""
    return parse_ranges(read_text(Path(path)), str(path))


def parse_ranges(text: str, file: str = "ranges.csv") -> tuple[Input, ...]:
    r"""Read inputs and their ranges from a table with input, paths, kind, low, high and basis.

    Parameters
    ----------
    text : str
    file : str
        What to call it in messages.

    Returns
    -------
    tuple of Input
        They still have to be held against a farm; see `check_inputs`.

    Raises
    ------
    InputError
        With every fault found.

    Examples
    --------
    >>> parse_ranges("input,paths,kind,low,high\nwage,money.wage,figure,$20/h,$30/h\n")[0].low
    '$20/h'
    """
    table = parse_table(text, file, COLUMNS)
    faults = [
        Fault(file, column, "", "there is no such column", f"columns are {', '.join(COLUMNS)}")
        for column in table.columns
        if column not in (*COLUMNS, BASIS)
    ]
    inputs = []
    for row in table.rows:
        cells = row.cells
        item = Input(
            name=cells["input"],
            paths=tuple(path.strip() for path in cells["paths"].split(BETWEEN)),
            low=_number_or_text(cells["low"]),
            high=_number_or_text(cells["high"]),
            kind=cells["kind"],  # type: ignore[arg-type]  # any text: `input_faults` says so
            basis=cells.get(BASIS) or COMMON_PRACTICE,
        )
        faults += [
            replace(fault, file=file, field=f"line {row.line}: {fault.field}")
            for fault in input_faults(item)
        ]
        inputs.append(item)
    if faults:
        raise InputError(faults)
    return tuple(inputs)


def ranges_text(inputs: Sequence[Input]) -> str:
    """Return inputs as the text of a table that `parse_ranges` reads.

    Examples
    --------
    >>> inputs = (Input("wage", ("money.wage",), 0.8, 1.25),)
    >>> parse_ranges(ranges_text(inputs)) == inputs
    True
    """
    lines = io.StringIO()
    writer = csv.writer(lines, lineterminator="\n")
    writer.writerow((*COLUMNS, BASIS))
    for item in inputs:
        paths = f"{BETWEEN} ".join(item.paths)
        cells = (item.name, paths, item.kind, item.low, item.high, item.basis)
        writer.writerow(map(guarded, cells))
    return NOTES + lines.getvalue()


def _number_or_text(cell: str) -> float | str:
    """Return a cell without a unit as the number it is; other cells as they stand."""
    if WHOLE.fullmatch(cell):
        return int(cell)
    try:
        return float(cell)
    except ValueError:
        return cell
