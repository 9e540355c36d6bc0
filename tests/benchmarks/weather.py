"""Weather and soil water to be timed, beside the random numbers that weather takes."""

from __future__ import annotations

from datetime import date
from functools import cache

import numpy as np

from fieldsim.days.weather import (
    SoilDays,
    SoilWater,
    Weather,
    drawn_weather,
    soil_class,
    soil_classes,
    soil_days,
)
from fieldsim.days.weather.generator import generate
from fieldsim.randomness import stream
from fieldsim.season import Season
from tests.test_weather.test_weather_source import invented_record
from tests.test_weather_generator.records import invented_generator

SPRING = Season(date(2026, 4, 1), date(2026, 7, 31))
WINDOW = Season(date(2025, 12, 2), date(2026, 7, 31))  # the spring with the days before it
SEASONS_OF_WEATHER = 10_000
YEARS_OF_WEATHER = 30
SOILS = tuple((name, soil_class(name)) for name in soil_classes()[:5])


def generate_seasons() -> Weather:
    """Draw seasons of daily weather."""
    weather = generate(_generator(), WINDOW, SEASONS_OF_WEATHER, 0)
    assert weather.rain.shape == (SEASONS_OF_WEATHER, WINDOW.days)
    assert np.isfinite(np.array(weather)).all()
    return weather


def watered_seasons() -> np.ndarray:
    """Draw as many seasons through the water balance of five soils."""
    drawn_weather.cache_clear()
    suitable = _source().draw(SPRING, SEASONS_OF_WEATHER, seed=1)
    assert suitable.shape == (SEASONS_OF_WEATHER, len(SOILS), SPRING.days)
    assert ((suitable >= 0) & (suitable <= 1)).all()
    return suitable


def random_numbers() -> tuple[np.ndarray, ...]:
    """Draw as many random numbers of each kind as the weather of those seasons takes."""
    shape = (SEASONS_OF_WEATHER, WINDOW.days)
    return (
        stream(0, "season").standard_normal(SEASONS_OF_WEATHER),
        stream(0, "chain").standard_normal(shape),
        stream(0, "amount").standard_exponential(shape),
        stream(0, "temperature").standard_normal((*shape, 2)),
    )


def water_soils() -> SoilDays:
    """Run the water balance of five soils through a record with rain on every fourth day."""
    shape = (YEARS_OF_WEATHER, WINDOW.days)
    mean = np.broadcast_to(np.linspace(-5.0, 24.0, WINDOW.days), shape)
    rain = np.broadcast_to(np.where(np.arange(WINDOW.days) % 4 == 0, 12.0, 0.0), shape)
    weather = Weather(mean + 6, mean - 6, rain)
    days = soil_days(
        weather, np.maximum(0.2 * mean, 0.0), WINDOW, [soil for _, soil in SOILS], first=120
    )
    assert days.suitable.shape == (YEARS_OF_WEATHER, len(SOILS), WINDOW.days - 120)
    assert (days.suitable == days.suitable[0]).all()
    assert (days.suitable[0, :, rain[0, 120:] > 0.0] == 0.0).all()
    return days


@cache
def _generator():
    return invented_generator(season_share=0.02)


@cache
def _source() -> SoilWater:
    return SoilWater(invented_record(30), SOILS, weather="generator")
