"""How long drawing weather takes, beside drawing the random numbers that it needs."""

from datetime import date
from time import perf_counter

import numpy as np

from fieldsim.days.weather.generator import generate
from fieldsim.randomness import stream
from fieldsim.season import Season
from tests.test_weather_generator.records import invented_generator

WINDOW = Season(date(2026, 4, 1), date(2026, 11, 26))
SEASONS = 10_000
FACTOR = 4.0
ROUNDS = 5


def random_numbers():
    """Draw as many random numbers of each kind as the weather takes."""
    shape = (SEASONS, WINDOW.days)
    return (
        stream(0, "season").standard_normal(SEASONS),
        stream(0, "chain").standard_normal(shape),
        stream(0, "amount").standard_exponential(shape),
        stream(0, "temperature").standard_normal((*shape, 2)),
    )


def shortest(work):
    times = []
    for _ in range(ROUNDS):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return min(times)


def test_ten_thousand_seasons_take_little_longer_than_their_random_numbers(benchmark):
    generator = invented_generator(season_share=0.02)
    generate(generator, WINDOW, 1, seed=0)  # compiles
    weather = benchmark(generate, generator, WINDOW, SEASONS, 0)
    assert weather.rain.shape == (SEASONS, 240)
    assert np.isfinite(np.array(weather)).all()
    draw = shortest(lambda: generate(generator, WINDOW, SEASONS, 0))
    assert draw < FACTOR * shortest(random_numbers)
