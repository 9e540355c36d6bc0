"""Fuel that a tractor burns: at a given load, on the average of a year, and on a hectare.

The year-round average holds light work and idling already: it is taken per kW of the tractor, never
multiplied by a load.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.ranges import in_range
from fieldsim.tables import read_table

__all__ = [
    "Fuel",
    "FuelEquation",
    "average_fuel_per_hour",
    "fuel_per_area",
    "fuel_per_hour",
    "lubricant_cost",
    "specific_consumption",
]

TABLE = "fuel_coefficients.csv"

FuelEquation = Literal["d497_7", "d497_4"]
Fuel = Literal["diesel", "gasoline"]


def specific_consumption(load: ArrayLike, equation: FuelEquation = "d497_7") -> NDArray[np.float64]:
    """Return the diesel burned for each kWh at the PTO, by load.

    Parameters
    ----------
    load : array_like
        Equivalent PTO power in use over PTO power available [1], above 0, at most 1.
    equation : str
        ``"d497_7"``, of 2011, or ``"d497_4"``, of 2003, which gives more fuel at loads above 0.15.

    Returns
    -------
    ndarray of float64
        [L/kWh], shape of `load`.

    Raises
    ------
    ValueError
        If the load is out of its range or there is no such equation.

    Notes
    -----
    0.22 + 0.096 / X: ASABE D497.7 (2011), after Grisso, Kocher & Vaughan (2004), Applied
    Engineering in Agriculture 20(5):553-561, at full throttle.
    2.64 X + 3.91 - 0.203 (738 X + 173)^0.5: ASAE D497.4 (2003). Both from memory.

    Examples
    --------
    >>> specific_consumption([0.4, 1.0]).round(3)
    array([0.46 , 0.316])
    """
    loads = in_range("load", load, above=0, at_most=1)
    return np.asarray(_per_available(loads, equation) / loads)


def fuel_per_hour(
    pto_power: ArrayLike, available: ArrayLike, equation: FuelEquation = "d497_7"
) -> NDArray[np.float64]:
    """Return the diesel burned in an hour at a given power.

    Parameters
    ----------
    pto_power : array_like
        Equivalent PTO power in use [kW], at least 0 and at most what is available; see
        `equivalent_pto_power`.
    available : array_like
        Greatest PTO power of the tractor [kW], above 0.
    equation : str
        See `specific_consumption`.

    Returns
    -------
    ndarray of float64
        [L/h], shape of the broadcast arguments.

    Raises
    ------
    ValueError
        If an argument is out of its range or there is no such equation.

    Notes
    -----
    `specific_consumption` times power. The equation of D497.7 is a straight line in power, so the
    mean power of an hour gives its mean consumption: for an hour in the field with turns and stops,
    power in the row times field efficiency. That of D497.4 goes to 0 at no load, where an engine
    still burns fuel.

    Examples
    --------
    >>> fuel_per_hour([0.0, 50.0, 100.0], 100.0).round(1)
    array([ 9.6, 20.6, 31.6])
    """
    power = in_range("pto_power", pto_power, "kW", at_least=0)
    most = in_range("available", available, "kW", above=0)
    loads = in_range("pto_power / available", power / most, at_least=0, at_most=1)
    return np.asarray(most * _per_available(loads, equation))


def average_fuel_per_hour(pto_power: ArrayLike, fuel: Fuel = "diesel") -> NDArray[np.float64]:
    """Return what a tractor burns in an hour, on the average of its work in a year.

    Parameters
    ----------
    pto_power : array_like
        Greatest PTO power of the tractor [kW], at least 0.
    fuel : str
        ``"diesel"`` or ``"gasoline"``.

    Returns
    -------
    ndarray of float64
        [L/h], shape of `pto_power`.

    Raises
    ------
    ValueError
        If the power is out of its range or there is no such fuel.

    Notes
    -----
    0.223 L/h for each kW with diesel, 0.305 with gasoline: ASABE EP496; 0.044 and 0.060 gal/h for
    each horsepower in Iowa State University Extension A3-29.

    Examples
    --------
    >>> float(average_fuel_per_hour(100.0))
    22.3
    """
    power = in_range("pto_power", pto_power, "kW", at_least=0)
    rates = {"diesel": "average_diesel", "gasoline": "average_gasoline"}
    if fuel not in rates:
        raise ValueError(f"fuel = {fuel!r}: {', '.join(rates)} are allowed")
    return np.asarray(power * _coefficients()[rates[fuel]])


def fuel_per_area(fuel: ArrayLike, capacity: ArrayLike) -> NDArray[np.float64]:
    """Return the fuel burned on a hectare.

    Parameters
    ----------
    fuel : array_like
        Mean over an hour in the field [L/h], at least 0.
    capacity : array_like
        Effective field capacity [ha/h], above 0; see `field_capacity`.

    Returns
    -------
    ndarray of float64
        [L/ha], shape of the broadcast arguments.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Examples
    --------
    >>> float(fuel_per_area(20.0, 4.0))
    5.0
    """
    rates = in_range("fuel", fuel, "L/h", at_least=0)
    return np.asarray(rates / in_range("capacity", capacity, "ha/h", above=0))


def lubricant_cost(fuel_cost: ArrayLike) -> NDArray[np.float64]:
    """Return what lubricants cost, from what fuel costs.

    Parameters
    ----------
    fuel_cost : array_like
        [$], at least 0.

    Returns
    -------
    ndarray of float64
        [$], shape of `fuel_cost`.

    Raises
    ------
    ValueError
        If the cost is out of its range.

    Notes
    -----
    15 % of the cost of fuel: Iowa State University Extension A3-29.

    Examples
    --------
    >>> float(lubricant_cost(200.0))
    30.0
    """
    return np.asarray(
        in_range("fuel_cost", fuel_cost, "$", at_least=0) * _coefficients()["lubricants"]
    )


def _per_available(load: NDArray[np.float64], equation: FuelEquation) -> NDArray[np.float64]:
    """Return the diesel burned in an hour for each kW that the tractor has, used or not [L/kWh]."""
    figure = _coefficients()
    if equation == "d497_7":
        return load * figure["d497_7_per_power"] + figure["d497_7_per_available"]
    if equation == "d497_4":
        root = np.sqrt(figure["d497_4_root_linear"] * load + figure["d497_4_root_constant"])
        line = figure["d497_4_linear"] * load + figure["d497_4_constant"]
        return np.asarray(load * (line - figure["d497_4_root"] * root))
    raise ValueError(f"equation = {equation!r}: d497_7, d497_4 are allowed")


@cache
def _coefficients() -> dict[str, float]:
    """Return the coefficients by name, read at first use."""
    columns = ("quantity", "value", "unit", "source", "status")
    table = read_table(files("fieldsim.machines") / TABLE, columns, TABLE)
    return {row.cells["quantity"]: float(row.cells["value"]) for row in table.rows}
