"""Speed of the soil-water balance, on a result that is known."""

from datetime import date

import numpy as np
import pytest

from fieldsim.days.weather import (
    SoilWater,
    Weather,
    drawn_weather,
    soil_class,
    soil_classes,
    soil_days,
)
from fieldsim.season import Season
from tests.benchmarks.test_generator_speed import FACTOR, SEASONS, random_numbers, shortest
from tests.test_weather.test_weather_source import invented_record

WINDOW = Season(date(2025, 12, 2), date(2026, 7, 31))
YEARS = 30
pytestmark = pytest.mark.benchmark(group="soil water")


def test_30_years_of_5_soils_take_less_than_a_fifth_of_a_second(benchmark):
    shape = (YEARS, WINDOW.days)
    mean = np.broadcast_to(np.linspace(-5.0, 24.0, WINDOW.days), shape)
    rain = np.broadcast_to(np.where(np.arange(WINDOW.days) % 4 == 0, 12.0, 0.0), shape)
    weather = Weather(mean + 6, mean - 6, rain)
    soils = [soil_class(name) for name in soil_classes()[:5]]
    run = (weather, np.maximum(0.2 * mean, 0.0), WINDOW, soils)
    soil_days(*run)  # compiles
    days = benchmark(soil_days, *run, first=120)
    assert days.suitable.shape == (YEARS, 5, WINDOW.days - 120)
    assert (days.suitable == days.suitable[0]).all()
    assert (days.suitable[0, :, rain[0, 120:] > 0.0] == 0.0).all()
    # Sandy loam is dry on the day after the rain: three days of four, once the soil is warm.
    assert days.suitable[0, 0].sum() == pytest.approx(0.75 * 122, abs=2.0)
    assert benchmark.stats.stats.median < 0.2


def test_generated_seasons_of_5_soils_take_little_longer_than_their_random_numbers(benchmark):
    classes = tuple((name, soil_class(name)) for name in soil_classes()[:5])
    source = SoilWater(invented_record(30), classes, weather="generator")
    spring = Season(date(2026, 4, 1), date(2026, 7, 31))  # 242 days of weather, with those before
    source.draw(spring, 1, seed=0)  # fits and compiles

    def draw():
        drawn_weather.cache_clear()
        return source.draw(spring, SEASONS, seed=1)

    assert benchmark(draw).shape == (SEASONS, 5, 122)
    assert shortest(draw) < FACTOR * shortest(random_numbers)
