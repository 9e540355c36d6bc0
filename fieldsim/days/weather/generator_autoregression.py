"""How the temperatures of a day hang together, and with those of the day before (Richardson 1981).

The residuals X = (T - mean) / sd of Tmax and Tmin on day d are X_d = A X_(d-1) + B e_d, with
independent standard normal e.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.weather.generator_estimates import Estimate, jackknife
from fieldsim.days.weather.generator_temperature import (
    MEAN_TERMS,
    SPREAD_TERMS,
    Temperatures,
    temperature_course,
)

__all__ = ["autoregression", "fit_correlations"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_NOISE = 1e-6  # variance of what a day adds, of 1


def fit_correlations(
    weather: Temperatures, years: int, mean: Floats, log_variance: Floats
) -> tuple[Estimate, Estimate]:
    """Estimate how standardized residuals hang together on a day and from one day to the next.

    Parameters
    ----------
    weather : Temperatures
    years : int
        Number of years in the record.
    mean, log_variance : ndarray, shape (coefficient, variable)
        Fitted harmonics.

    Returns
    -------
    tuple of two Estimates, shape (variable, variable)
        M0: correlations [-] of a day's residuals. M1: of the residual of a day (row) and that of
        the day before (column).
    """
    at = weather.wet, weather.place
    deviation = np.exp(temperature_course(log_variance, SPREAD_TERMS)[at] / 2)
    residuals = (weather.degrees - temperature_course(mean, MEAN_TERMS)[at]) / deviation
    follows = np.flatnonzero(np.diff(weather.day) == 1)
    today, before = residuals[follows + 1], residuals[follows]
    return (
        _correlations(residuals, residuals, weather.year, years),
        _correlations(today, before, weather.year[follows + 1], years),
    )


def _correlations(left: Floats, right: Floats, year: Ints, years: int) -> Estimate:
    """Return correlations about zero of two sets of residuals, shape (variable, variable)."""
    parts = [left[:, :, None] * right[:, None, :], left**2, right**2]
    products, lefts, rights = (
        np.stack(
            [
                np.bincount(year, column, minlength=years)
                for column in part.reshape(len(year), -1).T
            ],
            axis=-1,
        )
        for part in parts
    )
    products = products.reshape(years, 2, 2)

    def correlate(p: Floats, a: Floats, b: Floats) -> Floats:
        with np.errstate(invalid="ignore", divide="ignore"):
            return p / np.sqrt(a[..., :, None] * b[..., None, :])

    sums = products.sum(axis=0), lefts.sum(axis=0), rights.sum(axis=0)
    without = correlate(sums[0] - products, sums[1] - lefts, sums[2] - rights)
    return jackknife(correlate(*sums), without, (lefts.sum(axis=1) > 0)[:, None, None])


def autoregression(same_day: Floats, next_day: Floats) -> tuple[Floats, Floats]:
    """Return the matrices of the bivariate autoregression.

    A = M1 M0^-1 and B B' = M0 - A M1' (Richardson 1981, after Matalas 1967, Water Resources
    Research 3:937-945); B is the lower triangular root.

    Parameters
    ----------
    same_day, next_day : ndarray, shape (variable, variable)
        M0 and M1; see `fit_correlations`.

    Returns
    -------
    tuple of two ndarrays, shape (variable, variable)
        A and B [-].

    Raises
    ------
    ValueError
        If no such autoregression exists, as when Tmin follows from Tmax.

    Examples
    --------
    >>> a, b = autoregression(np.eye(2), np.diag([0.6, 0.8]))
    >>> a.round(12).tolist(), b.round(12).tolist()
    ([[0.6, 0.0], [0.0, 0.8]], [[0.8, 0.0], [0.0, 0.6]])
    """
    a: Floats = next_day @ np.linalg.pinv(np.nan_to_num(same_day))
    noise: Floats = same_day - a @ next_day.T
    # nan, too, is not more than the least
    if not (np.linalg.eigvalsh(np.nan_to_num(noise)).min() > LEAST_NOISE):
        raise ValueError(
            "no autoregression of Tmax and Tmin: one follows from the other, or from the day "
            "before, or no two neighbouring days have all figures"
        )
    return a, np.linalg.cholesky(noise).astype(np.float64)
