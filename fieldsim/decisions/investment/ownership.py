"""What one machine takes and brings in each year owned: repairs, insurance, replacement, worth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldsim.farm.machine_parts import Owned, Tractor
from fieldsim.farm.wear import wear_class
from fieldsim.machines import (
    mean_yearly_hours,
    remaining_share,
    yearly_repairs,
)

__all__ = ["OwnedYears", "owned_years", "worth"]


Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class OwnedYears:
    """One machine over some years, all in [$] of today.

    Parameters
    ----------
    worth_now, worth_then : float
        What it brings if it is sold at the start, and after the last year.
    replacement, repairs, taxes_insurance_housing : ndarray of float64, shape (years + 1,)
        Paid at the start and at the end of each year.
    """

    worth_now: float
    worth_then: float
    replacement: Floats
    repairs: Floats
    taxes_insurance_housing: Floats


def owned_years(
    part: Owned, hours: float, years: int, *, owned: int = 0, tax_share: float = 0.0
) -> OwnedYears:
    """Return what a machine takes and brings in each of the coming years.

    A machine that has been owned for the years of the farm file is traded for one like it.

    Parameters
    ----------
    part : Machine or Tractor
    hours : float
        Its use in the work that is simulated [h/year].
    years : int
        How many to look ahead [years].
    owned : int
        Since it was bought at the price, age and hours of the farm file [years].
    tax_share : float
        Taxes, insurance and housing as a share of the price [1/year].

    Returns
    -------
    OwnedYears

    Notes
    -----
    Repairs go by the place in life: `yearly_repairs`. Of a tractor that also does other work they
    are charged by its share of the hours, as in the yearly cost of an option; price, worth and
    taxes are counted in full, since they are paid in full.
    """
    repairs = _repairs(part, hours)
    worths = worth(part, hours, np.arange(max(part.years, owned) + 1))
    paid = np.zeros((2, years + 1))
    since = owned
    for year in range(years):
        if since >= part.years:
            paid[0, year] = part.price - worths[since]
            since = 0
        paid[1, year + 1] = repairs[since]
        since += 1
    taxes = np.full(years + 1, part.price * tax_share)
    taxes[0] = 0.0
    return OwnedYears(float(worths[owned]), float(worths[since]), paid[0], paid[1], taxes)


def worth(part: Owned, hours: float, owned: NDArray[np.int64]) -> Floats:
    """Return what a machine brings when it is sold, by the years since it was bought.

    Parameters
    ----------
    part : Machine or Tractor
    hours : float
        Its use in the work that is simulated [h/year].
    owned : ndarray of int64, shape (n,)
        [years].

    Returns
    -------
    ndarray of float64, shape (n,)
        [$]. By the remaining value of its class; in a straight line from the price to its salvage
        value where the farm file gives one or the machine has no class (salvage then 0).
    """
    known = wear_class(part)
    if known is None or part.salvage is not None:
        end = part.price * (part.salvage or 0.0)
        return np.asarray(part.price + (end - part.price) * np.minimum(owned / part.years, 1.0))
    use = mean_yearly_hours(part.age, part.hours, owned, hours + _elsewhere(part))
    return _list_price(part) * remaining_share(known, part.age + owned, use)


def _repairs(part: Owned, hours: float) -> Floats:
    """Return repairs by year owned that this work bears, shape (years of the farm file,)."""
    known = wear_class(part)
    if known is None:
        return np.zeros(part.years)
    use = hours + _elsewhere(part)
    share = hours / use if use > 0 else 1.0
    return share * yearly_repairs(_list_price(part), known, part.hours, use, part.years)


def _list_price(part: Owned) -> float:
    return part.price if part.list_price is None else part.list_price


def _elsewhere(part: Owned) -> float:
    """Return hours in other work [h/year]."""
    return part.other_hours if isinstance(part, Tractor) else 0.0
