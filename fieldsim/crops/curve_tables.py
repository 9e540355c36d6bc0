"""Reading yield curves: the published tables that come with fieldsim, and a user's own.

A table has the columns ``planted`` (single dates) or ``planted_from`` and ``planted_to`` (windows,
both days included), and ``percent_of_maximum``. A window counts as its middle. Dates rise down the
table; one that is more than half a year earlier than the date before it lies in the next year.
Comment lines (``#``) before the header are kept as the curve's source.
"""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path, PurePath

from fieldsim.crops.yield_curve import TableCurve
from fieldsim.errors import Fault, InputError
from fieldsim.season import parse_calendar_day
from fieldsim.tables import Table, parse_table, read_text

__all__ = ["parse_curve", "published_curve", "published_curves", "read_curve"]

PERCENT = "percent_of_maximum"
SINGLE = ("planted",)
WINDOW = ("planted_from", "planted_to")
NUMBER = re.compile(r"[+-]?[0-9]+(\.[0-9]*)?|[+-]?\.[0-9]+")
YEAR = 365
SUFFIX = ".csv"


@cache
def published_curves() -> tuple[str, ...]:
    """Return the names of the published curves, in alphabetical order."""
    names = (entry.name for entry in _folder().iterdir())
    return tuple(sorted(name.removesuffix(SUFFIX) for name in names if name.endswith(SUFFIX)))


@cache
def published_curve(name: str) -> TableCurve:
    """Return a published curve by its name; its `source` tells what was read where.

    Parameters
    ----------
    name : str
        One of `published_curves()`.

    Returns
    -------
    TableCurve

    Raises
    ------
    ValueError
        If there is no such curve.

    Examples
    --------
    >>> curve = published_curve("corn_minnesota_1988_2003")
    >>> curve.days[0], curve.relative[0]
    (110.0, 0.99)
    """
    if name not in published_curves():
        names = ", ".join(published_curves())
        raise ValueError(f"there is no published curve {name!r}: {names} are allowed")
    file = name + SUFFIX
    return parse_curve(read_text(_folder() / file, file), file)


def read_curve(path: Path | str) -> TableCurve:
    """Read a yield curve from a user's CSV file.

    Parameters
    ----------
    path : Path or str

    Returns
    -------
    TableCurve
        Named like the file without its ending.

    Raises
    ------
    InputError
        If the file cannot be read, or with every fault of `parse_curve`.
    """
    return parse_curve(read_text(Path(path)), str(path))


def parse_curve(text: str, file: str) -> TableCurve:
    r"""Read a yield curve from the text of a table.

    Parameters
    ----------
    text : str
        A table as described at the head of this module.
    file : str
        What to call the table in messages; the curve is named like it, without folder and ending.

    Returns
    -------
    TableCurve
        Yields as in the table; `relative_yield` takes them relative to the largest.

    Raises
    ------
    InputError
        With every fault: columns missing or in excess, dates that do not exist or do not rise,
        percentages that are no number from 0 to 100, fewer than two rows, no percentage above 0.

    Examples
    --------
    >>> curve = parse_curve("planted,percent_of_maximum\n20 Apr,98\n20 May,49\n", "mine.csv")
    >>> curve.name, curve.days, curve.relative
    ('mine', (110.0, 140.0), (0.98, 0.49))
    """
    table = parse_table(text, file)
    faults: list[Fault] = []
    columns = _date_columns(table, faults)
    days = _days(table, columns, faults)
    percents = _percents(table, faults)
    if len(table.rows) < 2:
        problem = "a curve has at least two rows"
        faults.append(Fault(file, "", "", problem, "write a row for each planting date"))
    if percents and max(percents) == 0.0:
        problem = "no percentage is above 0"
        faults.append(Fault(file, PERCENT, "", problem, "write 100 at the best date"))
    if faults:
        raise InputError(faults)
    return TableCurve(
        days=tuple(days),
        relative=tuple(percent / 100.0 for percent in percents),
        name=PurePath(file).stem,
        source=_source(text),
    )


def _folder() -> Traversable:
    return files("fieldsim.crops") / "curves"


def _source(text: str) -> str:
    """Return the comment lines before the header as one line."""
    lines = []
    for line in text.splitlines():
        if line.strip() and not line.lstrip().startswith("#"):
            break
        lines.append(line.strip().lstrip("#").strip())
    return " ".join(line for line in lines if line)


def _date_columns(table: Table, faults: list[Fault]) -> tuple[str, ...]:
    """Return the columns with dates, or none where it is not clear which they are."""
    has_single = SINGLE[0] in table.columns
    windows = [column for column in WINDOW if column in table.columns]
    if has_single and not windows:
        return SINGLE
    if len(windows) == 2 and not has_single:
        return WINDOW
    found = ", ".join((*(SINGLE if has_single else ()), *windows)) or "none of them"
    problem = f"a table has planted, or planted_from and planted_to; here: {found}"
    repair = "write planted for single dates, planted_from and planted_to for windows"
    faults.append(Fault(table.file, "", "", problem, repair))
    return ()


def _days(table: Table, columns: tuple[str, ...], faults: list[Fault]) -> list[float]:
    """Return the day of year of each row, the middle of a window, counting on after New Year."""
    middles: list[float] = []
    first: float | None = None
    before: float | None = None
    for row in table.rows:
        ends: list[float] = []
        for column in columns:
            try:
                day: float = parse_calendar_day(row.cells[column]).day_of_year
            except ValueError as error:
                repair = 'write a day such as "20 Apr"'
                faults.append(table.fault(row, column, str(error), repair))
                continue
            day = _counted_on(day, before)
            first = day if first is None else first
            problem = _order_problem(day, first, before)
            if problem:
                repair = "put the rows in the order of their dates"
                faults.append(table.fault(row, column, problem, repair))
                continue
            before = day
            ends.append(day)
        if len(ends) == len(columns) and ends:
            middle = (ends[0] + ends[-1]) / 2
            if middles and middle <= middles[-1]:
                problem = "the same date as in the row before; dates must rise"
                faults.append(table.fault(row, columns[0], problem, "give each date once"))
            middles.append(middle)
    return middles


def _counted_on(day: float, before: float | None) -> float:
    """Return `day` in the year in which it follows the date before it."""
    if before is None:
        return day
    return day + YEAR * max(round((before - day) / YEAR), 0)


def _order_problem(day: float, first: float, before: float | None) -> str:
    """Return what is wrong with the place of a date in the table; empty if nothing is."""
    if before is not None and day < before:
        return "earlier than the date before it; dates must rise and windows may not overlap"
    if day - first >= YEAR:
        return "a year or more after the first date"
    return ""


def _percents(table: Table, faults: list[Fault]) -> list[float]:
    """Return the percentages of the table's rows."""
    if PERCENT not in table.columns:
        repair = f"add {PERCENT}"
        faults.append(Fault(table.file, "", "", f"the column {PERCENT!r} is missing", repair))
        return []
    percents = []
    for row in table.rows:
        cell = row.cells[PERCENT]
        percent = float(cell) if NUMBER.fullmatch(cell) else -1.0
        if not 0.0 <= percent <= 100.0:
            problem = "not a number from 0 to 100"
            faults.append(table.fault(row, PERCENT, problem, "write a number such as 95 or 92.5"))
        else:
            percents.append(percent)
    return percents
