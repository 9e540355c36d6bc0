"""Suitable days from the weather of a record or its generator, through a soil-water balance."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.weather.evapotranspiration import (
    extraterrestrial_radiation,
    reference_evapotranspiration,
)
from fieldsim.days.weather.growing_degrees import growing_degrees, growing_degrees_since_start
from fieldsim.days.weather.record import Weather, WeatherRecord, windows
from fieldsim.days.weather.soil_classes import SoilClass
from fieldsim.days.weather.soil_layer import CropCover, MilderRule, soil_days
from fieldsim.days.weather.warmth import soil_temperature, warm_day
from fieldsim.errors import Fault, InputError
from fieldsim.randomness import Seasons, by_season, stream
from fieldsim.season import LONGEST_SEASON, Season

if TYPE_CHECKING:
    from fieldsim.days.weather.generator import WeatherGenerator

__all__ = ["SoilWater", "degree_days", "drawn_weather", "warm_days"]

FILE = "weather record"
LEAST_YEARS = 2


@dataclass(frozen=True)
class SoilWater:
    """Suitable days by soil, from daily weather through a water balance of the topsoil.

    Parameters
    ----------
    record : WeatherRecord
    classes : tuple of (str, SoilClass)
        Names along the soil axis, and the soils; all see the same weather.
    weather : str
        ``"years"``: whole years of the record, drawn with replacement. ``"generator"``: seasons of
        a stochastic generator fitted to the record.
    spin_up_days : int
        Days before the season with which the water balance begins, at field capacity.
    residue_cover : float
        Share of the ground under crop residue, which slows evaporation [0..1]; 0.3 is the least of
        conservation tillage (common practice, no source).
    crop : CropCover, optional
        Crop that takes water from the layer; default: bare soil.
    milder : MilderRule, optional
        Rule for a part of the year in which work is done on wetter soil.
    years_sample : tuple of int, optional
        Seed and number of a bootstrap sample of the record's years from which whole years are drawn
        instead; see `resampled_weather`.

    Raises
    ------
    ValueError
        If no soil is given or a name twice, `weather` is none of the two, or a number is out of
        bounds.

    Examples
    --------
    >>> from datetime import date
    >>> from fieldsim.days.weather.soil_classes import soil_class
    >>> day = np.arange(3 * 365)
    >>> tmax = 15 - 14 * np.cos(2 * np.pi * day / 365)
    >>> record = WeatherRecord(date(2009, 1, 1), tmax, tmax - 11, 3.0 * (day % 4 == 0), 42.0)
    >>> source = SoilWater(record, (("light", soil_class("sandy_loam")),))
    >>> source.draw(Season(date(2026, 5, 1), date(2026, 5, 4)), 1, seed=0).round(2).tolist()
    [[[1.0, 1.0, 1.0, 0.7]]]
    """

    record: WeatherRecord
    classes: tuple[tuple[str, SoilClass], ...]
    weather: Literal["years", "generator"] = "years"
    spin_up_days: int = 120
    residue_cover: float = 0.3
    crop: CropCover | None = None
    milder: MilderRule | None = None
    years_sample: tuple[int, int] | None = None

    def __post_init__(self) -> None:
        if not self.classes or len(set(self.soils)) < len(self.classes):
            raise ValueError(f"classes: {self.soils}; at least one soil, each name once")
        if self.weather not in ("years", "generator"):
            raise ValueError(f'weather = {self.weather!r}: "years" or "generator" is allowed')
        if self.spin_up_days < 0:
            raise ValueError(f"spin_up_days = {self.spin_up_days}: 0 or more is allowed")
        if not 0 <= self.residue_cover <= 1:
            raise ValueError(f"residue_cover = {self.residue_cover}: 0 to 1 is allowed")

    @property
    def soils(self) -> tuple[str, ...]:
        """Names along the soil axis."""
        return tuple(name for name, _ in self.classes)

    def draw(self, season: Season, seasons: Seasons, seed: int) -> NDArray[np.float64]:
        """Draw seasons; see `DaySource.draw`.

        Raises
        ------
        InputError
            If fewer than two years of the record are complete in the window of the season, no
            generator can be fitted to it, or the season and the days before it are longer than a
            year.
        """
        if self.weather == "years":
            years = _record_years(self, season)
            return _suitable(self, season, years)[_picks(self, years, seasons, seed)]
        return _suitable(self, season, drawn_weather(self, season, seasons, seed))


@lru_cache(maxsize=2)
def drawn_weather(source: SoilWater, season: Season, seasons: Seasons, seed: int) -> Weather:
    """Return the weather behind a draw of suitable days.

    Parameters
    ----------
    source : SoilWater
    season : Season
    seasons : int or range
        Number of seasons to draw.
    seed : int
        0 or more.

    Returns
    -------
    Weather
        Arrays of shape (season, day), not to be written to; the first day is
        ``source.spin_up_days`` before that of the season.

    Raises
    ------
    InputError
        As `SoilWater.draw`.
    """
    if source.weather == "years":
        years = _record_years(source, season)
        picks = _picks(source, years, seasons, seed)
        weather = Weather(*(values[picks] for values in years))
    else:
        weather = _generated(source, season, seasons, seed)
    for values in weather:
        values.flags.writeable = False  # others will be given the same arrays
    return weather


def warm_days(source: SoilWater, season: Season, seasons: Seasons, seed: int) -> NDArray[np.int64]:
    """Return the day from which the soil is warm enough to plant; see `warm_day`.

    Parameters
    ----------
    source, season, seasons, seed
        As `drawn_weather`.

    Returns
    -------
    ndarray of int64, shape (season,)
        Day index in the season; its number of days where the soil never gets warm. Warmth before
        the season counts only if it lasts into it.

    Raises
    ------
    InputError
        As `SoilWater.draw`.
    """
    weather = drawn_weather(source, season, seasons, seed)
    temperature = soil_temperature(weather.tmax, weather.tmin)
    return warm_day(temperature[:, source.spin_up_days :])


def degree_days(
    source: SoilWater, season: Season, seasons: Seasons, seed: int
) -> NDArray[np.float64]:
    """Return the growing degrees of corn from the first day of the season to the end of each day.

    Parameters
    ----------
    source, season, seasons, seed
        As `drawn_weather`.

    Returns
    -------
    ndarray of float64, shape (season, day)
        [degC day]

    Raises
    ------
    InputError
        As `SoilWater.draw`.
    """
    weather = drawn_weather(source, season, seasons, seed)
    days = slice(source.spin_up_days, None)
    return growing_degrees_since_start(
        growing_degrees(weather.tmax[:, days], weather.tmin[:, days])
    )


def _window(source: SoilWater, season: Season) -> Season:
    """Return the season with the days before it."""
    spare = LONGEST_SEASON - season.days
    if source.spin_up_days > spare:
        problem = f"with the {season.days} days of the season that is more than {LONGEST_SEASON}"
        repair = f"shorten the season, or write {spare}"
        found = str(source.spin_up_days)
        raise InputError([Fault("soil water", "spin_up_days", found, problem, repair)])
    return Season(season.first_day - timedelta(days=source.spin_up_days), season.last_day)


def _record_years(source: SoilWater, season: Season) -> Weather:
    """Return the record's complete years, cut to the window of the season."""
    window = _window(source, season)
    cut = windows(source.record, window)
    if len(cut.years) < LEAST_YEARS:
        span = f"{window.first_day:%d %b} to {window.last_day:%d %b}"
        gaps = f" (with gaps: {', '.join(map(str, cut.left_out))})" if cut.left_out else ""
        problem = f"{len(cut.years)} complete years{gaps}; {LEAST_YEARS} are the least"
        repair = "give a longer record, or fill its gaps"
        raise InputError([Fault(FILE, f"years from {span}", "", problem, repair)])
    return Weather(cut.tmax, cut.tmin, cut.rain)


def _picks(source: SoilWater, years: Weather, seasons: Seasons, seed: int) -> NDArray[np.int64]:
    """Return the index of the record's year that each season is."""
    count = len(years.rain)
    uniforms = by_season(seed, "days.weather.years", seasons, lambda random, n: random.random(n))
    picks = (uniforms * count).astype(np.int64)
    if source.years_sample is None:
        return picks
    own_seed, number = source.years_sample
    sample = stream(own_seed, f"days.weather.bootstrap.{number}").random(count)
    return (sample * count).astype(np.int64)[picks]


def _suitable(source: SoilWater, season: Season, weather: Weather) -> NDArray[np.float64]:
    """Return suitable[season, soil, day] of weather that begins with the days before."""
    window = _window(source, season)
    radiation = extraterrestrial_radiation(source.record.latitude, window.day_of_year)
    return soil_days(
        weather,
        reference_evapotranspiration(weather.tmax, weather.tmin, radiation),
        window,
        [soil for _, soil in source.classes],
        first=source.spin_up_days,
        residue_cover=source.residue_cover,
        crop=source.crop,
        milder=source.milder,
    ).suitable


def _generated(source: SoilWater, season: Season, seasons: Seasons, seed: int) -> Weather:
    """Return seasons of the generator fitted to the record."""
    from fieldsim.days.weather.generator import generate

    window = _window(source, season)
    try:
        return generate(_fitted(source.record), window, seasons, seed)
    except ValueError as error:
        repair = 'give a longer record, or write weather="years"'
        raise InputError([Fault(FILE, "generator", "", str(error), repair)]) from None


@lru_cache(maxsize=2)
def _fitted(record: WeatherRecord) -> WeatherGenerator:
    """Return the generator of a record."""
    from fieldsim.days.weather.generator_fit import fit_generator

    return fit_generator(record)
