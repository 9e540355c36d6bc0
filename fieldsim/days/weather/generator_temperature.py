"""Means and standard deviations of temperature over the year, on dry and on wet days.

Mean and ln variance of Tmax and of Tmin are sums of harmonics of the year (Richardson 1981), and so
is the effect that a wet day has on each, with fewer harmonics.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.weather.generator_months import YEAR

__all__ = [
    "MEAN_TERMS",
    "SPREAD_TERMS",
    "Harmonics",
    "Temperatures",
    "fit_harmonics",
    "temperature_course",
]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MEAN_TERMS = (3, 2)  # harmonics of the mean of dry days, and of the effect of a wet day on it
SPREAD_TERMS = (2, 1)  # the same of ln variance
# The harmonics of the wet day's effect are held back as by so many days on which it is the same all
# year: where whole months have hardly a wet day they would swing widely there.
STIFFNESS = 10.0
LEAST_VARIANCE = 1e-6  # [degC^2]
STEPS = 200
TOLERANCE = 1e-10


class Temperatures(NamedTuple):
    """Days with rain and both temperatures known, in order."""

    day: Ints  # (n,) days since the record began
    year: Ints  # (n,) index of the year
    place: Ints  # (n,) day of the year, 0 to 364
    wet: Ints  # (n,) 0 or 1
    degrees: Floats  # (n, variable) Tmax and Tmin [degC]


class Harmonics(NamedTuple):
    """Coefficients from all years, and from all years but each."""

    value: Floats  # (coefficient, variable)
    without: Floats  # (year, coefficient, variable)


def temperature_course(coefficients: Floats, terms: tuple[int, int]) -> Floats:
    """Return the sum of harmonics.

    Parameters
    ----------
    coefficients : ndarray, shape (..., coefficient, variable)
    terms : tuple of int
        Number of harmonics of dry days, and of the effect of a wet day.

    Returns
    -------
    ndarray, shape (..., state, day of year, variable)
        State 0 is dry, 1 wet.
    """
    course: Floats = np.einsum("sdc,...cv->...sdv", _harmonics(terms), coefficients)
    return course


def _harmonics(terms: tuple[int, int]) -> Floats:
    """Return the value of each harmonic, shape (state, day of year, coefficient)."""
    angle = 2 * np.pi * (np.arange(YEAR) + 0.5) / YEAR
    dry, wet = (
        np.column_stack(
            [np.ones(YEAR)]
            + [wave(k * angle) for k in range(1, n + 1) for wave in (np.cos, np.sin)]
        )
        for n in terms
    )
    return np.stack([np.hstack([dry, np.zeros_like(wet)]), np.hstack([dry, wet])])


def _stiffness(terms: tuple[int, int]) -> Floats:
    """Return what is added to the normal equations, shape (coefficient, coefficient)."""
    dry, wet = (2 * n + 1 for n in terms)
    return np.diag([0.0] * (dry + 1) + [STIFFNESS] * (wet - 1))


def fit_harmonics(weather: Temperatures, years: int) -> tuple[Harmonics, Harmonics]:
    """Fit the harmonics of the mean by least squares and of ln variance by maximum likelihood.

    Days count alike, and the error of neighbouring days is taken as independent for the fit (not
    for its error, which comes from whole years). The variance of normal residuals r with a
    logarithmic link is fitted by Fisher scoring: ln variance moves by
    (X'X)^-1 X'(r^2 / variance - 1) until it stands.

    Parameters
    ----------
    weather : Temperatures
    years : int
        Number of years in the record.

    Returns
    -------
    tuple of two Harmonics
        Of the mean [degC], with `MEAN_TERMS`, and of ln variance [ln degC^2], with `SPREAD_TERMS`.

    Raises
    ------
    ValueError
        If the temperatures never differ.
    """
    days, totals, squares = _sums(weather, years)
    mean = _least_squares(days, totals)
    fitted = temperature_course(mean.value, MEAN_TERMS).reshape(2 * YEAR, 2)
    squares = squares - 2 * fitted * totals + fitted**2 * days[..., None]
    return mean, _log_variance(days, np.maximum(squares, 0.0))


def _sums(weather: Temperatures, years: int) -> tuple[Floats, Floats, Floats]:
    """Return days, sums and sums of squares, shape (year, state and day of year[, variable])."""
    shape = (years, 2 * YEAR)
    index = np.ravel_multi_index((weather.year, weather.wet * YEAR + weather.place), shape)
    days, *rest = (
        np.bincount(index, weights, minlength=years * 2 * YEAR).reshape(shape)
        for weights in (None, *weather.degrees.T, *(weather.degrees**2).T)
    )
    return days.astype(np.float64), np.stack(rest[:2], axis=-1), np.stack(rest[2:], axis=-1)


def _information(days: Floats, terms: tuple[int, int]) -> tuple[Floats, Floats]:
    """Return harmonics by state and day, and X'X of each year, shape (year, coef., coef.)."""
    x = _harmonics(terms).reshape(2 * YEAR, -1)
    products = (x[:, :, None] * x[:, None, :]).reshape(2 * YEAR, -1)
    # einsum, since threads of a matrix product cost far more than so small a one
    information = np.einsum("yg,gk->yk", days, products)
    return x, information.reshape(len(days), x.shape[1], x.shape[1])


def _least_squares(days: Floats, totals: Floats) -> Harmonics:
    x, information = _information(days, MEAN_TERMS)
    moments = np.einsum("gc,ygv->ycv", x, totals)
    whole = information.sum(axis=0) + _stiffness(MEAN_TERMS)
    value = np.linalg.solve(whole, moments.sum(axis=0))
    # Less what the year tells beyond the fit, weighed without the year: the exact leave-one-out.
    surplus = moments - information @ value
    return Harmonics(value, value - _solve(whole - information, surplus))


def _log_variance(days: Floats, squares: Floats) -> Harmonics:
    x, information = _information(days, SPREAD_TERMS)
    stiffness = _stiffness(SPREAD_TERMS)
    whole = information.sum(axis=0) + stiffness
    all_days, all_squares = days.sum(axis=0)[:, None], squares.sum(axis=0)
    variance = all_squares.sum(axis=0) / all_days.sum()
    if (variance < LEAST_VARIANCE).any():
        raise ValueError("the temperatures of the record never differ")
    value = np.zeros((x.shape[1], 2))
    value[0] = np.log(variance)
    for _ in range(STEPS):
        scaled = all_squares * np.exp(-x @ value) - all_days
        step = np.linalg.solve(whole, x.T @ scaled - stiffness @ value)
        value = value + step
        if np.abs(step).max() < TOLERANCE:
            break
    surplus = np.einsum("gc,ygv->ycv", x, squares * np.exp(-x @ value) - days[..., None])
    return Harmonics(value, value - _solve(whole - information, surplus))


def _solve(matrices: Floats, right: Floats) -> Floats:
    """Solve for each year; a year without which nothing is left has nan."""
    regular = np.linalg.cond(matrices) < 1e12
    solved = np.full(right.shape, np.nan)
    solved[regular] = np.linalg.solve(matrices[regular], right[regular])
    return solved
