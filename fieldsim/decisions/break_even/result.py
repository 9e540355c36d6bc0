"""What a break-even says: its crossings, as a table, and in a sentence."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from fieldsim.decisions.studied_figures import StudiedFigure, figure_text
from fieldsim.farm import Farm

__all__ = ["Breakeven", "Crossing", "breakeven_table", "said_of"]

SAME = "the two cost the same throughout"


@dataclass(frozen=True)
class Crossing:
    """A place where two options cost the same.

    Parameters
    ----------
    factor : float
        Of what the farm file says.
    low, high : float
        Between these factors the Monte Carlo error (95 %) hides which is cheaper.
    value, value_low, value_high : str
        The figure there, in the farm's units.
    cheaper_below, cheaper_above : str
        Option that costs less on either side.
    """

    factor: float
    low: float
    high: float
    value: str
    value_low: str
    value_high: str
    cheaper_below: str
    cheaper_above: str


@dataclass(frozen=True)
class Breakeven:
    """What a figure would have to be for two options to cost the same.

    Parameters
    ----------
    option, against : str
    figure : StudiedFigure
    now : str
        The figure as the file has it.
    difference_now, difference_now_error : float
        Mean cost of `option` less that of `against` as the file has it, and its standard error [$].
    bounds : tuple of float
        Factors between which was searched.
    value : str
        The figure at the crossing nearest to what the file says; empty where there is none.
    factor, low, high : float
        Of that crossing; nan where there is none.
    crossings : tuple of Crossing
        All of them, rising.
    cheaper : str
        Option that costs less throughout; empty where there is a crossing.
    note : str
        What it means, in a sentence.
    """

    option: str
    against: str
    figure: StudiedFigure
    now: str
    difference_now: float
    difference_now_error: float
    bounds: tuple[float, float]
    value: str
    factor: float
    low: float
    high: float
    crossings: tuple[Crossing, ...]
    cheaper: str
    note: str


def breakeven_table(results: Sequence[Breakeven]) -> pd.DataFrame:
    """Return break-evens as a table, a row for each crossing, and one where there is none.

    Parameters
    ----------
    results : sequence of Breakeven

    Returns
    -------
    pandas.DataFrame
        Columns `option`, `against`, `figure`, `paths`, `now`, `value`, `value_low`, `value_high`,
        `factor`, `low`, `high`, `difference_now`, `difference_now_error`, `note`.
    """
    rows = []
    for result in results:
        head = {
            "option": result.option,
            "against": result.against,
            "figure": result.figure.name,
            "paths": " ".join(result.figure.paths),
            "now": result.now,
        }
        tail = {
            "difference_now": result.difference_now,
            "difference_now_error": result.difference_now_error,
            "note": result.note,
        }
        none = Crossing(math.nan, math.nan, math.nan, "", "", "", "", "")
        for found in result.crossings or (none,):
            columns = ("value", "value_low", "value_high", "factor", "low", "high")
            rows.append(head | {name: getattr(found, name) for name in columns} | tail)
    return pd.DataFrame(rows)


def said_of(farm: Farm, result: Breakeven, hidden: Sequence[float]) -> str:
    """Return in a sentence which option costs less where.

    Parameters
    ----------
    farm : Farm
    result : Breakeven
        All but its note.
    hidden : sequence of float
        Those of its bounds at which the two cannot be told apart.
    """
    pair = (result.option, result.against)
    names = {name: farm.options[name].label or name.replace("_", " ") for name in pair}
    texts = {bound: figure_text(farm, result.figure.paths, bound) for bound in result.bounds}
    if not result.crossings:
        if not result.cheaper:
            return SAME
        low, high = texts.values()
        said = f"{names[result.cheaper]} costs less throughout, from {low} to {high}"
        close = " and ".join(texts[bound] for bound in hidden)
        return said + (f"; at {close} the two cannot be told apart" if close else "")
    first = result.crossings[0]
    parts = [f"{names[first.cheaper_below]} costs less below {first.value}"]
    ends = [*(f"to {crossing.value}" for crossing in result.crossings[1:]), ""]
    for crossing, end in zip(result.crossings, ends, strict=True):
        where = f"from {crossing.value} {end}" if end else f"above {crossing.value}"
        parts.append(f"{names[crossing.cheaper_above]} {where}")
    said = ", ".join(parts)
    if any(c.low <= result.bounds[0] or c.high >= result.bounds[1] for c in result.crossings):
        said += "; how sure that is reaches to the end of what was searched"
    return said
