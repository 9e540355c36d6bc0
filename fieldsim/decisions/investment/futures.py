"""Futures of several years, drawn from simulated seasons, and the Monte Carlo error of both draws.

A figure of many futures is unsure because there are so many of them, and because the seasons they
are drawn from are themselves a sample; the second weighs more, since futures share their seasons.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from fieldsim.decisions.sampling import Quantile, Z, mean_error, quantile, share_error
from fieldsim.randomness import stream

__all__ = ["draw_futures", "future_error", "future_quantile", "future_share_error"]

STREAM = "decisions.investment.years"


def draw_futures(
    seasons: int,
    years: int,
    futures: int,
    seed: int,
    replicate: NDArray[np.int64] | None = None,
) -> NDArray[np.int64]:
    """Draw the seasons of each future's years, each year from all seasons, with replacement.

    Parameters
    ----------
    seasons : int
        How many there are to draw from.
    years, futures, seed : int
    replicate : ndarray of int64, shape (season,), optional
        Not falling, counted from 0: which replicate of the day source each season is from. A future
        then draws from one of them, the futures taking turns, since its years have one truth.

    Returns
    -------
    ndarray of int64, shape (future, year)
        Numbers of seasons.

    Examples
    --------
    >>> draw_futures(1000, 10, 500, 0).shape
    (500, 10)
    """
    rng = stream(seed, STREAM)
    if replicate is None:
        return rng.integers(seasons, size=(futures, years))
    sizes = np.bincount(replicate)
    turn = np.arange(futures)[:, None] % len(sizes)
    first = np.cumsum(sizes) - sizes
    return np.asarray(first[turn] + rng.integers(sizes[turn], size=(futures, years)))


def future_error(
    values: NDArray[np.float64],
    drawn: NDArray[np.int64],
    seasons: int,
    replicate: NDArray[np.int64] | None = None,
) -> float:
    """Return the standard error of a mean over futures; nan for a single future.

    Parameters
    ----------
    values : ndarray, shape (future,)
        A figure of each future.
    drawn : ndarray of int64, shape (future, year)
        From `draw_futures`.
    seasons : int
        How many they were drawn from.
    replicate : ndarray of int64, shape (season,), optional
        As for `draw_futures`: the error is then that of so many replicates.

    Returns
    -------
    float
        In the unit of the values.

    Notes
    -----
    The mean is a function of the sample of seasons, and its variance that of the futures given the
    seasons plus that of its first-order (Hajek) projection on them: van der Vaart (1998),
    Asymptotic Statistics, sections 11.3 and 12.1 (from memory). The projection of a season is the
    sum of what the futures that hold it lie off the mean; the part of its square that single
    futures explain by themselves is taken off.

    Examples
    --------
    Means of two drawn years, from 100 seasons: little is gained by the last 99,000 futures.

    >>> seasons = np.arange(100.0)
    >>> drawn = draw_futures(100, 2, 100_000, 0)
    >>> round(future_error(seasons[drawn].mean(axis=1), drawn, 100), 1)
    2.9
    >>> round(float(seasons.std() / 10), 1)
    2.9
    """
    futures, years = drawn.shape
    if futures < 2:
        return math.nan
    if replicate is not None:
        of_future = replicate[drawn[:, 0]]
        return mean_error(np.array([values[of_future == r].mean() for r in np.unique(of_future)]))
    off = values - values.mean()
    squares = float(off @ off)
    by_season = np.bincount(drawn.ravel(), np.repeat(off, years), seasons)
    of_seasons = max(0.0, float(by_season @ by_season) - years * squares) / futures**2
    return math.sqrt(of_seasons + squares / (futures - 1) / futures)


def future_share_error(
    holds: NDArray[np.bool_],
    drawn: NDArray[np.int64],
    seasons: int,
    replicate: NDArray[np.int64] | None = None,
) -> float:
    """Return the standard error of a share of futures.

    Parameters
    ----------
    holds : ndarray of bool, shape (future,)
    drawn, seasons, replicate
        As for `future_error`.

    Returns
    -------
    float
        As a share; where all futures agree, that of as many futures as the seasons can fill
        without sharing any.
    """
    share = float(holds.mean())
    if 0 < share < 1:
        return future_error(holds.astype(np.float64), drawn, seasons, replicate)
    futures, years = drawn.shape
    return share_error(share, max(1, min(futures, seasons // years)))


def future_quantile(
    values: NDArray[np.float64],
    share: float,
    drawn: NDArray[np.int64],
    seasons: int,
    replicate: NDArray[np.int64] | None = None,
) -> Quantile:
    """Return a quantile over futures with its 95 % band; nan counts as larger than all else.

    Parameters
    ----------
    values : ndarray, shape (future,)
    share : float
        0..1.
    drawn, seasons, replicate
        As for `future_error`.

    Returns
    -------
    Quantile
        The band runs between the quantiles of the shares that lie as far off as the share of
        values below the quantile is unsure.
    """
    value = quantile(values, share).value
    margin = Z * future_share_error(values <= value, drawn, seasons, replicate)
    low, high = max(share - margin, 0.0), min(share + margin, 1.0)
    return Quantile(value, quantile(values, low).value, quantile(values, high).value)
