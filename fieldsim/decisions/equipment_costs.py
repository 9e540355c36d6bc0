"""What each machine and tractor of an option costs, and what its people get done."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np
import pandas as pd
import xarray as xr

from fieldsim.decisions.sampling import mean_error
from fieldsim.farm import Farm, parse_farm
from fieldsim.quantities import factor
from fieldsim.variables import COST_PARTS

__all__ = ["equipment_costs", "people_and_fuel"]

OF_EQUIPMENT = ("equipment_hours", "equipment_area", "equipment_cost")
OF_WORK = ("labor_hours", "fuel_use", "done_area", "plants")


def equipment_costs(outcomes: xr.Dataset) -> pd.DataFrame:
    """Return what each machine and tractor of each option does and costs in a year.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.

    Returns
    -------
    pandas.DataFrame
        A row for each option and machine or tractor, in the farm's units:

        - ``option``, ``equipment``, ``kind`` (``"own"``, ``"hired"`` or ``"tractor"``), ``units``;
        - ``hours`` of all units in a mean year with their standard error, and ``hours_per_unit``;
        - ``area`` that all units do in a mean year, with its error; missing for tractors;
        - the cost of all units: ``capital_recovery``, ``taxes_insurance_housing``, ``repairs``,
          ``hire``, and ``total``; they add up to the option's costs of owning, repairs and hire;
        - ``cost_per_hour`` and ``cost_per_area``, missing where there are no hours, or no land: a
          cost of an hour is not defined where none is worked. Fuel and labor are not in them.

        ``attrs["units"]`` holds the units of area and money.

    Raises
    ------
    InputError
        If the farm in the outcomes cannot be read by this version.

    Examples
    --------
    >>> import fieldsim
    >>> costs = equipment_costs(fieldsim.simulate(fieldsim.demo_farm(), 50))
    >>> costs[costs.option == "four_rows"].equipment.to_list()
    ['disk', 'planter_4_rows', 'cultivator_4_rows', 'tractor_130', 'tractor_95']
    """
    farm, of = _farm(outcomes), outcomes[list(OF_EQUIPMENT)]
    rows = [
        _equipment(farm, of.sel(option=option, equipment=name), name, units)
        for option in map(str, outcomes.option.values)
        for part in (farm.options[option].machines, farm.options[option].tractors)
        for name, units in part.items()
    ]
    table = pd.DataFrame(rows)
    table.attrs = {"units": _units(outcomes)}
    return table


def people_and_fuel(outcomes: xr.Dataset) -> pd.DataFrame:
    """Return what the people of each option get done in a year, and what fuel it takes.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.

    Returns
    -------
    pandas.DataFrame
        A row for each option, in the farm's units; means over the seasons:

        - ``operators``, those of the farm's own, and ``labor_hours`` [h] with their standard error:
          all people, with the share above machine hours;
        - ``planted_area`` with its error, and ``planted_per_operator`` (missing without operators);
        - ``planted_per_labor_hour``: land planted in an hour of the people who plant it;
        - ``labor_hours_per_area`` and ``fuel_per_area`` of all operations, for each area planted;
        - ``fuel`` with its error. Hired machines bring people and fuel of their own, not counted.

        ``attrs["units"]`` holds the units of area and fuel.

    Raises
    ------
    InputError
        If the farm in the outcomes cannot be read by this version.

    Examples
    --------
    >>> import fieldsim
    >>> table = people_and_fuel(fieldsim.simulate(fieldsim.demo_farm(), 50))
    >>> table.operators.to_dict()
    {'four_rows': 2, 'six_rows': 2, 'eight_rows': 2, 'two_six_rows': 3}
    """
    farm, of = _farm(outcomes), outcomes[list(OF_WORK)]
    options = [str(name) for name in outcomes.option.values]
    rows = {name: _work(farm, of.sel(option=name), name) for name in options}
    table = pd.DataFrame.from_dict(rows, orient="index").rename_axis("option")
    table.attrs = {"units": _units(outcomes)}
    return table


def _farm(outcomes: xr.Dataset) -> Farm:
    """Return the farm from which outcomes were made: counts of machines and people stand in it."""
    return parse_farm(outcomes.attrs["farm_text"], json.loads(outcomes.attrs["farm_tables"]))


def _units(outcomes: xr.Dataset) -> dict[str, str]:
    of = {"area": "done_area", "fuel": "fuel_use", "money": "lost_revenue"}
    return {kind: str(outcomes[name].attrs["units"]) for kind, name in of.items()}


def _equipment(farm: Farm, at: xr.Dataset, name: str, units: int) -> dict[str, Any]:
    """Return the row of one option's machine or tractor."""
    machine = farm.machines.get(name)
    custom = None if machine is None else machine.custom
    hours, area = (np.asarray(at[f"equipment_{what}"].values) for what in ("hours", "area"))
    if machine is None:
        area = np.full_like(area, math.nan)
    costs = at.equipment_cost.sel(cost_part=list(COST_PARTS)).values
    parts = dict(zip(COST_PARTS, map(float, costs), strict=True))
    hire = 0.0
    if custom is not None:
        hire = float(area.mean()) * custom.rate * factor("money_per_area", farm.units)
    total = math.fsum((*parts.values(), hire))
    return {
        "option": str(at.option.values),
        "equipment": name,
        "kind": "tractor" if machine is None else "own" if custom is None else "hired",
        "units": units,
        "hours": float(hours.mean()),
        "hours_error": mean_error(hours),
        "hours_per_unit": float(hours.mean()) / units,
        "area": float(area.mean()),
        "area_error": mean_error(area),
        **parts,
        "hire": hire,
        "total": total,
        "cost_per_hour": _over(total, float(hours.mean())),
        "cost_per_area": _over(total, float(area.mean())),
    }


def _work(farm: Farm, at: xr.Dataset, option: str) -> dict[str, Any]:
    """Return the row of one option's people and fuel."""
    own = farm.options[option].operators
    operators = farm.crew.operators if own is None else own
    work = ("operation", "crop")
    labor, fuel = (at[name].sum(work).values for name in ("labor_hours", "fuel_use"))
    planted = at.done_area.where(at.plants, 0.0).sum(work).values
    planting = float(at.labor_hours.where(at.plants, 0.0).sum(work).mean())
    area = float(planted.mean())
    return {
        "operators": operators,
        "labor_hours": float(labor.mean()),
        "labor_hours_error": mean_error(labor),
        "planted_area": area,
        "planted_area_error": mean_error(planted),
        "planted_per_operator": _over(area, operators),
        "planted_per_labor_hour": _over(area, planting),
        "labor_hours_per_area": _over(float(labor.mean()), area),
        "fuel": float(fuel.mean()),
        "fuel_error": mean_error(fuel),
        "fuel_per_area": _over(float(fuel.mean()), area),
    }


def _over(amount: float, of: float) -> float:
    """Return an amount for each of something; missing where there is none of it."""
    return amount / of if of > 0 else math.nan
