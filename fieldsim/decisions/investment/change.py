"""From one option's machines to another's: what is bought and traded in, and cash year by year."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import xarray as xr
from numpy.typing import NDArray

from fieldsim.decisions.investment.ownership import OwnedYears, owned_years
from fieldsim.farm import Farm
from fieldsim.farm.machine_parts import Owned

__all__ = ["PARTS", "Change", "change_of_equipment", "usual_years"]

# What moving brings (above 0) or takes (below 0) whatever the weather.
PARTS = (
    "purchase",
    "trade_in",
    "replacement",
    "repairs",
    "taxes_insurance_housing",
    "loan",
    "end_worth",
)
YEARS = 10  # to look ahead where no machine is bought or traded in

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Change:
    """What a change of equipment takes and brings, by name of the equipment and by year.

    Parameters
    ----------
    bought, traded : dict
        Units by name of the machine or tractor.
    prices, trade_ins : dict
        What is paid and got for all of them at the start [$], by name.
    plan : dict
        By each of `PARTS`, shape (years + 1,) [$].
    """

    bought: dict[str, int]
    traded: dict[str, int]
    prices: dict[str, float]
    trade_ins: dict[str, float]
    plan: dict[str, Floats]


def usual_years(farm: Farm, from_option: str, to_option: str) -> int:
    """Return how long the new machines are kept: the shortest time of those that are bought.

    Where none is bought, the shortest of those traded in.
    """
    bought, traded = _moved(farm, from_option, to_option)
    kept = [_part(farm, name).years for name in bought or traded if _part(farm, name).price > 0]
    return min(kept, default=YEARS)


def change_of_equipment(
    farm: Farm,
    outcomes: xr.Dataset,
    from_option: str,
    to_option: str,
    years: int,
    *,
    owned: int,
    trade_in: bool,
) -> Change:
    """Return what is bought and traded in, and what that takes and brings in each year.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
        From `simulate`: machines wear by their mean hours.
    from_option, to_option : str
    years, owned : int
        To look ahead, and since the old machines were bought [years].
    trade_in : bool
        Whether old machines that are not kept are sold.

    Returns
    -------
    Change
        The loan is not in it yet: its part is 0.
    """
    bought, traded = _moved(farm, from_option, to_option)
    units = {option: _units(farm, option) for option in (from_option, to_option)}

    def program(name: str, option: str, since: int) -> OwnedYears:
        hours = float(outcomes.equipment_hours.sel(option=option, equipment=name).mean())
        share, count = farm.money.taxes_insurance_housing, units[option][name]
        part = _part(farm, name)
        return owned_years(part, hours / count, years, owned=since, tax_share=share)

    plan = {part: np.zeros(years + 1) for part in PARTS}
    trade_ins = {}
    for name, count in units[from_option].items():
        old = program(name, from_option, owned)
        _add(plan, old, count)
        if trade_in and name in traded:
            trade_ins[name] = traded[name] * old.worth_now
    for name, count in units[to_option].items():
        kept = count - bought.get(name, 0)
        _add(plan, program(name, to_option, owned), -kept)
        _add(plan, program(name, to_option, 0), kept - count)
    prices = {name: count * _part(farm, name).price for name, count in bought.items()}
    plan["purchase"][0] = -math.fsum(prices.values())
    plan["trade_in"][0] = math.fsum(trade_ins.values())
    return Change(bought, traded, prices, trade_ins, plan)


def _add(plan: dict[str, Floats], unit: OwnedYears, count: int) -> None:
    """Add what so many units no longer take and bring; below 0: what they newly take and bring."""
    plan["replacement"] += count * unit.replacement
    plan["repairs"] += count * unit.repairs
    plan["taxes_insurance_housing"] += count * unit.taxes_insurance_housing
    plan["end_worth"][-1] -= count * unit.worth_then


def _moved(farm: Farm, from_option: str, to_option: str) -> tuple[dict[str, int], dict[str, int]]:
    """Return the units bought and those no longer needed, by name."""
    old, new = _units(farm, from_option), _units(farm, to_option)
    return _beyond(new, old), _beyond(old, new)


def _beyond(units: dict[str, int], others: dict[str, int]) -> dict[str, int]:
    """Return the units that go beyond those of another option, by name."""
    more = {name: count - others.get(name, 0) for name, count in units.items()}
    return {name: count for name, count in more.items() if count > 0}


def _units(farm: Farm, option: str) -> dict[str, int]:
    """Return units of the machines and tractors that an option owns, by name."""
    chosen = farm.options[option]
    own = {n: count for n, count in chosen.machines.items() if farm.machines[n].custom is None}
    return {name: count for name, count in (own | chosen.tractors).items() if count > 0}


def _part(farm: Farm, name: str) -> Owned:
    return farm.machines[name] if name in farm.machines else farm.tractors[name]
