"""Estimates with their sampling error and the years they rest on."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsim.student import student_quantile

__all__ = ["Estimate", "interval", "jackknife"]

Floats = NDArray[np.float64]


class Estimate(NamedTuple):
    """Figures estimated from a record; the three arrays have the same shape."""

    value: Floats
    error: Floats  # standard error, in the unit of the value; nan from a single year
    years: NDArray[np.int64]  # years of the record that have a say in it


def jackknife(value: Floats, without: Floats, present: NDArray[np.bool_]) -> Estimate:
    """Return an estimate with the delete-one-year jackknife error.

    Days of one year are alike, and what makes a year wet lasts for weeks, so whole years are left
    out rather than days: error^2 = (n - 1) / n sum (value without year i - value)^2 over the n
    years (Efron and Stein 1981, Annals of Statistics 9:586-596, with the estimate itself in place
    of the mean of the n).

    Parameters
    ----------
    value : ndarray
        From all years.
    without : ndarray, shape (year, ...)
        From all years but one.
    present : ndarray of bool, shape (year, ...)
        Whether the year has days that the estimate uses.

    Returns
    -------
    Estimate

    Examples
    --------
    >>> years = np.array([2.0, 3.0, 7.0])
    >>> estimate = jackknife(years.mean(), (years.sum() - years) / 2, np.ones(3, dtype=bool))
    >>> bool(np.isclose(estimate.error, years.std(ddof=1) / np.sqrt(3)))
    True
    """
    years = np.broadcast_to(present, without.shape).sum(axis=0)
    squares = np.where(present, (without - value) ** 2, 0.0).sum(axis=0)
    with np.errstate(invalid="ignore", divide="ignore"):
        error = np.where(years > 1, np.sqrt((years - 1) / years * squares), np.nan)
    return Estimate(np.asarray(value), error, years)


def interval(estimate: Estimate, level: float = 0.95) -> tuple[Floats, Floats]:
    """Return the ends of confidence intervals by Student's t with one degree less than years.

    Parameters
    ----------
    estimate : Estimate
    level : float
        Share of such intervals that hold the truth [0..1].

    Returns
    -------
    tuple of two ndarrays
        In the unit of the estimate; nan from a single year.

    Examples
    --------
    >>> low, high = interval(Estimate(np.array(0.5), np.array(0.02), np.array(20)))
    >>> round(float(low), 3), round(float(high), 3)
    (0.458, 0.542)
    """
    reach = student_quantile(np.maximum(estimate.years - 1, 1), 0.5 + level / 2) * estimate.error
    return estimate.value - reach, estimate.value + reach
