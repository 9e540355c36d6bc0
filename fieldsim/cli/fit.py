"""``fieldsim fit``: from records of past years to a source of suitable days for a farm file."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from fieldsim.cli.fit_input import FitOptions, read_input
from fieldsim.cli.tables import plain_table
from fieldsim.cli.trends import trend_words
from fieldsim.days.layout import DAYS
from fieldsim.days.records import Fitted, Records, fit, remove_trend, weekly
from fieldsim.days.weekly_table import COMMON_YEAR, MOST_WEEKS
from fieldsim.errors import Fault, InputError
from fieldsim.season import CalendarDay
from fieldsim.writing import written_whole

__all__ = ["fit_records"]

MOST_YEARS = 200  # that a farm file takes
NOT_REMOVED = (
    "The trend is not removed; --reference-year 2025 would move all years to its level then."
)
ADDED_UP = (
    "The days are added up over weeks, as a trend is taken out of weeks; how days follow one "
    "another is then no longer known, and the persistence is not fitted."
)
ERRORS = (
    "±: the standard error that lies in having just these years. It does not hold a climate that "
    "changes."
)


def fit_records(options: FitOptions, console: Console) -> Path:
    """Read records, fit a source to them, print its figures, and write its file.

    Parameters
    ----------
    options : FitOptions
    console : Console

    Returns
    -------
    Path
        The file that was written.

    Raises
    ------
    InputError
        With every fault of the options and the records.
    """
    given = read_input(options)
    records = _cut(given.records, given.first, given.last)
    said = [_about(records), trend_words(records), NOT_REMOVED]
    if options.reference_year is not None:
        if records.unit == "day":
            said.append(ADDED_UP)
        moved = remove_trend(weekly(records), options.reference_year)
        records, said[2] = moved.records, moved.text
    fitted = fit(
        records,
        kind=options.kind,
        at_least=given.levels,
        persistence=options.persistence,
        seed=options.seed,
    )
    _write(fitted.text, given.out)
    for sentence in said:
        _say(console, sentence)
    _print_figures(fitted, options.kind, console)
    if options.kind == "weekly_table" and len(weekly(records).columns) > MOST_WEEKS:
        _say(console, f"Mind: only the first {MOST_WEEKS} weeks are fitted; see --first.")
    for warning in fitted.warnings:
        _say(console, f"Mind: {warning}.")
    _say(console, f"\nWrote {given.out}. In a farm file beside it:\n")
    for line in _section(fitted, options.kind, given.out, len(records.years)):
        print(f"  {line}", file=console.file)  # never broken over lines: it is to be copied
    return given.out


def _say(console: Console, sentence: str) -> None:
    console.print(Padding(Text(sentence), (0, 0, 0, 2)))


def _cut(records: Records, first: CalendarDay | None, last: CalendarDay | None) -> Records:
    """Return the weeks (or days) that begin between two days, of the years that have any."""
    bounds = [None if day is None else _place(day, records) for day in (first, last)]
    low = records.places[0] if bounds[0] is None else bounds[0]
    high = records.places[-1] if bounds[1] is None else bounds[1]
    kept = (records.places >= low) & (records.places <= high)
    years = np.array((~np.isnan(records.days[:, kept])).any(axis=1))
    width = kept.sum() * records.longest
    if width < DAYS or years.sum() < 2:
        asked = f"{first or records.columns[0]} to {last or records.columns[-1]}"
        problem = f"{width} days in {years.sum()} years are left; a week in 2 years is the least"
        repair = f"the records hold {records.columns[0]} to {records.columns[-1]}"
        raise InputError([Fault(records.file, "--first, --last", asked, problem, repair)])
    return replace(
        records,
        years=tuple(year for year, held in zip(records.years, years, strict=True) if held),
        starts=records.starts[years][:, kept],
        days=records.days[years][:, kept],
    )


def _place(day: CalendarDay, records: Records) -> int:
    """Return the days from the beginning of a record year to a day [days]."""
    return (day.day_of_year - records.begins.day_of_year) % COMMON_YEAR


def _about(records: Records) -> str:
    """Say what the records hold."""
    columns, file = records.columns, records.file
    missing = len(records.missing)
    gaps = f"{missing} of {records.days.size} missing" if missing else "none missing"
    return (
        f"{file}: {len(records.years)} years, {min(records.years)} to {max(records.years)}; "
        f"{len(columns)} {records.unit}s a year, beginning {columns[0]} to {columns[-1]}, {gaps}."
    )


def _print_figures(fitted: Fitted, kind: str, console: Console) -> None:
    """Print the fitted figures with their sampling errors."""
    if kind == "weekly_table":
        table = _pivot(fitted.table, "week_starting", "at_least", "days", "{:g} %", 1)
        table.title = "Days had in at least so many % of years"
    else:
        table = _pivot(fitted.table, "date", "probability", "value", "{}", 2)
        table.title = "Chance that a day is suitable"
    console.print(table)
    if len(fitted.parameters):
        of_season = plain_table("What holds for the whole season")
        of_season.add_column("Parameter")
        for head in ("in the file", "estimate"):
            of_season.add_column(head, justify="right")
        for row in fitted.parameters.to_dict("records"):
            estimate = f"{row['estimate']:.2f} ± {row['standard_error']:.2f}"
            of_season.add_row(row["parameter"], f"{row['value']:g}", estimate)
        console.print(of_season)
    console.print(Padding(Text(ERRORS, style="dim"), (0, 0, 1, 2)))


def _pivot(
    figures: pd.DataFrame, index: str, column: str, value: str, head: str, digits: int
) -> Table:
    """Return a table with a row for each week or date, and the years behind it."""
    table = plain_table("")
    table.add_column(index.replace("_", " "))
    for name in figures[column].unique():
        table.add_column(head.format(name).replace("_", " "), justify="right")
    table.add_column("years", justify="right")
    for name, rows in figures.groupby(index, sort=False):
        cells = [
            f"{row[value]:.{digits}f} ± {row['standard_error']:.{digits}f}"
            for row in rows.to_dict("records")
        ]
        table.add_row(str(name), *cells, str(rows.years.min()))
    return table


def _section(fitted: Fitted, kind: str, out: Path, years: int) -> list[str]:
    """Return the lines for the farm file."""
    lines = ["[days]", f'source = "{kind}"', f"table = {json.dumps(out.name, ensure_ascii=False)}"]
    for name, value in fitted.settings.items():
        if name != "persistence" or value != 1:  # all days suitable: farm files take none then
            lines.append(f"{name} = {value}")
    if kind == "weekly_table" and years <= MOST_YEARS:
        lines.append(f"years = {years}")
    return lines


def _write(text: str, out: Path) -> None:
    try:
        with written_whole(out) as beside:
            beside.write_text(text, encoding="utf-8", newline="\n")
    except OSError as error:
        problem = f"it cannot be written ({error.strerror or error})"
        raise InputError([Fault("", "--out", str(out), problem, "name another file")]) from None
