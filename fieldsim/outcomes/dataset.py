"""Arrays -> one Dataset: what every option did in every season, with units and provenance."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import Any

import numpy as np
import xarray as xr
from numpy.typing import NDArray

from fieldsim.farm import Farm
from fieldsim.machines import labor_cost
from fieldsim.outcomes.equipment import (
    costs_in_all,
    equipment_costs,
    equipment_of,
    equipment_use,
    hire_cost,
)
from fieldsim.outcomes.revenue import check_balance, insured_share, lost_revenue
from fieldsim.quantities import factor, unit
from fieldsim.variables import CAUSES, COST_PARTS, DATE, FLAG, VARIABLES
from fieldsim.work.tasks import Group

__all__ = ["make_outcomes", "not_counted"]

AREAS = {
    "done_area": "done",
    "unfinished_area": "left",
    "missed_area": "missed",
    "switched_area": "switched",
    "prevented_area": "prevented",
}


def make_outcomes(
    farm: Farm,
    groups: tuple[Group, ...],
    totals: Mapping[str, NDArray[Any]],
    spent: Mapping[str, NDArray[Any]],
    replanted: NDArray[np.float64],
    provenance: Mapping[str, Any],
) -> xr.Dataset:
    """Put the totals of every option into one Dataset, in the farm's unit system.

    Parameters
    ----------
    farm : Farm
    groups : tuple of Group
        What the columns of the totals stand for.
    totals : mapping
        By option, ndarray of TOTALS, shape (season, group).
    spent : mapping
        By option, ndarray of SPENT, shape (season, resource).
    replanted : ndarray of float64, shape (season, crop of the farm)
        Share of each crop's land that is planted again.
    provenance : mapping
        Attributes that tell where the numbers come from (seed, version).

    Returns
    -------
    xarray.Dataset
        With the dims of `variables.VARIABLES`.
    """
    crops, operations = _crops(farm), tuple(farm.operations)
    seasons = len(next(iter(totals.values())))
    every = list(totals.values())
    values: dict[str, NDArray[Any]] = {
        "finish_date": np.stack([_finish(farm, groups, t, operations, crops) for t in every])
    }
    for name, column in AREAS.items():
        values[name] = _stack(groups, totals, column, operations, crops)
    values["machine_hours"] = _stack(groups, totals, "hours", operations, crops)
    values["fuel_use"] = _stack(groups, totals, "fuel", operations, crops)
    above = farm.money.labor_above_machine_hours
    people = _stack(groups, totals, "labor", operations, crops)
    values["labor_hours"] = labor_cost(people, 1.0, above)
    values["lost_revenue_by_cause"] = np.stack(
        [lost_revenue(farm, groups, t, crops, replanted) for t in every]
    )
    values["insured_share"] = np.stack([insured_share(farm, groups, t, crops) for t in every])
    values["lost_revenue"] = values["lost_revenue_by_cause"].sum(axis=-1)
    values["labor_cost"] = values["labor_hours"].sum(axis=(2, 3)) * farm.money.wage
    values |= _equipment(farm, spent)
    fuel_price = (farm.money.fuel_price or 0.0) * (1.0 + farm.money.lubricants)
    values["fuel_cost"] = values["fuel_use"].sum(axis=(2, 3)) * fuel_price
    area = {c: math.fsum(f.area for f in farm.fields.values() if f.crop == c) for c in crops}
    values["crop_area"] = np.array([area[c] for c in crops])
    worth = np.array([farm.crops[c].yield_ * farm.crops[c].price for c in crops])
    values["potential_revenue"] = values["crop_area"] * worth
    target = [farm.season.date(farm.season.index(farm.crops[c].target_date)) for c in crops]
    values["target_date"] = np.array(target, dtype="datetime64[ns]")
    potential = float(values["potential_revenue"].sum())
    values["plants"] = _planting(farm, operations, crops)
    loss = values["lost_revenue_by_cause"]
    check_balance(farm, groups, totals, loss, potential, replanted)
    coords = {
        "option": list(totals),
        "option_label": ("option", [farm.options[o].label or o.replace("_", " ") for o in totals]),
        "season": np.arange(seasons),
        "operation": list(operations),
        "crop": list(crops),
        "cause": list(CAUSES),
        "equipment": list(equipment_of(farm)),
        "cost_part": list(COST_PARTS),
    }
    data = {name: _variable(farm, name, value) for name, value in values.items()}
    attrs = {
        "farm": farm.name,
        "units": farm.units,
        "first_day": farm.season.first_day.isoformat(),
        "last_day": farm.season.last_day.isoformat(),
        "not_counted": not_counted(farm),
        "farm_text": farm.text,
        "farm_tables": json.dumps(dict(farm.tables)),
        **provenance,
    }
    return xr.Dataset(data, coords, attrs)


def _equipment(farm: Farm, spent: Mapping[str, NDArray[Any]]) -> dict[str, NDArray[np.float64]]:
    """Return what the equipment of every option does and costs."""
    hours, area = (
        np.stack([equipment_use(farm, option, of, column) for option, of in spent.items()])
        for column in ("hours", "area")
    )
    costs = np.stack(
        [equipment_costs(farm, option, h) for option, h in zip(spent, hours, strict=True)]
    )
    return {
        "equipment_hours": hours,
        "equipment_area": area,
        **costs_in_all(costs),
        "hire_cost": np.stack([hire_cost(farm, o, a) for o, a in zip(spent, area, strict=True)]),
    }


def not_counted(farm: Farm) -> str:
    """Return in words what a farm's file says too little of to be counted; empty for nothing."""
    used = {name for option in farm.options.values() for name in option.machines}
    own = {
        name: machine
        for name, machine in farm.machines.items()
        if name in used and machine.custom is None
    }
    bare = [name for name, machine in own.items() if machine.class_ is None]
    idle = [name for name, m in own.items() if m.tractor_power is None and m.draft is None]
    clean = [crop for crop in farm.grown_crops if farm.late_costs[crop].weeds is None]
    if farm.money.fuel_price is None:
        parts = ["fuel (no fuel_price)"]
    else:
        parts = [f"fuel of {', '.join(idle)} (no tractor_power or draft)"] if idle else []
    if bare:
        parts.append(f"repairs of {', '.join(bare)} (no class)")
    if clean:
        parts.append(f"losses to weeds in {', '.join(clean)} (no weeds)")
    return ", ".join(parts)


def _crops(farm: Farm) -> tuple[str, ...]:
    """Return crops that stand on a field or may be switched to, in the order of the file."""
    switched = {farm.crops[crop].late.switch_to for crop in farm.grown_crops}
    return tuple(crop for crop in farm.crops if crop in farm.grown_crops or crop in switched)


def _planting(farm: Farm, operations: tuple[str, ...], crops: tuple[str, ...]) -> NDArray[np.bool_]:
    """Say which operation plants which crop, shape (operation, crop)."""
    return np.array(
        [
            [c in farm.operations[o] and farm.operations[o][c].kind == "planting" for c in crops]
            for o in operations
        ]
    )


def _variable(farm: Farm, name: str, value: NDArray[Any]) -> xr.Variable:
    variable = VARIABLES[name]
    attrs = {"long_name": variable.label, "description": variable.meaning}
    if variable.kind not in (DATE, FLAG):
        value = value * factor(variable.kind, farm.units)
        attrs["units"] = unit(variable.kind, farm.units)
    return xr.Variable(variable.dims, value, attrs)


def _stack(
    groups: tuple[Group, ...],
    totals: Mapping[str, NDArray[Any]],
    column: str,
    operations: tuple[str, ...],
    crops: tuple[str, ...],
) -> NDArray[np.float64]:
    """Return one column of the totals with the shape (option, season, operation, crop)."""
    columns = [total[column] for total in totals.values()]
    stacked = np.zeros((len(columns), len(columns[0]), len(operations), len(crops)))
    for g, group in enumerate(groups):
        o, c = operations.index(group.operation), crops.index(group.crop)
        for option, values in enumerate(columns):
            stacked[option, :, o, c] += values[:, g]
    return stacked


def _finish(
    farm: Farm,
    groups: tuple[Group, ...],
    total: NDArray[Any],
    operations: tuple[str, ...],
    crops: tuple[str, ...],
) -> NDArray[np.datetime64]:
    """Return finish dates of one option, shape (season, operation, crop); NaT where not finished.

    Land switched to a crop counts with the crop's own: the later of the two dates holds.
    """
    shape = (len(total), len(operations), len(crops))
    last, pending = np.full(shape, -1), np.zeros(shape, dtype=bool)
    for g, group in enumerate(groups):
        at = (slice(None), operations.index(group.operation), crops.index(group.crop))
        day = total["finish_day"][:, g]
        last[at] = np.maximum(last[at], day)
        pending[at] |= (total["area"][:, g] > 0) & (day < 0)
    dates = farm.season.dates.astype("datetime64[ns]")[last]
    return np.where((last >= 0) & ~pending, dates, np.datetime64("NaT", "ns"))
