"""What a fit gives: a source of suitable days, its figures with their errors, and its file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from fieldsim.days.daily_chain import DailyChain
from fieldsim.days.records.record import Records
from fieldsim.days.weekly_files import WeeklyParameters
from fieldsim.days.weekly_table import WeeklyTable

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["PARAMETER_COLUMNS", "Fitted", "csv_text"]

PARAMETER_COLUMNS = ("parameter", "value", "estimate", "standard_error", "years")


@dataclass(frozen=True, eq=False)
class Fitted:
    """A source of suitable days fitted to records.

    Parameters
    ----------
    source : WeeklyTable or DailyChain
        With the figures as printed in `text`.
    table : DataFrame
        A row for each figure: where it stands, the estimate, ``standard_error``, ``low`` and
        ``high`` (95 % interval), ``own`` (the estimate without the weeks or periods beside), and
        ``years``, the years behind it.
    parameters : DataFrame
        A row for each figure that holds for the whole season: ``parameter``, ``value`` [-],
        ``estimate`` [-], ``standard_error`` [-] and ``years``. The value is the one in the source.
    text : str
        The source as CSV text, with years and standard errors as comments. Read it back with
        ``parse_weekly_table(text, name, **settings)`` or ``parse_daily_chain(text, name)``.
    settings : dict
        What stands beside a weekly table; empty for a chain.
    warnings : tuple of str
        What to know before relying on the fit, in plain sentences.
    """

    source: WeeklyTable | DailyChain
    table: pd.DataFrame
    parameters: pd.DataFrame
    text: str
    settings: WeeklyParameters = field(default_factory=WeeklyParameters)
    warnings: tuple[str, ...] = ()


def csv_text(
    records: Records,
    comments: Sequence[str],
    columns: Sequence[str],
    rows: Sequence[tuple[str, Sequence[float], Sequence[float], int]],
    digits: int,
) -> str:
    """Write a table of figures with their years and standard errors as comments.

    Parameters
    ----------
    records : Records
        Named in the first line.
    comments : sequence of str
        More lines about the fit.
    columns : sequence of str
        The first one names the rows.
    rows : sequence of tuple
        Name of the row, its figures, their standard errors, and the years behind them.
    digits : int
        After the decimal point.

    Returns
    -------
    str
        Comment lines begin with ``#``.
    """
    first, last = min(records.years), max(records.years)
    # A comma or a line break in the name would make cells or lines of its own.
    file = "".join(s if s.isalnum() or s in " ._-/\\:" else "_" for s in records.file)
    lines = [f"# Fitted to {len(records.years)} years ({first} to {last}) of: {file}"]
    lines += [f"# {comment}" for comment in comments]
    lines.append(f"# Standard errors by {columns[0]} (years): {', '.join(columns[1:])}")
    for name, _, errors, years in rows:
        told = ", ".join(f"{error:.{digits}f}" for error in errors)
        lines.append(f"#   {name} ({years}): {told}")
    lines.append(",".join(columns))
    lines += [
        ",".join([name, *(f"{figure:.{digits}f}" for figure in figures)])
        for name, figures, _, _ in rows
    ]
    return "\n".join(lines) + "\n"
