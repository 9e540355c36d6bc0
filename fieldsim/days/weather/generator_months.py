"""From twelve monthly parameters to a smooth course over the year.

On a scale on which a parameter has no bounds (the logarithm for what is positive, the normal score
for a probability) it takes the course that changes least from day to day, in the sum of squares, of
all those that have given means over months: parabolas that join without a kink. The means are such
that, off that scale, the mean of each month is the monthly value. Straight lines between mid-month
values would flatten peaks and fill dips.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldsim.season import CalendarDay

__all__ = ["FIRST_DAYS", "MONTH_MEANS", "YEAR", "calendar_places", "smooth_course"]

YEAR = 365  # days of a common year; 29 February shares its parameters with 28 February
# Place in the year, from 0, of the first day of each month.
FIRST_DAYS = np.array([CalendarDay(month, 1).day_of_year - 1 for month in range(1, 13)])
LENGTHS = np.diff(np.append(FIRST_DAYS, YEAR))
# Takes the means of months from a course over the year, shape (month, day of year).
MONTH_MEANS: NDArray[np.float64] = np.repeat(np.diag(1 / LENGTHS), LENGTHS, axis=1)
TOLERANCE = 1e-12  # of a monthly value
MOST_STEPS = 1000


def calendar_places(
    dates: NDArray[np.datetime64],
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]:
    """Return where dates stand in the calendar.

    Parameters
    ----------
    dates : ndarray of datetime64, shape (day,)

    Returns
    -------
    tuple of three ndarrays of int64, shape (day,)
        The year; the month, 0 to 11; the day of a common year, 0 to 364, on which 29 February
        stands with 28 February.

    Examples
    --------
    >>> dates = np.array(["2027-12-31", "2028-02-29", "2028-03-01"], dtype="datetime64[D]")
    >>> [places.tolist() for places in calendar_places(dates)]
    [[2027, 2028, 2028], [11, 1, 2], [364, 58, 59]]
    """
    months = dates.astype("datetime64[M]")
    year = months.astype("datetime64[Y]").astype(np.int64) + 1970
    month = months.astype(np.int64) % 12
    day_of_month = (dates.astype("datetime64[D]") - months.astype("datetime64[D]")).astype(np.int64)
    return year, month, FIRST_DAYS[month] + np.minimum(day_of_month, LENGTHS[month] - 1)


def smooth_course(
    monthly: NDArray[np.float64],
    link: Callable[[Any], Any],
    inverse: Callable[[Any], Any],
    weights: NDArray[np.float64] | None = None,
) -> NDArray[np.float64]:
    """Return a smooth course over the year that keeps the monthly means.

    Parameters
    ----------
    monthly : ndarray, shape (month,)
        Value of a parameter in each month.
    link, inverse : callable
        To the scale on which the course is smooth, and back: `numpy.log` and `numpy.exp`, or
        `scipy.special.ndtri` and `scipy.special.ndtr`.
    weights : ndarray, shape (day of year,), optional
        Weight of each day in the mean of its month; default: all alike.

    Returns
    -------
    ndarray, shape (day of year,)
        The course; its means over months are the monthly values.

    Raises
    ------
    ValueError
        If the monthly values jump so far that no such course is found.

    Examples
    --------
    >>> rain = np.array([1.0, 1, 2, 3, 4, 5, 4, 3, 3, 2, 2, 1])
    >>> (MONTH_MEANS @ smooth_course(rain, np.log, np.exp)).round(9).tolist()
    [1.0, 1.0, 2.0, 3.0, 4.0, 5.0, 4.0, 3.0, 3.0, 2.0, 2.0, 1.0]
    """
    months = MONTH_MEANS if weights is None else MONTH_MEANS * weights
    months = months / months.sum(axis=1, keepdims=True)
    target = link(monthly)
    linked = target
    for _ in range(MOST_STEPS):
        course: NDArray[np.float64] = inverse(_smoothest() @ linked)
        means = months @ course
        if np.allclose(means, monthly, rtol=TOLERANCE, atol=0.0):
            return course
        # The course has the means of `linked` on the link's scale, which are not quite the target's
        # on its own: aim off by what is amiss.
        linked = linked + target - link(means)
    raise ValueError("the monthly values jump too far for a smooth course over the year")


@cache
def _smoothest() -> NDArray[np.float64]:
    """Return what takes a course from its means over months, shape (day of year, month).

    Least squares of the day-to-day steps under twelve conditions, by Lagrange multipliers.
    """
    steps = np.roll(np.eye(YEAR), 1, axis=1) - np.eye(YEAR)
    conditions = np.block([[steps.T @ steps, MONTH_MEANS.T], [MONTH_MEANS, np.zeros((12, 12))]])
    course = np.linalg.solve(conditions, np.eye(YEAR + 12)[:, YEAR:])[:YEAR]
    course.setflags(write=False)  # it is shared by all who call
    return course
