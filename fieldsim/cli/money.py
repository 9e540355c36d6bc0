"""What options lose and cost in a year, as tables in the terminal whose columns add up."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pandas as pd
from rich.table import Table
from rich.text import Text

from fieldsim.cli.plain import plain_table
from fieldsim.decisions.sampling import Z
from fieldsim.plots.words import in_lines
from fieldsim.report.causes import causes_lost

__all__ = ["cost_table", "lost_table"]

HEAD = 9  # letters in a line of a column's head
MOST_CAUSES = 4  # columns of 80 letters beside the option, the sum and the bad year


def lost_table(comparison: pd.DataFrame) -> Table:
    """Return the table of lost revenue by its causes: a row for each option.

    Parameters
    ----------
    comparison : pandas.DataFrame
        From `compare`.

    Returns
    -------
    Table
        With the causes that cost any option something; small ones together where they are many.
    """
    table = plain_table(f"Revenue lost in a year by its cause ({comparison.attrs['units']})")
    table.add_column("Option")
    causes = _causes(comparison)
    for head in (*causes, "lost,\naverage", "1 year in 10\nis worse than"):
        table.add_column(head, justify="right")
    for _, row in comparison.iterrows():
        by_cause = [math.fsum(row[column] for column in columns) for columns in causes.values()]
        figures = map(_dollars, (*by_cause, row["lost_revenue"]))
        ends = (row[f"lost_revenue_1_in_10_{end}"] for end in ("from", "to"))
        bad = f"{_dollars(row['lost_revenue_1_in_10'])}\n{' to '.join(map(_end, ends))}"
        table.add_row(Text(str(row["label"])), *figures, bad)
    return table


def cost_table(comparison: pd.DataFrame) -> Table:
    """Return the table of all that a year costs, lost revenue included: a row for each option.

    Parameters
    ----------
    comparison : pandas.DataFrame
        From `compare`.

    Returns
    -------
    Table
    """
    table = plain_table(f"What it costs in a year ({comparison.attrs['units']})")
    table.add_column("Option")
    work = dict(_work(comparison))
    heads = ("lost,\naverage", "owning,\nrepairs", ",\n".join(work))
    for head in (*heads, "all\ntogether", "against\nthe first"):
        table.add_column(head, justify="right")
    for name, row in comparison.iterrows():
        figures = (
            row["lost_revenue"],
            row["ownership_cost"] + row["repair_cost"],
            math.fsum(row[column] for column in work.values()),
            row["total_cost"],
        )
        against = f"{row['difference']:+,.0f}"
        if not math.isnan(row["difference_error"]):  # of a single season it is not known
            against += f" ± {Z * row['difference_error']:,.0f}"
        if row["cannot_tell_apart"]:
            against += "\ncannot tell apart"
        first = name == comparison.attrs["baseline"]
        table.add_row(Text(str(row["label"])), *map(_dollars, figures), "—" if first else against)
    return table


def _work(comparison: pd.DataFrame) -> Iterator[tuple[str, str]]:
    """Yield what the work costs, in words and as a column, without what costs nobody anything."""
    yield "labor", "labor_cost"
    for words, column in (("fuel", "fuel_cost"), ("hired", "hire_cost")):
        if comparison[column].any():
            yield words, column


def _causes(comparison: pd.DataFrame) -> dict[str, list[str]]:
    """Return the columns of the causes that occur, by the words at their head."""
    found = causes_lost(comparison)
    ranked = sorted(found, key=lambda column: -comparison[column].abs().to_numpy().max())
    kept = set(ranked if len(ranked) <= MOST_CAUSES else ranked[: MOST_CAUSES - 1])
    causes = {in_lines(found[c], HEAD, 3): [c] for c in found if c in kept}
    rest = [column for column in found if column not in kept]
    return causes | ({"other\ncauses": rest} if rest else {})


def _end(amount: float) -> str:
    """Return the end of a band; one that so few seasons cannot tell is a question."""
    return _dollars(amount) if math.isfinite(amount) else "?"


def _dollars(amount: float) -> str:
    return f"{round(amount):,}"
