"""Machines that work more hours than their class lasts: their repairs are an extrapolation."""

from __future__ import annotations

import xarray as xr

from fieldsim.decisions.equipment_costs import equipment_costs
from fieldsim.decisions.machine_cautions import plain
from fieldsim.farm import Farm
from fieldsim.farm.machine_parts import Owned, Tractor
from fieldsim.farm.names import listed
from fieldsim.farm.wear import wear_class

__all__ = ["worn_out"]

MOST_NAMED = 3  # the most worn


def worn_out(farm: Farm, outcomes: xr.Dataset) -> list[str]:
    """Say which machines work past the wear-out life of their class before they are sold.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
        From `simulate`, of that farm.

    Returns
    -------
    list of str
        What is worn out, with its hours, and what that means for repairs; none where nothing is.

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> said = worn_out(farm, fieldsim.simulate(farm, 100))
    >>> said[0].partition(":")[0]
    'Kept past the hours that machines of their class last'
    """
    owned: dict[str, Owned] = {**farm.machines, **farm.tractors}
    most: dict[str, tuple[float, float]] = {}
    for row in equipment_costs(outcomes).to_dict("records"):
        name, part = row["equipment"], owned[row["equipment"]]
        wears = None if row["kind"] == "hired" else wear_class(part)
        if wears is None:
            continue
        yearly = row["hours_per_unit"] + (part.other_hours if isinstance(part, Tractor) else 0.0)
        hours = part.hours + part.years * yearly
        if hours > max(wears.life, most.get(name, (0.0, 0.0))[0]):
            most[name] = hours, wears.life
    if not most:
        return []
    ranked = sorted(most.items(), key=lambda item: -item[1][0] / item[1][1])
    told = [
        f"{plain(name)} ({hours:,.0f} h, of {life:,.0f} h)"
        for name, (hours, life) in ranked[:MOST_NAMED]
    ]
    more = len(ranked) - len(told)
    names = listed([*told, *([f"{more} more"] if more else [])])
    return [
        f"Kept past the hours that machines of their class last: {names}. Their repairs are worked "
        "out beyond what the handbook's figures are for: try fewer years for them."
    ]
