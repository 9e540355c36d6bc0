"""What a machine is still worth: a share of list price that falls with age and use."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.machines.classes import MachineClass
from fieldsim.ranges import in_range

__all__ = ["mean_yearly_hours", "remaining_share"]

YOUNGEST = 1.0  # years; the equation describes machines of a year and more
HOURS_OF_A_YEAR = 8784.0


def remaining_share(
    machine_class: MachineClass, age: ArrayLike, yearly_hours: ArrayLike
) -> NDArray[np.float64]:
    """Return what a machine is worth as a share of list price.

    Parameters
    ----------
    machine_class : MachineClass
    age : array_like
        [years], at least 0. A machine of less than a year counts as one of a year: at age 0 the
        equation would take C1^2 for the value of a new machine.
    yearly_hours : array_like
        Mean use in all years since new [h/year], 0 to 8784; see `mean_yearly_hours`.

    Returns
    -------
    ndarray of float64
        Share of the current list price of a new machine of the same size and kind, whatever was
        paid for it [1], shape of the broadcast arguments; 0 once the equation has reached 0.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    (C1 - C2 n^0.5 - C3 h^0.5)^2 with age n and mean use h: ASABE D497.7 (2011), Agricultural
    Machinery Management Data, with coefficients from memory; Edwards, Estimating Farm Machinery
    Costs, Iowa State University Extension PM 710 (A3-29), table 1a, prints its values for tractors
    to an age of 20 years and 600 h/year.

    Examples
    --------
    >>> from fieldsim.machines import machine_class
    >>> remaining_share(machine_class("tractor_medium"), [5, 10, 15], 400).round(2)
    array([0.49, 0.37, 0.29])
    """
    years = np.maximum(in_range("age", age, "years", at_least=0), YOUNGEST)
    use = in_range("yearly_hours", yearly_hours, "h/year", at_least=0, at_most=HOURS_OF_A_YEAR)
    root = machine_class.c1 - machine_class.c2 * np.sqrt(years) - machine_class.c3 * np.sqrt(use)
    # Without the bound the square would rise again once the root is negative.
    return np.asarray(np.maximum(root, 0.0) ** 2)


def mean_yearly_hours(
    age: ArrayLike, hours: ArrayLike, years: ArrayLike, yearly_hours: ArrayLike
) -> NDArray[np.float64]:
    """Return the mean use since new, when a machine bought at some age has been owned for years.

    Parameters
    ----------
    age : array_like
        When bought [years], at least 0.
    hours : array_like
        On the meter when bought [h], at least 0.
    years : array_like
        Owned since [years], at least 0.
    yearly_hours : array_like
        Use while owned [h/year], 0 to 8784.

    Returns
    -------
    ndarray of float64
        [h/year], shape of the broadcast arguments. Less than a year in all counts as one, as in
        `remaining_share`.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Examples
    --------
    >>> float(mean_yearly_hours(5, 3_000, 10, 300))
    400.0
    """
    first_age = in_range("age", age, "years", at_least=0)
    first_hours = in_range("hours", hours, "h", at_least=0)
    owned = in_range("years", years, "years", at_least=0)
    use = in_range("yearly_hours", yearly_hours, "h/year", at_least=0, at_most=HOURS_OF_A_YEAR)
    return np.asarray((first_hours + owned * use) / np.maximum(first_age + owned, YOUNGEST))
