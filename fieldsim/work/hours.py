"""How many hours are left today, and who spends them [rules 2b, 2e and 3]."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldsim.compiled import inlined
from fieldsim.work.arrays import OPERATORS, codes

__all__ = ["MOMENT", "begin_day", "hours_at_hand", "hours_left", "spend"]

MOMENT = 1e-9  # hours; less is what rounding leaves of none
(FIRST,) = codes(1)


@inlined
def begin_day(plan: Any, now: Any, suitable: NDArray[np.float64], hands: float, day: int) -> int:
    """Read the soils' shares of the day and count the hands; return the best soil.

    The soils are followed by their wet twins, if any work goes on in the wet.
    """
    soils, best = suitable.shape[0], FIRST
    for soil in range(soils):
        now.shares[soil] = suitable[soil, day]
        if now.shares[soil] > now.shares[best]:
            best = soil
    for wet in range(soils, now.shares.size):
        now.shares[wet] = now.shares[wet - soils]
        if day >= now.first_wet and now.shares[wet] < plan.wet_share:
            now.shares[wet] = plan.wet_share
        if now.shares[wet] > now.shares[best]:
            best = wet
    now.resources[OPERATORS].units = hands
    now.resources[OPERATORS].hours = plan.operator_hours[day]
    for r in range(1, now.tractors + 1):
        now.resources[r].hours = plan.tractor_hours[day]
    for soil in range(now.shares.size):
        for r in range(now.resources.size):
            now.used[r, soil] = 0.0
    return int(best)


@inlined
def hours_at_hand(now: Any, soil: int, machine: int) -> float:
    """Return the unit-hours that operators, machine and tractors have left [h] [rule 2b]."""
    need, pulling = now.resources[machine].power, 0.0
    for r in range(1, now.tractors + 1):
        if now.resources[r].power >= need:
            pulling += hours_left(now, soil, r)
    hours = hours_left(now, soil, machine)
    if now.resources[machine].hired < 0:
        hours = min(hours, hours_left(now, soil, OPERATORS))
        if need > 0.0:
            hours = min(hours, pulling)
    return float(hours)


@inlined
def hours_left(now: Any, soil: int, r: int) -> float:
    """Return a resource's unit-hours left on a soil, whose hours nest in better soils' [rule 3]."""
    shares, least = now.shares, np.inf
    if shares.size == 1:  # the loops below say the same, but take longer
        least = now.resources[r].units * shares[0] * now.resources[r].hours - now.used[r, 0]
    else:
        for better in range(shares.size):
            if shares[better] >= shares[soil]:
                spent = 0.0
                for other in range(shares.size):
                    if shares[other] <= shares[better]:
                        spent += now.used[r, other]
                hours = now.resources[r].units * shares[better] * now.resources[r].hours
                least = min(least, hours - spent)
    return least if least > MOMENT else 0.0


@inlined
def spend(now: Any, soil: int, machine: int, hours: float) -> None:
    """Take unit-hours from machine, operators and the weakest fitting tractors [rules 2e, 2h]."""
    need, own = now.resources[machine].power, hours if now.resources[machine].hired < 0 else 0.0
    pulling = own if need > 0.0 else 0.0
    for r in range(1, now.tractors + 1):
        if pulling > 0.0 and now.resources[r].power >= need:
            taken = min(pulling, hours_left(now, soil, r))
            now.used[r, soil] += taken
            now.resources[r].spent += taken
            pulling -= taken
    now.used[machine, soil] += hours
    now.used[OPERATORS, soil] += own
