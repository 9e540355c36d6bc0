"""When the soil is warm enough to plant, where there is no weather to tell: quantiles of dates."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from fieldsim.days.contract import DaySource
from fieldsim.randomness import Seasons, by_season
from fieldsim.season import CalendarDay, Season

__all__ = ["WarmDates", "drawn_warm_days"]

PILOT_SEASONS = 2000


@dataclass(frozen=True)
class WarmDates:
    """Dates by which the soil is warm, and how they go with the wetness of the season.

    Parameters
    ----------
    percentiles : tuple of float
        Share of years in which the soil is warm by the date [0..1], rising, at least two.
    dates : tuple of CalendarDay
        One for each percentile, in the order of the calendar.
    wetness_correlation : float
        Correlation between the normal scores of the date and of the season's wetness, the lack of
        suitable days [-1..1]; above 0: wet springs get warm late.

    Raises
    ------
    ValueError
        If the percentiles do not rise within 0 and 1, there are not as many dates, or the
        correlation lies outside -1 and 1.

    Examples
    --------
    >>> dates = (CalendarDay(4, 5), CalendarDay(4, 16), CalendarDay(5, 1))
    >>> WarmDates((0.1, 0.5, 0.9), dates).wetness_correlation
    0.0
    """

    percentiles: tuple[float, ...]
    dates: tuple[CalendarDay, ...]
    wetness_correlation: float = 0.0

    def __post_init__(self) -> None:
        rising = all(np.diff([0.0, *self.percentiles, 1.0]) > 0)
        if len(self.percentiles) < 2 or not rising or len(self.dates) != len(self.percentiles):
            raise ValueError("percentiles: two or more, rising between 0 and 1, with a date each")
        if not -1 <= self.wetness_correlation <= 1:
            raise ValueError("wetness_correlation: from -1 to 1 is allowed")


def drawn_warm_days(
    warm: WarmDates, source: DaySource, season: Season, seasons: Seasons, seed: int
) -> NDArray[np.int64]:
    """Draw the day from which the soil is warm, for the seasons that a source draws.

    Between the percentiles dates are interpolated linearly; beyond them the slope of the outermost
    interval goes on. The wetness of a season is the rank of its suitable days among those of a
    pilot draw that is the same for every seed.

    Parameters
    ----------
    warm : WarmDates
    source : DaySource
    season : Season
    seasons : int or range
    seed : int
        As for the source's draw; its seasons and these dates belong together.

    Returns
    -------
    ndarray of int64, shape (season,)
        Day index, at least 0, at most the number of days of the season.
    """
    own = by_season(seed, "days.warm", seasons, lambda random, n: random.standard_normal(n))
    rho = warm.wetness_correlation
    score = own
    if rho:
        pilot = _pilot(source, season)
        rank = np.searchsorted(pilot, _totals(source, season, seasons, seed)) / len(pilot)
        wetness = -ndtri(np.clip(rank, 0.5 / len(pilot), 1 - 0.5 / len(pilot)))
        score = rho * wetness + math.sqrt(1 - rho * rho) * own
    shares = np.array(warm.percentiles)
    days = np.array([season.index(day) for day in warm.dates], dtype=float)
    below = days[0] - (days[1] - days[0]) / (shares[1] - shares[0]) * shares[0]
    above = days[-1] + (days[-1] - days[-2]) / (shares[-1] - shares[-2]) * (1 - shares[-1])
    drawn = np.interp(ndtr(score), [0.0, *shares, 1.0], [below, *days, above])
    rounded: NDArray[np.float64] = np.clip(np.rint(drawn), 0, season.days)
    return rounded.astype(np.int64)


def _totals(source: DaySource, season: Season, seasons: Seasons, seed: int) -> NDArray[np.float64]:
    """Return the suitable days of each season, the mean over the soils."""
    totals: NDArray[np.float64] = source.draw(season, seasons, seed).mean(axis=1).sum(axis=-1)
    return totals


@lru_cache(maxsize=8)
def _pilot(source: DaySource, season: Season) -> NDArray[np.float64]:
    """Return the suitable days of pilot seasons in rising order."""
    return np.sort(_totals(source, season, PILOT_SEASONS, 0))
