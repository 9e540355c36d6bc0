"""How many hours are left today, and who spends them [rules 2b, 2e and 3]."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldsim.work.arrays import TRACTOR
from fieldsim.work.compiling import inlined

__all__ = ["MOMENT", "begin_day", "hours_at_hand", "hours_left", "spend"]

Floats = NDArray[np.float64]

MOMENT = 1e-9  # hours; less is what rounding leaves of none


@inlined
def begin_day(
    resources: Any, used: Floats, operators: float, operator_hours: float, tractor_hours: float
) -> None:
    """Give operators and tractors their hours of the day; nothing is spent yet."""
    resources[0].units = operators
    resources[0].hours = operator_hours
    for r in range(1, resources.size):
        resources[r].hours = tractor_hours
    for r in range(resources.size):
        for soil in range(used.shape[1]):
            used[r, soil] = 0.0


@inlined
def hours_at_hand(
    resources: Any, used: Floats, shares: Floats, soil: int, machine: int, machine_hours: float
) -> float:
    """Return the unit-hours that operators, machine and tractors have left [h] [rule 2b]."""
    resources[machine].hours = machine_hours
    hours = hours_left(resources, used, shares, soil, machine)
    hands = hours_left(resources, used, shares, soil, 0)
    pulling = _pulling(resources, used, shares, soil, resources[machine].power)
    return hours if resources[machine].hired >= 0 else min(hours, hands, pulling)


@inlined
def _pulling(resources: Any, used: Floats, shares: Floats, soil: int, need: float) -> float:
    """Return the unit-hours that fitting tractors have left [h]; no limit without a need."""
    pulling = 0.0 if need > 0.0 else np.inf
    for r in range(1, resources.size):
        if need > 0.0 and resources[r].kind == TRACTOR and resources[r].power >= need:
            pulling += hours_left(resources, used, shares, soil, r)
    return pulling


@inlined
def hours_left(resources: Any, used: Floats, shares: Floats, soil: int, r: int) -> float:
    """Return a resource's unit-hours left on a soil, whose hours nest in better soils' [rule 3]."""
    least = np.inf
    for better in range(shares.size):
        if shares[better] >= shares[soil]:
            spent = 0.0
            for other in range(shares.size):
                if shares[other] <= shares[better]:
                    spent += used[r, other]
            hours = resources[r].units * shares[better] * resources[r].hours
            least = min(least, hours - spent)
    return least if least > MOMENT else 0.0


@inlined
def spend(
    resources: Any, used: Floats, shares: Floats, soil: int, machine: int, hours: float, day: int
) -> None:
    """Take unit-hours from machine, operators and the weakest fitting tractors [rules 2e, 2h]."""
    need, own = resources[machine].power, hours if resources[machine].hired < 0 else 0.0
    pulling = own if need > 0.0 else 0.0
    for r in range(1, resources.size):
        if pulling > 0.0 and resources[r].kind == TRACTOR and resources[r].power >= need:
            taken = min(pulling, hours_left(resources, used, shares, soil, r))
            used[r, soil] += taken
            resources[r].spent += taken
            pulling -= taken
    used[machine, soil] += hours
    resources[machine].spent += hours
    resources[machine].last_day = day
    used[0, soil] += own
    resources[0].spent += own
