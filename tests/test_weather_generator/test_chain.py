import numpy as np
import pytest
from scipy.special import ndtr, ndtri

from fieldsim.days.weather.generator_chain import fit_chain, fit_season_share, wet_scores
from fieldsim.days.weather.generator_days import place_days, with_neighbours
from tests.test_weather_generator.records import as_record

NAN = np.nan
RUNS = [0.0, 5.0, 0.3, 0.2, 0.0]  # a dry day, two wet ones, two dry ones


def rain_days(years):
    """The days of a record whose rain has the shape (year, day)."""
    return place_days(as_record((years + 1, years, years)))[0]


def over_and_over(pattern, years=4):
    return rain_days(np.tile(np.resize(pattern, 365), (years, 1)))


def test_days_are_counted_by_the_day_before_and_the_month_of_the_later_day():
    after_wet, after_dry = fit_chain(over_and_over(RUNS))
    assert after_wet.years.tolist() == [4] * 12
    # of the days 2 to 31 of January 3, 8 ... 28 are wet after a wet day, and 4, 9 ... 29 dry;
    # 2, 7 ... 27 are wet after a dry day, and 5, 6 ... 30, 31 dry
    assert after_wet.value[0] == pytest.approx(6 / 12)
    assert after_dry.value[0] == pytest.approx(6 / 18)


def test_years_that_are_alike_leave_no_error():
    after_wet, after_dry = fit_chain(over_and_over(RUNS))
    assert after_wet.error[:1] == pytest.approx(0.0, abs=1e-12)
    assert after_dry.error[:1] == pytest.approx(0.0, abs=1e-12)


def test_a_missing_day_parts_its_neighbours():
    with pytest.raises(ValueError, match="0 days that follow a wet day; 10 or more are needed"):
        fit_chain(over_and_over([NAN, 5.0, NAN, 0.0, 0.0]))


def test_a_share_of_none_is_put_half_a_day_inside():
    after_wet, _ = fit_chain(over_and_over([0.0, 5.0, 0.0, 0.0, 0.0]))
    days = 4 * 6  # after a wet day in January: 3, 8 ... 28
    assert after_wet.value[0] == pytest.approx(0.5 / (days + 1))
    assert after_wet.error[0] == pytest.approx(np.sqrt(0.5 * (days + 0.5) / (days + 1) ** 3))


def test_a_month_with_too_few_days_takes_in_its_neighbours_evenly():
    days = np.array([20.0, 9, 20, 0, 0, 0, 0, 30, 3, 3, 3, 3])
    near = with_neighbours(days, "days")
    taken = [np.flatnonzero(near[:, month]).tolist() for month in range(12)]
    assert taken[0] == [0]
    assert taken[1] == [0, 1, 2]
    assert taken[5] == [3, 4, 5, 6, 7]
    assert taken[10] == [0, 8, 9, 10, 11]


def test_scores_without_a_season_share_are_those_of_the_probabilities():
    after_wet, after_dry = np.array([0.5, 0.6, 0.4]), np.array([0.2, 0.3, 0.1])
    scores = wet_scores(after_wet, after_dry, 0.0)
    assert ndtr(scores[:, 1:]) == pytest.approx(np.array([after_dry, after_wet])[:, 1:])
    assert ndtr(scores[:, 0]) == pytest.approx(0.2 / 0.7)


@pytest.mark.parametrize("share", [0.01, 0.03])
def test_counted_over_many_seasons_the_probabilities_come_out_as_given(share):
    # seasons one by one have a chain of their own: integrate over their wetness
    a, b = 0.5, 0.25
    dry, wet = wet_scores(np.full(2, a), np.full(2, b), share)[:, 1]
    s, weight = np.polynomial.hermite_e.hermegauss(60)
    weight = weight / weight.sum()
    p_wet, p_dry = (ndtr((z + np.sqrt(share) * s) / np.sqrt(1 - share)) for z in (wet, dry))
    stationary = p_dry / (1 - p_wet + p_dry)
    assert np.average(p_wet, weights=weight * stationary) == pytest.approx(a, abs=share**2)
    assert np.average(p_dry, weights=weight * (1 - stationary)) == pytest.approx(b, abs=share**2)
    assert np.average(p_wet, weights=weight) < a - 0.001


def years_that_share(share, years, seed=0):
    """Days wet with a probability of 0.3 over all years; each year has a wetness of its own."""
    random = np.random.default_rng(seed)
    common = np.sqrt(share) * random.standard_normal((years, 1))
    scores = np.sqrt(1 - share) * random.standard_normal((years, 365)) - common
    return rain_days(np.where(scores < ndtri(0.3), 5.0, 0.0))


PROBABILITIES = np.full(12, 0.3), np.full(12, 0.3)


def test_the_share_of_a_season_is_found_again():
    share = fit_season_share(years_that_share(0.03, 2000), *PROBABILITIES)
    assert share.value == pytest.approx(0.03, abs=4 * share.error)
    assert share.error < 0.0015
    assert share.years == 2000


def test_records_of_few_years_have_the_share_on_average():
    # a mean over 400 records is known to 0.0012; departures from the mean of the 10 years
    # themselves, taken for departures from the truth, would give 0.045
    shares = [
        fit_season_share(years_that_share(0.05, 10, seed), *PROBABILITIES).value
        for seed in range(400)
    ]
    assert np.mean(shares) == pytest.approx(0.05, abs=0.003)


def test_seasons_that_share_nothing_have_a_share_of_about_none():
    share = fit_season_share(years_that_share(0.0, 60), *PROBABILITIES)
    assert 0 <= share.value < 0.002
    assert share.error < 0.001


def test_a_single_year_tells_nothing_of_what_seasons_share():
    share = fit_season_share(years_that_share(0.1, 1), *PROBABILITIES)
    assert share.value == 0.0
    assert np.isnan(share.error)
