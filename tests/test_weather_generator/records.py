"""Daily records for the tests: invented, drawn, and one of a real place."""

import calendar
from datetime import date
from importlib.metadata import files
from types import SimpleNamespace

import numpy as np

from fieldsim.days.weather.generator import WeatherGenerator
from fieldsim.days.weather.generator_estimates import Estimate
from fieldsim.days.weather.generator_months import MONTH_MEANS
from fieldsim.days.weather.generator_temperature import (
    MEAN_TERMS,
    SPREAD_TERMS,
    temperature_course,
)
from fieldsim.season import Season

WHOLE_YEAR = Season(date(2001, 1, 1), date(2001, 12, 31))
MONTH = np.array([day.month - 1 for day in WHOLE_YEAR.dates.tolist()])


def months_of(record):
    """Month, 0 to 11, and year of each day of a record."""
    dates = np.datetime64(record.first_day) + np.arange(len(record.rain))
    dates = dates.tolist()
    return np.array([d.month - 1 for d in dates]), np.array([d.year for d in dates])


def as_record(weather, first_year=801):
    """Whole drawn years as a record; 29 February and 31 December are missing.

    Without the missing days the first of January would follow a day of another season.
    """
    columns = []
    for values in weather:
        years = []
        for number, row in enumerate(values):
            year = np.where(np.arange(365) == 364, np.nan, row)
            years.append(
                np.insert(year, 59, np.nan) if calendar.isleap(first_year + number) else year
            )
        columns.append(np.concatenate(years))
    tmax, tmin, rain = columns
    return SimpleNamespace(first_day=date(first_year, 1, 1), tmax=tmax, tmin=tmin, rain=rain)


def invented_record(years, seed=0, first_year=1971):
    """Years of weather drawn day by day in plain Python from sines of the year."""
    random = np.random.default_rng(seed)
    first, last = date(first_year, 1, 1), date(first_year + years - 1, 12, 31)
    days = (last - first).days + 1
    tmax, tmin, rain = np.empty((3, days))
    wet, x, y = False, 0.0, 0.0
    for day in range(days):
        turn = np.sin(2 * np.pi * (day % 365.25 - 105) / 365.25)
        wet = random.random() < (0.45 + 0.05 * turn if wet else 0.23 + 0.04 * turn)
        rain[day] = 0.25 + random.gamma(0.7, 9.0 + 4.0 * turn) if wet else 0.0
        e, f = random.standard_normal(2)
        x, y = 0.7 * x + np.sqrt(1 - 0.7**2) * e, 0.6 * y + 0.3 * e + 0.6 * f
        tmax[day] = 15.0 + 14.0 * turn - 2.0 * wet + (5.0 - 1.5 * turn) * x
        tmin[day] = min(3.0 + 13.0 * turn + 1.0 * wet + (4.0 - 1.2 * turn) * y, tmax[day])
    return SimpleNamespace(first_day=first, tmax=tmax, tmin=tmin, rain=rain)


def champion_record():
    """Champion, south-west Nebraska, 1982-2018, as the package aquacrop carries it."""
    (path,) = (file for file in files("aquacrop") if file.name == "champion_climate.txt")
    table = np.loadtxt(path.locate(), skiprows=1)
    day, month, year = table[0, :3].astype(int)
    first = date(year, month, day)
    return SimpleNamespace(first_day=first, tmin=table[:, 3], tmax=table[:, 4], rain=table[:, 5])


def known(value):
    """An estimate without an error."""
    value = np.asarray(value, dtype=float)
    return Estimate(value, np.full(value.shape, np.nan), np.full(value.shape, 1))


def invented_generator(season_share=0.0):
    """A generator with a wet summer, whose Tmax hardly ever comes out below Tmin."""
    turn = -np.cos(2 * np.pi * (np.arange(12) + 0.5) / 12)
    shape = 0.75 + 0.1 * turn
    scale = 9.0 + 4.0 * turn
    mean = np.zeros((12, 2))
    mean[0], mean[1], mean[2], mean[3] = (16.0, 2.0), (-13.0, -12.5), (-3.0, -3.0), (0.4, 0.2)
    mean[7], mean[8] = (-2.0, 0.5), (0.5, 0.3)
    log_variance = np.zeros((8, 2))
    log_variance[0], log_variance[1] = 2 * np.log((4.5, 4.0)), (0.4, 0.3)
    log_variance[5], log_variance[6] = (-0.1, -0.2), (0.1, 0.05)
    sd = np.exp(temperature_course(log_variance, SPREAD_TERMS) / 2)
    return WeatherGenerator(
        years=np.full(12, 30),
        wet_after_wet=known(0.45 + 0.06 * turn),
        wet_after_dry=known(0.23 + 0.05 * turn),
        season_share=known(season_share),
        shape=known(shape),
        scale=known(scale),
        wet_day_rain=known(0.25 + shape * scale),
        mean=mean,
        log_variance=log_variance,
        monthly_mean=known(
            np.einsum("md,sdv->msv", MONTH_MEANS, temperature_course(mean, MEAN_TERMS))
        ),
        monthly_sd=known(np.einsum("md,sdv->msv", MONTH_MEANS, sd)),
        same_day=known([[1.0, 0.70], [0.70, 1.0]]),
        next_day=known([[0.65, 0.50], [0.62, 0.68]]),
    )
