"""Reference evapotranspiration from temperature and the sun's path.

Equations of Allen, R. G., Pereira, L. S., Raes, D. and Smith, M. (1998), Crop evapotranspiration:
Guidelines for computing crop water requirements, FAO Irrigation and Drainage Paper 56. The day of
the year is that of a common year; days past 365 are those of the next year.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = [
    "daylight_hours",
    "extraterrestrial_radiation",
    "inverse_relative_distance",
    "reference_evapotranspiration",
    "solar_declination",
    "sunset_hour_angle",
]

SOLAR_CONSTANT = 0.0820  # MJ m-2 min-1
MINUTES = 24 * 60
YEAR = 365
MM_PER_MJ = 0.408  # water evaporated by 1 MJ m-2: the inverse of the latent heat, 2.45 MJ/kg


def inverse_relative_distance(day_of_year: ArrayLike) -> NDArray[np.float64]:
    """Return the inverse relative distance from earth to sun (FAO 56, equation 23).

    Parameters
    ----------
    day_of_year : array_like
        1 January = 1.

    Returns
    -------
    ndarray of float64
        Of the same shape [-].

    Examples
    --------
    >>> inverse_relative_distance(246).round(3).item()
    0.985
    """
    return np.asarray(1 + 0.033 * np.cos(2 * np.pi / YEAR * np.asarray(day_of_year)))


def solar_declination(day_of_year: ArrayLike) -> NDArray[np.float64]:
    """Return the declination of the sun (FAO 56, equation 24).

    Parameters
    ----------
    day_of_year : array_like
        1 January = 1.

    Returns
    -------
    ndarray of float64
        Of the same shape [rad].

    Examples
    --------
    >>> solar_declination(246).round(3).item()
    0.12
    """
    return np.asarray(0.409 * np.sin(2 * np.pi / YEAR * np.asarray(day_of_year) - 1.39))


def sunset_hour_angle(latitude: ArrayLike, day_of_year: ArrayLike) -> NDArray[np.float64]:
    """Return the hour angle of the sunset (FAO 56, equation 25).

    Parameters
    ----------
    latitude : array_like
        South negative [deg].
    day_of_year : array_like
        1 January = 1.

    Returns
    -------
    ndarray of float64
        Of their common shape [rad]: 0 where the sun does not rise, pi where it does not set.

    Examples
    --------
    >>> sunset_hour_angle(-20.0, 246).round(3).item(), sunset_hour_angle(80.0, 172).round(3).item()
    (1.527, 3.142)
    """
    product = -np.tan(np.radians(latitude)) * np.tan(solar_declination(day_of_year))
    return np.asarray(np.arccos(np.clip(product, -1.0, 1.0)))


def extraterrestrial_radiation(latitude: ArrayLike, day_of_year: ArrayLike) -> NDArray[np.float64]:
    """Return the daily radiation on a level surface above the air (FAO 56, equation 21).

    Parameters
    ----------
    latitude : array_like
        South negative [deg].
    day_of_year : array_like
        1 January = 1.

    Returns
    -------
    ndarray of float64
        Of their common shape [MJ m-2 day-1].

    Examples
    --------
    >>> extraterrestrial_radiation(-20.0, 246).round(1).item()
    32.2
    """
    phi = np.radians(latitude)
    delta = solar_declination(day_of_year)
    sunset = sunset_hour_angle(latitude, day_of_year)
    height = sunset * np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.sin(sunset)
    distance = inverse_relative_distance(day_of_year)
    radiation = MINUTES / np.pi * SOLAR_CONSTANT * distance * height
    return np.asarray(np.maximum(radiation, 0.0))  # rounding in the polar night


def daylight_hours(latitude: ArrayLike, day_of_year: ArrayLike) -> NDArray[np.float64]:
    """Return the hours from sunrise to sunset, without refraction (FAO 56, equation 34).

    Parameters
    ----------
    latitude : array_like
        South negative [deg].
    day_of_year : array_like
        1 January = 1.

    Returns
    -------
    ndarray of float64
        Of their common shape [h].

    Examples
    --------
    >>> daylight_hours(-20.0, 246).round(1).item()
    11.7
    """
    return np.asarray(24 / np.pi * sunset_hour_angle(latitude, day_of_year))


def reference_evapotranspiration(
    tmax: ArrayLike, tmin: ArrayLike, radiation: ArrayLike
) -> NDArray[np.float64]:
    """Return the reference evapotranspiration by Hargreaves and Samani (FAO 56, equation 52).

    Where the mean temperature is below -17.8 degC, the equation's own zero, nothing evaporates.

    Parameters
    ----------
    tmax, tmin : array_like
        Highest and lowest air temperature of the day [degC].
    radiation : array_like
        Extraterrestrial radiation [MJ m-2 day-1].

    Returns
    -------
    ndarray of float64
        Of their common shape [mm/day].

    Notes
    -----
    FAO 56 itself says that the equation gives too little in strong wind and too much in humid air.

    Examples
    --------
    >>> reference_evapotranspiration(26.6, 14.8, 40.6).round(1).item()
    5.0
    """
    tmax, tmin = np.asarray(tmax), np.asarray(tmin)
    warmth = np.maximum((tmax + tmin) / 2 + 17.8, 0.0)
    span = np.sqrt(np.maximum(tmax - tmin, 0.0))
    return np.asarray(0.0023 * warmth * span * MM_PER_MJ * np.asarray(radiation))
