"""Machines that work more hours than their class lasts: their repairs are an extrapolation."""

from __future__ import annotations

import xarray as xr

from fieldsim.decisions.machine_cautions import plain
from fieldsim.farm import Farm
from fieldsim.farm.machine_parts import Owned, Tractor
from fieldsim.farm.names import listed
from fieldsim.farm.wear import wear_class
from fieldsim.outcomes import over_seasons

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
    hired = {name for name, machine in farm.machines.items() if machine.custom is not None}
    owned: dict[str, Owned] = {**farm.machines, **farm.tractors}
    used = over_seasons(outcomes.variables["equipment_hours"]).transpose("option", "equipment")
    most: dict[str, tuple[float, float]] = {}
    for option, of_option in zip(outcomes.option.values, used.values, strict=True):
        here = dict(zip(outcomes.equipment.values, of_option, strict=True))
        chosen = farm.options[str(option)]
        for name, units in (chosen.machines | chosen.tractors).items():
            part, wears = owned[name], None if name in hired else wear_class(owned[name])
            if wears is None:
                continue
            elsewhere = part.other_hours if isinstance(part, Tractor) else 0.0
            hours = part.hours + part.years * (here[name] / units + elsewhere)
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
