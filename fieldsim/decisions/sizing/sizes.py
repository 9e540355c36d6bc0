"""Which size of outfit on the equipment shelf is the cheapest, by the area of the farm."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import pandas as pd
import xarray as xr
from numpy.typing import NDArray

from fieldsim.decisions.comparison import YEARLY_COSTS, total_cost
from fieldsim.decisions.sampling import mean_error, told_apart
from fieldsim.decisions.sizing.shelf_outfits import ShelfOutfit, farm_entries, shelf_outfits
from fieldsim.decisions.sizing.shelf_pattern import pattern_of
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm, Times, changed
from fieldsim.farm.shelf_parts import Shelf
from fieldsim.quantities import factor, unit
from fieldsim.simulation import simulate

__all__ = ["MULTIPLES", "cheapest_sizes", "sizes"]

MULTIPLES = (0.5, 0.75, 1.0, 1.5, 2.0)  # of the farm's own area
LEAST, MOST = 0.01, 100.0  # multiples that are allowed

Progress = Callable[[float], None]


def sizes(
    farm: Farm,
    shelf: Shelf,
    *,
    areas: Sequence[float] | None = None,
    option: str | None = None,
    seasons: int = 2000,
    seed: int = 0,
    progress: Progress | None = None,
) -> pd.DataFrame:
    """Work the farm with every size of outfit on a shelf, at several areas, on the same seasons.

    One of the farm's options is the pattern. Its planter, its cultivating tools and their tractor
    give way to those from the shelf (see `shelf_outfits`); everything else stays, also the tillage
    tool and its tractor, whatever the area. Fields are scaled and keep their rows and roads. A
    tractor from the shelf is charged in full: other work could be done with a smaller one.

    Parameters
    ----------
    farm : Farm
    shelf : Shelf
    areas : sequence of float, optional
        Area of all fields together [acre or ha, as the farm shows it]; default: 0.5, 0.75, 1, 1.5
        and 2 times the farm's own.
    option : str, optional
        The pattern; default: the farm's first option.
    seasons, seed : int
        See `simulate`.
    progress : callable, optional
        Called now and then with the share that is done, 0..1.

    Returns
    -------
    pandas.DataFrame
        A row for each area, and for each outfit there; new ones first, by rows:

        - ``area``; ``bought`` ("new" or "used"), ``size`` in words, ``rows`` of a planter,
          ``units`` (how many outfits), and ``planter``, ``tools``, ``tractor`` on the shelf;
        - ``total_cost`` of a year and ``lost_revenue`` with their standard errors in
          ``..._error``, and ``ownership_cost``, ``repair_cost``, ``labor_cost``, ``fuel_cost``,
          ``hire_cost``: means over seasons for each acre or hectare;
        - ``cheapest``: whether it costs least of the new (the used) ones at this area;
          ``difference`` of total cost from that one with ``difference_error``, and
          ``cannot_tell_apart`` (the difference lies inside its Monte Carlo error).

        ``attrs`` holds the units of area and cost, the pattern, the machines of it that stay, the
        shelf, the number of seasons, and ``left_out``: in words, what could not be put together.

    Raises
    ------
    InputError
        If an area or number is out of range, the option is no pattern, or nothing on the shelf
        makes an outfit.

    Examples
    --------
    >>> import fieldsim
    >>> from fieldsim.demo import demo_folder
    >>> from fieldsim.farm.shelf import read_shelf
    >>> shelf = read_shelf(demo_folder() / "machines.csv")
    >>> table = sizes(fieldsim.demo_farm(), shelf, areas=[300, 1800], seasons=50)
    >>> new = table[table.cheapest & (table.bought == "new")]
    >>> bool(new.rows.iloc[0] < new.rows.iloc[1] * new.units.iloc[1])
    True
    """
    label, scale = unit("area", farm.units), factor("area", farm.units)
    # To nine digits, so that 900 acres of a farm in hectares inside are 900 acres.
    own = float(f"{math.fsum(field.area for field in farm.fields.values()) * scale:.9g}")
    chosen = [own * multiple for multiple in MULTIPLES] if areas is None else _checked(areas, own)
    pattern = pattern_of(farm, option)
    outfits, left_out = shelf_outfits(farm, shelf, pattern)
    fitted = changed(farm, farm_entries(pattern, outfits))
    rows: list[dict[str, Any]] = []
    for place, area in enumerate(chosen):
        scaled = changed(fitted, {"fields.*.area": Times(area / own)})
        outcomes = simulate(
            scaled,
            seasons,
            seed,
            progress=progress and _part_of(progress, place, len(chosen)),
        )
        rows += _rows(outcomes, outfits, area)
    table = pd.DataFrame(rows)
    table.attrs = {
        "area_units": label,
        "cost_units": unit("money_per_area", farm.units),
        "option": pattern.option,
        "staying": list(pattern.staying),
        "shelf": shelf.file,
        "seasons": seasons,
        "left_out": left_out,
    }
    return table


def _part_of(progress: Progress, place: int, places: int) -> Progress:
    return lambda share: progress((place + share) / places)


def _checked(areas: Sequence[float], own: float) -> list[float]:
    """Return areas in rising order, each once."""
    low, high = LEAST * own, MOST * own
    faults = [
        Fault("", "areas", f"{area:g}", problem, "write areas such as 300,600,900")
        for area in areas
        for problem in [
            f"from {low:,.3g} to {high:,.6g} is allowed: the farm's own times 0.01..100"
        ]
        if not (math.isfinite(area) and low <= area <= high)
    ]
    if not areas:
        faults.append(Fault("", "areas", "", "there are none", "write areas such as 300,600,900"))
    if faults:
        raise InputError(faults)
    return sorted(set(map(float, areas)))


def _rows(
    outcomes: xr.Dataset, outfits: Sequence[ShelfOutfit], area: float
) -> list[dict[str, Any]]:
    """Return a row for each outfit at one area."""
    cost = total_cost(outcomes).values / area
    means = cost.mean(axis=1)
    rows = []
    for place, outfit in enumerate(outfits):
        rivals = [i for i, other in enumerate(outfits) if other.bought == outfit.bought]
        best = min(rivals, key=lambda i: means[i])
        at = outcomes.isel(option=place)
        lost = at.lost_revenue.sum("crop").values / area
        rows.append(
            {
                "area": area,
                "bought": outfit.bought,
                "size": outfit.size,
                "rows": outfit.rows,
                "units": outfit.units,
                "planter": outfit.planter,
                "tools": ", ".join(outfit.tools),
                "tractor": outfit.tractor,
                "total_cost": float(means[place]),
                "total_cost_error": mean_error(cost[place]),
                "lost_revenue": float(lost.mean()),
                "lost_revenue_error": mean_error(lost),
                **{name: float(at[name].mean()) / area for name in YEARLY_COSTS},
                "cheapest": place == best,
                **_against(cost[place], cost[best], is_best=place == best),
            }
        )
    return rows


def _against(
    cost: NDArray[np.float64], best: NDArray[np.float64], *, is_best: bool
) -> dict[str, Any]:
    paired = cost - best
    difference, error = float(paired.mean()), mean_error(paired)
    return {
        "difference": difference,
        "difference_error": error,
        "cannot_tell_apart": not is_best and not told_apart(difference, error),
    }


def cheapest_sizes(table: pd.DataFrame) -> pd.DataFrame:
    """Return the size that costs least at each area, and by how much less than the next.

    Parameters
    ----------
    table : pandas.DataFrame
        From `sizes`.

    Returns
    -------
    pandas.DataFrame
        A row for new and for used ones, and each area: ``bought``, ``area``, ``size``,
        ``total_cost``, ``lost_revenue``, ``ownership_cost`` (as in `sizes`), ``next_size``,
        ``margin`` by which that costs more with its standard error ``margin_error``, and ``tied``:
        the sizes that cannot be told apart from the cheapest. With one size alone the next is empty
        and the margin nan.
    """
    rows = []
    for (bought, area), group in table.groupby(["bought", "area"], sort=False):
        best = group[group.cheapest].iloc[0]
        others = group[~group.cheapest].sort_values("difference")
        following = others.iloc[0] if len(others) else None
        columns = ("size", "total_cost", "lost_revenue", "ownership_cost")
        rows.append(
            {"bought": bought, "area": area}
            | {name: best[name] for name in columns}
            | {
                "next_size": "" if following is None else following["size"],
                "margin": math.nan if following is None else following["difference"],
                "margin_error": math.nan if following is None else following["difference_error"],
                "tied": tuple(others["size"][others.cannot_tell_apart]),
            }
        )
    found = pd.DataFrame(rows).sort_values(["bought", "area"], ignore_index=True)
    found.attrs = dict(table.attrs)
    return found
