"""Arrays -> one Dataset: what every option did in every season, with units and provenance."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import numpy as np
import xarray as xr
from numpy.typing import NDArray

from fieldsim.farm import Farm
from fieldsim.outcomes.equipment import cost_variables, equipment_of
from fieldsim.outcomes.revenue import crop_area, crops_of, potential_revenue
from fieldsim.quantities import factor, unit
from fieldsim.variables import CAUSES, COST_PARTS, DATE, FLAG, VARIABLES

__all__ = ["make_outcomes", "not_counted"]


def make_outcomes(
    farm: Farm, values: Mapping[str, NDArray[Any]], provenance: Mapping[str, Any]
) -> xr.Dataset:
    """Put what the seasons of a run come to into one Dataset, in the farm's unit system.

    Parameters
    ----------
    farm : Farm
    values : mapping
        From `new_values`, filled in.
    provenance : mapping
        Attributes that tell where the numbers come from (seed, version).

    Returns
    -------
    xarray.Dataset
        With the dims of `variables.VARIABLES`.
    """
    crops, options = crops_of(farm), list(farm.options)
    data = {name: _variable(farm, name, value) for name, value in values.items()}
    target = [farm.season.date(farm.season.index(farm.crops[c].target_date)) for c in crops]
    hours = values["equipment_hours"]
    constant = {
        **cost_variables(farm, options, hours),
        "crop_area": np.array([crop_area(farm, crop) for crop in crops]),
        "potential_revenue": np.array(list(potential_revenue(farm).values())),
        "target_date": np.array(target, dtype="datetime64[ns]"),
        "plants": _planting(farm, crops),
    }
    for name, value in constant.items():
        kind = VARIABLES[name].kind
        scaled = value if kind in (DATE, FLAG) else value * factor(kind, farm.units)
        data[name] = _variable(farm, name, scaled)
    coords = {
        "option": options,
        "option_label": ("option", [farm.options[o].label or o.replace("_", " ") for o in options]),
        "season": np.arange(hours.shape[1]),
        "operation": list(farm.operations),
        "crop": list(crops),
        "cause": list(CAUSES),
        "equipment": list(equipment_of(farm)),
        "cost_part": list(COST_PARTS),
    }
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
    return xr.Dataset({name: data[name] for name in VARIABLES}, coords, attrs)


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


def _planting(farm: Farm, crops: tuple[str, ...]) -> NDArray[np.bool_]:
    """Say which operation plants which crop, shape (operation, crop)."""
    return np.array(
        [
            [crop in parts and parts[crop].kind == "planting" for crop in crops]
            for parts in farm.operations.values()
        ]
    )


def _variable(farm: Farm, name: str, value: NDArray[Any]) -> xr.Variable:
    variable = VARIABLES[name]
    attrs = {"long_name": variable.label, "description": variable.meaning}
    if variable.kind not in (DATE, FLAG):
        attrs["units"] = unit(variable.kind, farm.units)
    return xr.Variable(variable.dims, value, attrs)
