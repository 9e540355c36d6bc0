"""``fieldsim days``: what a farm's source of suitable days gives, and whether it gives it right."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pandas as pd
from matplotlib.figure import Figure
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from fieldsim.cli.day_checks import SoilCheck, replayed
from fieldsim.cli.study_files import write_files
from fieldsim.cli.tables import MARGINS, plain_table
from fieldsim.cli.trends import trend_words
from fieldsim.days import WeeklyTable
from fieldsim.days.records import RecordYears, parse_records, remove_trend
from fieldsim.days.weather import SoilWater
from fieldsim.decisions.sampling import Quantile, Z, few_beyond, mean_error, quantile
from fieldsim.farm import Farm
from fieldsim.plots import plot_suitable_days
from fieldsim.plots.days import ROW_HEIGHT
from fieldsim.plots.style import figure_size
from fieldsim.plots.words import day_text, readable
from fieldsim.report.day_words import source_words
from fieldsim.season import CalendarDay

__all__ = ["print_days", "write_days"]

MEANING = (
    "A row passes if what was drawn lies in the band around what is expected. The band holds the "
    "error of so many seasons{years}; of right sources 1 in 20 has a row that fails."
)


def print_days(farm: Farm, checks: Sequence[SoilCheck], console: Console) -> None:
    """Print what the source is, what it gives, and how its check went."""
    season = farm.season
    span = f"{day_text(season.first_day)} to {day_text(season.last_day)}"
    console.print(Text(f"{farm.name}: suitable days, {span}", style="bold"))
    for sentence in _source(farm):
        _say(console, sentence)
    for check in checks:
        if len(farm.day_source.soils) > 1:
            console.print(Text(f"\n{readable(check.soil)}", style="bold"))
        for sentence in _season(farm, check):
            _say(console, sentence)
        console.print(_table(check.rows))
        _say(console, _weeks(check.rows))
    years = " and of the few years on record" if checks[0].past is not None else ""
    meaning = MEANING.format(years=years) + ("" if replayed(farm) else f" {MARGINS}")
    console.print(Padding(Text(meaning, style="dim"), (1, 0, 0, 2)))


def _say(console: Console, sentence: str) -> None:
    console.print(Padding(Text(sentence), (0, 0, 0, 2)))


def _source(farm: Farm) -> list[str]:
    """Say what the source is and what it rests on."""
    source, section = farm.day_source, _section(farm)
    said = [f"{section['table']}: {source_words(source)}."]
    if isinstance(source, WeeklyTable):
        said.append(
            "The farm file does not say how many years lie behind the table (years = 30)."
            if farm.table_years is None
            else f"{farm.table_years} years lie behind the table."
        )
    if isinstance(source, SoilWater):
        said += source.record.warnings
    if isinstance(source, RecordYears):
        said += [f"{sentence}." for sentence in source.records.warnings]
        if "reference_year" in section:
            raw = parse_records(farm.tables[section["table"]], section["table"])
            said.append(trend_words(raw, *_ends(farm)))
            said.append(remove_trend(raw, section["reference_year"]).text)
    return said


def _section(farm: Farm) -> dict[str, Any]:
    """Return the section of the farm file that names the source."""
    section: dict[str, Any] = tomllib.loads(farm.text)["days"]
    return section


def _ends(farm: Farm) -> tuple[CalendarDay, CalendarDay]:
    """Return the first and the last day of the season on the calendar."""
    first, last = farm.season.first_day, farm.season.last_day
    return CalendarDay(first.month, first.day), CalendarDay(last.month, last.day)


def _season(farm: Farm, check: SoilCheck) -> list[str]:
    """Say how many days a season has, and how that changed over the years."""
    totals, days = check.totals, farm.season.days
    margin = "" if replayed(farm) else f" ± {Z * mean_error(totals):.1f}"
    few, many = (_in_band(quantile(totals, share), replayed(farm)) for share in (0.1, 0.9))
    said = [
        f"A season has {totals.mean():.1f}{margin} suitable days of {days} in the mean of "
        f"{len(totals):,} drawn; 1 season in 10 has {few} or fewer, 1 in 10 {many} or more."
    ]
    if few_beyond(0.1, len(totals)) and not replayed(farm):
        said.append(f"{len(totals)} seasons are few to say what 1 in 10 has.")
    if isinstance(farm.day_source, SoilWater) and check.past is not None:
        count = len(check.past.years)
        said.append(f"The draws are held against the {count} years whose weather is complete.")
    if check.past is not None and "reference_year" not in _section(farm):
        said.append(trend_words(check.past, *_ends(farm)))
    return said


def _in_band(days: Quantile, sure: bool) -> str:
    """Return a quantile of days with its band; days that were not drawn have none."""
    if sure:
        return f"{days.value:.1f}"
    ends = ("no known end" if math.isinf(end) else f"{end:.1f}" for end in (days.low, days.high))
    return f"{days.value:.1f} ({' to '.join(ends)})"


def _table(rows: pd.DataFrame) -> Table:
    """Return the rows of the whole season, and those of single weeks that fail."""
    table = plain_table("Drawn against expected, over the whole weeks of the season")
    table.add_column("Of the season")
    for head in ("expected", "drawn", "band", "passes"):
        table.add_column(head, justify="right")
    for row in rows[(rows.week == "") | ~rows.passed].to_dict("records"):
        digits = 2 if "days" in row["what"] else 3
        table.add_row(
            Text(": ".join(filter(None, (row["week"], row["what"])))),
            _number(row["expected"], digits),
            _number(row["drawn"], digits),
            f"{_number(row['band_low'], digits)} to {_number(row['band_high'], digits)}",
            "yes" if row["passed"] else Text("NO", style="bold"),
        )
    return table


def _number(value: float, digits: int) -> str:
    return f"{round(value, digits) + 0.0:.{digits}f}"  # no "-0.00"


def _weeks(rows: pd.DataFrame) -> str:
    """Say how many rows of single weeks pass."""
    weekly = rows[rows.week != ""]
    passed, levels = int(weekly.passed.sum()), weekly.what.nunique()
    each = f"{levels} levels" if levels > 1 else "the mean"
    said = f"Of single weeks {passed} of {len(weekly)} rows pass ({each} of {weekly.week.nunique()}"
    return f"{said} weeks)." if passed == len(weekly) else f"{said} weeks); the others stand above."


def write_days(
    farm: Farm, checks: Sequence[SoilCheck], seasons: int, seed: int, out: Path
) -> list[Path]:
    """Write days.csv, the full table of the check, and days.png, the weeks of each soil.

    Parameters
    ----------
    farm : Farm
    checks : sequence of SoilCheck
    seasons, seed : int
        As for `check_soils`.
    out : Path
        Folder; made if it is not there.

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    InputError
        If the disk does not take them.
    """
    tables = [check.rows.assign(soil=check.soil) for check in checks]
    table = pd.concat(tables, ignore_index=True)[["soil", *checks[0].rows.columns]]
    figure = _figure(farm, checks, seasons, seed)
    return write_files(out, {"days": table}, {"days": figure})


def _figure(farm: Farm, checks: Sequence[SoilCheck], seasons: int, seed: int) -> Figure:
    """Draw the weeks of each soil, one above the other."""
    width, height = figure_size(ROW_HEIGHT)
    figure = Figure(figsize=(width, height * len(checks)), layout="constrained")
    panels = figure.subplots(len(checks), squeeze=False)[:, 0]
    for check, ax in zip(checks, panels, strict=True):
        plot_suitable_days(
            farm.day_source,
            farm.season,
            against=check.past,
            seasons=seasons,
            seed=seed,
            soil=check.soil,
            ax=ax,
        )
    return figure
