"""What an option's machines and tractors cost in a year, from the hours of its seasons."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldsim.farm import Farm
from fieldsim.farm.machine_parts import Owned, Tractor
from fieldsim.farm.wear import wear_class
from fieldsim.machines import (
    MachineCost,
    OwnedMachine,
    machine_cost,
    ownership_cost,
)
from fieldsim.machines.remaining_value import HOURS_OF_A_YEAR
from fieldsim.variables import COST_PARTS

__all__ = ["cost_variables", "equipment_of", "equipment_use", "hire_cost"]

Floats = NDArray[np.float64]


def equipment_of(farm: Farm) -> tuple[str, ...]:
    """Return the names of machines and tractors that any option has, along the equipment axis."""
    used = {
        name for option in farm.options.values() for name in (*option.machines, *option.tractors)
    }
    return tuple(name for name in (*farm.machines, *farm.tractors) if name in used)


def equipment_use(farm: Farm, option: str, spent: NDArray[Any], column: str) -> Floats:
    """Return hours or land of one option's equipment, shape (season, equipment); 0 for the others.

    Parameters
    ----------
    farm : Farm
    option : str
    spent : ndarray of SPENT, shape (season, resource)
        Operators, tractors weakest first, machines; as in the plan.
    column : "hours" or "area"
    """
    chosen = farm.options[option]
    tractors = sorted(chosen.tractors, key=lambda name: farm.tractors[name].power)
    use = np.zeros((len(spent), len(equipment_of(farm))))
    for r, name in enumerate((*tractors, *chosen.machines), 1):
        use[:, equipment_of(farm).index(name)] = spent[column][:, r]
    return use


def hire_cost(farm: Farm, option: str, area: Floats) -> Floats:
    """Return what hired machines cost, shape (season,) [$]; `area`: see `equipment_use`."""
    rates = np.zeros(area.shape[1])
    for name in farm.options[option].machines:
        custom = farm.machines[name].custom
        if custom is not None:
            rates[equipment_of(farm).index(name)] = custom.rate
    cost: Floats = area @ rates
    return cost


def cost_variables(farm: Farm, options: Sequence[str], hours: Floats) -> dict[str, Floats]:
    """Return the outcome variables of what equipment costs, the same whatever stands beside [$].

    Parameters
    ----------
    farm : Farm
    options : sequence of str
    hours : ndarray of float64, shape (option, season, equipment)
        All units together [h]; their mean is the use of a year.
    """
    by_option = zip(options, hours, strict=True)
    costs = np.stack([_costs_of_option(farm, option, used) for option, used in by_option])
    repairs = COST_PARTS.index("repairs")
    owning = np.delete(costs, repairs, axis=2)
    return {
        "equipment_cost": costs,
        "repair_cost": np.array([math.fsum(of) for of in costs[..., repairs]]),
        "ownership_cost": np.array([math.fsum(of.flat) for of in owning]),
    }


def _costs_of_option(farm: Farm, option: str, hours: Floats) -> Floats:
    """Return what it costs to own and repair an option's equipment in a year [$].

    Parameters
    ----------
    farm : Farm
    option : str
    hours : ndarray of float64, shape (season, equipment)
        All units together [h]; their mean is the use of a year.

    Returns
    -------
    ndarray of float64, shape (equipment, part)
        Parts as in `variables.COST_PARTS`.
    """
    chosen, names = farm.options[option], equipment_of(farm)
    costs = np.zeros((len(names), len(COST_PARTS)))
    used = np.ascontiguousarray(hours.T).mean(axis=1)
    for name, count in (*chosen.machines.items(), *chosen.tractors.items()):
        part: Owned = farm.machines[name] if name in farm.machines else farm.tractors[name]
        place = names.index(name)
        cost = _unit_cost(farm, part, float(used[place]) / count)
        costs[place] = count * np.array([getattr(cost, part_) for part_ in COST_PARTS])
    return costs


def _unit_cost(farm: Farm, part: Owned, hours: float) -> MachineCost:
    """Return the yearly cost of one unit that works so many hours here [$]."""
    known, money = wear_class(part), farm.money
    if known is None:
        capital = ownership_cost(
            part.price, part.price * (part.salvage or 0.0), money.interest, part.years, 0.0
        )
        return MachineCost(capital, part.price * money.taxes_insurance_housing, 0.0)
    elsewhere = part.other_hours if isinstance(part, Tractor) else 0.0
    yearly = min(hours + elsewhere, HOURS_OF_A_YEAR)  # other hours may be given too high for both
    owned = OwnedMachine(
        known,
        part.price if part.list_price is None else part.list_price,
        part.price,
        yearly,
        part.years,
        money.interest,
        money.taxes_insurance_housing,
        age=part.age,
        hours=part.hours,
        salvage=None if part.salvage is None else part.price * part.salvage,
    )
    share = hours / (hours + elsewhere) if hours + elsewhere > 0 else 1.0
    return machine_cost(owned, share)
