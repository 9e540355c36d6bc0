"""Suitable days, warm days and growing degrees drawn from a record of weather."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from fieldsim.days import check_draw
from fieldsim.days.weather import (
    SoilWater,
    WeatherRecord,
    degree_days,
    drawn_weather,
    growing_degrees,
    resampled_weather,
    soil_class,
    soil_temperature,
    warm_day,
    warm_days,
    windows,
)
from fieldsim.errors import InputError
from fieldsim.season import Season

SEASON = Season(date(2026, 4, 1), date(2026, 7, 31))
CLASSES = (("light", soil_class("sandy_loam")), ("heavy", soil_class("clay_loam_untiled")))


def invented_record(years=12, first=date(2001, 1, 1), latitude=42.0):
    """Weather of no place: a yearly wave, rain on a third of the days; nothing is measured."""
    days = (date(first.year + years, 1, 1) - first).days
    random = np.random.default_rng(7)
    wave = -np.cos(2 * np.pi * (np.arange(days) - 20) / 365.25) * np.sign(latitude)
    mean = 9 + 16 * wave + random.normal(0, 4, days)
    span = random.uniform(3, 9, days)
    rain = random.exponential(9.0, days) * (random.random(days) < 0.33)
    return WeatherRecord(first, mean + span, mean - span, rain, latitude)


@pytest.fixture(scope="module")
def source():
    return SoilWater(invented_record(), CLASSES)


def test_a_draw_keeps_to_the_contract(source):
    suitable = source.draw(SEASON, 40, seed=0)
    assert suitable.shape == (40, 2, 122)
    assert source.soils == ("light", "heavy")
    check_draw(suitable, source.soils)


@pytest.mark.parametrize("weather", ["years", "generator"])
def test_the_first_seasons_of_a_long_draw_are_those_of_a_short_one(source, weather):
    source = replace(source, weather=weather)
    long, short = source.draw(SEASON, 50, seed=3), source.draw(SEASON, 7, seed=3)
    assert long[:7].tolist() == short.tolist()
    assert warm_days(source, SEASON, 50, 3)[:7].tolist() == warm_days(source, SEASON, 7, 3).tolist()


@pytest.mark.parametrize("weather", ["years", "generator"])
def test_seeds_draw_other_seasons_and_0_is_a_seed(source, weather):
    source = replace(source, weather=weather)
    zero, one = source.draw(SEASON, 20, seed=0), source.draw(SEASON, 20, seed=1)
    assert zero.tolist() != one.tolist()
    assert zero.tolist() == source.draw(SEASON, 20, seed=0).tolist()


def test_whole_years_are_drawn_with_replacement(source):
    window = Season(date(2025, 12, 2), SEASON.last_day)
    years = windows(source.record, window)
    drawn = drawn_weather(source, SEASON, 3000, 0)
    assert drawn.rain.shape == (3000, 242)
    known = {tuple(rain): year for rain, year in zip(years.rain, years.years, strict=True)}
    seen = [known[tuple(rain)] for rain in drawn.rain]
    counts = np.unique(seen, return_counts=True)[1]
    expected = 3000 / len(years.years)
    assert len(counts) == len(years.years) == 11
    assert counts == pytest.approx(expected, abs=5 * np.sqrt(expected))


def test_a_drawn_year_brings_its_own_suitable_days_and_warmth(source):
    suitable = source.draw(SEASON, 200, seed=0)
    weather = drawn_weather(source, SEASON, 200, 0)
    same = np.flatnonzero((weather.rain == weather.rain[0]).all(axis=1))
    assert len(same) > 1
    assert (suitable[same] == suitable[0]).all()
    other = np.flatnonzero((weather.rain != weather.rain[0]).any(axis=1))
    assert (suitable[other] != suitable[0]).any(axis=(1, 2)).all()
    # A day with the rain that stops work is never suitable.
    stopped = weather.rain[:, None, 120:] >= 9.9
    assert (suitable[np.broadcast_to(stopped, suitable.shape)] == 0.0).all()


def test_heavy_soil_has_fewer_days_than_light_soil_in_the_same_weather(source):
    light, heavy = source.draw(SEASON, 30, seed=0).sum(axis=2).T
    assert (heavy < light).all()


def test_drawn_weather_cannot_be_written_to(source):
    with pytest.raises(ValueError, match="read-only"):
        drawn_weather(source, SEASON, 5, 0).rain[0, 0] = 1.0


def test_warm_days_and_degree_days_are_those_of_the_drawn_weather(source):
    weather = drawn_weather(source, SEASON, 25, 4)
    temperature = soil_temperature(weather.tmax, weather.tmin)[:, 120:]
    assert warm_days(source, SEASON, 25, 4).tolist() == warm_day(temperature).tolist()
    sums = degree_days(source, SEASON, 25, 4)
    assert sums.shape == (25, 122)
    daily = growing_degrees(weather.tmax[:, 120:], weather.tmin[:, 120:])
    assert sums[:, 0] == pytest.approx(daily[:, 0])
    assert np.diff(sums) == pytest.approx(daily[:, 1:])


def test_spring_comes_in_april_in_the_north_and_in_october_in_the_south():
    north = SoilWater(invented_record(), CLASSES)
    south = SoilWater(invented_record(latitude=-42.0), CLASSES)
    seasons = ((north, SEASON), (south, Season(date(2026, 10, 1), date(2027, 1, 31))))
    medians = [np.median(warm_days(source, season, 30, 0)) for source, season in seasons]
    assert medians == pytest.approx([25, 25], abs=15)
    assert [source.draw(season, 30, 0).mean() > 0.4 for source, season in seasons] == [True, True]


def test_soil_forgets_its_start_in_the_days_before_the_season(source):
    # The longer window begins before the record's first year, which both leave out.
    short, long = source.draw(SEASON, 60, 0), replace(source, spin_up_days=200).draw(SEASON, 60, 0)
    assert short.tolist() == long.tolist()
    unprepared = replace(source, spin_up_days=0).draw(SEASON, 60, 0)
    assert unprepared.tolist() != short.tolist()


def test_weather_of_a_generator_is_not_that_of_the_record_but_like_it(source):
    generated = replace(source, weather="generator")
    of_years, of_generator = (s.draw(SEASON, 300, seed=0).mean((0, 2)) for s in (source, generated))
    assert of_generator == pytest.approx(of_years, abs=0.08)
    rains = drawn_weather(generated, SEASON, 300, 0).rain
    assert len(np.unique(rains[:, 0])) > 30


def test_a_record_without_two_complete_years_is_refused_with_the_years_that_have_gaps(source):
    record = invented_record(4)
    tmax = record.tmax.copy()
    for year in (2002, 2003):
        tmax[(date(year, 5, 1) - record.first_day).days] = np.nan
    gappy = replace(source, record=replace(record, tmax=tmax))
    with pytest.raises(InputError) as caught:
        gappy.draw(SEASON, 10, seed=0)
    assert str(caught.value) == (
        "weather record: years from 02 Dec to 31 Jul: 1 complete years (with gaps: 2002, 2003); "
        "2 are the least; give a longer record, or fill its gaps"
    )


def test_a_record_that_no_generator_can_be_fitted_to_is_refused(source):
    same_span = replace(source.record, tmin=source.record.tmax - 10)
    with pytest.raises(InputError, match=r'no autoregression .* or write weather="years"'):
        replace(source, record=same_span, weather="generator").draw(SEASON, 10, seed=0)


def test_a_season_too_long_for_the_days_before_it_is_refused(source):
    with pytest.raises(InputError, match=r"spin_up_days = 120: with the 306 days .* or write 60"):
        source.draw(Season(date(2026, 3, 1), date(2026, 12, 31)), 10, seed=0)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"classes": ()}, "at least one soil"),
        ({"classes": CLASSES[:1] * 2}, "each name once"),
        ({"weather": "both"}, "weather = 'both'"),
        ({"spin_up_days": -1}, "spin_up_days = -1"),
        ({"residue_cover": 30.0}, "residue_cover = 30.0"),
    ],
)
def test_parameters_out_of_bounds_are_refused(source, wrong, message):
    with pytest.raises(ValueError, match=message):
        replace(source, **wrong)


def test_a_source_of_other_years_draws_whole_years_of_its_own_sample(source):
    other = resampled_weather(source, 3, 0)
    assert other == resampled_weather(source, 3, 0)
    years = source.draw(SEASON, 400, 0)
    known = {season.tobytes() for season in years}
    sample = {season.tobytes() for season in other.draw(SEASON, 400, 0)}
    assert sample < known  # 12 years drawn 12 times with replacement leave some out
    chance = 1 - (1 - 1 / 12) ** 12
    counts = [
        len({s.tobytes() for s in resampled_weather(source, number, 0).draw(SEASON, 400, 0)})
        for number in range(30)
    ]
    assert np.mean(counts) / 12 == pytest.approx(chance, abs=0.06)


def test_weather_belongs_to_the_resampled_suitable_days(source):
    other = resampled_weather(source, 1, 0)
    weather = drawn_weather(other, SEASON, 30, 0)
    days = other.draw(SEASON, 30, 0)
    same = (weather.rain[:, None] == weather.rain[None]).all(axis=-1)
    np.testing.assert_array_equal((days[:, None] == days[None]).all(axis=(2, 3)), same)


def test_a_generator_has_no_years_to_resample(source):
    with pytest.raises(InputError, match="years of record"):
        resampled_weather(replace(source, weather="generator"), 0, 0)
