import numpy as np
import pytest
from scipy import optimize, stats
from scipy.special import gammainccinv

from fieldsim.days.weather.generator_amounts import (
    POINTS_A_UNIT,
    TOLD,
    Amounts,
    fit_gamma,
    gamma_quantiles,
)
from fieldsim.days.weather.generator_days import WET


def amounts_of(*rains):
    """The sums of several sets of wet days."""
    told = [rain[rain >= TOLD] - WET for rain in rains]
    return Amounts(
        np.array([float(len(rain) - len(t)) for rain, t in zip(rains, told, strict=True)]),
        np.array([float(len(t)) for t in told]),
        np.array([t.sum() for t in told]),
        np.array([np.log(t).sum() for t in told]),
    )


def wet_days(shape, scale, days, seed=0):
    return WET + np.random.default_rng(seed).gamma(shape, scale, days)


def likeliest(rain):
    """Shape and scale by searching the likelihood in which days below TOLD are censored."""
    little, told = (rain < TOLD).sum(), rain[rain >= TOLD] - WET

    def cost(logs):
        gamma = stats.gamma(np.exp(logs[0]), scale=np.exp(logs[1]))
        return -little * gamma.logcdf(TOLD - WET) - gamma.logpdf(told).sum()

    found = optimize.minimize(
        cost,
        [0.0, 1.0],
        method="Nelder-Mead",
        options={"xatol": 1e-9, "fatol": 1e-9, "maxiter": 2000},
    )
    return np.exp(found.x)


@pytest.mark.parametrize(("shape", "scale"), [(0.4, 20.0), (0.75, 9.0), (1.6, 3.0), (0.8, 0.9)])
def test_the_fit_is_the_top_of_the_censored_likelihood(shape, scale):
    rain = wet_days(shape, scale, 300)
    fitted = np.array(fit_gamma(amounts_of(rain))).ravel()
    assert fitted == pytest.approx(likeliest(rain), rel=1e-5)


def test_without_days_of_little_rain_the_fit_is_plain_maximum_likelihood():
    rain = wet_days(2.5, 8.0, 400)
    rain = rain[rain >= TOLD]
    shape, _, scale = stats.gamma.fit(rain - WET, floc=0)
    assert np.array(fit_gamma(amounts_of(rain))).ravel() == pytest.approx([shape, scale], rel=1e-5)


def test_several_sets_are_fitted_as_each_alone_and_from_any_start():
    rains = [wet_days(0.6, 12.0, 150, seed) for seed in range(4)]
    together = np.array(fit_gamma(amounts_of(*rains)))
    alone = np.hstack([fit_gamma(amounts_of(rain)) for rain in rains])
    elsewhere = fit_gamma(amounts_of(*rains), (np.full(4, 2.0), np.full(4, 5.0)))
    assert together == pytest.approx(alone, rel=1e-8)
    assert np.array(elsewhere) == pytest.approx(together, rel=1e-8)


@pytest.mark.parametrize("shape", [0.4, 0.75, 1.5])
def test_many_days_give_the_shape_and_scale_they_were_drawn_with(shape):
    fitted = np.array(fit_gamma(amounts_of(wet_days(shape, 9.0, 200_000)))).ravel()
    assert fitted == pytest.approx([shape, 9.0], rel=0.015)


def test_the_mean_is_that_of_the_days():
    rains = [wet_days(0.6, 12.0, 150, seed) for seed in range(50)]
    shape, scale = fit_gamma(amounts_of(*rains))
    assert WET + shape * scale == pytest.approx([rain.mean() for rain in rains], abs=0.1)


@pytest.mark.parametrize("step", [0.254, 0.1])
def test_a_gauge_that_reads_in_steps_hardly_changes_the_shape(step):
    rain = wet_days(0.75, 9.0, 100_000)
    read = np.maximum(np.round(rain / step) * step, WET)
    exact, rounded = fit_gamma(amounts_of(rain, read))[0]
    assert rounded == pytest.approx(exact, rel=0.02)


def test_the_least_step_of_a_gauge_would_decide_the_shape_without_the_censoring():
    rain = wet_days(0.75, 9.0, 100_000)
    read = np.maximum(np.round(rain / 0.254) * 0.254, WET + 0.001)
    plain, _, _ = stats.gamma.fit(read - WET, floc=0)
    assert plain < 0.92 * fit_gamma(amounts_of(rain))[0]


@pytest.mark.parametrize("shape", [0.3, 0.5, 0.75, 1.0, 1.5])
def test_lines_between_the_points_of_the_table_serve_as_quantiles(shape):
    table = gamma_quantiles(np.array([shape]))[0]
    e = np.linspace(0.0, 35.0, 20_001)
    drawn = np.interp(np.sqrt(e) * POINTS_A_UNIT, np.arange(len(table)), table)
    exact = gammainccinv(shape, np.exp(-e)) / shape
    assert drawn == pytest.approx(exact, abs=2e-4)
    assert np.trapezoid(drawn * np.exp(-e), e) == pytest.approx(1.0, abs=1e-4)
    assert 0 <= np.trapezoid((drawn - exact) * np.exp(-e), e) < 5e-5


def test_amounts_that_do_not_differ_have_a_large_shape_and_spoil_no_other_set():
    rains = [np.full(40, 5.0), wet_days(0.6, 12.0, 150)]
    shape, scale = fit_gamma(amounts_of(*rains))
    assert shape[0] > 100
    assert shape[0] * scale[0] == pytest.approx(4.75)
    alone = np.array(fit_gamma(amounts_of(rains[1]))).ravel()
    assert [shape[1], scale[1]] == pytest.approx(alone, rel=1e-8)
