"""When the soil is warm: smoothed air temperature as a stand-in for soil temperature."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["soil_temperature", "warm_day"]

SMOOTHED_DAYS = 7
RUN = 3  # days


def soil_temperature(tmax: NDArray[np.float64], tmin: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the temperature of the topsoil, as the mean air temperature of the last seven days.

    Parameters
    ----------
    tmax, tmin : ndarray, shape (..., day)
        Highest and lowest air temperature of the day [degC].

    Returns
    -------
    ndarray of float64, shape (..., day)
        Mean over the day itself and the six before it, or as many as there are [degC].

    Notes
    -----
    A stand-in: common practice, no source. Snow, residue and wet soil keep the ground colder.

    Examples
    --------
    >>> soil_temperature(np.array([14.0, 16.0]), np.array([4.0, 6.0])).tolist()
    [9.0, 10.0]
    """
    mean = (np.asarray(tmax) + np.asarray(tmin)) / 2
    days = mean.shape[-1]
    sums = np.cumsum(mean, axis=-1)
    smoothed = sums / np.minimum(np.arange(1, days + 1), SMOOTHED_DAYS)
    smoothed[..., SMOOTHED_DAYS:] -= sums[..., :-SMOOTHED_DAYS] / SMOOTHED_DAYS
    return np.asarray(smoothed)


def warm_day(temperature: NDArray[np.float64], least: float = 10.0) -> NDArray[np.int64]:
    """Return the first day of the first three days in a row that are warm.

    Parameters
    ----------
    temperature : ndarray, shape (..., day)
        Of the soil, as `soil_temperature` [degC].
    least : float
        Temperature of a warm day [degC]; 10 degC (50 degF) at planting depth is the start of
        corn planting (Iowa State University Extension; Iowa Environmental Mesonet, 2009-2017).

    Returns
    -------
    ndarray of int64, shape (...)
        Day index; the number of days if the soil never gets warm.

    Examples
    --------
    >>> warm_day(np.array([10.0, 10.0, 9.0, 10.0, 11.0, 10.5])).item()
    3
    """
    warm = np.asarray(temperature) >= least
    days = warm.shape[-1]
    if days < RUN:
        return np.full(warm.shape[:-1], days)
    runs = np.lib.stride_tricks.sliding_window_view(warm, RUN, axis=-1).all(axis=-1)
    return np.asarray(np.where(runs.any(axis=-1), runs.argmax(axis=-1), days))
