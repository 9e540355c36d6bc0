"""How many hours are left today, and who spends them [rules 2a, 2d and 3]."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

from fieldsim.work.arrays import Plan
from fieldsim.work.state import State

__all__ = ["hours_at_hand", "spend"]

Floats = NDArray[np.float64]

MOMENT = 1e-9  # hours; less is what rounding leaves of none


@njit(cache=True, nogil=True)
def hours_at_hand(
    plan: Plan,
    state: State,
    shares: Floats,
    operators: float,
    day: int,
    t: int,
    machine: int,
) -> float:
    """Return the unit-hours that machine, tractors and operators have left [h] [rule 2a]."""
    soil = plan.soil[t]
    hours = _left(operators, plan.operator_hours[day], state.operator_used, shares, soil)
    used = state.machine_used[machine]
    hours = min(hours, _left(plan.units[machine], plan.hours[t, day], used, shares, soil))
    if plan.power[machine] > 0.0:
        pulling = 0.0
        for g in range(plan.tractors.size):
            if plan.tractor_power[g] >= plan.power[machine]:
                used = state.tractor_used[g]
                pulling += _left(plan.tractors[g], plan.tractor_hours[day], used, shares, soil)
        hours = min(hours, pulling)
    return hours


@njit(cache=True, nogil=True)
def _left(units: float, hours: float, used: Floats, shares: Floats, soil: int) -> float:
    """Return the unit-hours left on a soil, whose suitable hours nest in better soils' [rule 3]."""
    least = np.inf
    for r in range(shares.size):
        if shares[r] >= shares[soil]:
            spent = 0.0
            for q in range(shares.size):
                if shares[q] <= shares[r]:
                    spent += used[q]
            least = min(least, units * shares[r] * hours - spent)
    return least if least > MOMENT else 0.0


@njit(cache=True, nogil=True)
def spend(
    plan: Plan, state: State, shares: Floats, day: int, t: int, machine: int, hours: float
) -> None:
    """Take unit-hours from machine, operators and the weakest fitting tractors [rule 2d]."""
    soil = plan.soil[t]
    state.hours[t] += hours
    state.machine_used[machine, soil] += hours
    state.operator_used[soil] += hours
    if plan.power[machine] <= 0.0:
        return
    for g in range(plan.tractors.size):
        if plan.tractor_power[g] >= plan.power[machine] and hours > 0.0:
            used = state.tractor_used[g]
            left = _left(plan.tractors[g], plan.tractor_hours[day], used, shares, soil)
            taken = min(hours, left)
            state.tractor_used[g, soil] += taken
            hours -= taken
