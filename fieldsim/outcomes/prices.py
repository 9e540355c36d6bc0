"""Outcomes at other prices: the fieldwork stays as it is, and what it costs is counted anew."""

from __future__ import annotations

import xarray as xr

from fieldsim.farm import Farm
from fieldsim.outcomes.equipment import cost_variables
from fieldsim.quantities import factor

__all__ = ["at_prices_of", "with_equipment_costs"]


def at_prices_of(farm: Farm, outcomes: xr.Dataset) -> xr.Dataset:
    """Return outcomes at the wage, the interest and the machine prices of a farm.

    Parameters
    ----------
    farm : Farm
        That of the outcomes, but for those prices: no fieldwork hangs on them.
    outcomes : xarray.Dataset
        From `simulate`, with all variables of each season.

    Returns
    -------
    xarray.Dataset
        The costs are those that `simulate` finds for this farm, to the last bit. Its attributes
        are those of the outcomes.
    """
    hours = outcomes.labor_hours.transpose("option", "season", "operation", "crop").values
    paid = hours.sum(axis=(2, 3)) * farm.money.wage * factor("money", farm.units)
    labor = outcomes.variables["labor_cost"].transpose("option", "season").copy(data=paid)
    return outcomes.assign(_equipment_costs(farm, outcomes) | {"labor_cost": labor})


def with_equipment_costs(farm: Farm, outcomes: xr.Dataset) -> xr.Dataset:
    """Return outcomes with equipment costed by a farm's prices, at the hours of a mean year.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
        Its `equipment_hours` may be a mean over the seasons already.

    Returns
    -------
    xarray.Dataset
    """
    return outcomes.assign(_equipment_costs(farm, outcomes))


def _equipment_costs(farm: Farm, outcomes: xr.Dataset) -> dict[str, xr.Variable]:
    """Return the variables of outcomes that say what equipment costs."""
    used = outcomes.equipment_hours
    hours = used if "season" in used.dims else used.expand_dims("season")
    options = [str(option) for option in outcomes.option.values]
    shaped = hours.transpose("option", "season", "equipment").values
    scale = factor("money", farm.units)
    return {
        name: outcomes.variables[name].copy(data=costs * scale)
        for name, costs in cost_variables(farm, options, shaped).items()
    }
