import numpy as np
import pytest

from fieldsim.days.weather.generator_temperature import (
    MEAN_TERMS,
    SPREAD_TERMS,
    Temperatures,
    fit_harmonics,
    temperature_course,
)


@pytest.fixture
def coefficients():
    random = np.random.default_rng(3)
    return random.normal(0.0, 3.0, (12, 2)), random.normal(0.0, 0.3, (8, 2))


def days_of(years, degrees_of, wet_share=0.3, seed=0):
    """Years of 365 days, wet or dry at random, with degrees_of(wet, place, random)."""
    random = np.random.default_rng(seed)
    days = np.arange(years * 365)
    wet = (random.random(len(days)) < wet_share).astype(int)
    degrees = degrees_of(wet, days % 365, random)
    return Temperatures(days, days // 365, days % 365, wet, degrees)


def noisy(coefficients):
    mean, log_variance = coefficients
    means = temperature_course(mean, MEAN_TERMS)
    deviations = np.exp(temperature_course(log_variance, SPREAD_TERMS) / 2)

    def degrees_of(wet, place, random):
        noise = random.standard_normal((len(wet), 2))
        return means[wet, place] + deviations[wet, place] * noise

    return degrees_of


def test_a_course_is_a_sum_of_harmonics():
    coefficients = np.zeros((12, 1))
    coefficients[[0, 1, 4, 7, 8], 0] = 10.0, 5.0, 2.0, -3.0, 1.0
    dry, wet = temperature_course(coefficients, MEAN_TERMS)[..., 0]
    turn = 2 * np.pi * (np.arange(365) + 0.5) / 365
    assert dry == pytest.approx(10 + 5 * np.cos(turn) + 2 * np.sin(2 * turn))
    assert wet - dry == pytest.approx(-3 + np.cos(turn))


def test_harmonics_are_found_again_within_their_errors(coefficients):
    years = 200
    weather = days_of(years, noisy(coefficients))
    for fitted, truth in zip(fit_harmonics(weather, years), coefficients, strict=True):
        error = np.sqrt(years - 1) * fitted.without.std(axis=0)
        assert (np.abs(fitted.value - truth) < 4 * error).all()
        assert error.max() < 0.1


def test_the_mean_without_a_year_is_that_fitted_to_the_other_years(coefficients):
    weather = days_of(8, noisy(coefficients))
    mean, log_variance = fit_harmonics(weather, 8)
    others = weather.year != 1
    rest = Temperatures(*(column[others] for column in weather))
    mean_of_rest, log_variance_of_rest = fit_harmonics(rest, 8)
    assert mean.without[1] == pytest.approx(mean_of_rest.value, abs=1e-9)
    # one step of scoring, about the mean of all years: near, and nearer than the fit to all
    near = np.abs(log_variance.without[1] - log_variance_of_rest.value).max()
    assert near < 0.2 * np.abs(log_variance.value - log_variance_of_rest.value).max()


def test_a_year_without_days_changes_nothing(coefficients):
    weather = days_of(4, noisy(coefficients))
    fitted = fit_harmonics(weather, 4)
    with_gap = weather._replace(year=weather.year + (weather.year >= 2))
    for before, after in zip(fitted, fit_harmonics(with_gap, 5), strict=True):
        assert after.value == pytest.approx(before.value, abs=1e-9)
        assert after.without[2] == pytest.approx(after.value, abs=1e-9)


def test_wet_days_of_one_season_do_not_swing_the_rest_of_the_year():
    # wet days in January only, 2 degrees colder: elsewhere the effect is unknown, and kept modest
    def degrees_of(wet, place, random):
        wet *= place < 31
        return np.column_stack([15 - 2 * wet, 5 - 2 * wet]) + random.standard_normal((len(wet), 2))

    mean, _ = fit_harmonics(days_of(30, degrees_of), 30)
    dry, wet = temperature_course(mean.value, MEAN_TERMS)[..., 0]
    assert (wet - dry)[:31].mean() == pytest.approx(-2.0, abs=0.3)
    assert np.abs(wet - dry).max() < 6.0


def test_temperatures_that_never_differ_are_refused():
    weather = days_of(2, lambda wet, *_: np.full((len(wet), 2), 10.0))
    with pytest.raises(ValueError, match="never differ"):
        fit_harmonics(weather, 2)
