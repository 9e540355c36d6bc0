"""Exact shares, covariances and runs of the days of a daily chain."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.daily_chain import DailyChain, daily_probabilities, stationary_share
from fieldsim.season import Season

__all__ = ["ChainMoments", "chain_moments"]


@dataclass(frozen=True, eq=False)
class ChainMoments:
    """What a chain has exactly over the days of a season.

    Parameters
    ----------
    share : ndarray, shape (day,)
        Chance that the day is suitable [0..1].
    covariance : ndarray, shape (day, day)
        Covariance of the days [-].
    after_suitable, after_unsuitable : float
        P(suitable | the day before suitable), and unsuitable, pooled over the season [0..1].
    suitable_run, unsuitable_run : float
        Suitable (unsuitable) days of a season over their runs, both in the mean [days]; a run may
        be cut off by the season's ends.
    stays_unsuitable : ndarray, shape (day,)
        Chance that the day is unsuitable, given that the day before is [0..1].
    """

    share: NDArray[np.float64]
    covariance: NDArray[np.float64]
    after_suitable: float
    after_unsuitable: float
    suitable_run: float
    unsuitable_run: float
    stays_unsuitable: NDArray[np.float64]


def chain_moments(chain: DailyChain, season: Season) -> ChainMoments:
    """Return the exact moments of a chain.

    With a and b the probabilities of a day after a suitable and an unsuitable one, the share goes
    s_d = b_d + (a_d - b_d) s_(d-1) from the stationary share on, and for e > d
    Cov(d, e) = s_d (1 - s_d) times the product of (a - b) over the days d + 1 to e.

    Parameters
    ----------
    chain : DailyChain
    season : Season

    Returns
    -------
    ChainMoments

    Examples
    --------
    >>> from datetime import date
    >>> from fieldsim.season import CalendarDay
    >>> chain = DailyChain((CalendarDay(5, 1),), (0.8,), (0.2,))
    >>> moments = chain_moments(chain, Season(date(2026, 5, 1), date(2026, 5, 3)))
    >>> moments.covariance.round(3).tolist()
    [[0.25, 0.15, 0.09], [0.15, 0.25, 0.15], [0.09, 0.15, 0.25]]
    """
    after_suitable, after_unsuitable = daily_probabilities(chain, season)
    memory = after_suitable - after_unsuitable
    share = np.empty(season.days)
    share[0] = stationary_share(after_suitable[0], after_unsuitable[0])
    for day in range(1, season.days):
        share[day] = after_unsuitable[day] + memory[day] * share[day - 1]
    covariance = np.diag(share * (1 - share))
    for day in range(season.days - 1):
        later = covariance[day, day] * np.cumprod(memory[day + 1 :])
        covariance[day, day + 1 :] = covariance[day + 1 :, day] = later
    before, dry, wet = share[:-1], after_suitable[1:], after_unsuitable[1:]
    return ChainMoments(
        share=share,
        covariance=covariance,
        after_suitable=float((before * dry).sum() / before.sum()),
        after_unsuitable=float(((1 - before) * wet).sum() / (1 - before).sum()),
        suitable_run=float(share.sum() / (share[0] + ((1 - before) * wet).sum())),
        unsuitable_run=float((1 - share).sum() / (1 - share[0] + (before * (1 - dry)).sum())),
        stays_unsuitable=1 - after_unsuitable,
    )
