"""Reading records of suitable days: the user's own tables, and official series as downloaded."""

from __future__ import annotations

from importlib.resources.abc import Traversable
from pathlib import Path

from fieldsim.days.records.grid import records_of
from fieldsim.days.records.long_tables import read_long
from fieldsim.days.records.official import check_official
from fieldsim.days.records.record import Records
from fieldsim.days.records.wide_tables import read_wide
from fieldsim.errors import Fault, InputError
from fieldsim.season import CalendarDay
from fieldsim.tables import Table, parse_table, read_text

__all__ = ["parse_records", "read_records"]

LAYOUTS = (
    "name the columns year, week_ending, days; or week_ending and one a year, as 2019; "
    "or date, suitable; or day and one a year"
)


def read_records(
    path: Path | Traversable, name: str | None = None, *, year_begins: CalendarDay | None = None
) -> Records:
    """Read records from a CSV file; see `parse_records`.

    Parameters
    ----------
    path : Path or Traversable
    name : str, optional
        What to call the file in messages; default: the path.
    year_begins : CalendarDay, optional
        First day of a record year.

    Returns
    -------
    Records

    Raises
    ------
    InputError
        As `parse_records`, and if the file cannot be read.
    """
    return parse_records(read_text(path, name), name or str(path), year_begins=year_begins)


def parse_records(text: str, file: str, *, year_begins: CalendarDay | None = None) -> Records:
    r"""Read the text of a record.

    Five layouts are told apart by their columns, whose names are read without regard to case,
    blanks and underscores. A *day* below is a date, ``2019-04-07``, or a day of the calendar,
    ``7 Apr``.

    - Weekly, long: ``year``, ``week_ending`` or ``week_starting`` (a day), ``days`` (0 to 7). With
      dates the year may be left out.
    - Weekly, wide: ``week_ending`` or ``week_starting`` (a day of the calendar) and a column of
      days for each year, named ``2019``.
    - Official weekly series as downloaded: ``Year``, ``Week Ending`` (a date), ``Value``, and any
      other columns. It must hold one item and one place.
    - Daily, long: ``date`` (a date), ``suitable`` (share of the day, 0 to 1).
    - Daily, wide: ``day`` (a day of the calendar) and a column of shares for each year.

    Figures are missing where the cell is empty or says ``NA``, where an official value has no
    digit, and where there is no line for them. Weeks that are dated all end on one weekday; weeks
    given as days of the calendar may also be the same calendar days in every year. The share of a
    29 February is read and left out, as records count common years.

    A record year is named after the year in which its first day lies. Where years run over New
    Year, a long table with dates and a year column tells them apart itself (the week that ended on
    5 January 2020 may stand under 2019); a wide table by the order of its lines; for the others
    `year_begins` says so. The year column of an official series is that of the calendar.

    Parameters
    ----------
    text : str
        The table as CSV.
    file : str
        What to call the table in messages.
    year_begins : CalendarDay, optional
        First day of a record year. Default: as the table says, else 1 January.

    Returns
    -------
    Records

    Raises
    ------
    InputError
        With every fault of the table: columns, dates, figures out of bounds, weeks given twice or
        ending on two weekdays, years that run over New Year unsaid, fewer than two years.

    Examples
    --------
    >>> text = "year,week_ending,days\n2019,2019-04-07,2.5\n2020,2020-04-05,4\n2020,2020-04-12,\n"
    >>> records = parse_records(text, "mine")
    >>> records.days.tolist()
    [[2.5, nan], [4.0, nan]]
    >>> [(year, str(week)) for year, week in records.missing]
    [(2019, '8 Apr'), (2020, '6 Apr')]
    """
    table = parse_table(text, file)
    names = {name.casefold().replace(" ", "").replace("_", ""): name for name in table.columns}
    faults: list[Fault] = []
    if len(names) < len(table.columns):
        problem = "two columns differ only by case, blanks or underscores"
        faults.append(Fault(file, "columns", ", ".join(table.columns), problem, "keep one"))
    dated = [names[name] for name in ("weekending", "weekstarting") if name in names]
    if len(dated) > 1:
        problem, repair = "the week is named twice", "keep one of the two columns"
        faults.append(Fault(file, "columns", " and ".join(dated), problem, repair))
    if faults:
        raise InputError(faults)
    if dated:
        return _weekly(table, names, dated[0], year_begins)
    if "date" in names or "suitable" in names:
        _check_columns(table, names, ("date", "suitable"), ("date", "suitable"))
        found = read_long(table, names["date"], None, names["suitable"], 1, year_begins)
        return records_of(found, table, "day")
    if "day" in names:
        return records_of(read_wide(table, names["day"], 1, year_begins), table, "day")
    named = ", ".join(table.columns)
    raise InputError([Fault(file, "columns", named, "not a table of records", LAYOUTS)])


def _weekly(
    table: Table, names: dict[str, str], dated: str, year_begins: CalendarDay | None
) -> Records:
    """Read a weekly record whose weeks stand in the column `dated`."""
    year = names.get("year")
    if "value" in names:
        check_official(table, names)
        found = read_long(table, dated, year, names["value"], 7, year_begins, official=True)
    elif year is not None or "days" in names:
        allowed = ("year", "weekending", "weekstarting", "days")
        _check_columns(table, names, allowed, ("days",))
        found = read_long(table, dated, year, names["days"], 7, year_begins)
    else:
        found = read_wide(table, dated, 7, year_begins)
    return records_of(found, table, "week")


def _check_columns(
    table: Table, names: dict[str, str], allowed: tuple[str, ...], required: tuple[str, ...]
) -> None:
    """Raise if a column is missing or unknown."""
    faults = [
        Fault(table.file, "columns", "", f"the column {name} is missing", f"add {name}")
        for name in required
        if name not in names
    ]
    faults += [
        Fault(table.file, f"column {column}", "", "not a column of a record", "leave it out")
        for name, column in names.items()
        if name not in allowed
    ]
    if faults:
        raise InputError(faults)
