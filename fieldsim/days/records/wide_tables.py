"""Wide tables of records: days of the calendar down, a column for each year."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import pairwise

from fieldsim.days.records.entries import YEAR, Entry, read_day, read_figure
from fieldsim.days.records.grid import Found
from fieldsim.days.records.places import calendar_day, date_at, is_leap_day
from fieldsim.days.weekly_table import COMMON_YEAR
from fieldsim.errors import Fault, InputError
from fieldsim.season import CalendarDay
from fieldsim.tables import Row, Table

__all__ = ["read_wide"]

NEW_YEAR = CalendarDay(1, 1)
LEAP_DAY = CalendarDay(2, 29)


def read_wide(table: Table, dated: str, most: int, begins: CalendarDay | None) -> Found:
    """Read a wide table.

    Parameters
    ----------
    table : Table
    dated : str
        Column of the days of the calendar.
    most : int
        Largest figure [days]: 7 in a weekly table, 1 in a daily one.
    begins : CalendarDay, optional
        First day of a record year; None: 1 January, or where the lines run over New Year, midway
        between the last line and the first.

    Returns
    -------
    Found

    Raises
    ------
    InputError
        If a column is no year, or there is none.
    """
    years = _years(table, dated)
    faults: list[Fault] = []
    lines: list[tuple[Row, CalendarDay]] = []
    for row in table.rows:
        day = read_day(table, row, dated, faults)
        if isinstance(day, date):
            problem, repair = "a date with a year; the years are columns", "write it as 7 Apr"
            faults.append(table.fault(row, dated, problem, repair))
        elif day is not None:
            lines.append((row, day))
    begins = begins or _begins([day.day_of_year for _, day in lines])
    faults += _order_faults(table, dated, lines, begins, 7 if most > 1 else 1)
    entries = []
    for row, day in lines:
        place = (day.day_of_year - begins.day_of_year) % COMMON_YEAR
        for year in years:
            figure = read_figure(table, row, str(year), most, faults)
            named = date_at(place, year, begins)
            if day == LEAP_DAY and most == 1:
                named = day.in_year(named.year)
                if not is_leap_day(named) and row.cells[str(year)]:
                    problem = f"{named.year} has no 29 February"
                    faults.append(table.fault(row, str(year), problem, "leave the cell empty"))
                if not is_leap_day(named):
                    continue
            entries.append(Entry(row, dated, year, named, figure))
    return Found(faults, entries, begins, dated, "calendar", placed=False)


def _years(table: Table, dated: str) -> list[int]:
    """Return the years that columns are named after."""
    columns = [column for column in table.columns if column != dated]
    faults = [
        Fault(table.file, f"column {column}", "", "not a year", "name it as 2019, or leave it out")
        for column in columns
        if not YEAR.fullmatch(column)
    ]
    if not columns:
        problem, repair = "there is no year", "add a column for each year, as 2019"
        faults.append(Fault(table.file, "columns", dated, problem, repair))
    if faults:
        raise InputError(faults)
    return [int(column) for column in columns]


def _begins(at: Sequence[int]) -> CalendarDay:
    """Return the day on which years begin, for lines on these days of the year."""
    steps_back = sum(b < a for a, b in pairwise(at))
    if steps_back == 1 and at[-1] < at[0]:
        return calendar_day((at[-1] + at[0]) // 2, NEW_YEAR)
    return NEW_YEAR


def _order_faults(
    table: Table,
    dated: str,
    lines: Sequence[tuple[Row, CalendarDay]],
    begins: CalendarDay,
    step: int,
) -> list[Fault]:
    """Say which lines do not come after the one above, or not by whole weeks."""
    faults = []
    for (_, above), (row, day) in pairwise(lines):
        places = [(d.day_of_year - begins.day_of_year) % COMMON_YEAR for d in (above, day)]
        days = places[1] - places[0]
        if days == 0 and day == LEAP_DAY and above != LEAP_DAY and step == 1:
            continue
        if days <= 0:
            problem = f"does not come after {above} above it, in a year that begins on {begins}"
            repair = "list the days in order, each once"
            faults.append(table.fault(row, dated, problem, repair))
        elif days % step:
            problem = f"{days} days after {above}; weeks follow each other by 7 days"
            faults.append(table.fault(row, dated, problem, "write the same weeks in order"))
    return faults
