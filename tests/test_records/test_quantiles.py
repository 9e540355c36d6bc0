import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim.days.records.dependence import (
    copula_parameters,
    lag_correlations,
    normal_scores_of,
    pooled_persistence,
)
from fieldsim.days.records.quantiles import neighbor_share, sample_quantiles, smoothing_weights
from tests.test_records.made import CHAIN, SPRING


@given(st.integers(1, 30), st.integers(0, 1000))
def test_quantiles_are_those_of_definition_8(count, seed):
    sample = np.random.default_rng(seed).random((count, 3))
    percentiles = np.array([0.0, 0.05, 0.1, 0.2, 0.5, 0.8, 0.95, 1.0])
    independent = np.quantile(sample, percentiles, axis=0, method="median_unbiased").T
    np.testing.assert_allclose(sample_quantiles(sample, percentiles), independent, atol=1e-12)


def test_a_missing_figure_is_as_if_it_were_not_there():
    sample = np.array([[1.0], [np.nan], [4.0], [2.0]])
    percentiles = np.array([0.2, 0.5, 0.8])
    np.testing.assert_allclose(
        sample_quantiles(sample, percentiles), sample_quantiles(sample[[0, 2, 3]], percentiles)
    )
    assert np.isnan(sample_quantiles(np.full((3, 1), np.nan), percentiles)).all()


@given(st.lists(st.integers(0, 40), min_size=2, max_size=20), st.integers(1, 4))
def test_a_straight_course_is_left_as_it_is_whatever_the_weights(years, half_width):
    weights = np.array(years, dtype=float)
    if not weights.any():
        weights[0] = 1.0
    matrix = smoothing_weights(weights, half_width)
    assert matrix.sum(axis=1) == pytest.approx(1.0)
    if (weights > 0).all():
        line = 1.5 + 0.25 * np.arange(len(weights))
        assert matrix @ line == pytest.approx(line)


def test_beyond_the_figures_with_a_weight_the_nearest_value_is_kept():
    matrix = smoothing_weights(np.array([0.0, 0.0, 5.0, 5.0, 5.0, 0.0]), 2)
    assert (matrix[:2] == matrix[2]).all()
    assert (matrix[5] == matrix[4]).all()


def test_smoothing_makes_noise_smaller_most_in_the_middle():
    errors = np.sqrt((smoothing_weights(np.ones(18), 3) ** 2).sum(axis=1))
    assert errors[9] < 0.55
    assert errors[0] < 0.95


def test_the_share_of_the_neighbors_falls_with_the_years():
    shares = neighbor_share(np.array([1.0, 5.0, 20.0, 1000.0]), 20.0)
    assert (np.diff(shares) < 0).all()
    assert shares[-1] < 0.02
    assert neighbor_share(np.array([3.0, 0.0]), 0.0).tolist() == [0.0, 1.0]


def test_scores_of_years_without_equals_are_those_of_their_ranks():
    scores = normal_scores_of(np.array([[5.0], [1.0], [3.0], [np.nan]]))[:, 0]
    assert scores[:3] == pytest.approx([0.67449, -0.67449, 0.0], abs=1e-5)
    assert np.isnan(scores[3])


def test_correlations_with_missing_weeks_use_the_pairs_that_are_there():
    rng = np.random.default_rng(0)
    common = rng.normal(size=(4000, 1))
    scores = np.sqrt(0.4) * common + np.sqrt(0.6) * rng.normal(size=(4000, 6))
    scores[rng.random(scores.shape) < 0.3] = np.nan
    correlations, pairs = lag_correlations(scores)
    assert correlations == pytest.approx(np.full(5, 0.4), abs=0.03)
    assert (np.diff(pairs) < 0).all()


@pytest.mark.parametrize("r", [0.0, 0.3, 0.6])
@pytest.mark.parametrize("s", [0.0, 0.2, 0.5])
def test_parameters_come_back_from_their_own_correlations(r, s):
    lags = np.arange(1, 18)
    found = copula_parameters(s + (1 - s) * r**lags, 18.0 - lags)
    assert (float(found[0]), float(found[1])) == pytest.approx((r, s), abs=1e-9)


def test_the_error_of_the_persistence_is_that_between_records():
    values = [pooled_persistence(CHAIN.draw(SPRING, 15, seed)[:, 0]) for seed in range(150)]
    spread = np.std([estimate.value for estimate in values])
    assert np.mean([estimate.standard_error for estimate in values]) == pytest.approx(
        spread, rel=0.2
    )
