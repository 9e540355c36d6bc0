"""The answer in a few sentences, saying no more than the numbers do."""

from __future__ import annotations

import pandas as pd
import xarray as xr

from fieldsim.decisions.comparison import compare, total_cost
from fieldsim.decisions.sampling import Z

__all__ = ["summarize"]

FEW_SEASONS = 200


def summarize(outcomes: xr.Dataset) -> list[str]:
    """Say which option costs least in a year, how sure that is, and what it hangs on.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.

    Returns
    -------
    list of str
        Sentences, the answer first.
    """
    cost = total_cost(outcomes)
    cheapest = str(cost.option.values[cost.mean("season").values.argmin()])
    table = compare(outcomes, baseline=cheapest)
    others = table.drop(index=cheapest)
    seasons = outcomes.sizes["season"]
    sentences = []
    if others.empty:
        sentences.append(f"There is one option only: {table.label[cheapest]}.")
    elif others.cannot_tell_apart.any():
        sentences.append(_tie(table, cheapest, others[others.cannot_tell_apart]))
    else:
        sentences.append(_answer(table, cheapest, others))
    sentences.append(_years(table, cheapest))
    if seasons < FEW_SEASONS:
        sentences.append(f"{seasons} seasons are few: run 2,000 or more before you act on this.")
    left_out = outcomes.attrs.get("not_counted", "")
    if left_out:
        sentences.append(f"Not counted: {left_out}.")
    sentences.append("Prices, days and yields are those of the farm file.")
    return sentences


def _money(amount: float) -> str:
    return f"${amount:,.0f}"


def _answer(table: pd.DataFrame, cheapest: str, others: pd.DataFrame) -> str:
    second = others.sort_values("difference").iloc[0]
    band = _money(Z * float(second["difference_error"]))
    return (
        f"On these assumptions {table.label[cheapest]} costs least: "
        f"{_money(float(second['difference']))} a year (± {band}) less than the next, "
        f"{second['label']}, and less in {_in_ten(1 - float(second['seasons_won']))} springs."
    )


def _tie(table: pd.DataFrame, cheapest: str, tied: pd.DataFrame) -> str:
    names = ", ".join([table.label[cheapest], *tied.label])
    return f"By what they cost in a year, these cannot be told apart with so few seasons: {names}."


def _years(table: pd.DataFrame, cheapest: str) -> str:
    row = table.loc[[cheapest]].iloc[0]
    mean, bad = float(row["lost_revenue"]), float(row["lost_revenue_1_in_10"])
    return (
        f"With {row['label']}, late and unfinished work loses {_money(mean)} of revenue in an "
        f"average year and {_money(bad)} or more in the bad one in ten."
    )


def _in_ten(share: float) -> str:
    tenths = round(10 * share)
    if tenths in (0, 10):
        return "nearly all" if tenths == 10 else "hardly any"
    return f"about {tenths} of 10"
