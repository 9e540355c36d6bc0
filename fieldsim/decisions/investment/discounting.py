"""Cash flows of several years: what they are worth today, when they pay back, what they earn."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.ranges import number_in_range

__all__ = ["discount_factors", "net_present_value", "payback_year", "rate_of_return"]

LOWEST_RATE = -0.5  # 1/year
HIGHEST_RETURN = 100.0  # 1/year; what earns more pays back within days


def discount_factors(rate: float, years: int) -> NDArray[np.float64]:
    """Return what a dollar at the end of each year is worth at the start.

    Parameters
    ----------
    rate : float
        [1/year], -0.5 to 1; real where cash flows are in today's dollars.
    years : int

    Returns
    -------
    ndarray of float64, shape (years + 1,)
        For the ends of year 0 (now) to `years`.

    Raises
    ------
    ValueError
        If the rate is out of its range.

    Examples
    --------
    >>> discount_factors(0.07, 3).round(4)
    array([1.    , 0.9346, 0.8734, 0.8163])
    """
    interest = number_in_range("rate", rate, "1/year", at_least=LOWEST_RATE, at_most=1)
    return np.asarray((1.0 + interest) ** -np.arange(years + 1.0))


def net_present_value(cash_flow: ArrayLike, rate: float) -> NDArray[np.float64]:
    """Return what cash flows are worth today.

    Parameters
    ----------
    cash_flow : array_like, shape (..., year)
        At the start and at the end of each year after it [$].
    rate : float
        [1/year], -0.5 to 1.

    Returns
    -------
    ndarray of float64, shape (...)
        [$].

    Notes
    -----
    Sum of C_t / (1 + r)^t: standard capital budgeting, as in Capital Budgeting Basics, Iowa State
    University Extension, Ag Decision Maker C5-240.

    Examples
    --------
    >>> round(float(net_present_value([-1000, 600, 600], 0.10)), 2)
    41.32
    """
    cash = np.asarray(cash_flow, dtype=np.float64)
    return np.asarray(cash @ discount_factors(rate, cash.shape[-1] - 1))


def payback_year(cash_flow: ArrayLike, rate: float = 0.0) -> NDArray[np.float64]:
    """Return the first year from whose end on cash flows have added up to 0 or more.

    A sum that falls below 0 again had not paid back: a bad year or a replacement may follow.

    Parameters
    ----------
    cash_flow : array_like, shape (..., year)
        At the start and at the end of each year after it [$].
    rate : float
        For discounted pay-back [1/year]; 0 for the plain one.

    Returns
    -------
    ndarray of float64, shape (...)
        Whole years [years], 0 where the sum is never below 0; nan where it ends below 0.

    Examples
    --------
    >>> payback_year([[-4000, 2000, 2000, 3000], [-4000, 5000, -2000, 500]])
    array([ 2., nan])
    """
    cash = np.asarray(cash_flow, dtype=np.float64)
    added = np.cumsum(cash * discount_factors(rate, cash.shape[-1] - 1), axis=-1)
    # A cent is let go: what pays back to the cent must not fail by a rounding of the sum.
    short = added < -0.005
    last_short = cash.shape[-1] - 1 - short[..., ::-1].argmax(axis=-1)
    year = np.where(short.any(axis=-1), last_short + 1.0, 0.0)
    return np.where(short[..., -1], np.nan, year)


def rate_of_return(cash_flow: ArrayLike) -> float:
    """Return the interest at which cash flows are worth nothing today.

    Parameters
    ----------
    cash_flow : array_like, shape (year,)
        At the start and at the end of each year after it [$].

    Returns
    -------
    float
        [1/year]; nan unless money is first paid out and then comes in, so that there is one answer.

    Notes
    -----
    The internal rate of return of standard capital budgeting. Flows that change sign once have one
    at most (Descartes' rule of signs).

    Examples
    --------
    >>> round(rate_of_return([-1000, 600, 600]), 4)
    0.1307
    """
    from scipy.optimize import brentq

    cash = np.asarray(cash_flow, dtype=np.float64)
    signs = np.sign(cash[cash != 0])
    if not (len(signs) and signs[0] < 0 and np.count_nonzero(np.diff(signs)) == 1):
        return math.nan
    years = np.arange(cash.size)

    def worth(rate: float) -> float:
        return float(cash @ (1.0 + rate) ** -years)

    if worth(LOWEST_RATE) < 0 or worth(HIGHEST_RETURN) > 0:
        return math.nan
    return float(brentq(worth, LOWEST_RATE, HIGHEST_RETURN))
