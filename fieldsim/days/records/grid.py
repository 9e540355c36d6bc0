"""Putting figures into columns of the calendar: from entries of a table to a record."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.layout import DAYS
from fieldsim.days.records.entries import Entry
from fieldsim.days.records.places import date_at, is_leap_day, place
from fieldsim.days.records.record import Records
from fieldsim.errors import Fault, InputError
from fieldsim.season import WEEKDAYS, CalendarDay
from fieldsim.tables import Table

__all__ = ["Found", "records_of"]

WEEK = timedelta(days=DAYS)


@dataclass(frozen=True)
class Found:
    """What was read from a table.

    Parameters
    ----------
    faults : list of Fault
        So far.
    entries : list of Entry
    begins : CalendarDay
        First day of a record year.
    dated : str
        Column of the days.
    weeks : "dated", "either" or "calendar"
        Weeks all fall on one weekday, or on the same days of the calendar every year, or on either.
    placed : bool
        Whether the days could be placed in years, and need to be looked at for order.
    """

    faults: list[Fault]
    entries: list[Entry]
    begins: CalendarDay
    dated: str
    weeks: Literal["dated", "either", "calendar"]
    placed: bool = True


def records_of(found: Found, table: Table, unit: Literal["week", "day"]) -> Records:
    """Put the entries of a table into a record.

    Parameters
    ----------
    found : Found
    table : Table
        Where they were read.
    unit : "week" or "day"

    Returns
    -------
    Records

    Raises
    ------
    InputError
        With the faults found so far, figures given twice, weeks that end on two weekdays, years
        without a figure, and fewer than two years.
    """
    entries, file = found.entries, table.file
    faults = [*found.faults, *(_repeated(table, found) if found.placed else [])]
    on_weekday = len({entry.day.weekday() for entry in entries}) == 1
    on_weekday = unit == "week" and on_weekday and found.weeks != "calendar"
    on_calendar = found.weeks != "dated" and _on_calendar_weeks(found)
    if unit == "week" and found.placed and not on_weekday and not on_calendar:
        faults += _weekday_faults(table, found)
    if not found.faults:
        faults += _year_faults(file, entries)
    if faults:
        raise InputError(faults)
    back = timedelta(days=DAYS - 1) if "ending" in found.dated.casefold() else timedelta(0)
    if unit == "day":
        entries = [entry for entry in entries if not is_leap_day(entry.day)]
    if on_weekday:
        firsts = [entry.day - back for entry in entries]
        columns, starts = _weekday_columns(entries, firsts, found.begins)
    else:
        step = DAYS if unit == "week" else 1
        at = np.array([place(e.day, e.year, found.begins) - back.days for e in entries])
        columns = (at - at.min()) // step
        years = sorted({entry.year for entry in entries})
        weeks = at.min() + step * np.arange(columns.max() + 1)
        starts = {y: [date_at(int(p), y, found.begins) for p in weeks] for y in years}
    days = np.full((len(starts), columns.max() + 1), np.nan)
    rows = {year: row for row, year in enumerate(starts)}
    for entry, column in zip(entries, columns, strict=True):
        days[rows[entry.year], column] = entry.figure
    dates = np.array(list(starts.values()), "datetime64[D]")
    return Records(tuple(starts), dates, days, unit, found.begins, file)


def _weekday_columns(
    entries: Sequence[Entry], firsts: Sequence[date], begins: CalendarDay
) -> tuple[NDArray[np.int64], dict[int, list[date]]]:
    """Put weeks that begin on one weekday into columns of weeks nearest on the calendar.

    In the middle of the record each year's week is found that begins nearest a calendar day; the
    others are counted from it, so that a leap day parts no columns. Of the seven calendar days that
    this can start from, the one is taken that gives the fewest columns, and of these the one from
    which the weeks lie least far away.

    Returns
    -------
    tuple of ndarray and dict
        Column of each entry, and the first days of all columns by year.
    """
    at = [place(day, entry.year, begins) for entry, day in zip(entries, firsts, strict=True)]
    middle = (min(at) + max(at)) // 2
    named = [entry.year for entry in entries]
    some = dict(zip(named, firsts, strict=True))
    choices = []
    for shift in range(-(DAYS // 2), DAYS // 2 + 1):
        wanted = {year: date_at(middle + shift, year, begins) for year in some}
        near = {year: _nearest(day, wanted[year]) for year, day in some.items()}
        apart = sum((day - wanted[year]).days ** 2 for year, day in near.items())
        counted = [(day - near[y]).days // DAYS for y, day in zip(named, firsts, strict=True)]
        weeks = np.array(counted)
        choices.append((int(np.ptp(weeks)), apart, shift, weeks, near))
    *_, weeks, near = min(choices, key=lambda choice: choice[:3])
    count = range(weeks.min(), weeks.max() + 1)
    starts = {year: [near[year] + week * WEEK for week in count] for year in sorted(near)}
    return weeks - weeks.min(), starts


def _nearest(day: date, wanted: date) -> date:
    """Return the day whole weeks from `day` that is nearest to another, at most 3 days off."""
    weeks = ((wanted - day).days + DAYS // 2) // DAYS
    return day + weeks * WEEK


def _on_calendar_weeks(found: Found) -> bool:
    """Say whether the weeks are the same days of the calendar in every year."""
    return len({place(e.day, e.year, found.begins) % DAYS for e in found.entries}) <= 1


def _repeated(table: Table, found: Found) -> list[Fault]:
    """Say which figures are given twice."""
    first: dict[tuple[int, date], Entry] = {}
    faults = []
    for entry in found.entries:
        other = first.setdefault((entry.year, entry.day), entry)
        if other is not entry and other.row is not entry.row:
            problem = f"the same {'week' if 'week' in found.dated.casefold() else 'day'} stands "
            problem += f"on line {other.row.line}"
            faults.append(table.fault(entry.row, found.dated, problem, "keep one of the two"))
    return faults


def _weekday_faults(table: Table, found: Found) -> list[Fault]:
    """Say which weeks end (or begin) on another weekday than most."""
    counts = Counter(entry.day.weekday() for entry in found.entries)
    usual, most = counts.most_common(1)[0] if counts else (0, 0)
    word = "ends" if "ending" in found.dated.casefold() else "begins"
    faults = []
    for entry in found.entries:
        if entry.day.weekday() == usual:
            continue
        near = _nearest(entry.day + timedelta(days=usual - entry.day.weekday()), entry.day)
        problem = (
            f"the week {word} on a {WEEKDAYS[entry.day.weekday()]}, {most} others on a "
            f"{WEEKDAYS[usual]}"
        )
        repair = f"write {near} if that is meant; weeks of one record begin on one weekday"
        faults.append(table.fault(entry.row, found.dated, problem, repair))
    return faults


def _year_faults(file: str, entries: Sequence[Entry]) -> list[Fault]:
    """Say which years hold no figure, and whether there are too few."""
    counts: Counter[int] = Counter()
    for entry in entries:
        counts[entry.year] += not np.isnan(entry.figure)
    faults = [
        Fault(file, f"year {year}", "", "no figure of this year is known", "leave the year out")
        for year, count in sorted(counts.items())
        if not count
    ]
    if len(counts) < 2:
        named = ", ".join(str(year) for year in counts)
        problem, repair = "a record has two years at least, better 20", "add years"
        faults.append(Fault(file, "years", named, problem, repair))
    return faults
