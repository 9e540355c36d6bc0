"""The comparison of options as rows of words: one row a measure, one column an option."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, NamedTuple

import pandas as pd
import xarray as xr

from fieldsim.decisions import compare, finish_dates
from fieldsim.decisions.sampling import Z
from fieldsim.plots.words import day_text, money_text, readable
from fieldsim.report.figures import planted_crops

__all__ = ["Cell", "Measures", "comparison_rows"]

NONE = "—"


class Cell(NamedTuple):
    """What one option comes to: the figure, and the ends of its band where they are uneven."""

    figure: str
    band: str = ""


@dataclass(frozen=True)
class Measures:
    """Measures that belong together: a heading, and rows of a name and a cell for each option."""

    heading: str
    rows: tuple[tuple[str, tuple[Cell, ...]], ...]


def comparison_rows(outcomes: xr.Dataset) -> tuple[tuple[str, ...], tuple[Measures, ...]]:
    """Return the labels of the options, and what there is to compare.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.

    Returns
    -------
    tuple of str
        Labels of the options, in the order of the cells.
    tuple of Measures
        Planting of each crop, then the money of a year. Behind ± and as bands stand 95 % Monte
        Carlo bands.
    """
    table, dates = compare(outcomes), finish_dates(outcomes)
    planting = [_planting(outcomes, crop, table, dates) for crop in planted_crops(outcomes)]
    labels = tuple(readable(str(label)) for label in table.label)
    return labels, (*planting, _money(table, labels[0]))


def _planting(
    outcomes: xr.Dataset, crop: str, table: pd.DataFrame, dates: pd.DataFrame
) -> Measures:
    at = outcomes.sel(crop=crop)
    operation = str(at.operation.values[at.plants.values][0])
    mine = dates[(dates.operation == operation) & (dates.crop == crop)]
    mine = mine.set_index("option").reindex(table.index)
    target = day_text(at.target_date.values)
    shares, errors = table[f"{crop}_on_target"], table[f"{crop}_on_target_error"]
    return Measures(
        f"{readable(crop)}: all land planted",
        (
            ("in half of the seasons by", tuple(Cell(_day(day)) for day in mine["median"])),
            ("in 9 seasons of 10 by", tuple(map(_late, mine.late, mine.late_from, mine.late_to))),
            (f"chance of being done by the target, {target}", tuple(map(_chance, shares, errors))),
        ),
    )


def _money(table: pd.DataFrame, first: str) -> Measures:
    def mean(name: str) -> tuple[Cell, ...]:
        return tuple(map(_with_error, table[name], table[f"{name}_error"]))

    bad = [table[f"lost_revenue_1_in_10{end}"] for end in ("", "_from", "_to")]
    rows = [
        ("lost revenue, average", mean("lost_revenue")),
        ("lost revenue, 1 year in 10 is worse than", tuple(map(_money_in_band, *bad))),
        ("owning machines and tractors", tuple(Cell(money_text(x)) for x in table.ownership_cost)),
        ("labor, average", mean("labor_cost")),
        ("all three together, average", mean("total_cost")),
    ]
    if len(table) > 1:
        others = table.to_dict("records")[1:]
        wins = [Cell(_percent(row["seasons_won"])) for row in others]
        rows += [
            (f"compared with {first}", (Cell(NONE), *map(_difference, others))),
            (f"share of seasons in which it is cheaper than {first}", (Cell(NONE), *wins)),
        ]
    return Measures("Dollars a year", tuple(rows))


def _day(when: Any) -> str:
    return "not within the season" if pd.isna(when) else day_text(when)


def _late(when: Any, low: Any, high: Any) -> Cell:
    if low == high or pd.isna(low):
        return Cell(_day(when))
    return Cell(_day(when), f"{day_text(low)} to {day_text(high) or 'later'}")


def _percent(share: float) -> str:
    """Return a share in per cent; only a true 0 or 1 is shown as such."""
    if 0 < share < 0.005:
        return "under 1 %"
    return "over 99 %" if 0.995 <= share < 1 else f"{100 * share:.0f} %"


def _chance(share: float, error: float) -> Cell:
    band = 100 * Z * error
    return Cell(f"{_percent(share)} ± {band:.0f}" if band >= 0.5 else f"{_percent(share)} ± 1")


def _with_error(amount: float, error: float) -> Cell:
    return Cell(money_text(amount) + ("" if math.isnan(error) else f" ± {Z * error:,.0f}"))


def _money_in_band(amount: float, low: float, high: float) -> Cell:
    return Cell(money_text(amount), f"{money_text(low)} to {money_text(high)}")


def _difference(row: dict[Any, Any]) -> Cell:
    amount = float(row["difference"])
    size = _with_error(abs(amount), float(row["difference_error"])).figure
    words = f"{size} {'more' if amount > 0 else 'less'}"
    return Cell("cannot tell apart", words) if row["cannot_tell_apart"] else Cell(words)
