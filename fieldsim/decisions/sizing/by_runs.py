"""How large a machine must be to finish by a date, and how much land an option covers, by runs.

All work of the farm competes for days, hands and tractors here, and land waits for the work ahead
of it; `needed_capacity` counts the days alone.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
import pandas as pd

from fieldsim.decisions.sampling import share_error
from fieldsim.decisions.sizing.by_days import CERTAINTY
from fieldsim.decisions.sizing.search import ENDS, check_search, largest_allowed, searched
from fieldsim.decisions.sizing.work_done import Scale, check_work, finished, resized, work_capacity
from fieldsim.draws import draw_seasons
from fieldsim.farm import Farm, Times, changed
from fieldsim.quantities import factor, unit

__all__ = ["sized_area", "sized_capacity"]

SMALLEST, LARGEST = 0.1, 8.0  # times what is there
TOLERANCE = 0.002  # of a factor


def sized_capacity(
    farm: Farm,
    option: str,
    operation: str,
    by: str,
    crop: str | None = None,
    certainty: Sequence[float] = CERTAINTY,
    *,
    scale: Scale = "width",
    bounds: tuple[float, float] = (SMALLEST, LARGEST),
    tolerance: float = TOLERANCE,
    seasons: int = 2000,
    seed: int = 0,
) -> pd.DataFrame:
    """Return how much larger an option's machines must be to finish an operation by a date.

    All machines of the option that do the operation are made wider or faster by one factor, until
    the share of seasons that are finished reaches the certainty; everything else stays as it is,
    on the same seasons. Tractors are taken to pull what is made wider, unless the machine's draft
    is given and they cannot.

    Parameters
    ----------
    farm : Farm
    option, operation : str
    by : str
        Day by which the work is to be finished, as ``"10 May"``.
    crop : str, optional
        Default: every crop on which the operation is done.
    certainty : sequence of float
        Shares of seasons [0..1].
    scale : "width" or "speed"
        What is made larger.
    bounds : tuple of float
        Factors between which is searched.
    tolerance : float
        Of the factor.
    seasons, seed : int

    Returns
    -------
    pandas.DataFrame
        A row for each certainty: `factor` of what is there now, and `capacity` of all the machines
        together, with the ends of their 95 % Monte Carlo bands in ``..._from`` and ``..._to`` (inf:
        not reached within the bounds); `note`. ``attrs``: `share_now` and `share_now_error`, the
        share of seasons finished as it is; `capacity_now`; `units`.

    Raises
    ------
    InputError
        With every fault of the arguments.

    Notes
    -----
    The share rises in steps of one season, so that the factor is a quantile over the seasons of the
    factor that each needs, and has the distribution-free band of `sampling.quantile`.

    Examples
    --------
    >>> import fieldsim
    >>> table = sized_capacity(fieldsim.demo_farm(), "four_rows", "plant", "15 May", "corn", [0.8],
    ...     seasons=100, tolerance=0.02)
    >>> bool(table.factor[0] > 1)  # wider than 4 rows
    True
    """
    check_work(farm, option, operation, by, crop)
    check_search(certainty, bounds, tolerance)
    count = _counter(farm, option, operation, by, crop, seasons, seed)

    def enlarged(size: float) -> Farm:
        return changed(farm, resized(farm, option, operation, size, scale))

    largest, refused = largest_allowed(enlarged, bounds[1])
    table = searched(
        lambda size: count(enlarged(size)),
        (min(bounds[0], largest), largest),
        certainty,
        seasons,
        tolerance,
    )
    shown = factor("field_capacity", farm.units)
    for end in ENDS:
        table[f"capacity{end}"] = [
            shown * work_capacity(enlarged(size), option, operation, crop)
            if math.isfinite(size)
            else math.inf
            for size in table[f"factor{end}"]
        ]
    out_of_reach = np.isinf(table.factor)
    table.loc[out_of_reach, "note"] = f"not reached with {largest:.3g} times the {scale}" + (
        f": {refused}" if refused else ""
    )
    now = count(farm) / seasons
    table.attrs = {
        "share_now": now,
        "share_now_error": share_error(now, seasons),
        "capacity_now": shown * work_capacity(farm, option, operation, crop),
        "units": {"capacity": unit("field_capacity", farm.units)},
    }
    return table


def sized_area(
    farm: Farm,
    option: str,
    operation: str,
    by: str,
    crop: str | None = None,
    certainty: Sequence[float] = CERTAINTY,
    *,
    bounds: tuple[float, float] = (SMALLEST, LARGEST),
    tolerance: float = TOLERANCE,
    seasons: int = 2000,
    seed: int = 0,
) -> pd.DataFrame:
    """Return how much land an option covers: all fields larger or smaller by one factor.

    Parameters
    ----------
    farm, option, operation, by, crop, certainty, bounds, tolerance, seasons, seed
        See `sized_capacity`.

    Returns
    -------
    pandas.DataFrame
        A row for each certainty: `factor` of the fields' area and `area` of all fields of the farm,
        with the ends of their bands in ``..._from`` and ``..._to`` (0: not reached within the
        bounds); `note`. ``attrs``: `share_now`, `share_now_error`, `area_now`, `units`.

    Raises
    ------
    InputError
        With every fault of the arguments.

    Examples
    --------
    >>> import fieldsim
    >>> table = sized_area(fieldsim.demo_farm(), "four_rows", "plant", "15 May", "corn", [0.8],
    ...     seasons=100, tolerance=0.02)
    >>> bool(table.factor[0] < 1)
    True
    """
    check_work(farm, option, operation, by, crop)
    check_search(certainty, bounds, tolerance)
    count = _counter(farm, option, operation, by, crop, seasons, seed)
    # The share rises as land shrinks: what is searched is the factor that divides it.
    table = searched(
        lambda parts: count(changed(farm, {"fields.*.area": Times(1 / parts)})),
        (1 / bounds[1], 1 / bounds[0]),
        certainty,
        seasons,
        tolerance,
    )
    out_of_reach = np.isinf(table.factor)
    table.loc[out_of_reach, "note"] = f"not reached with {bounds[0]:.3g} times the land"
    low, high = 1 / table.factor_to, 1 / table.factor_from
    table["factor"], table["factor_from"], table["factor_to"] = 1 / table.factor, low, high
    area = math.fsum(field.area for field in farm.fields.values()) * factor("area", farm.units)
    for end in ENDS:
        table[f"area{end}"] = area * table[f"factor{end}"]
    now = count(farm) / seasons
    table.attrs = {
        "share_now": now,
        "share_now_error": share_error(now, seasons),
        "area_now": area,
        "units": {"area": unit("area", farm.units)},
    }
    return table


def _counter(
    farm: Farm,
    option: str,
    operation: str,
    by: str,
    crop: str | None,
    seasons: int,
    seed: int,
) -> Callable[[Farm], int]:
    """Return how many of the same seasons are finished on a farm with other figures."""
    draws = draw_seasons(farm, seasons, seed)

    def count(other: Farm) -> int:
        return int(finished(other, option, operation, by, crop, draws, seed).sum())

    return count
