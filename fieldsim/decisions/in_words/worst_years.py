"""The worst tenth of each option's years, compared between options on the same seasons."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsim.decisions.sampling import mean_error, quantile, told_apart

__all__ = ["WorstYears", "worst_years"]


class WorstYears(NamedTuple):
    """Mean cost of the worst years of each option, and which is told from all others.

    Parameters
    ----------
    mean : ndarray, shape (option,)
        [$].
    least : int
        Place of the option whose worst years cost least.
    more, more_error : ndarray, shape (option,)
        What the worst years of each cost more than those of `least`, and its standard error [$].
    sure : bool
        `least` is told apart from every other.
    """

    mean: NDArray[np.float64]
    least: int
    more: NDArray[np.float64]
    more_error: NDArray[np.float64]
    sure: bool


def worst_years(cost: NDArray[np.float64], share: float = 0.1) -> WorstYears:
    """Compare the expected shortfall of options, each over its own worst years.

    Parameters
    ----------
    cost : ndarray, shape (option, season)
        Total cost of each season [$].
    share : float
        Share of the seasons that are the worst [0..1].

    Returns
    -------
    WorstYears

    Notes
    -----
    The error of a difference is that of the mean of the paired influences: see
    `fieldsim.decisions.under_risk.risk.expected_shortfall`, whose formula this is, and its sources.

    Examples
    --------
    >>> found = worst_years(np.array([np.arange(100.0), np.arange(100.0) + 5]))
    >>> found.least, found.mean.tolist(), found.sure
    (0, [94.5, 99.5], True)
    """
    beyond = np.array([quantile(of_option, 1 - share).value for of_option in cost])
    influence = beyond[:, None] + np.maximum(cost - beyond[:, None], 0.0) / share
    mean = influence.mean(axis=1)
    least = int(mean.argmin())
    more = influence - influence[least]
    errors = np.array([mean_error(of_option) for of_option in more])
    others = [i for i in range(len(cost)) if i != least]
    sure = all(told_apart(mean[i] - mean[least], errors[i]) for i in others)
    return WorstYears(mean, least, mean - mean[least], errors, sure)
