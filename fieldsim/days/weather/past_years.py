"""The suitable days that a soil-water balance gives for the years of its own weather record."""

from __future__ import annotations

from datetime import timedelta

from fieldsim.days.records.record import Records, from_seasons
from fieldsim.days.weather.evapotranspiration import (
    extraterrestrial_radiation,
    reference_evapotranspiration,
)
from fieldsim.days.weather.record import Weather, windows
from fieldsim.days.weather.soil_layer import soil_days
from fieldsim.days.weather.source import SoilWater
from fieldsim.errors import Fault, InputError
from fieldsim.season import Season

__all__ = ["past_years"]

LEAST_YEARS = 2  # as `Records` needs


def past_years(source: SoilWater, season: Season, soil: str) -> Records:
    """Return what the years of the weather record were like on one soil, each once.

    Draws of the source, above all those of a weather generator, can be held against them, and the
    trend over the years read off them.

    Parameters
    ----------
    source : SoilWater
    season : Season
    soil : str
        One of ``source.soils``.

    Returns
    -------
    Records
        Daily; years whose weather has a gap from ``source.spin_up_days`` before the season to its
        end are left out. A year is named after the first day of its season.

    Raises
    ------
    InputError
        If fewer than two years are complete.
    ValueError
        If there is no such soil, or the season and the days before it are longer than a year.

    Examples
    --------
    >>> from datetime import date
    >>> import numpy as np
    >>> from fieldsim.days.weather import WeatherRecord, soil_class
    >>> day = np.arange(4 * 365)
    >>> tmax = 15 - 14 * np.cos(2 * np.pi * day / 365)
    >>> record = WeatherRecord(date(2009, 1, 1), tmax, tmax - 11, 3.0 * (day % 4 == 0), 42.0)
    >>> source = SoilWater(record, (("light", soil_class("sandy_loam")),))
    >>> years = past_years(source, Season(date(2026, 5, 1), date(2026, 5, 4)), "light")
    >>> years.years, years.days.shape
    ((2009, 2010, 2011, 2012), (4, 4))
    """
    soil_class = dict(source.classes).get(soil)
    if soil_class is None:
        raise ValueError(f"soil = {soil!r}: choose one of {', '.join(source.soils)}")
    window = Season(season.first_day - timedelta(days=source.spin_up_days), season.last_day)
    cut = windows(source.record, window)
    if len(cut.years) < LEAST_YEARS:
        problem = f"{len(cut.years)} complete years of weather; {LEAST_YEARS} are the least"
        repair = "give a longer record, or fill its gaps"
        raise InputError([Fault("weather record", "years", "", problem, repair)])
    weather = Weather(cut.tmax, cut.tmin, cut.rain)
    radiation = extraterrestrial_radiation(source.record.latitude, window.day_of_year)
    suitable = soil_days(
        weather,
        reference_evapotranspiration(weather.tmax, weather.tmin, radiation),
        window,
        [soil_class],
        first=source.spin_up_days,
        residue_cover=source.residue_cover,
        crop=source.crop,
        milder=source.milder,
    ).suitable[:, 0]
    first_years = cut.years - (season.last_day.year - season.first_day.year)
    return from_seasons(suitable, season, first_years.tolist(), f"weather, {soil}")
