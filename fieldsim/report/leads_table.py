"""What the answer hangs on, as a table of words."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd

from fieldsim.decisions.sampling import Z, told_apart
from fieldsim.plots.words import money_text, readable
from fieldsim.report.table import Table

__all__ = ["leads_table"]


def leads_table(leads: pd.DataFrame) -> Table | None:
    """Return what the cheapest option's lead becomes as figures move; None where none was moved.

    Parameters
    ----------
    leads : pandas.DataFrame
        From `fieldsim.decisions.in_words.leads`.

    Returns
    -------
    Table or None
        A row for each figure, with its ends and the lead there.
    """
    if leads.empty:
        return None
    labels = {name: readable(label) for name, label in leads.attrs["labels"].items()}
    best = labels[leads.attrs["option"]]
    records = leads.to_dict("records")
    rows = [
        (
            _named(row),
            *(cell for end in ("low", "high") for cell in (row[end], _lead(row, end, labels))),
        )
        for row in records
    ]
    first = records[0]
    own = f"{money_text(first['lead_own'])} {_band(first['error_own'])}".strip()
    return Table(
        heading=f"What the cheapest of the others costs more than {best}, dollars a year",
        columns=("one figure alone", "low", "the lead then", "high", "the lead then"),
        rows=tuple(rows),
        note=f"With the farm file as it is: {own} ({leads.attrs['seasons']:,} of the seasons). The "
        "ranges are common practice without a source: put your own in their place.",
    )


def _named(row: Any) -> str:
    """Return what is moved, and what it is in the farm file where that is one figure."""
    own = "" if row["own"] == "as in the file" else f" (now {row['own']})"
    return f"{row['input']}{own}"


def _lead(row: Any, end: str, labels: dict[str, str]) -> str:
    """Return the lead at an end of a range, and who takes it where it is lost."""
    lead, error, turns = row[f"lead_{end}"], row[f"error_{end}"], row[f"turns_{end}"]
    said = f"{money_text(lead)} {_band(error)}".strip()
    if turns:
        return f"{said}: {labels[turns]} is cheaper"
    return said if told_apart(lead, error) else f"{said}: cannot be told"


def _band(error: float) -> str:
    return "" if math.isnan(error) else f"± {Z * error:,.0f}"
