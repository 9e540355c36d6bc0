"""What repairs cost: little while a machine is new, more with every hour behind it.

Costs follow current list price, which carries the price of parts and labor, not the price paid.
Past the wear-out life of the class (`MachineClass.life`) the equation is an extrapolation.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.machines.classes import MachineClass
from fieldsim.ranges import in_range, number_in_range

__all__ = ["accumulated_repair_share", "mean_yearly_repairs", "repair_cost", "yearly_repairs"]

HOURS_OF_FACTOR = 1000.0  # RF1 is the share of list price after so many hours
MOST_YEARS = 100


def accumulated_repair_share(machine_class: MachineClass, hours: ArrayLike) -> NDArray[np.float64]:
    """Return repair and maintenance from new as a share of list price.

    Parameters
    ----------
    machine_class : MachineClass
    hours : array_like
        Use since new [h], at least 0.

    Returns
    -------
    ndarray of float64
        [1], shape of `hours`.

    Raises
    ------
    ValueError
        If the hours are out of their range.

    Notes
    -----
    RF1 (h / 1000)^RF2: ASABE EP496, Agricultural Machinery Management, with the factors of ASABE
    D497.7 (both from memory); Edwards, Estimating Farm Machinery Costs, Iowa State University
    Extension PM 710 (A3-29), table 3, prints its values in whole percent.

    Examples
    --------
    >>> from fieldsim.machines import machine_class
    >>> accumulated_repair_share(machine_class("tractor_large"), [3_000, 6_000]).round(3)
    array([0.063, 0.252])
    """
    use = in_range("hours", hours, "h", at_least=0)
    return np.asarray(machine_class.rf1 * (use / HOURS_OF_FACTOR) ** machine_class.rf2)


def repair_cost(
    list_price: ArrayLike, machine_class: MachineClass, start: ArrayLike, end: ArrayLike
) -> NDArray[np.float64]:
    """Return the cost of repairs between two points of a machine's life.

    Parameters
    ----------
    list_price : array_like
        Current list price of a new machine of the same size and kind [$], at least 0.
    machine_class : MachineClass
    start, end : array_like
        Use since new at the two points [h], at least 0; `end` not before `start`.

    Returns
    -------
    ndarray of float64
        [$], shape of the broadcast arguments.

    Raises
    ------
    ValueError
        If an argument is out of its range or `end` is before `start`.

    Notes
    -----
    The difference of two accumulated costs: ASABE EP496 (from memory).

    Examples
    --------
    >>> from fieldsim.machines import machine_class
    >>> round(float(repair_cost(80_000, machine_class("tractor_medium"), 2_000, 6_000)))
    17920
    """
    price = in_range("list_price", list_price, "$", at_least=0)
    first = in_range("start", start, "h", at_least=0)
    last = in_range("end", end, "h", at_least=0)
    in_range("end - start", last - first, "h", at_least=0)
    share_at_start = accumulated_repair_share(machine_class, first)
    share_at_end = accumulated_repair_share(machine_class, last)
    return np.asarray(price * (share_at_end - share_at_start))


def mean_yearly_repairs(
    list_price: ArrayLike,
    machine_class: MachineClass,
    hours: ArrayLike,
    yearly_hours: ArrayLike,
    years: ArrayLike,
) -> NDArray[np.float64]:
    """Return the cost of repairs of a year, averaged over the years owned.

    Parameters
    ----------
    list_price : array_like
        Current list price of a new machine of the same size and kind [$], at least 0.
    machine_class : MachineClass
    hours : array_like
        Use since new when bought [h], at least 0.
    yearly_hours : array_like
        Use while owned [h/year], at least 0.
    years : array_like
        Owned [years], above 0.

    Returns
    -------
    ndarray of float64
        [$/year], shape of the broadcast arguments.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Examples
    --------
    >>> from fieldsim.machines import machine_class
    >>> round(float(mean_yearly_repairs(80_000, machine_class("tractor_medium"), 0, 400, 15)))
    1344
    """
    first = in_range("hours", hours, "h", at_least=0)
    use = in_range("yearly_hours", yearly_hours, "h/year", at_least=0)
    owned = in_range("years", years, "years", above=0)
    return np.asarray(repair_cost(list_price, machine_class, first, first + use * owned) / owned)


def yearly_repairs(
    list_price: float,
    machine_class: MachineClass,
    hours: float,
    yearly_hours: float,
    years: int,
) -> NDArray[np.float64]:
    """Return the cost of repairs year by year.

    Parameters
    ----------
    list_price : float
        Current list price of a new machine of the same size and kind [$], at least 0.
    machine_class : MachineClass
    hours : float
        Use since new when bought [h], at least 0.
    yearly_hours : float
        Use while owned [h/year], at least 0.
    years : int
        Owned [years], 1 to 100.

    Returns
    -------
    ndarray of float64, shape (years,)
        [$], first year owned first.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Examples
    --------
    >>> from fieldsim.machines import machine_class
    >>> yearly_repairs(80_000, machine_class("tractor_medium"), 2_000, 400, 3).round(1)
    array([ 985.6, 1164.8, 1344. ])
    """
    first = number_in_range("hours", hours, "h", at_least=0)
    use = number_in_range("yearly_hours", yearly_hours, "h/year", at_least=0)
    owned = number_in_range("years", years, "years", at_least=1, at_most=MOST_YEARS)
    if not owned.is_integer():
        raise ValueError(f"years = {owned:g} years: whole years are allowed")
    meter = first + use * np.arange(int(owned) + 1)
    return repair_cost(list_price, machine_class, meter[:-1], meter[1:])
