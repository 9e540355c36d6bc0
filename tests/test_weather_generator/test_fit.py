from datetime import date
from types import SimpleNamespace

import numpy as np
import pytest

from fieldsim.days.weather.generator import generate
from fieldsim.days.weather.generator_estimates import interval
from fieldsim.days.weather.generator_fit import fit_generator
from fieldsim.days.weather.record import Weather
from fieldsim.season import Season
from tests.test_weather_generator.records import (
    WHOLE_YEAR,
    as_record,
    invented_generator,
    invented_record,
    months_of,
)

MONTHLY = ("wet_after_wet", "wet_after_dry", "wet_day_rain", "shape", "scale")
TEMPERATURES = ("monthly_mean", "monthly_sd")
CORRELATIONS = ("same_day", "next_day")
Z = 4.0  # standard errors: one of the 170 figures leaves a true band once in 90 runs


def changed(record, **columns):
    return SimpleNamespace(**(vars(record) | columns))


def without_days(record, missing):
    columns = {name: getattr(record, name) for name in ("tmax", "tmin", "rain")}
    return changed(record, **{n: np.where(missing, np.nan, c) for n, c in columns.items()})


@pytest.mark.parametrize("name", [*MONTHLY, *TEMPERATURES, *CORRELATIONS, "season_share"])
def test_two_thousand_drawn_years_give_the_parameters_they_were_drawn_with(refitted, truth, name):
    found, wanted = getattr(refitted, name), getattr(truth, name)
    band = Z * found.error + 1e-9
    if name in TEMPERATURES:
        band += 0.01  # Tmax below Tmin is mended in 1 of 1000 days
    assert (np.abs(found.value - wanted.value) <= band).all()


def test_the_bands_of_two_thousand_years_are_narrow(refitted):
    assert refitted.wet_after_wet.error.max() < 0.005
    assert refitted.wet_after_dry.error.max() < 0.003
    assert (refitted.wet_day_rain.error / refitted.wet_day_rain.value).max() < 0.012
    assert refitted.shape.error.max() < 0.015
    assert refitted.monthly_mean.error.max() < 0.06
    assert refitted.monthly_sd.error.max() < 0.03
    assert refitted.next_day.error.max() < 0.0015
    assert refitted.season_share.error < 0.002


def test_errors_are_those_of_independent_days_where_seasons_share_nothing():
    # P(W|D) of a chain: binomial over the days after a dry day. Rain of a wet day: gamma over wet
    # days, SD scale sqrt(shape). Both from 300 years, whose error is itself known to 4 %.
    truth = invented_generator()
    drawn = generate(truth, WHOLE_YEAR, 300, seed=3)
    fitted = fit_generator(as_record(drawn))
    days = 300 * np.bincount(np.array([d.month - 1 for d in WHOLE_YEAR.dates.tolist()]))
    wet = truth.wet_after_dry.value / (1 - truth.wet_after_wet.value + truth.wet_after_dry.value)
    p = truth.wet_after_dry.value
    binomial = np.sqrt(p * (1 - p) / (days * (1 - wet)))
    assert fitted.wet_after_dry.error / binomial == pytest.approx(np.ones(12), abs=0.2)
    of_mean = truth.scale.value * np.sqrt(truth.shape.value / (days * wet))
    assert fitted.wet_day_rain.error / of_mean == pytest.approx(np.ones(12), abs=0.2)


def test_intervals_hold_the_truth_as_often_as_they_say():
    # 200 records of 20 years; 12 months each, so a share of 0.95 is known to about 0.005. Fitted
    # intervals of 20 years fall a little short of 95 %, as jackknife intervals of ratios do.
    truth = invented_generator(season_share=0.02)
    drawn = generate(truth, WHOLE_YEAR, 200 * 20, seed=5)
    inside = {name: [] for name in (*MONTHLY, *TEMPERATURES, "season_share")}
    for start in range(0, 4000, 20):
        years = Weather(*(values[start : start + 20] for values in drawn))
        fitted = fit_generator(as_record(years))
        for name, shares in inside.items():
            low, high = interval(getattr(fitted, name))
            wanted = getattr(truth, name).value
            shares.append(np.mean((low <= wanted) & (wanted <= high)))
    coverage = {name: np.mean(shares) for name, shares in inside.items()}
    season_share = coverage.pop("season_share")
    assert 0.82 < season_share < 0.97, season_share
    for name, share in coverage.items():
        assert 0.92 < share < 0.965, (name, share)


def test_the_record_gives_its_own_frequencies(record):
    fitted = fit_generator(record)
    month, _ = months_of(record)
    wet = record.rain >= 0.25
    for m in range(12):
        later = np.flatnonzero(month[1:] == m) + 1
        after_wet, after_dry = later[wet[later - 1]], later[~wet[later - 1]]
        assert fitted.wet_after_wet.value[m] == pytest.approx(wet[after_wet].mean())
        assert fitted.wet_after_dry.value[m] == pytest.approx(wet[after_dry].mean())
        mean = record.rain[wet & (month == m)].mean()
        assert fitted.wet_day_rain.value[m] == pytest.approx(mean, abs=0.1)
    assert fitted.years.tolist() == [40] * 12


def test_missing_days_change_the_figures_within_their_errors(record):
    whole = fit_generator(record)
    random = np.random.default_rng(2)
    missing = np.repeat(random.random(len(record.rain) // 5 + 1) < 0.15, 5)[: len(record.rain)]
    gappy = fit_generator(without_days(record, missing))
    for name in (*MONTHLY, *TEMPERATURES):
        before, after = getattr(whole, name), getattr(gappy, name)
        assert (np.abs(after.value - before.value) < 2 * before.error).all(), name
        assert not np.array_equal(after.value, before.value)


def test_a_year_without_data_changes_nothing():
    early, late = invented_record(6), invented_record(6, seed=1, first_year=1978)
    gap = np.full(365, np.nan)  # 1977
    columns = {
        name: np.concatenate([getattr(early, name), gap, getattr(late, name)])
        for name in ("tmax", "tmin", "rain")
    }
    with_gap = fit_generator(changed(early, **columns))
    assert with_gap.years.tolist() == [12] * 12
    assert with_gap.wet_after_dry.years.tolist() == [12] * 12
    assert with_gap.monthly_mean.years.min() == with_gap.next_day.years.max() == 12
    for name in (*MONTHLY, *TEMPERATURES):
        assert np.isfinite(getattr(with_gap, name).error).all(), name


def test_temperatures_may_be_missing_where_there_is_rain(record):
    missing = np.arange(len(record.rain)) < 20 * 365
    part = changed(record, tmin=np.where(missing, np.nan, record.tmin))
    fitted, whole = fit_generator(part), fit_generator(record)
    assert fitted.wet_after_wet.value.tolist() == whole.wet_after_wet.value.tolist()
    assert set(fitted.years.tolist()) <= {20, 21}
    assert set(fitted.monthly_mean.years.ravel().tolist()) == {21}


def test_a_record_of_growing_seasons_serves_for_growing_seasons(record):
    month, _ = months_of(record)
    summer = fit_generator(without_days(record, (month < 3) | (month > 8)))
    assert summer.years.tolist() == [0] * 3 + [40] * 6 + [0] * 3
    window = Season(date(2026, 4, 1), date(2026, 9, 30))
    drawn = generate(summer, window, 400, seed=0)
    assert drawn.tmax[:, 30:150].mean() == pytest.approx(
        np.nanmean(record.tmax[(month > 3) & (month < 8)]), abs=0.5
    )
    with pytest.raises(ValueError, match="nothing of Mar; draw a window without"):
        generate(summer, Season(date(2026, 3, 31), date(2026, 6, 30)), 10, seed=0)


def test_months_without_a_wet_day_stay_dry_and_finite(record):
    month, _ = months_of(record)
    arid = changed(record, rain=np.where((month > 5) & (month < 8), 0.0, record.rain))
    fitted = fit_generator(arid)
    days = 40 * 31
    assert fitted.wet_after_dry.value[7] == pytest.approx(0.5 / (days + 1))
    assert 0 < fitted.wet_after_dry.error[7] < 0.001
    for name in (*MONTHLY, *TEMPERATURES):
        assert np.isfinite(getattr(fitted, name).value).all(), name
    drawn = generate(fitted, WHOLE_YEAR, 500, seed=0)
    assert np.isfinite(np.array(drawn)).all()
    assert (drawn.rain[:, 181:243] > 0).mean() < 0.003
    assert 0.2 < (drawn.rain[:, 90:150] > 0).mean() < 0.5


def test_a_month_that_rained_in_one_year_only_spoils_no_error_of_another(record):
    month, year = months_of(record)
    july = changed(record, rain=np.where((month == 6) & (year != 1980), 0.0, record.rain))
    july.rain[(month == 6) & (year == 1980)] = np.resize([0.0, 4.0, 9.0, 0.0, 30.0], 31)
    fitted, whole = fit_generator(july), fit_generator(record)
    assert fitted.shape.years[6] == 1
    assert np.isnan(fitted.shape.error[6])
    others = np.arange(12) != 6
    for name in ("shape", "scale", "wet_day_rain"):
        error, before = getattr(fitted, name).error[others], getattr(whole, name).error[others]
        assert error == pytest.approx(before, rel=1e-6), name


def test_a_record_of_one_year_is_fitted_without_errors():
    fitted = fit_generator(invented_record(1))
    assert np.isnan(fitted.wet_after_wet.error).all()
    assert np.isnan(fitted.monthly_mean.error).all()
    assert fitted.season_share.value == 0.0
    assert np.isfinite(np.array(generate(fitted, WHOLE_YEAR, 20, seed=0))).all()


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"rain": lambda r: r[:-1]}, "one number a day in each, as many in all three"),
        ({"rain": lambda r: np.where(r > 50, -1.0, r)}, "rain of 0 or more; nan if missing"),
        ({"tmax": lambda t: np.where(t > 30, np.inf, t)}, "finite numbers"),
        ({"tmin": lambda t: np.where(np.arange(len(t)) == 7, 99.0, t)}, "below tmin on day 7"),
        ({"rain": lambda r: 0 * r}, "0 days that follow a wet day; 10 or more are needed"),
        ({"rain": lambda r: 0 * r + 5}, "0 days that follow a dry day; 10 or more are needed"),
        ({"rain": lambda r: np.minimum(r, 1.0)}, "0 days with 1.15 mm of rain; 10 or more"),
        ({"tmax": lambda t: np.where(np.arange(len(t)) < 1600, np.nan, t)}, "has 226 days with"),
        ({"rain": lambda r: np.where(r > 0, 5.0, 0.0)}, "the rain of wet days hardly differs"),
        ({"tmax": lambda t: 0 * t + 50}, "never differ"),
    ],
)
def test_a_record_that_cannot_be_fitted_is_refused(change, message):
    record = invented_record(5)
    columns = {name: change_of(getattr(record, name)) for name, change_of in change.items()}
    with pytest.raises(ValueError, match=message):
        fit_generator(changed(record, **columns))


def test_temperatures_of_which_one_follows_from_the_other_are_refused():
    record = invented_record(5)
    with pytest.raises(ValueError, match="no autoregression of Tmax and Tmin"):
        fit_generator(changed(record, tmin=record.tmax - 8.0))
