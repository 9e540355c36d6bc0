import subprocess
import sys
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from scipy.special import gammainccinv, ndtr, ndtri

from fieldsim.days.weather.generator import generate
from fieldsim.days.weather.generator_autoregression import autoregression
from fieldsim.days.weather.generator_fit import fit_generator
from fieldsim.days.weather.generator_months import smooth_course
from fieldsim.days.weather.generator_temperature import (
    MEAN_TERMS,
    SPREAD_TERMS,
    temperature_course,
)
from fieldsim.randomness import stream
from fieldsim.season import Season
from tests.test_weather_generator.records import MONTH, WHOLE_YEAR, known, months_of

SPRING = Season(date(2026, 4, 1), date(2026, 7, 31))
Z = 4.5  # standard errors: a true band is left once in 150,000 comparisons


def share_band(share, days):
    return Z * np.sqrt(share * (1 - share) / days)


def test_weather_is_what_the_model_says_of_the_draws(truth):
    # a plain reading of the model without a season share, for a few seasons, day by day
    plain = replace(truth, season_share=known(0.0))
    seasons, days = 3, SPRING.days
    drawn = generate(plain, SPRING, seasons, seed=4)
    chain = stream(4, "days.weather.chain").standard_normal((seasons, days))
    amount = stream(4, "days.weather.amount").standard_exponential((seasons, days))
    normal = stream(4, "days.weather.temperature").standard_normal((seasons, days, 2))
    a, b = autoregression(plain.same_day.value, plain.next_day.value)
    place = SPRING.day_of_year - 1
    mean = temperature_course(plain.mean, MEAN_TERMS)
    sd = np.exp(temperature_course(plain.log_variance, SPREAD_TERMS) / 2)
    # courses whose mean over the days that a figure was counted on is the monthly figure
    wet_share = np.full(365, 0.5)
    for _ in range(20):
        after_wet = smooth_course(plain.wet_after_wet.value, ndtri, ndtr, wet_share)
        after_dry = smooth_course(plain.wet_after_dry.value, ndtri, ndtr, 1 - wet_share)
        wet_share = after_dry / (1 - after_wet + after_dry)
    excess = smooth_course(plain.shape.value * plain.scale.value, np.log, np.exp, wet_share)
    for season in range(seasons):
        wet, x = None, None
        for day in range(days):
            p = place[day]
            first = wet is None
            probability = wet_share[p] if first else (after_wet if wet else after_dry)[p]
            wet = ndtr(chain[season, day]) < probability
            shape = plain.shape.value[SPRING.date(day).month - 1]
            rain = 0.25 + excess[p] * gammainccinv(shape, np.exp(-amount[season, day])) / shape
            assert drawn.rain[season, day] == pytest.approx(rain if wet else 0.0, abs=0.004)
            e = normal[season, day]
            x = np.linalg.cholesky(plain.same_day.value) @ e if first else a @ x + b @ e
            warm, cold = mean[int(wet), p] + sd[int(wet), p] * x
            assert warm > cold  # nothing to mend in these seasons
            assert drawn.tmax[season, day] == pytest.approx(warm, abs=1e-9)
            assert drawn.tmin[season, day] == pytest.approx(cold, abs=1e-9)


def test_the_first_seasons_of_a_long_draw_are_those_of_a_short_one(truth):
    long, short = (generate(truth, SPRING, seasons, seed=0) for seasons in (500, 7))
    for name in short._fields:
        assert np.array_equal(getattr(long, name)[:7], getattr(short, name)), name


def test_seeds_are_different_and_repeatable_and_zero_is_one(truth):
    zero, one, again = (np.array(generate(truth, SPRING, 20, seed=seed)) for seed in (0, 1, 0))
    assert (zero != one).any(axis=(0, 2)).all()
    assert np.array_equal(zero, again)
    with pytest.raises(ValueError, match="a seed is a whole number of 0 or more"):
        generate(truth, SPRING, 20, seed=-1)


def test_each_random_quantity_has_a_stream_of_its_own(truth):
    before = generate(truth, SPRING, 50, seed=0)
    rainier = generate(replace(truth, scale=known(2 * truth.scale.value)), SPRING, 50, seed=0)
    assert np.array_equal(before.tmax, rainier.tmax)
    assert np.array_equal(before.rain > 0, rainier.rain > 0)
    wetter_days = known(truth.wet_after_dry.value + 0.02)
    wetter = generate(replace(truth, wet_after_dry=wetter_days), SPRING, 50, seed=0)
    alike = (wetter.rain > 0) == (before.rain > 0)
    assert 0.9 < alike.mean() < 1
    assert np.array_equal(wetter.tmin[alike], before.tmin[alike])


def test_weather_is_whole_numbers_of_nothing_missing(truth):
    drawn = generate(truth, SPRING, 300, seed=0)
    for values in drawn:
        assert values.shape == (300, SPRING.days)
        assert values.dtype == np.float64
        assert np.isfinite(values).all()
    assert (drawn.tmax >= drawn.tmin).all()
    assert ((drawn.rain == 0) | (drawn.rain >= 0.25)).all()


def test_a_window_over_new_year_has_the_weather_of_its_months(truth, long_draw):
    winter = Season(date(2027, 11, 15), date(2028, 3, 20))
    drawn = generate(truth, winter, 2000, seed=8)
    month = np.array([day.month - 1 for day in winter.dates.tolist()])
    for m in (11, 0, 1):
        for values, whole in zip(drawn, long_draw, strict=True):
            here, there = values[:, month == m].mean(axis=1), whole[:, m == MONTH].mean(axis=1)
            band = Z * np.sqrt((here.var() + there.var()) / 2000)
            assert here.mean() == pytest.approx(there.mean(), abs=band)


def test_a_leap_day_has_the_weather_of_the_day_before_it(truth):
    leap = Season(date(2028, 2, 28), date(2028, 3, 1))
    drawn = generate(truth, leap, 40_000, seed=0)
    for values in drawn:
        band = Z * values[:, 0].std() * np.sqrt(2 / 40_000)
        assert values[:, 1].mean() == pytest.approx(values[:, 0].mean(), abs=band)
    common = generate(truth, Season(date(2027, 2, 28), date(2027, 3, 1)), 10, seed=0)
    assert common.rain.shape == (10, 2)


def test_the_first_day_is_a_day_like_any_other(truth):
    seasons = 100_000
    late = generate(truth, Season(date(2026, 5, 1), date(2026, 5, 20)), seasons, seed=0)
    early = generate(truth, Season(date(2026, 4, 20), date(2026, 5, 1)), seasons, seed=1)
    wet, wet_before = late.rain[:, 0] > 0, early.rain[:, -1] > 0
    band = np.sqrt(2) * share_band(wet.mean(), seasons)
    # the chain lags behind the season by a day or two, by which it is less wet in spring
    assert wet.mean() == pytest.approx(wet_before.mean(), abs=band + 0.001)
    for first, later in (
        (late.tmax[:, 0], early.tmax[:, -1]),
        (late.tmin[:, 0], early.tmin[:, -1]),
    ):
        assert first.mean() == pytest.approx(later.mean(), abs=Z * first.std() * 0.0045 + 0.01)
        assert first.std() == pytest.approx(later.std(), rel=Z * 0.0032)
    correlations = [
        np.corrcoef(weather.tmax[:, day], weather.tmin[:, day])[0, 1]
        for weather, day in ((late, 0), (early, -1))
    ]
    assert correlations[0] == pytest.approx(correlations[1], abs=Z * 0.0032)


def test_mending_tmax_below_tmin_hardly_moves_the_means(truth):
    # with a range of 6 degC on wet days in winter, which is less than anywhere in the Corn Belt
    mean = truth.mean.copy()
    mean[0, 1] += 6.0
    close = replace(truth, mean=mean)
    drawn = generate(close, WHOLE_YEAR, 1000, seed=0)
    wet = drawn.rain > 0
    winter = wet & ((MONTH == 0) | (MONTH == 11))
    mended = (drawn.tmax == drawn.tmin)[winter].mean()
    assert 0.03 < mended < 0.15
    course = temperature_course(mean, MEAN_TERMS)[1]
    expected = np.broadcast_to(course, (1000, 365, 2))[winter].mean(axis=0)
    assert drawn.tmax[winter].mean() == pytest.approx(expected[0], abs=0.25)
    assert drawn.tmin[winter].mean() == pytest.approx(expected[1], abs=0.25)
    middle = (drawn.tmax + drawn.tmin)[winter].mean() / 2
    assert middle == pytest.approx(expected.mean(), abs=0.15)


def test_a_season_share_lets_seasons_differ_and_keeps_the_means(truth):
    seasons = 4000
    plain, shared = (
        generate(replace(truth, season_share=known(share)), SPRING, seasons, seed=0).rain
        for share in (0.0, 0.03)
    )
    wet_days = [(rain > 0).sum(axis=1) for rain in (plain, shared)]
    assert wet_days[1].var() > 2 * wet_days[0].var()
    band = Z * np.sqrt((wet_days[0].var() + wet_days[1].var()) / seasons)
    assert wet_days[1].mean() == pytest.approx(wet_days[0].mean(), abs=band)
    months = SPRING.days // 2
    halves = [
        np.corrcoef((r > 0)[:, :months].sum(1), (r > 0)[:, months:].sum(1))[0, 1]
        for r in (plain, shared)
    ]
    assert abs(halves[0]) < 0.1
    assert halves[1] > 0.3


def anomalies(values, month):
    """Values less the mean of their month."""
    return values - np.array([np.nanmean(values[..., month == m]) for m in range(12)])[month]


def statistics(tmax, tmin, rain, month):
    """Frequencies and correlations of days that stand in order along the last axis."""
    wet = rain >= 0.25
    warm, cold = anomalies(tmax, month), anomalies(tmin, month)

    def correlate(a, b):
        return np.corrcoef(a.ravel(), b.ravel())[0, 1]

    return {
        "wet share": np.array([wet[..., month == m].mean() for m in range(12)]),
        "wet-day rain": np.array([rain[wet & (month == m)].mean() for m in range(12)]),
        "monthly rain": np.array([rain[..., month == m].mean() for m in range(12)]),
        "tmax": np.array([tmax[..., month == m].mean() for m in range(12)]),
        "tmin": np.array([tmin[..., month == m].mean() for m in range(12)]),
        "lag-1 of wet": correlate(wet[..., 1:], wet[..., :-1]),
        "lag-1 of tmax": correlate(warm[..., 1:], warm[..., :-1]),
        "lag-1 of tmin": correlate(cold[..., 1:], cold[..., :-1]),
        "tmax and tmin": correlate(warm, cold),
        "tmax and tmin before": correlate(warm[..., 1:], cold[..., :-1]),
        "tmax and wet": correlate(warm, wet),
    }


# How far a statistic of a record of 37 to 40 years may stand from the generator fitted to it.
# Wet days and their rain are fitted month by month, so little is left: the record's months begin
# after other months than drawn ones do. Temperatures follow harmonics, which pass by single months:
# the standard error of a monthly mean of 40 years is 0.5 degC in winter. That the day after rain is
# cooler, too, is no part of the model: drawn days are a little less like the day before.
BANDS = {
    "wet share": {"rel": 0.05, "abs": 0.002},
    "wet-day rain": {"rel": 0.03},
    "monthly rain": {"rel": 0.06, "abs": 0.03},
    "tmax": {"abs": 1.0},
    "tmin": {"abs": 0.8},
    "lag-1 of wet": {"abs": 0.02},
    "lag-1 of tmax": {"abs": 0.06},
    "lag-1 of tmin": {"abs": 0.03},
    "tmax and tmin": {"abs": 0.04},
    "tmax and tmin before": {"abs": 0.04},
    "tmax and wet": {"abs": 0.03},
}


@pytest.mark.parametrize("place", ["record", "champion"])
def test_drawn_years_have_the_statistics_of_the_record(place, request):
    record = request.getfixturevalue(place)
    month, _ = months_of(record)
    recorded = statistics(record.tmax, record.tmin, record.rain, month)
    drawn = statistics(*generate(fit_generator(record), WHOLE_YEAR, 8000, seed=0), MONTH)
    for name, band in BANDS.items():
        assert drawn[name] == pytest.approx(recorded[name], **band), name


def wet_days_from(first, last, rain, month):
    """Wet days of the months from `first` to `last` in each year, shape (year,)."""
    return (rain >= 0.25)[:, (month >= first) & (month <= last)].sum(axis=1)


def test_springs_of_a_real_place_differ_as_much_as_the_record_says(champion):
    # April to June, 37 years: the ratio of variances has a standard error of a quarter. Without
    # what the days of a season have in common, drawn springs differ far too little.
    month, year = months_of(champion)
    springs = [
        np.sum((champion.rain >= 0.25)[(year == y) & (month >= 3) & (month <= 5)])
        for y in range(1982, 2019)
    ]
    fitted = fit_generator(champion)
    without = replace(fitted, season_share=known(0.0))
    ratios = [
        np.var(springs, ddof=1)
        / wet_days_from(3, 5, generate(g, WHOLE_YEAR, 2000, seed=0).rain, MONTH).var()
        for g in (fitted, without)
    ]
    assert 0.6 < ratios[0] < 1.6
    assert ratios[1] > 1.7


def test_heavy_rain_of_a_real_place_is_drawn_as_heavy(champion):
    month, _ = months_of(champion)
    rain = generate(fit_generator(champion), WHOLE_YEAR, 1000, seed=0).rain
    for q, band in ((0.5, 0.10), (0.9, 0.10), (0.99, 0.25)):
        recorded, drawn = (
            np.quantile(values[(values >= 0.25) & (m >= 3) & (m <= 8)], q)
            for values, m in ((champion.rain, month), (rain, np.broadcast_to(MONTH, rain.shape)))
        )
        assert drawn == pytest.approx(recorded, rel=band), q


def test_neither_numba_nor_statistics_are_loaded_before_weather_is_drawn():
    program = (
        "import sys, fieldsim.days, fieldsim.days.weather.generator_fit; "
        "print([name for name in ('numba', 'scipy.stats', 'pandas') if name in sys.modules])"
    )
    shown = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert shown.stdout.strip() == "[]"
