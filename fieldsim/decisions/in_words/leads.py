"""What the answer hangs on, at a glance: the lead of the cheapest option as one figure moves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd
import xarray as xr

from fieldsim.decisions.comparison import total_cost
from fieldsim.decisions.sampling import mean_error, told_apart
from fieldsim.decisions.sensitivity.inputs import Input, farm_at, shown_at, span
from fieldsim.draws import Draws, draw_seasons
from fieldsim.errors import InputError
from fieldsim.farm import Farm
from fieldsim.outcomes import at_prices_of
from fieldsim.simulation import simulate

__all__ = ["leads"]

FEWEST = 50  # seasons: with fewer hardly any end could be told
COLUMNS = (
    *("input", "low", "own", "high", "lead_low", "lead_own", "lead_high"),
    *("error_low", "error_own", "error_high", "turns_low", "turns_high"),
)
# Common practice, no source: factors between which a figure may lie.
AREA, HOURS, PRICE, LOSS = (0.8, 1.2), (0.85, 1.15), (0.8, 1.25), (0.5, 1.5)
MACHINES, WAGE, INTEREST = (0.8, 1.2), (0.8, 1.25), (0.5, 1.5)
PAID = ("money.", "machines.", "tractors.")  # paths of what is moved here and moves no fieldwork


def leads(farm: Farm, outcomes: xr.Dataset, *, seasons: int = 400) -> pd.DataFrame:
    """Move a few figures alone to the ends of a usual range, and see what the lead becomes.

    It is made to be quick: a few figures and few seasons. `fieldsim.decisions.ranges`
    moves more of them, and `flips` finds where the decision turns.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
        From `simulate`, of the same farm: which option is cheapest, and the seed.
    seasons : int
        At most; never more than the outcomes have.

    Returns
    -------
    pandas.DataFrame
        A row for each figure that moves the lead, the largest change first:

        - ``input``; ``low``, ``own``, ``high``: its figures, as people read them;
        - ``lead_low``, ``lead_own``, ``lead_high``: what the cheapest of the others costs more in
          a year than the option that is cheapest in the outcomes (below 0: less), with the
          standard errors ``error_low`` and so on [$];
        - ``turns_low``, ``turns_high``: the option that costs less there by more than the Monte
          Carlo error; empty where none does.

        ``attrs`` holds ``option``, the cheapest, ``labels`` of all options, and ``seasons``. Empty
        where there is one option, fewer than 50 seasons, or outcomes not drawn by their seed.

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> leads(farm, fieldsim.simulate(farm, 100)).input[0]
    'area of all fields'
    """
    cost = total_cost(outcomes)
    best = str(cost.option.values[cost.mean("season").values.argmin()])
    few = min(seasons, cost.sizes["season"])
    labels = dict(zip(map(str, cost.option.values), map(str, outcomes.option_label.values),
                      strict=True))  # fmt: skip
    rows = []
    if len(labels) > 1 and few >= FEWEST and "draws" not in outcomes.attrs:
        drawn = draw_seasons(farm, few, int(outcomes.attrs["seed"]))
        rows = list(_rows(farm, best, tuple(labels), drawn))
    table = pd.DataFrame(rows, columns=COLUMNS)
    moved = table[["lead_low", "lead_high"]].sub(table.lead_own, axis=0).abs().max(axis=1)
    order = moved[moved > 0].sort_values(ascending=False, kind="stable").index
    table = table.loc[order].reset_index(drop=True)
    table.attrs = {"option": best, "labels": labels, "seasons": few}
    return table


def _rows(
    farm: Farm, best: str, options: tuple[str, ...], drawn: Draws
) -> Iterator[dict[str, Any]]:
    """Yield a row for each figure that can be moved."""

    def worked(one: Farm) -> xr.Dataset:
        return simulate(_with(one, options), len(drawn.hands), draws=drawn)

    outcomes = worked(farm)
    own = _lead(outcomes, options, best)
    for item in _moved(farm):
        try:
            moved = [farm_at(farm, {item: at}) for at in span(item)]
        except InputError:  # the farm has no such figure, or is not sound there
            continue
        if all(path.startswith(PAID) for path in item.paths):
            found_at = [at_prices_of(_with(one, options), outcomes) for one in moved]
        else:
            found_at = [worked(one) for one in moved]
        ends = [_lead(there, options, best) for there in found_at]
        row: dict[str, Any] = {"input": item.name, "own": shown_at(farm, item)}
        for end, at, found in zip(("low", "high"), span(item), ends, strict=True):
            row[end] = shown_at(farm, item, at)
            row[f"lead_{end}"], row[f"error_{end}"], other = found
            turned = row[f"lead_{end}"] < 0 and told_apart(*found[:2])
            row[f"turns_{end}"] = other if turned else ""
        yield row | {"lead_own": own[0], "error_own": own[1]}


def _moved(farm: Farm) -> Iterator[Input]:
    """Yield the figures that are moved; the seasons stay the same with all of them."""
    priced = tuple(
        f"{section}.{name}.price"
        for section, parts in (("machines", farm.machines), ("tractors", farm.tractors))
        for name, part in parts.items()
        if "price" in part.model_fields_set and "." not in name  # a path could not name it
    )
    hours = ("crew.hours_per_day", "operations.*.hours_per_day")
    yield Input("area of all fields", ("fields.*.area",), *AREA)
    yield Input("hours of a working day", hours, *HOURS)
    yield Input("price of all crops", ("crops.*.price",), *PRICE)
    yield Input("what late planting loses", ("crops.*.yield_by_planting_date",), *LOSS)
    if priced:
        yield Input("prices of machines and tractors", priced, *MACHINES)
    yield Input("wage", ("money.wage",), *WAGE)
    yield Input("interest", ("money.interest",), *INTEREST)


def _with(farm: Farm, options: tuple[str, ...]) -> Farm:
    return replace(farm, options={name: farm.options[name] for name in options})


def _lead(outcomes: xr.Dataset, options: tuple[str, ...], best: str) -> tuple[float, float, str]:
    """Return what the cheapest other option costs more, its standard error [$], and its name."""
    cost, place = total_cost(outcomes).values, options.index(best)
    means = cost.mean(axis=1)
    means[place] = np.inf
    other = int(means.argmin())
    paired = cost[other] - cost[place]
    return float(paired.mean()), mean_error(paired), options[other]
