"""What seasons come to, filled in by option and block of seasons: the totals are then not kept."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldsim.farm import Farm
from fieldsim.machines import labor_cost
from fieldsim.outcomes.equipment import equipment_of, equipment_use, hire_cost
from fieldsim.outcomes.revenue import (
    check_balance,
    crops_of,
    insured_share,
    lost_revenue,
    potential_revenue,
)
from fieldsim.quantities import factor
from fieldsim.variables import CAUSES, DATE, VARIABLES
from fieldsim.work.tasks import Group

__all__ = ["fill_in", "new_values"]

Values = Mapping[str, NDArray[Any]]
Cells = list[tuple[int, int]]  # operation and crop of each group
Shape = tuple[int, int, int]
BY_GROUP = {  # outcome variable: column of the totals
    "done_area": "done",
    "unfinished_area": "left",
    "missed_area": "missed",
    "switched_area": "switched",
    "prevented_area": "prevented",
    "machine_hours": "hours",
    "fuel_use": "fuel",
}


def new_values(farm: Farm, seasons: int) -> dict[str, NDArray[Any]]:
    """Return arrays for every outcome variable that has seasons, to be filled in.

    Parameters
    ----------
    farm : Farm
    seasons : int

    Returns
    -------
    dict
        By the variable's name, with its dims.
    """
    sizes = {
        "option": len(farm.options),
        "season": seasons,
        "operation": len(farm.operations),
        "crop": len(crops_of(farm)),
        "cause": len(CAUSES),
        "equipment": len(equipment_of(farm)),
    }
    return {
        name: np.empty(
            [sizes[dim] for dim in variable.dims],
            "datetime64[ns]" if variable.kind == DATE else np.float64,
        )
        for name, variable in VARIABLES.items()
        if "season" in variable.dims
    }


def fill_in(
    values: Values,
    farm: Farm,
    groups: tuple[Group, ...],
    option: str,
    rows: slice,
    total: NDArray[Any],
    spent: NDArray[Any],
    replanted: NDArray[np.float64],
) -> None:
    """Fill in what an option's block of seasons comes to, in the farm's unit system.

    Parameters
    ----------
    values : mapping
        From `new_values`.
    farm : Farm
    groups : tuple of Group
        What the columns of the totals stand for.
    option : str
    rows : slice
        Where the block's seasons stand.
    total : ndarray of TOTALS, shape (season, group)
    spent : ndarray of SPENT, shape (season, resource)
    replanted : ndarray of float64, shape (season, crop of the farm)
        Share of each crop's land that is planted again.

    Raises
    ------
    FieldsimError
        If land or revenue does not add up.
    """
    operations, crops = list(farm.operations), crops_of(farm)
    cells = [(operations.index(group.operation), crops.index(group.crop)) for group in groups]
    shape = (len(total), len(operations), len(crops))
    found = {name: _by_group(cells, shape, total[column]) for name, column in BY_GROUP.items()}
    people = _by_group(cells, shape, total["labor"])
    found["labor_hours"] = labor_cost(people, 1.0, farm.money.labor_above_machine_hours)
    fuel_price = (farm.money.fuel_price or 0.0) * (1.0 + farm.money.lubricants)
    found["labor_cost"] = found["labor_hours"].sum(axis=(1, 2)) * farm.money.wage
    found["fuel_cost"] = found["fuel_use"].sum(axis=(1, 2)) * fuel_price
    loss = lost_revenue(farm, groups, total, crops, replanted)
    potential = math.fsum(potential_revenue(farm).values())
    check_balance(farm, groups, total, loss, potential, replanted)
    found["lost_revenue_by_cause"] = loss
    found["lost_revenue"] = loss.sum(axis=-1)
    found["insured_share"] = insured_share(farm, groups, total, crops)
    found["equipment_hours"] = equipment_use(farm, option, spent, "hours")
    found["equipment_area"] = equipment_use(farm, option, spent, "area")
    found["hire_cost"] = hire_cost(farm, option, found["equipment_area"])
    place = list(farm.options).index(option)
    for name, value in found.items():
        scale = factor(VARIABLES[name].kind, farm.units)
        np.multiply(value, scale, out=values[name][place, rows])
    values["finish_date"][place, rows] = _finish_dates(farm, cells, shape, total)


def _by_group(cells: Cells, shape: Shape, column: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return one column of the totals with the shape (season, operation, crop)."""
    sums = np.zeros(shape)
    for g, (operation, crop) in enumerate(cells):
        sums[:, operation, crop] += column[:, g]
    return sums


def _finish_dates(
    farm: Farm, cells: Cells, shape: Shape, total: NDArray[Any]
) -> NDArray[np.datetime64]:
    """Return finish dates of one option, shape (season, operation, crop); NaT where not finished.

    Land switched to a crop counts with the crop's own: the later of the two dates holds.
    """
    last, pending = np.full(shape, -1), np.zeros(shape, dtype=bool)
    for g, cell in enumerate(cells):
        at = (slice(None), *cell)
        day = total["finish_day"][:, g]
        last[at] = np.maximum(last[at], day)
        pending[at] |= (total["area"][:, g] > 0) & (day < 0)
    dates = farm.season.dates.astype("datetime64[ns]")[last]
    return np.where((last >= 0) & ~pending, dates, np.datetime64("NaT", "ns"))
