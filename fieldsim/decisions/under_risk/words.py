"""Pairs, risk and dominance in sentences."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pandas as pd
import xarray as xr

from fieldsim.decisions.sampling import Z, few_beyond
from fieldsim.decisions.under_risk.dominance import efficient

__all__ = ["describe_pairs", "describe_risk", "rough_tails"]

MOST_SEASONS = 1_000_000  # that a run can draw


def describe_pairs(pairs: pd.DataFrame, labels: Mapping[str, str]) -> list[str]:
    """Say of the pairs that cannot be told apart, or hardly differ, what more seasons would bring.

    Parameters
    ----------
    pairs : pandas.DataFrame
        From `pairwise`.
    labels : mapping
        What each option is called.

    Returns
    -------
    list of str
        A sentence for each such pair.
    """
    said = []
    for row in pairs.to_dict("records"):
        both = f"{labels[row['option']]} and {labels[row['against']]}"
        most = abs(row["difference"]) + Z * row["difference_error"]
        if row["small_difference"]:
            cents = "less than $1" if most < 1 else f"at most ${most:,.0f}"
            said.append(f"{both} differ by {cents} a year: too little to choose by.")
        elif row["told_apart"]:
            continue
        elif np.isnan(row["more_seasons"]):
            said.append(f"{both} cannot be told apart by one season.")
        elif row["more_seasons"] > MOST_SEASONS:
            said.append(f"{both} cannot be told apart by any number of seasons that can be drawn.")
        else:
            said.append(
                f"{both} cannot be told apart yet: it would take about {row['more_seasons']:,.0f} "
                "more seasons, if the difference is the one found."
            )
    return said


def describe_risk(outcomes: xr.Dataset, spread: pd.DataFrame) -> list[str]:
    """Say which options are worth choosing for whom, and which varies least.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.
    spread : pandas.DataFrame
        From `risk`, of the same outcomes.

    Returns
    -------
    list of str
        Sentences.

    Examples
    --------
    >>> import fieldsim
    >>> outcomes = fieldsim.simulate(fieldsim.demo_farm(), seasons=500)
    >>> print(describe_risk(outcomes, fieldsim.risk(outcomes))[0])
    Costs least on average: two outfits of 6 rows; varies least: two outfits of 6 rows.
    """
    names = map(str, outcomes.option.values)
    labels = dict(zip(names, map(str, outcomes.option_label.values), strict=True))
    if len(labels) == 1:
        return []
    cheapest, calmest = (str(spread[name].idxmin()) for name in ("mean", "standard_deviation"))
    first = f"Costs least on average: {labels[cheapest]}; varies least: {labels[calmest]}."
    return [
        first,
        _worth("spend less", efficient(outcomes, 1), labels),
        _worth("spend less and dislikes risk", efficient(outcomes, 2), labels),
    ]


def rough_tails(spread: pd.DataFrame) -> list[str]:
    """Say which figures of bad years rest on too few seasons.

    Parameters
    ----------
    spread : pandas.DataFrame
        From `risk`.

    Returns
    -------
    list of str
        Empty where none do.

    Examples
    --------
    >>> import fieldsim
    >>> print(*rough_tails(fieldsim.risk(fieldsim.simulate(fieldsim.demo_farm(), seasons=300))))
    300 seasons are few to tell the worst 1 year in 100: take it as rough.
    """
    seasons, said = int(spread.attrs["seasons"]), []
    few = [f"1 in {number}" for number in (10, 20, 100) if few_beyond(1 / number, seasons)]
    if few:
        which = " and ".join([", ".join(few[:-1]), few[-1]] if few[1:] else few)
        them = "them" if few[1:] else "it"
        drawn = "One season is" if seasons == 1 else f"{seasons:,} seasons are"
        said.append(
            f"{drawn} few to tell the worst {which.replace('1 in', '1 year in', 1)}: take {them} "
            "as rough."
        )
    if any(name.startswith("certain") for name in spread.attrs["rough"]):
        said.append(
            "With so much aversion to risk, a few bad seasons carry the sure costs: their bands "
            "are too narrow. Draw more seasons."
        )
    return said


def _worth(wish: str, names: list[str], labels: Mapping[str, str]) -> str:
    """Say which options are left to someone with a wish."""
    if len(names) == len(labels):
        return f"For whoever wants to {wish}, no option is ruled out."
    chosen = ", ".join(labels[name] for name in names)
    left = "one option is left" if len(names) == 1 else f"{len(names)} options are left"
    return f"For whoever wants to {wish}, {left}: {chosen}."
