"""Wet and dry days: the chain, and what the wet days of one season have in common.

Whether day d is wet hangs on the day before, whose state is s, and on a normal number S of the
season. The day is wet where

    sqrt(1 - r) e_d - sqrt(r) S < z_s(d)

with e_d and S independent and standard normal: over seasons, such a day is wet with the probability
Phi(z_s(d)) for any share r, and r = 0 is the chain of Richardson (1981). Without r, the wet days of
generated months and seasons vary less from year to year than recorded ones, which Katz and Parlange
(1998, Journal of Climate 11:591-601) call overdispersion.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from fieldsim.days.weather.generator_days import WET, RainDays, with_neighbours
from fieldsim.days.weather.generator_estimates import Estimate, jackknife

__all__ = ["fit_chain", "fit_season_share", "wet_scores"]

Floats = NDArray[np.float64]

FARTHEST = 5  # months apart: what they share, a field season of half a year shares
FEWEST_KNOWN = 20  # days of a month with rain known, for its wet share to be compared
LARGEST_SHARE = 0.2  # of the season; records of the Corn Belt have some 0.01


def fit_chain(days: RainDays) -> tuple[Estimate, Estimate]:
    """Count P(wet | wet the day before) and P(wet | dry the day before) by month of the later day.

    Parameters
    ----------
    days : RainDays

    Returns
    -------
    tuple of two Estimates, shape (month,)
        Probabilities [0..1].
    """
    before, today = days.rain[:-1], days.rain[1:]
    known = ~np.isnan(before + today)
    estimates = []
    for state, kind in ((before >= WET, "wet"), (before < WET, "dry")):
        follows = np.flatnonzero(known & state) + 1
        after = days.by_month(follows)
        wet = days.by_month(follows[days.rain[follows] >= WET])
        near = with_neighbours(after.sum(axis=0), f"days that follow a {kind} day")
        estimates.append(_fit_probability(wet @ near, after @ near))
    return estimates[0], estimates[1]


def _fit_probability(hits: Floats, days: Floats) -> Estimate:
    """Estimate probabilities from the days of each year and month, and those that count."""
    k, n = hits.sum(axis=0), days.sum(axis=0)
    estimate = jackknife(_probability(k, n), _probability(k - hits, n - days), days > 0)
    never = (k == 0) | (k == n)  # no year differs from another: the error of half a day in n
    binomial = np.sqrt(estimate.value * (1 - estimate.value) / (n + 1))
    return estimate._replace(error=np.where(never, binomial, estimate.error))


def _probability(k: Floats, n: Floats) -> Floats:
    with np.errstate(invalid="ignore", divide="ignore"):  # a year may hold all the days
        return np.where((k == 0) | (k == n), (k + 0.5) / (n + 1), k / n)


def fit_season_share(days: RainDays, wet_after_wet: Floats, wet_after_dry: Floats) -> Estimate:
    """Estimate the share r of variance that the days of a season have in common.

    By moments: S moves the wet share of a month by sqrt(r) times a slope, so the wet shares of two
    months of one year covary by r times the product of their slopes. The recorded covariances of
    months one to five apart, added up, are held against those products, added up.

    Parameters
    ----------
    days : RainDays
    wet_after_wet, wet_after_dry : ndarray, shape (month,)
        P(W|W) and P(W|D) [0..1].

    Returns
    -------
    Estimate
        One share [0..1]; 0 where wet months go with dry ones, and from a single year.
    """
    a, b = wet_after_wet, wet_after_dry
    slope = _slope(a, b)
    known = days.by_month(np.flatnonzero(~np.isnan(days.rain)))
    wet = days.by_month(np.flatnonzero(days.rain >= WET))
    use = known >= FEWEST_KNOWN
    years = use.sum(axis=0)
    share = np.divide(wet, known, out=np.zeros_like(wet), where=use)
    mean = share.sum(axis=0) / np.maximum(years, 1)
    # n / (n - 1), since a year's departure is taken from a mean that it is part of
    unbias = np.sqrt(years / np.maximum(years - 1, 1))
    departure = np.where(use, (share - mean) * unbias, 0.0)
    pairs = np.triu(np.ones((12, 12)), 1) - np.triu(np.ones((12, 12)), FARTHEST + 1)
    products = np.einsum("ym,mn,yn->y", departure, pairs, departure)
    slopes = np.einsum("ym,mn,yn->y", use * slope, pairs, use * slope)
    with np.errstate(invalid="ignore", divide="ignore"):
        value = products.sum() / slopes.sum()
        without = (products.sum() - products) / (slopes.sum() - slopes)
    estimate = jackknife(value, without, slopes > 0)
    return estimate._replace(value=np.clip(np.nan_to_num(value), 0.0, LARGEST_SHARE))


def wet_scores(after_wet: Floats, after_dry: Floats, share: float) -> Floats:
    """Return the normal scores z below which a day is wet.

    P(wet | wet) as counted over all seasons is more than its mean over seasons, since wet seasons
    have more wet days to count after; P(wet | dry) is less. The scores are those of the means over
    seasons, to first order in the share.

    Parameters
    ----------
    after_wet, after_dry : ndarray, shape (day,)
        P(wet | wet) and P(wet | dry) as counted over all seasons [0..1].
    share : float
        Share of variance that the days of a season have in common [0..1].

    Returns
    -------
    ndarray, shape (state of the day before, day)
        Normal scores [-]; state 0 is dry, 1 wet. Those of the first day, which has no day before,
        are both the score of the stationary share.

    Examples
    --------
    >>> half = np.array([0.5, 0.5])
    >>> wet_scores(half, half, share=0.0)
    array([[0., 0.],
           [0., 0.]])
    """
    stationary = after_dry / (1 - after_wet + after_dry)
    surplus = share * _slope(after_wet, after_dry)
    after = np.stack(
        [
            after_dry + surplus * _density(after_dry) / (1 - stationary),
            after_wet - surplus * _density(after_wet) / stationary,
        ]
    )
    after[:, 0] = stationary[0]
    scores: Floats = ndtri(after)
    return scores


def _slope(a: Floats, b: Floats) -> Floats:
    """Return how the stationary share b / (1 - a + b) moves if a and b move by their densities."""
    return ((1 - a) * _density(b) + b * _density(a)) / (1 - a + b) ** 2


def _density(probability: Floats) -> Floats:
    """Return the standard normal density where the distribution function is so much."""
    density: Floats = np.exp(-(ndtri(probability) ** 2) / 2) / np.sqrt(2 * np.pi)
    return density
