"""Reading weekly probability tables: the direction of the levels is stated and checked."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from importlib.resources.abc import Traversable
from itertools import pairwise
from pathlib import Path
from typing import TypedDict, Unpack

from fieldsim.days.cells import bounded_number
from fieldsim.days.copula import Tails
from fieldsim.days.layout import DAYS
from fieldsim.days.weekly_table import (
    COMMON_YEAR,
    MOST_WEEKS,
    WeeklyTable,
    days_between,
)
from fieldsim.errors import Fault, InputError
from fieldsim.season import CalendarDay, parse_calendar_day
from fieldsim.tables import Row, Table, parse_table, read_text

__all__ = ["WeeklyParameters", "parse_weekly_table", "read_weekly_table"]

LEVEL = re.compile(r"(at_least|percentile)_(\d+(?:\.\d+)?)")
HALF_YEAR = 182  # a longer step forward is read as a step back


class WeeklyParameters(TypedDict, total=False):
    """Parameters of `WeeklyTable` that stand beside the table."""

    tails: Tails
    week_correlation: float
    season_share: float
    persistence: float


@dataclass(frozen=True)
class Level:
    """A level column: its name, its direction and its percentile [0..1]."""

    column: str
    direction: str
    percentile: float


def read_weekly_table(
    path: Path | Traversable, name: str | None = None, **parameters: Unpack[WeeklyParameters]
) -> WeeklyTable:
    """Read a weekly probability table from a CSV file; see `parse_weekly_table`.

    Parameters
    ----------
    path : Path or Traversable
    name : str, optional
        What to call the file in messages; default: the path.
    **parameters
        ``tails``, ``week_correlation``, ``season_share`` and ``persistence`` of `WeeklyTable`.

    Returns
    -------
    WeeklyTable

    Raises
    ------
    InputError
        As `parse_weekly_table`, and if the file cannot be read.
    """
    return parse_weekly_table(read_text(path, name), name or str(path), **parameters)


def parse_weekly_table(text: str, file: str, **parameters: Unpack[WeeklyParameters]) -> WeeklyTable:
    r"""Read the text of a weekly probability table.

    The column ``week_starting`` holds the first day of each week, as ``1 Apr``. At least two level
    columns hold days (0 to 7), and their names state the direction: ``at_least_90``, days had in at
    least 90 % of years, or ``percentile_10``, the 10th percentile of the years. Levels are numbers
    from 0 to 100, in any order; a table has one direction.

    Parameters
    ----------
    text : str
        The table as CSV.
    file : str
        What to call the table in messages.
    **parameters
        ``tails``, ``week_correlation``, ``season_share`` and ``persistence`` of `WeeklyTable`.

    Returns
    -------
    WeeklyTable

    Raises
    ------
    InputError
        With every fault of the table: level columns, dates, weeks that are missing or out of order,
        days out of bounds or against the direction.
    ValueError
        If a parameter is out of its bounds.

    Examples
    --------
    >>> table = parse_weekly_table("week_starting,at_least_80,at_least_20\n1 Apr,1.0,4.5", "april")
    >>> table.percentiles, table.days
    ((0.2, 0.8), ((1.0, 4.5),))
    """
    table = parse_table(text, file, ["week_starting"])
    faults: list[Fault] = []
    levels = _levels(table, faults)
    starts = _week_starts(table, faults)
    days = tuple(_days(table, row, levels, faults) for row in table.rows)
    if faults:
        raise InputError(faults)
    return WeeklyTable(starts, tuple(level.percentile for level in levels), days, **parameters)


def _levels(table: Table, faults: list[Fault]) -> list[Level]:
    """Return the level columns by rising percentile."""
    levels: list[Level] = []
    for column in table.columns:
        if column == "week_starting":
            continue
        match = LEVEL.fullmatch(column)
        if match is None or float(match[2]) > 100:
            problem = "not a column of a weekly table"
            repair = "name a level from 0 to 100, as at_least_90 or percentile_10"
            faults.append(Fault(table.file, f"column {column}", "", problem, repair))
            continue
        number = float(match[2])
        percentile = (100 - number if match[1] == "at_least" else number) / 100
        level = Level(column, match[1], percentile)
        for other in levels:
            if (other.direction, other.percentile) == (level.direction, level.percentile):
                problem = f"the same level as {other.column}"
                faults.append(Fault(table.file, f"column {column}", "", problem, "give it once"))
        levels.append(level)
    if len({level.direction for level in levels}) > 1:
        named = ", ".join(level.column for level in levels)
        problem = "levels in two directions; a table has one"
        repair = "name all levels at_least_..., or all percentile_..."
        faults.append(Fault(table.file, "columns", named, problem, repair))
    if len(levels) < 2 and not faults:
        problem = f"a table has at least two level columns; here are {len(levels)}"
        repair = "add levels, as at_least_80 and at_least_50"
        faults.append(Fault(table.file, "columns", "", problem, repair))
    return sorted(levels, key=lambda level: level.percentile)


def _days(table: Table, row: Row, levels: list[Level], faults: list[Fault]) -> tuple[float, ...]:
    """Return a week's days by rising percentile; cells at fault are left out."""
    days: dict[Level, float] = {}
    for level in levels:
        try:
            days[level] = bounded_number(row.cells[level.column], 0, DAYS)
        except ValueError as error:
            repair = "write the days of that week, as 4.3"
            faults.append(table.fault(row, level.column, f"{error} (days)", repair))
    for (low, fewer), (high, more) in pairwise(days.items()):
        comparable = low.direction == high.direction and low.percentile < high.percentile
        if comparable and fewer > more:
            faults.append(_direction_fault(table.file, row, (low, fewer), (high, more)))
    return tuple(days.values())


def _direction_fault(
    file: str, row: Row, low: tuple[Level, float], high: tuple[Level, float]
) -> Fault:
    """Return the fault of a week with more days at a lower percentile than at a higher one."""
    columns = f"{low[0].column} and {high[0].column}"
    values = f"{low[1]:g} and {high[1]:g}"
    if low[0].direction == "at_least":
        problem = "days that are had in more of the years cannot be more days"
        other = "percentile"
    else:
        problem = "a lower percentile cannot have more days"
        other = "at_least"
    repair = (
        f"correct the days; or perhaps the direction is the wrong way round, and the columns are "
        f"{low[0].column.replace(low[0].direction, other)} and "
        f"{high[0].column.replace(high[0].direction, other)}"
    )
    return Fault(file, f"line {row.line}, {columns}", values, problem, repair)


def _week_starts(table: Table, faults: list[Fault]) -> tuple[CalendarDay, ...]:
    """Return the first days of the weeks."""
    starts: list[CalendarDay] = []
    above: CalendarDay | None = None
    for row in table.rows:
        try:
            start = parse_calendar_day(row.cells["week_starting"])
        except ValueError as error:
            repair = "write the first day of the week, as 1 Apr"
            faults.append(table.fault(row, "week_starting", str(error), repair))
            above = None
            continue
        if above is not None and days_between(above, start) != DAYS:
            faults.append(_step_fault(table, row, above, start))
        starts.append(start)
        above = start
    if len(starts) > MOST_WEEKS:
        problem = f"{len(starts)} weeks; a table holds one year, {MOST_WEEKS} weeks at most"
        faults.append(Fault(table.file, "week_starting", "", problem, "leave out the last weeks"))
    return tuple(starts)


def _step_fault(table: Table, row: Row, above: CalendarDay, start: CalendarDay) -> Fault:
    """Return the fault of a week that does not begin 7 days after the one above it."""
    step = days_between(above, start)
    if step == 0 or step > HALF_YEAR:
        problem = f"does not come after the week of {above} above it"
        repair = "list the weeks in order, each once"
    elif step % DAYS == 0:
        weeks = [str(_days_after(above, days)) for days in range(DAYS, step, DAYS)]
        problem = f"missing before it: the week of {', of '.join(weeks)}"
        repair = "add a line for each missing week"
    else:
        problem = f"{step} days after the week of {above}; weeks follow each other by 7 days"
        repair = f"write {_days_after(above, DAYS)}"
    return table.fault(row, "week_starting", problem, repair)


def _days_after(day: CalendarDay, days: int) -> CalendarDay:
    """Return the day so many days on in a common year."""
    later = date(2001, 1, 1) + timedelta(days=(day.day_of_year - 1 + days) % COMMON_YEAR)
    return CalendarDay(later.month, later.day)
