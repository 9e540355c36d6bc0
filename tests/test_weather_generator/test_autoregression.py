import numpy as np
import pytest

from fieldsim.days.weather.generator_autoregression import autoregression, fit_correlations
from fieldsim.days.weather.generator_temperature import Temperatures

SAME_DAY = np.array([[1.0, 0.7], [0.7, 1.0]])
NEXT_DAY = np.array([[0.65, 0.50], [0.62, 0.68]])


def test_matrices_of_31_places_are_those_published():
    # Tmax, Tmin and solar radiation at 31 places of the United States. Correlations: Richardson
    # (1982, Transactions of the ASAE 25:735-739), from memory; A and B: Richardson and Wright
    # (1984, WGEN: a model for generating daily weather variables, USDA ARS-8), as several open
    # programs carry them. They are printed to 0.001, the correlations as well, which leaves 0.0025.
    same_day = np.array([[1.0, 0.633, 0.186], [0.633, 1.0, -0.193], [0.186, -0.193, 1.0]])
    next_day = np.array([[0.621, 0.445, 0.087], [0.563, 0.674, -0.100], [0.015, -0.091, 0.251]])
    a, b = autoregression(same_day, next_day)
    published_a = [[0.567, 0.086, -0.002], [0.253, 0.504, -0.050], [-0.006, -0.039, 0.244]]
    published_b = [[0.781, 0.0, 0.0], [0.328, 0.637, 0.0], [0.238, -0.341, 0.873]]
    assert a == pytest.approx(np.array(published_a), abs=0.0025)
    assert a[:2] == pytest.approx(np.array(published_a)[:2], abs=0.0005)
    assert b == pytest.approx(np.array(published_b), abs=0.0015)


def test_the_autoregression_has_the_correlations_it_was_made_for():
    a, b = autoregression(SAME_DAY, NEXT_DAY)
    variance = np.zeros((2, 2))
    for _ in range(500):
        variance = a @ variance @ a.T + b @ b.T
    assert variance == pytest.approx(SAME_DAY, abs=1e-9)
    assert a @ variance == pytest.approx(NEXT_DAY, abs=1e-9)
    assert b[0, 1] == 0.0


@pytest.mark.parametrize(
    ("same_day", "next_day"),
    [
        (np.ones((2, 2)), 0.5 * np.ones((2, 2))),  # Tmin follows from Tmax
        (np.eye(2), np.eye(2)),  # from the day before
        (np.eye(2), np.full((2, 2), np.nan)),  # no two neighbouring days
    ],
)
def test_temperatures_without_chance_are_refused(same_day, next_day):
    with pytest.raises(ValueError, match="no autoregression of Tmax and Tmin"):
        autoregression(same_day, next_day)


def test_correlations_are_found_again_across_gaps():
    years = 300
    random = np.random.default_rng(1)
    a, b = autoregression(SAME_DAY, NEXT_DAY)
    days = np.arange(years * 365)
    x = np.zeros((len(days), 2))
    noise = random.standard_normal(x.shape) @ b.T
    for day in days[1:]:
        x[day] = a @ x[day - 1] + noise[day]
    seen = random.random(len(days)) < 0.7
    level, spread = np.zeros((12, 2)), np.zeros((8, 2))
    level[0], spread[0] = (15.0, 5.0), (2 * np.log(4.0), 2 * np.log(3.0))
    weather = Temperatures(
        days[seen],
        (days // 365)[seen],
        (days % 365)[seen],
        np.zeros(seen.sum(), dtype=int),
        (level[0] + x * (4.0, 3.0))[seen],
    )
    same_day, next_day = fit_correlations(weather, years, level, spread)
    assert same_day.value == pytest.approx(SAME_DAY, abs=4 * same_day.error.max())
    assert (np.abs(next_day.value - NEXT_DAY) < 4 * next_day.error).all()
    assert max(same_day.error.max(), next_day.error.max()) < 0.006
    assert (next_day.years == years).all()
