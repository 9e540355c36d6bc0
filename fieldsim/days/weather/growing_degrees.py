"""Growing degrees of corn: warmth between a base and a cap, summed over days."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["celsius_degree_days", "growing_degrees", "growing_degrees_since_start"]

BASE = 10.0  # degC, 50 degF
CAP = 30.0  # degC, 86 degF
FAHRENHEIT_PER_CELSIUS = 1.8


def growing_degrees(
    tmax: ArrayLike, tmin: ArrayLike, base: float = BASE, cap: float = CAP
) -> NDArray[np.float64]:
    """Return the growing degrees of each day.

    Both temperatures are moved into the span from `base` to `cap` before their mean is taken:
    method 2 of McMaster, G. S. and Wilhelm, W. W. (1997), Growing degree-days: one equation, two
    interpretations, Agricultural and Forest Meteorology 87, 291-300, with the upper threshold
    usual for corn. It counts a warm afternoon after a cold night, which method 1 does not.

    Parameters
    ----------
    tmax, tmin : array_like
        Highest and lowest air temperature of the day [degC].
    base, cap : float
        No growth below, no more above [degC].

    Returns
    -------
    ndarray of float64
        Of their common shape [degC day].

    Examples
    --------
    >>> growing_degrees([33.0, 18.0], [20.0, 4.0]).tolist()
    [15.0, 4.0]
    """
    high = np.clip(np.asarray(tmax), base, cap)
    low = np.clip(np.asarray(tmin), base, cap)
    return np.asarray((high + low) / 2 - base)


def growing_degrees_since_start(degrees: ArrayLike) -> NDArray[np.float64]:
    """Return the growing degrees summed from the first day to the end of each.

    Parameters
    ----------
    degrees : array_like, shape (..., day)
        Growing degrees of each day [degC day].

    Returns
    -------
    ndarray of float64, shape (..., day)
        [degC day]

    Examples
    --------
    >>> growing_degrees_since_start([5.0, 0.0, 2.5]).tolist()
    [5.0, 5.0, 7.5]
    """
    return np.cumsum(np.asarray(degrees, dtype=np.float64), axis=-1)


def celsius_degree_days(fahrenheit_degree_days: ArrayLike) -> NDArray[np.float64]:
    """Turn degree-days in Fahrenheit, as seed is described by, into degree-days in Celsius.

    Parameters
    ----------
    fahrenheit_degree_days : array_like
        [degF day]

    Returns
    -------
    ndarray of float64
        Of the same shape [degC day].

    Examples
    --------
    >>> celsius_degree_days(120).round(1).item()
    66.7
    """
    return np.asarray(np.asarray(fahrenheit_degree_days) / FAHRENHEIT_PER_CELSIUS)
