"""Fit the weather generator to a daily record."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.weather.generator import WeatherGenerator
from fieldsim.days.weather.generator_amounts import fit_amounts
from fieldsim.days.weather.generator_autoregression import autoregression, fit_correlations
from fieldsim.days.weather.generator_chain import fit_chain, fit_season_share
from fieldsim.days.weather.generator_days import DailyRecord, place_days
from fieldsim.days.weather.generator_estimates import Estimate, jackknife
from fieldsim.days.weather.generator_months import MONTH_MEANS
from fieldsim.days.weather.generator_temperature import (
    MEAN_TERMS,
    SPREAD_TERMS,
    Harmonics,
    fit_harmonics,
    temperature_course,
)

__all__ = ["fit_generator"]

Floats = NDArray[np.float64]


def fit_generator(record: DailyRecord) -> WeatherGenerator:
    """Fit Richardson's generator to a daily record.

    Wet days have at least 0.25 mm. Month by month: the chain by counting, shape and scale of the
    rain of wet days by maximum likelihood (`fit_gamma`). Over the whole year: harmonics of the
    temperatures' mean and variance on dry and on wet days, the autoregression of what is left, and
    the share that the wet days of a season have in common (`fit_season_share`). Errors come from
    leaving out one calendar year after the other.

    The chain needs neighbouring days with rain, temperatures days with all three figures; other
    days may be missing. A month with fewer than 10 days of a kind (wet days, say, in a desert
    summer) takes in the days of its neighbours, one month more on either side until there are 10. A
    probability that comes out as 0 or 1 is put half a day inside: (k + 1/2) / (n + 1) for k of n
    days.

    Parameters
    ----------
    record : DailyRecord
        Anything with `first_day`, `tmax`, `tmin` [degC] and `rain` [mm]; nan is missing.

    Returns
    -------
    WeatherGenerator

    Raises
    ------
    ValueError
        If the arrays differ in shape, or hold infinite numbers, negative rain or a tmax below
        tmin;
        if fewer than 300 days have all three figures, or fewer than 10 days of the whole record
        follow a wet day, follow a dry day, or have 1.15 mm of rain; or if the rain of wet days or
        the temperatures hardly differ, or Tmin follows from Tmax.

    References
    ----------
    Richardson, C. W. (1981). Stochastic simulation of daily precipitation, temperature, and solar
    radiation. Water Resources Research 17(1):182-190.

    Examples
    --------
    >>> from datetime import date
    >>> from types import SimpleNamespace
    >>> random = np.random.default_rng(0)
    >>> tmin = random.normal(8.0, 4.0, 3650)
    >>> rain = np.where(random.random(3650) < 0.3, random.exponential(8.0, 3650), 0.0)
    >>> tmax = tmin + random.uniform(4.0, 16.0, 3650)
    >>> record = SimpleNamespace(first_day=date(2001, 1, 1), tmax=tmax, tmin=tmin, rain=rain)
    >>> generator = fit_generator(record)
    >>> bool(abs(generator.wet_after_dry.value - 0.3).max() < 0.1)
    True
    """
    days, weather = place_days(record)
    wet_after_wet, wet_after_dry = fit_chain(days)
    shape, scale, wet_day_rain = fit_amounts(days)
    mean, log_variance = fit_harmonics(weather, days.years)
    same_day, next_day = fit_correlations(weather, days.years, mean.value, log_variance.value)
    autoregression(same_day.value, next_day.value)  # raises if there is none
    used = np.bincount(weather.year, minlength=days.years) > 0
    return WeatherGenerator(
        years=(days.by_month(weather.day) > 0).sum(axis=0),
        wet_after_wet=wet_after_wet,
        wet_after_dry=wet_after_dry,
        season_share=fit_season_share(days, wet_after_wet.value, wet_after_dry.value),
        shape=shape,
        scale=scale,
        wet_day_rain=wet_day_rain,
        mean=mean.value,
        log_variance=log_variance.value,
        monthly_mean=_monthly(mean, MEAN_TERMS, used, lambda course: course),
        monthly_sd=_monthly(log_variance, SPREAD_TERMS, used, lambda course: np.exp(course / 2)),
        same_day=same_day,
        next_day=next_day,
    )


def _monthly(
    harmonics: Harmonics,
    terms: tuple[int, int],
    used: NDArray[np.bool_],
    convert: Callable[[Floats], Floats],
) -> Estimate:
    """Estimate means over months of a course over the year, shape (month, state, variable)."""
    value, without = (
        np.einsum("md,...sdv->...msv", MONTH_MEANS, convert(temperature_course(part, terms)))
        for part in harmonics
    )
    return jackknife(value, without, used[:, None, None, None])
