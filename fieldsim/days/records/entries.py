"""Cells of a table of records: dates, years and figures, each fault with its place."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from fieldsim.days.cells import bounded_number
from fieldsim.errors import Fault
from fieldsim.season import CalendarDay, parse_calendar_day
from fieldsim.tables import Row, Table

__all__ = ["Entry", "read_day", "read_figure", "read_year"]

ISO_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
YEAR = re.compile(r"[12]\d{3}")
MISSING = ("", "na", "(na)")


@dataclass(frozen=True)
class Entry:
    """One figure of a record: where it stands, the day that names it, and its record year."""

    row: Row
    column: str
    year: int
    day: date
    figure: float


def read_day(table: Table, row: Row, column: str, faults: list[Fault]) -> date | CalendarDay | None:
    """Read a date or a day of the calendar; None where the cell is at fault."""
    text = row.cells[column]
    try:
        if ISO_DATE.fullmatch(text):
            return date.fromisoformat(text)
        return parse_calendar_day(text)
    except ValueError as error:
        problem = "there is no such date" if ISO_DATE.fullmatch(text) else str(error)
        faults.append(table.fault(row, column, problem, "write a date, as 2019-04-07 or 7 Apr"))
        return None


def read_year(table: Table, row: Row, column: str, faults: list[Fault]) -> int | None:
    """Read a year; None where the cell is at fault."""
    text = row.cells[column]
    if YEAR.fullmatch(text):
        return int(text)
    faults.append(table.fault(row, column, "not a year", "write four digits, as 2019"))
    return None


def read_figure(
    table: Table, row: Row, column: str, most: int, faults: list[Fault], *, official: bool = False
) -> float:
    """Read a figure from 0 to `most`; nan where it is missing or at fault.

    A figure is missing where the cell is empty or says NA; in an official series, where it holds
    no digit, as (NA) or (D).
    """
    text = row.cells[column]
    if text.casefold() in MISSING or (official and not any(sign.isdigit() for sign in text)):
        return float("nan")
    try:
        return bounded_number(text, 0, most)
    except ValueError as error:
        what = "days of the week, as 4.3" if most > 1 else "share of the day, as 1 or 0.5"
        repair = f"write the {what}; leave the cell empty where it is not known"
        faults.append(table.fault(row, column, str(error), repair))
        return float("nan")
