"""Long tables of records: a line for each figure, and which year each line belongs to."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise

from fieldsim.days.records.entries import Entry, read_day, read_figure, read_year
from fieldsim.days.records.grid import Found
from fieldsim.days.records.places import calendar_day, is_leap_day, year_of
from fieldsim.days.weekly_table import COMMON_YEAR
from fieldsim.errors import Fault
from fieldsim.season import CalendarDay
from fieldsim.tables import Row, Table

__all__ = ["read_long"]

NEW_YEAR = CalendarDay(1, 1)
LONG_GAP = 60  # days without fieldwork records that part one year from the next
WEEK_BEFORE = timedelta(days=6)

Line = tuple[Row, date | CalendarDay, int | None, float]


def read_long(
    table: Table,
    dated: str,
    year: str | None,
    figure: str,
    most: int,
    begins: CalendarDay | None,
    *,
    official: bool = False,
) -> Found:
    """Read a long table.

    Parameters
    ----------
    table : Table
    dated, year, figure : str
        Columns of the day, of the year (None: no such column) and of the figure.
    most : int
        Largest figure [days]: 7 in a weekly table, 1 in a daily one.
    begins : CalendarDay, optional
        First day of a record year; None: as the table says, else 1 January.
    official : bool
        Whether the year is that of the calendar, and values without a digit are missing.

    Returns
    -------
    Found
    """
    faults: list[Fault] = []
    lines: list[Line] = []
    for row in table.rows:
        day = read_day(table, row, dated, faults)
        number = read_year(table, row, year, faults) if year else None
        value = read_figure(table, row, figure, most, faults, official=official)
        if isinstance(day, CalendarDay) and (year is None or official):
            problem = "a day without its year"
            faults.append(table.fault(row, dated, problem, f"write the date, as 2019-{_iso(day)}"))
        elif day is not None and (number is not None or year is None):
            lines.append((row, day, number, value))
    as_dates = {isinstance(day, date) for _, day, _, _ in lines}
    if len(as_dates) > 1:
        problem, repair = "some are dates, some are days of the calendar", "write all the same way"
        faults.append(Fault(table.file, dated, "", problem, repair))
        return Found(faults, [], NEW_YEAR, dated, "dated")
    named = bool(year) and not official
    before = len(faults)
    if named and as_dates == {True} and begins is None:
        begins = _begins_of_years(lines)
    elif begins is None:
        begins = _checked_new_year(table, dated, [day for _, day, _, _ in lines], faults)
    placed = len(faults) == before
    entries = []
    for row, day, number, value in lines:
        entry = _entry(table, dated, (row, day, number, value), begins, named, faults)
        if entry is not None:
            entries.append(entry)
    return Found(faults, entries, begins, dated, "dated" if True in as_dates else "either", placed)


def _iso(day: CalendarDay) -> str:
    return f"{day.month:02}-{day.day:02}"


def _entry(
    table: Table, dated: str, line: Line, begins: CalendarDay, named: bool, faults: list[Fault]
) -> Entry | None:
    """Return the figure of a line with its date and record year; None if they do not agree.

    `named` says whether the year column names the record year; else it is that of the calendar.
    """
    row, day, number, value = line
    if isinstance(day, CalendarDay):
        assert number is not None
        year = number + (day.day_of_year < begins.day_of_year)
        if day == CalendarDay(2, 29) and not _is_leap(year):
            problem, repair = f"{year} has no 29 February", "write 28 Feb or 1 Mar"
            faults.append(table.fault(row, dated, problem, repair))
            return None
        return Entry(row, dated, number, day.in_year(year), value)
    year = year_of(day, begins)
    if number is not None:
        fits = {year} if named else {day.year, (day - WEEK_BEFORE).year}
        if number not in fits:
            problem = f"the date does not lie in the year {number} of this line"
            if named:
                problem += f", which begins on {begins.in_year(number)}"
            right = year if named else day.year
            faults.append(table.fault(row, dated, problem, f"correct it, or write year {right}"))
            return None
    return Entry(row, dated, year, day, value)


def _is_leap(year: int) -> bool:
    return is_leap_day(date(year, 3, 1) - timedelta(days=1))


def _begins_of_years(lines: Sequence[Line]) -> CalendarDay:
    """Return the day on which years begin, from dates that stand under the year before.

    Midway between the last such day and the first day of a year; 1 January without such dates, or
    where they contradict each other.
    """
    later = [d for _, d, year, _ in lines if isinstance(d, date) and d.year - (year or 0) == 1]
    same = [d for _, d, year, _ in lines if isinstance(d, date) and d.year == year]
    if not later or not same:
        return NEW_YEAR
    last = max(CalendarDay(d.month, d.day).day_of_year for d in later)
    first = min(CalendarDay(d.month, d.day).day_of_year for d in same)
    return calendar_day((last + first) // 2, NEW_YEAR) if last < first else NEW_YEAR


def _checked_new_year(
    table: Table, dated: str, days: Sequence[date | CalendarDay], faults: list[Fault]
) -> CalendarDay:
    """Return 1 January; a fault if the longest gap in the days says that years run over it."""
    at = sorted({CalendarDay(day.month, day.day).day_of_year for day in days})
    if len(at) < 2:
        return NEW_YEAR
    gaps = [b - a for a, b in pairwise(at)]
    longest = max(gaps)
    if longest >= LONG_GAP and longest > at[0] + COMMON_YEAR - at[-1]:
        place = gaps.index(longest)
        last, first = (calendar_day(at[i] - 1, NEW_YEAR) for i in (place, place + 1))
        middle = calendar_day((at[place] + at[place + 1]) // 2 - 1, NEW_YEAR)
        problem = f"the years run over New Year, from {first} to {last}"
        repair = f"say on which day a year begins, as year_begins = {middle}"
        faults.append(Fault(table.file, dated, "", problem, repair))
    return NEW_YEAR
