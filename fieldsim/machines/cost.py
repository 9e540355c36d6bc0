"""What it costs to own a machine for a year, what its operator is paid, and what hired work costs.

Sums are dollars of one year: with a real interest rate (nominal less inflation) they stay in the
dollars of the purchase.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.ranges import in_range, number_in_range

__all__ = [
    "capital_recovery",
    "capital_recovery_factor",
    "custom_hire_cost",
    "labor_cost",
    "ownership_cost",
    "ownership_percentage",
]

LONGEST_LIFE = 100.0  # years; with the lowest rate it keeps the factor within floating point
LOWEST_RATE = -0.5  # 1/year; a real rate may be negative


def capital_recovery_factor(rate: float, years: float) -> float:
    """Return the yearly payment that pays off a dollar.

    Parameters
    ----------
    rate : float
        Interest, real where costs are in the dollars of purchase [1/year], -0.5 to 1.
    years : float
        [years], above 0, at most 100.

    Returns
    -------
    float
        [1/year].

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    CRF = i (1 + i)^n / ((1 + i)^n - 1), standard engineering economy, as in Edwards, Estimating
    Farm Machinery Costs, Iowa State University Extension PM 710 (A3-29). Written here as
    i / (1 - (1 + i)^-n), which keeps its digits when the rate is small; 1/n where it is 0.

    Examples
    --------
    >>> round(capital_recovery_factor(0.08, 10), 5)
    0.14903
    """
    life = number_in_range("years", years, "years", above=0, at_most=LONGEST_LIFE)
    interest = number_in_range("rate", rate, "1/year", at_least=LOWEST_RATE, at_most=1)
    if interest == 0.0:
        return 1.0 / life
    return interest / -math.expm1(-life * math.log1p(interest))


def capital_recovery(purchase: float, salvage: float, rate: float, years: float) -> float:
    """Return depreciation and interest together, as an equal sum every year.

    Parameters
    ----------
    purchase : float
        Price paid [$], at least 0.
    salvage : float
        Value when it is sold or traded [$], at least 0.
    rate : float
        Interest [1/year], -0.5 to 1.
    years : float
        Years owned [years], above 0, at most 100.

    Returns
    -------
    float
        [$/year].

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    CR = (P - S) CRF + S i: Edwards, Estimating Farm Machinery Costs, Iowa State University
    Extension PM 710 (A3-29).

    Examples
    --------
    >>> round(capital_recovery(100_000, 20_000, 0.10, 15), 2)
    12517.9
    """
    price = number_in_range("purchase", purchase, "$", at_least=0)
    value = number_in_range("salvage", salvage, "$", at_least=0)
    return (price - value) * capital_recovery_factor(rate, years) + value * rate


def ownership_cost(
    purchase: float, salvage: float, rate: float, years: float, taxes_insurance_housing: float
) -> float:
    """Return what a machine costs a year whether it works or not.

    Parameters
    ----------
    purchase, salvage, rate, years
        See `capital_recovery`.
    taxes_insurance_housing : float
        Yearly share of the purchase price [1/year], 0 to 1.

    Returns
    -------
    float
        [$/year].

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    Capital recovery plus a share of the purchase price: about 1 % in Iowa State University
    Extension PM 710 (A3-29), 2 % in ASABE EP496 (both shares from memory).

    Examples
    --------
    >>> ownership_cost(50_000, 10_000, 0.0, 10, 0.01)
    4500.0
    """
    share = number_in_range(
        "taxes_insurance_housing", taxes_insurance_housing, "1/year", at_least=0, at_most=1
    )
    return capital_recovery(purchase, salvage, rate, years) + share * purchase


def ownership_percentage(
    salvage_share: float, rate: float, years: float, taxes_insurance_housing: float
) -> float:
    """Return the yearly ownership cost as a percentage of the purchase price, without compounding.

    Parameters
    ----------
    salvage_share : float
        Salvage value as a share of the purchase price [1], 0 to 1.
    rate : float
        Interest [1/year], -0.5 to 1.
    years : float
        Years owned [years], above 0, at most 100.
    taxes_insurance_housing : float
        Yearly share of the purchase price [1/year], 0 to 1.

    Returns
    -------
    float
        [%/year].

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    Co = 100 [(1 - Sv) / L + (1 + Sv) / 2 i + K2]: ASABE EP496, Agricultural Machinery Management
    (form from memory). Interest is on the mean of purchase and salvage value, which comes out
    below `ownership_cost` where the rate is above 0.

    Examples
    --------
    >>> round(ownership_percentage(0.40, 0.08, 10, 0.02), 1)
    13.6
    """
    value = number_in_range("salvage_share", salvage_share, at_least=0, at_most=1)
    interest = number_in_range("rate", rate, "1/year", at_least=LOWEST_RATE, at_most=1)
    life = number_in_range("years", years, "years", above=0, at_most=LONGEST_LIFE)
    share = number_in_range(
        "taxes_insurance_housing", taxes_insurance_housing, "1/year", at_least=0, at_most=1
    )
    return 100.0 * ((1.0 - value) / life + (1.0 + value) / 2.0 * interest + share)


def labor_cost(
    hours: ArrayLike, wage: ArrayLike, share_above: ArrayLike = 0.0
) -> NDArray[np.float64]:
    """Return the cost of the labor that machine hours take.

    Parameters
    ----------
    hours : array_like
        Machine hours [h], at least 0.
    wage : array_like
        [$/h], at least 0.
    share_above : array_like
        Labor hours above machine hours, for service and travel [1], at least 0.

    Returns
    -------
    ndarray of float64
        [$], shape of the broadcast arguments.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    Labor hours exceed field time by 10 to 20 %: Iowa State University Extension A3-29, as told in
    How Much Will That Tractor Cost? Part 2, Growing Produce.

    Examples
    --------
    >>> round(float(labor_cost(1, 13.50, 0.10)), 2)
    14.85
    """
    worked = in_range("hours", hours, "h", at_least=0)
    pay = in_range("wage", wage, "$/h", at_least=0)
    share = in_range("share_above", share_above, at_least=0)
    return np.asarray(worked * pay * (1.0 + share))


def custom_hire_cost(area: ArrayLike, rate: ArrayLike) -> NDArray[np.float64]:
    """Return the cost of work that is hired by the area.

    Parameters
    ----------
    area : array_like
        Land worked; count it once for each pass [ha], at least 0.
    rate : array_like
        [$/ha], at least 0. A custom rate commonly holds machine, tractor, fuel and operator:
        Plastina & Johanns (2019), Iowa Farm Custom Rate Survey, Iowa State University Extension.

    Returns
    -------
    ndarray of float64
        [$], shape of the broadcast arguments.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Examples
    --------
    >>> float(custom_hire_cost(120, 50))
    6000.0
    """
    land = in_range("area", area, "ha", at_least=0)
    return np.asarray(land * in_range("rate", rate, "$/ha", at_least=0))
