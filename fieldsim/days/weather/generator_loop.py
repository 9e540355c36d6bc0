"""The compiled walk through the days of drawn seasons; see `fieldsim.days.weather.generator`."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsim.compiled import compiled

__all__ = ["Courses", "Draws", "walk"]

Floats = NDArray[np.float64]


class Draws(NamedTuple):
    """Random numbers of every season."""

    season: Floats  # (season,) standard normal, positive is wet
    chain: Floats  # (season, day) standard normal
    amount: Floats  # (season, day) standard exponential
    temperature: Floats  # (season, day, variable) standard normal


class Courses(NamedTuple):
    """Parameters of every day of the window; state 0 is dry, 1 wet."""

    season_share: float  # of the variance of wet days' normal scores
    wet: Floats  # (state of the day before, day) normal score below which a day is wet
    least: float  # rain of the least wet day [mm]
    excess: Floats  # (day,) mean rain above it [mm]
    quantiles: Floats  # (month, point)
    points_a_unit: int
    month: NDArray[np.int64]  # (day,) row of `quantiles`
    mean: Floats  # (state, day, variable) [degC]
    sd: Floats  # (state, day, variable) [degC]
    first: Floats  # (variable, variable) root of the residuals' correlations
    a: Floats  # (variable, variable)
    b: Floats  # (variable, variable), lower triangular


@compiled
def walk(draws: Draws, courses: Courses, tmax: Floats, tmin: Floats, rain: Floats) -> None:
    """Fill in the weather of each season, day by day."""
    a, b, first, mean, sd = courses.a, courses.b, courses.first, courses.mean, courses.sd
    quantiles = courses.quantiles
    last = quantiles.shape[1] - 1
    common, own = math.sqrt(courses.season_share), math.sqrt(1 - courses.season_share)
    for season in range(rain.shape[0]):
        state = 0
        high, low = 0.0, 0.0
        for day in range(rain.shape[1]):
            score = own * draws.chain[season, day] - common * draws.season[season]
            state = 1 if score < courses.wet[state, day] else 0
            rain[season, day] = 0.0
            if state == 1:
                point = math.sqrt(draws.amount[season, day]) * courses.points_a_unit
                below = min(int(point), last - 1)
                part = min(point - below, 1.0)
                row = courses.month[day]
                amount = (1 - part) * quantiles[row, below] + part * quantiles[row, below + 1]
                rain[season, day] = courses.least + courses.excess[day] * amount
            e0, e1 = draws.temperature[season, day, 0], draws.temperature[season, day, 1]
            if day == 0:
                high, low = first[0, 0] * e0, first[1, 0] * e0 + first[1, 1] * e1
            else:
                high, low = (
                    a[0, 0] * high + a[0, 1] * low + b[0, 0] * e0,
                    a[1, 0] * high + a[1, 1] * low + b[1, 0] * e0 + b[1, 1] * e1,
                )
            warm = mean[state, day, 0] + sd[state, day, 0] * high
            cold = mean[state, day, 1] + sd[state, day, 1] * low
            middle = (warm + cold) / 2
            tmax[season, day] = max(warm, middle)
            tmin[season, day] = min(cold, middle)
