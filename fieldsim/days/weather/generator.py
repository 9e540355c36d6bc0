"""A stochastic weather generator after Richardson (1981): any number of seasons from a record.

Day by day: a wet or dry day from a two-state chain; on a wet day 0.25 mm of rain and a gamma amount
more; Tmax and Tmin around the means of wet or dry days, by a bivariate autoregression. The
probabilities and the mean rain of wet days follow `smooth_course` over the year; the shape of the
gamma distribution keeps its month's value.

What records have and the generator does not: warm or cold years (of what makes years differ, only
the share that wet days have in common is added to Richardson's model), years with heavier rain a
wet day, cooler days after a wet day, rain that goes with the day's temperature, trends.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from fieldsim.days.weather.generator_amounts import POINTS_A_UNIT, gamma_quantiles
from fieldsim.days.weather.generator_autoregression import autoregression
from fieldsim.days.weather.generator_chain import wet_scores
from fieldsim.days.weather.generator_days import WET
from fieldsim.days.weather.generator_estimates import Estimate
from fieldsim.days.weather.generator_loop import Courses, Draws, walk
from fieldsim.days.weather.generator_months import YEAR, calendar_places, smooth_course
from fieldsim.days.weather.generator_temperature import (
    MEAN_TERMS,
    SPREAD_TERMS,
    temperature_course,
)
from fieldsim.days.weather.record import Weather
from fieldsim.randomness import Seasons, by_season, count_of
from fieldsim.season import MONTHS, Season

__all__ = ["WeatherGenerator", "generate"]

Floats = NDArray[np.float64]

ROUNDS = 3  # of courses and wet shares in turn: they then stand to about 1e-6
DECIMALS = 10


@dataclass(frozen=True, eq=False)
class WeatherGenerator:
    """Parameters of the generator; made by `fit_generator`, used by `generate`.

    An `Estimate` holds value, standard error and number of years.

    Parameters
    ----------
    years : ndarray of int64, shape (month,)
        Years in which the record has days of the month with rain and both temperatures.
    wet_after_wet, wet_after_dry : Estimate, shape (month,)
        P(wet | the day before wet) and P(wet | the day before dry) [0..1].
    season_share : Estimate
        Share of the variance of the wet days' normal scores that a season has in common [0..1]; see
        `fieldsim.days.weather.generator_chain`. With a value of 0 the generator is Richardson's.
    shape, scale : Estimate, shape (month,)
        Gamma distribution of the rain above 0.25 mm on a wet day [-, mm].
    wet_day_rain : Estimate, shape (month,)
        Mean rain of a wet day, 0.25 mm + shape scale [mm].
    mean, log_variance : ndarray of float64, shape (coefficient, variable)
        Harmonics of the mean [degC] and of ln variance [ln degC^2] of Tmax and Tmin; see
        `fieldsim.days.weather.generator_temperature`.
    monthly_mean, monthly_sd : Estimate, shape (month, state, variable)
        What the harmonics amount to [degC], for dry (0) and wet (1) days, Tmax (0) and Tmin (1).
    same_day, next_day : Estimate, shape (variable, variable)
        M0 and M1: correlations [-] of the standardized residuals of a day, and of a day's (row)
        with those of the day before (column).
    """

    years: NDArray[np.int64]
    wet_after_wet: Estimate
    wet_after_dry: Estimate
    season_share: Estimate
    shape: Estimate
    scale: Estimate
    wet_day_rain: Estimate
    mean: NDArray[np.float64]
    log_variance: NDArray[np.float64]
    monthly_mean: Estimate
    monthly_sd: Estimate
    same_day: Estimate
    next_day: Estimate


def generate(generator: WeatherGenerator, window: Season, seasons: Seasons, seed: int) -> Weather:
    """Draw seasons of daily weather.

    The first day is wet with the stationary share of its probabilities, and its residuals have
    their stationary correlation. Amounts are drawn by inversion from a table (`gamma_quantiles`).
    Where Tmax comes out below Tmin both take their mean. With parameters of the Corn Belt that is 1
    wet day in 15 in midwinter and 1 in 50 in April; it raises the mean Tmax of wet days, and lowers
    that of Tmin, by 0.1 degC in midwinter and 0.02 in April.

    Streams: "days.weather.season", "days.weather.chain", "days.weather.amount" and
    "days.weather.temperature"; the first seasons of a long run are those of a short one.

    Parameters
    ----------
    generator : WeatherGenerator
    window : Season
        Days of the calendar to draw; it may cross New Year.
    seasons : int or range
        Number of seasons.
    seed : int
        0 or more; 0 is a seed like any other.

    Returns
    -------
    Weather
        tmax, tmin [degC] and rain [mm], each float64 of shape (season, day).

    Raises
    ------
    ValueError
        If the window has days of a month of which the record has none with rain and both
        temperatures, or the seed is negative.

    Examples
    --------
    >>> from datetime import date
    >>> from types import SimpleNamespace
    >>> from fieldsim.days.weather.generator_fit import fit_generator
    >>> random = np.random.default_rng(0)
    >>> tmin = random.normal(8.0, 4.0, 3650)
    >>> rain = np.where(random.random(3650) < 0.3, random.exponential(8.0, 3650), 0.0)
    >>> tmax = tmin + random.uniform(4.0, 16.0, 3650)
    >>> record = SimpleNamespace(first_day=date(2001, 1, 1), tmax=tmax, tmin=tmin, rain=rain)
    >>> window = Season(date(2026, 4, 1), date(2026, 7, 31))
    >>> generate(fit_generator(record), window, seasons=100, seed=0).rain.shape
    (100, 122)
    """
    courses = _courses(generator, window)
    days, shape = window.days, (count_of(seasons), window.days)
    draws = Draws(
        season=by_season(
            seed, "days.weather.season", seasons, lambda random, n: random.standard_normal(n)
        ),
        chain=by_season(
            seed, "days.weather.chain", seasons, lambda random, n: random.standard_normal((n, days))
        ),
        amount=by_season(
            seed,
            "days.weather.amount",
            seasons,
            lambda random, n: random.standard_exponential((n, days)),
        ),
        temperature=by_season(
            seed,
            "days.weather.temperature",
            seasons,
            lambda random, n: random.standard_normal((n, days, 2)),
        ),
    )
    weather = Weather(tmax=np.empty(shape), tmin=np.empty(shape), rain=np.empty(shape))
    walk(draws, courses, weather.tmax, weather.tmin, weather.rain)
    return weather


def _courses(generator: WeatherGenerator, window: Season) -> Courses:
    """Return the parameters of each day of the window.

    They are rounded: LAPACK's last bits differ between its versions and numbers of threads, and
    would otherwise reach the draws.
    """
    _, month, place = calendar_places(window.dates)
    if (generator.years[month] == 0).any():
        missing = ", ".join(MONTHS[m] for m in np.unique(month[generator.years[month] == 0]))
        raise ValueError(f"the weather record has nothing of {missing}; draw a window without")
    share = round(float(generator.season_share.value), DECIMALS)
    wet, dry, excess = _rain_courses(generator)
    log_variance = temperature_course(generator.log_variance, SPREAD_TERMS)
    a, b = autoregression(generator.same_day.value, generator.next_day.value)
    return Courses(
        season_share=share,
        wet=_rounded(wet_scores(wet[place], dry[place], share)),
        least=WET,
        excess=_rounded(excess[place]),
        quantiles=_rounded(gamma_quantiles(generator.shape.value)),
        points_a_unit=POINTS_A_UNIT,
        month=month,
        mean=_rounded(temperature_course(generator.mean, MEAN_TERMS)[:, place]),
        sd=_rounded(np.exp(log_variance[:, place] / 2)),
        first=_rounded(np.linalg.cholesky(generator.same_day.value)),
        a=_rounded(a),
        b=_rounded(b),
    )


def _rounded(values: NDArray[np.floating[Any]]) -> Floats:
    return np.ascontiguousarray(values.round(DECIMALS), dtype=np.float64)


def _rain_courses(generator: WeatherGenerator) -> tuple[Floats, Floats, Floats]:
    """Return P(wet | wet), P(wet | dry) and the mean rain of wet days above the least [mm].

    Each of shape (day of year,). A monthly figure is the mean over the days that it was counted on:
    days of which the wet share of the days before, or of the days themselves, went into it.
    """
    wet_share = np.full(YEAR, 0.5)
    for _ in range(ROUNDS):
        wet = smooth_course(generator.wet_after_wet.value, ndtri, ndtr, wet_share)
        dry = smooth_course(generator.wet_after_dry.value, ndtri, ndtr, 1 - wet_share)
        wet_share = dry / (1 - wet + dry)
    excess = generator.shape.value * generator.scale.value
    return wet, dry, smooth_course(excess, np.log, np.exp, wet_share)
