"""What would have to be other for another option to cost least, in sentences."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from typing import Any

import pandas as pd

from fieldsim.decisions.break_even.result import Breakeven

__all__ = ["turning_words"]

MOST_NAMED = 3  # the nearest


def turning_words(
    best: str,
    labels: Mapping[Any, str],
    leads: pd.DataFrame | None = None,
    flips: pd.DataFrame | None = None,
    breakevens: Sequence[Breakeven] = (),
) -> list[str]:
    """Say where another option than the cheapest would cost least, as far as was studied.

    Parameters
    ----------
    best : str
        The option of least mean cost; studies that found another are not told.
    labels : mapping
        What people call each option.
    leads : pandas.DataFrame, optional
        From `fieldsim.decisions.in_words.leads.leads`.
    flips : pandas.DataFrame, optional
        From `fieldsim.decisions.sensitivity.one_at_a_time.flips`.
    breakevens : sequence of Breakeven, optional

    Returns
    -------
    list of str
        Sentences; empty where nothing was studied.
    """
    said = []
    if flips is not None and flips.attrs.get("best") == best:
        said.append(_flips(flips, labels))
    if leads is not None and len(leads) and leads.attrs.get("option") == best:
        said += _leads(leads, labels)
    said += [f"{result.figure.name}: {result.note}." for result in breakevens]
    return said


def _flips(flips: pd.DataFrame, labels: Mapping[Any, str]) -> str:
    if flips.empty:
        return (
            "None of the figures tried, moved alone over its range, makes another option cheapest."
        )
    nearest = [
        f"{row['input']} {_near(row)} (now {row['own']}; then {labels[row['then']]})"
        for row in flips.head(MOST_NAMED).to_dict("records")
    ]
    more = len(flips) - len(nearest)
    rest = f"; and {more} more" if more else ""
    return f"Unless, each alone: {'; '.join(nearest)}{rest}."


def _near(row: dict[Hashable, Any]) -> str:
    """Return where it flips, with its Monte Carlo band where there is one."""
    if not row["flips_from"]:
        return f"beyond {row['flips_at']}"
    return f"beyond {row['flips_at']} ({row['flips_from']} to {row['flips_to']})"


def _leads(leads: pd.DataFrame, labels: Mapping[Any, str]) -> Iterator[str]:
    """Say which ends of the ranges make another option cheapest, and that few seasons say so."""
    turned = [
        f"{row['input']} {row[end]} ({labels[row[f'turns_{end}']]})"
        for row in leads.to_dict("records")
        for end in ("low", "high")
        if row[f"turns_{end}"]
    ]
    tried = f"{len(leads)} figure{'s' if len(leads) > 1 else ''}"
    if turned:
        named = "; ".join(turned)
        yield f"Another option is the cheapest where one figure alone is other: {named}."
    else:
        yield (
            f"None of {tried} tried, moved alone to the ends of a usual range, makes another "
            f"option the cheapest for sure ({leads.attrs['seasons']:,} seasons)."
        )
