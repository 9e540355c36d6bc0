"""The comparison of options as rows of words: one row a measure, one column an option."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import NamedTuple

import pandas as pd
import xarray as xr

from fieldsim.decisions import compare, finish_dates
from fieldsim.decisions.sampling import quantile
from fieldsim.farm import Farm
from fieldsim.plots.words import day_text, money_text, readable
from fieldsim.report.causes import causes_lost
from fieldsim.report.cells import (
    Cell,
    chance,
    difference,
    finish_day,
    kept_share,
    late_day,
    money_in_band,
    percent,
    with_error,
)
from fieldsim.report.figures import planted_crops

__all__ = ["Measure", "Measures", "SideBySide", "comparison_rows"]

NONE = "—"
PAIRED = ["difference", "difference_error", "seasons_won", "cannot_tell_apart"]
MOST_ABREAST = 5  # options that fit side by side on a page


class Measure(NamedTuple):
    """One row: its name, a cell for each option, and whether it is a part, a sum, or neither."""

    name: str
    cells: tuple[Cell, ...]
    role: str = ""


@dataclass(frozen=True)
class Measures:
    """Measures that belong together: a heading and rows."""

    heading: str
    rows: tuple[Measure, ...]

    def of_options(self, start: int, end: int) -> Measures:
        """Return the measures with the cells of the options from `start` to before `end`."""
        rows = tuple(row._replace(cells=row.cells[start:end]) for row in self.rows)
        return Measures(self.heading, rows)


class SideBySide(NamedTuple):
    """Options that stand side by side: their labels, and measures with a cell for each."""

    labels: tuple[str, ...]
    measures: tuple[Measures, ...]


def comparison_rows(farm: Farm, outcomes: xr.Dataset) -> tuple[SideBySide, ...]:
    """Return what there is to compare, a few options at a time, so that it fits on paper.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
        From `simulate`, of the same farm.

    Returns
    -------
    tuple of SideBySide
        Planting of each crop, then the money of a year. Behind ± and as bands stand 95 % Monte
        Carlo bands.
    """
    table, dates = compare(outcomes), finish_dates(outcomes)
    planting = [_planting(farm, outcomes, crop, table, dates) for crop in planted_crops(outcomes)]
    labels = tuple(readable(str(label)) for label in table.label)
    lost = Measures("Revenue lost, dollars a year", (*_causes(table), *_lost(table)))
    spent = Measures("All costs, dollars a year", (*_spent(table), *_against(table, labels[0])))
    parts = math.ceil(len(labels) / MOST_ABREAST)
    bounds = [len(labels) * part // parts for part in range(parts + 1)]
    return tuple(
        SideBySide(
            labels[start:end],
            tuple(group.of_options(start, end) for group in (*planting, lost, spent)),
        )
        for start, end in itertools.pairwise(bounds)
    )


def _planting(
    farm: Farm, outcomes: xr.Dataset, crop: str, table: pd.DataFrame, dates: pd.DataFrame
) -> Measures:
    at = outcomes.sel(crop=crop)
    operation = str(at.operation.values[at.plants.values][0])
    mine = dates[(dates.operation == operation) & (dates.crop == crop)]
    mine = mine.set_index("option").reindex(table.index)
    target = day_text(at.target_date.values)
    shares, errors = table[f"{crop}_on_target"], table[f"{crop}_on_target_error"]
    rows = [
        Measure(
            "in half of the seasons by", tuple(Cell(finish_day(when)) for when in mine["median"])
        ),
        Measure(
            "in 9 seasons of 10 by", tuple(map(late_day, mine.late, mine.late_from, mine.late_to))
        ),
        Measure(
            f"chance of being done by the target, {target}", tuple(map(chance, shares, errors))
        ),
    ]
    if farm.crops[crop].insurance is not None:
        kept = [at.insured_share.sel(option=option).values for option in table.index]
        cells = tuple(kept_share(float(of.mean()), quantile(of, 0.1)) for of in kept)
        rows.append(Measure("insured revenue kept, average (the policy decides)", cells))
    return Measures(f"{readable(crop)}: all land planted", tuple(rows))


def _mean(table: pd.DataFrame, name: str) -> tuple[Cell, ...]:
    return tuple(map(with_error, table[name], table[f"{name}_error"]))


def _causes(table: pd.DataFrame) -> list[Measure]:
    """Return lost revenue by the causes that occur."""
    return [
        Measure(f"by {words}", tuple(Cell(money_text(amount)) for amount in table[column]), "part")
        for column, words in causes_lost(table).items()
    ]


def _lost(table: pd.DataFrame) -> list[Measure]:
    bad = [table[f"lost_revenue_1_in_10{end}"] for end in ("", "_from", "_to")]
    return [
        Measure("lost revenue, average", _mean(table, "lost_revenue"), "sum"),
        Measure("lost revenue, 1 year in 10 is worse than", tuple(map(money_in_band, *bad))),
    ]


def _spent(table: pd.DataFrame) -> list[Measure]:
    """Return what an average year costs, part by part; what costs nobody anything is left out."""
    rows = [Measure("lost revenue, as above", _plain(table, "lost_revenue"), "part")]
    rows.append(Measure("owning machines and tractors", _plain(table, "ownership_cost"), "part"))
    if table.repair_cost.any():
        rows.append(Measure("repairs", _plain(table, "repair_cost"), "part"))
    for words, name in (
        ("labor", "labor"),
        ("fuel and lubricants", "fuel"),
        ("hired work", "hire"),
    ):
        if name == "labor" or table[f"{name}_cost"].any():
            rows.append(Measure(f"{words}, average", _mean(table, f"{name}_cost"), "part"))
    return [*rows, Measure("all together, average", _mean(table, "total_cost"), "sum")]


def _plain(table: pd.DataFrame, name: str) -> tuple[Cell, ...]:
    return tuple(Cell(money_text(amount)) for amount in table[name])


def _against(table: pd.DataFrame, first: str) -> list[Measure]:
    if len(table) == 1:
        return []
    others = table[PAIRED].iloc[1:].to_dict("records")
    wins = [Cell(percent(row["seasons_won"])) for row in others]
    return [
        Measure(f"compared with {first}", (Cell(NONE), *map(difference, others))),
        Measure(f"share of seasons in which it is cheaper than {first}", (Cell(NONE), *wins)),
    ]
