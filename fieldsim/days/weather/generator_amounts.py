"""Rain of a wet day: a gamma distribution above the wet threshold, fitted and drawn.

Rain of a wet day = `WET` + a gamma amount with shape [-] and scale [mm] (Richardson 1981 uses the
exponential distribution, the gamma of shape 1; the gamma is that of Buishand 1978, Journal of
Hydrology 36:295-308, and of most generators since).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import digamma, gammainccinv, polygamma

from fieldsim.days.weather.generator_days import WET, RainDays, with_neighbours
from fieldsim.days.weather.generator_estimates import Estimate, jackknife

__all__ = ["POINTS_A_UNIT", "WET", "Amounts", "fit_amounts", "fit_gamma", "gamma_quantiles"]

Floats = NDArray[np.float64]

# Rain from which amounts are told apart [mm]: between 0.04 and 0.05 inch and between 1.1 and 1.2 mm
TOLD = 1.15
TERMS = 25
STEPS = 300
STEPS_BESIDE = 6  # of a fit that begins beside its end
TOLERANCE = 1e-11  # of the shape
LARGEST_SHAPE = 100.0  # amounts that differ by a tenth; daily rain has about 0.7
LEAST_SPREAD = 0.001  # of ln mean less mean ln; amounts that do not differ get a shape of 500
POINTS_A_UNIT = 100
LAST_POINT = 6 * POINTS_A_UNIT  # of a standard exponential number it is passed once in 4e15


class Amounts(NamedTuple):
    """What the likelihood needs of a set of wet days; sets of the same shape are fitted at once."""

    little: Floats  # days with less than TOLD
    told: Floats  # days with at least TOLD
    excess: Floats  # sum of their rain above WET [mm]
    logs: Floats  # sum of the logarithms of it [ln mm]


def fit_amounts(days: RainDays) -> tuple[Estimate, Estimate, Estimate]:
    """Fit the rain of wet days month by month; see `fit_gamma`.

    Parameters
    ----------
    days : RainDays

    Returns
    -------
    tuple of three Estimates, shape (month,)
        Shape [-], scale [mm], and mean rain of a wet day, `WET` + shape scale [mm].

    Raises
    ------
    ValueError
        If fewer than 10 days have rain of 1.15 mm, or the amounts of a month hardly differ.
    """
    wet = np.flatnonzero(days.rain >= WET)
    told = wet[days.rain[wet] >= TOLD]
    excess = days.rain[told] - WET
    sums = (
        days.by_month(wet) - days.by_month(told),
        days.by_month(told),
        days.by_month(told, excess),
        days.by_month(told, np.log(excess)),
    )
    near = with_neighbours(sums[1].sum(axis=0), f"days with {TOLD} mm of rain")
    by_year = Amounts(*(part @ near for part in sums))
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        shape, scale = fit_gamma(Amounts(*(part.sum(axis=0) for part in by_year)))
    if not (shape < LARGEST_SHAPE).all():
        raise ValueError("the rain of wet days hardly differs: it is no record of daily rain")
    without = Amounts(*(part.sum(axis=0) - part for part in by_year))
    start = np.broadcast_to(shape, without.told.shape), np.broadcast_to(scale, without.told.shape)
    with np.errstate(invalid="ignore", divide="ignore"):  # a year may hold all days of a month
        shapes, scales = fit_gamma(without, start, STEPS_BESIDE)
    present = by_year.told > 0
    return (
        jackknife(shape, shapes, present),
        jackknife(scale, scales, present),
        jackknife(WET + shape * scale, WET + shapes * scales, present),
    )


def fit_gamma(
    amounts: Amounts, start: tuple[Floats, Floats] | None = None, steps: int = STEPS
) -> tuple[Floats, Floats]:
    """Fit shape and scale by maximum likelihood.

    A gauge reads in steps, and the logarithm of the least step above the threshold (0.25 mm by one
    gauge, 0.254 by another) would decide the shape. Days with less than 1.15 mm therefore count in
    the likelihood as having had less, and no more is made of them: maximum likelihood with left
    censoring, by expectation-maximization (Dempster, Laird and Rubin 1977, J. R. Stat. Soc. B
    39:1-38), begun from the approximation of Thom (1958, Monthly Weather Review 86:117-122).

    Parameters
    ----------
    amounts : Amounts
        Each with at least one day told.
    start : tuple of two ndarrays, optional
        Shape and scale to begin from; default: Thom's approximation.
    steps : int
        The most steps of expectation-maximization.

    Returns
    -------
    tuple of two ndarrays
        Shape [-] and scale [mm].

    Examples
    --------
    >>> rain = WET + 8.0 * np.random.default_rng(0).gamma(0.75, size=100_000)
    >>> told = rain[rain >= TOLD] - WET
    >>> sums = (len(rain) - len(told), len(told), told.sum(), np.log(told).sum())
    >>> shape, scale = fit_gamma(Amounts(*map(np.asarray, sums)))
    >>> round(float(shape), 2), round(float(scale), 1)
    (0.75, 8.0)
    """
    least = TOLD - WET
    shape, scale = start or _thom(*_completed(amounts, least / 2, np.log(least) - 1))
    for _ in range(steps):
        before = shape
        mean, spread = _completed(amounts, *_below(least, shape, scale))
        shape = _newton(shape, spread)
        scale = mean / shape
        if np.all(np.abs(shape - before) <= TOLERANCE * shape):
            break
    return shape, scale


def _completed(
    amounts: Amounts, mean_little: Floats | float, log_little: Floats | float
) -> tuple[Floats, Floats]:
    """Return the mean, and its ln less the mean ln, given the means of the days with little."""
    days = amounts.little + amounts.told
    mean = (amounts.excess + amounts.little * mean_little) / days
    spread = np.log(mean) - (amounts.logs + amounts.little * log_little) / days
    return mean, np.maximum(spread, LEAST_SPREAD)


def _thom(mean: Floats, spread: Floats) -> tuple[Floats, Floats]:
    """Return shape and scale by Thom (1958)."""
    shape = (1 + np.sqrt(1 + 4 * spread / 3)) / (4 * spread)
    return shape, mean / shape


def _newton(shape: Floats, spread: Floats) -> Floats:
    """Return the root of ln(shape) - digamma(shape) = spread, one Newton step in 1/shape nearer."""
    excess = np.log(shape) - digamma(shape) - spread
    inverse = 1 / shape - excess / (shape**2 * (polygamma(1, shape) - 1 / shape))
    # held to shapes above 0 and below 1000: polygamma takes hours over large negative numbers
    return 1 / np.maximum(inverse, LEAST_SPREAD)


def _below(least: float, shape: Floats, scale: Floats) -> tuple[Floats, Floats]:
    """Return the means of an amount and of its logarithm, given that it is less than `least`.

    With u = amount / least the density is u^(shape - 1) exp(-y u), y = least / scale; the
    exponential is taken as its series, term by term.
    """
    k = np.arange(TERMS)
    factorials = np.cumprod(np.maximum(k, 1.0))
    y = np.minimum(least / scale, 5.0)  # of 0.2 here; far beyond 5 the series would lose its digits
    terms = (-y[..., None]) ** k / factorials
    share = (terms / (shape[..., None] + k)).sum(axis=-1)
    mean = (terms / (shape[..., None] + k + 1)).sum(axis=-1) / share
    logarithm = -(terms / (shape[..., None] + k) ** 2).sum(axis=-1) / share
    return least * mean, np.log(least) + logarithm


def gamma_quantiles(shapes: Floats) -> Floats:
    """Return tables that turn standard exponential numbers into gamma numbers of mean 1.

    An exponential number E is passed with probability exp(-E), and so is the gamma number that
    belongs to it. Over the square root of E the gamma number runs so smoothly that straight lines
    between the points of a table serve: for shapes from 0.3 to 1.5 they are off by less than 2e-4
    of the mean and raise the mean by less than 5e-5.

    Parameters
    ----------
    shapes : ndarray, shape (n,)
        Shapes of the gamma distribution [-].

    Returns
    -------
    ndarray, shape (n, point)
        Gamma numbers of mean 1 [-] at E = (point / POINTS_A_UNIT)^2.

    Examples
    --------
    >>> table = gamma_quantiles(np.array([1.0]))
    >>> np.allclose(table[0], (np.arange(LAST_POINT + 1) / POINTS_A_UNIT) ** 2)
    True
    """
    roots = np.arange(LAST_POINT + 1) / POINTS_A_UNIT
    quantiles: Floats = gammainccinv(shapes[:, None], np.exp(-(roots**2))) / shapes[:, None]
    return quantiles
