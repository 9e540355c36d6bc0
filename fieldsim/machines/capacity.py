"""Field capacity: the area a machine works in an hour, and the area an hour that a farm needs.

Every function takes numbers or arrays that broadcast against each other and returns a float64
array, of shape () where all arguments are numbers.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.ranges import in_range

__all__ = ["field_capacity", "required_capacity", "theoretical_capacity"]

KM_H_M_PER_HA_H = 10.0  # 1 ha/h is 10,000 m2/h; 1 km/h x 1 m is 1,000 m2/h


def theoretical_capacity(speed: ArrayLike, width: ArrayLike) -> NDArray[np.float64]:
    """Return the field capacity of a machine that never stops and uses its full width.

    Parameters
    ----------
    speed : array_like
        Speed in the row [km/h], above 0.
    width : array_like
        Working width [m], above 0.

    Returns
    -------
    ndarray of float64
        [ha/h], shape of the broadcast arguments.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    Ca = v w / 10: Srivastava, Goering, Rohrbach & Buckmaster (2006), Engineering Principles of
    Agricultural Machines, 2nd ed., ASABE, eq. 15.1 with an efficiency of 1.

    Examples
    --------
    >>> float(theoretical_capacity(10, 2.0))
    2.0
    """
    return field_capacity(speed, width, 1.0)


def field_capacity(
    speed: ArrayLike, width: ArrayLike, efficiency: ArrayLike
) -> NDArray[np.float64]:
    """Return the effective field capacity.

    Parameters
    ----------
    speed : array_like
        Speed in the row [km/h], above 0.
    width : array_like
        Working width [m], above 0.
    efficiency : array_like
        Field efficiency, the share of time and width in productive use [1], above 0, at most 1.

    Returns
    -------
    ndarray of float64
        [ha/h], shape of the broadcast arguments.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    Ca = v w e / 10: Srivastava, Goering, Rohrbach & Buckmaster (2006), Engineering Principles of
    Agricultural Machines, 2nd ed., ASABE, eq. 15.1; the same equation stands in ASABE EP496.

    Examples
    --------
    >>> field_capacity(8.0, [4.5, 9.0], 0.65).round(2)
    array([2.34, 4.68])
    """
    speeds = in_range("speed", speed, "km/h", above=0)
    widths = in_range("width", width, "m", above=0)
    efficiencies = in_range("efficiency", efficiency, above=0, at_most=1)
    return np.asarray(speeds * widths * efficiencies / KM_H_M_PER_HA_H)


def required_capacity(
    area: ArrayLike, suitable_days: ArrayLike, hours: ArrayLike
) -> NDArray[np.float64]:
    """Return the field capacity that finishes an area in the suitable days of a window.

    Parameters
    ----------
    area : array_like
        [ha], at least 0; count the land once for each pass over it.
    suitable_days : array_like
        Days suitable for fieldwork in the window [days], above 0.
    hours : array_like
        Hours in the field on a suitable day [h/day], above 0, at most 24.

    Returns
    -------
    ndarray of float64
        [ha/h], shape of the broadcast arguments.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    C = A / (days x hours): Edwards (2014), Fieldwork Days in Iowa, Iowa State University Extension
    A3-25.

    Examples
    --------
    >>> float(required_capacity(240, 10, 12))
    2.0
    """
    areas = in_range("area", area, "ha", at_least=0)
    days = in_range("suitable_days", suitable_days, "days", above=0)
    hours_a_day = in_range("hours", hours, "h/day", above=0, at_most=24)
    return np.asarray(areas / (days * hours_a_day))
