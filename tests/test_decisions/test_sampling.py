from __future__ import annotations

import numpy as np
import pytest

from fieldsim.decisions.sampling import (
    mean_error,
    quantile,
    share_error,
    told_apart,
    years_error,
)

REPETITIONS = 2000


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_the_band_of_a_quantile_holds_the_truth_in_95_of_100_samples(share: float) -> None:
    rng = np.random.default_rng(5)
    samples = rng.random((REPETITIONS, 400))  # true quantile of a uniform: the share itself
    bands = [quantile(sample, share) for sample in samples]
    held = np.mean([band.low <= share <= band.high for band in bands])
    # 4 standard errors of the count, and 1 point for the normal approximation and whole ranks
    assert abs(held - 0.95) < 4 * np.sqrt(0.95 * 0.05 / REPETITIONS) + 0.01


def test_the_band_of_a_mean_holds_the_truth_in_95_of_100_samples() -> None:
    samples = np.random.default_rng(6).gamma(2.0, 1.0, (REPETITIONS, 400))
    held = np.mean([abs(s.mean() - 2.0) <= 1.96 * mean_error(s) for s in samples])
    assert abs(held - 0.95) < 4 * np.sqrt(0.95 * 0.05 / REPETITIONS) + 0.005


def test_identical_options_are_told_apart_in_5_of_100_samples() -> None:
    samples = np.random.default_rng(7).normal(0, 1, (REPETITIONS, 400))
    apart = np.mean([told_apart(float(s.mean()), mean_error(s)) for s in samples])
    assert abs(apart - 0.05) < 4 * np.sqrt(0.05 * 0.95 / REPETITIONS)


def test_a_share_of_none_or_all_still_has_an_error() -> None:
    for share in (0.0, 1.0):
        assert share_error(share, 100) == pytest.approx(np.sqrt(2 / 104 * 102 / 104 / 104))
    assert share_error(0.5, 396) == 0.025


def test_ends_of_a_band_that_few_values_cannot_tell_are_open() -> None:
    assert quantile(np.array([3.0]), 0.9) == (3.0, -np.inf, np.inf)
    assert quantile(np.array([1.0, 2.0]), 0.5).value == 1.0
    for seasons, high in ((35, np.inf), (36, 35.0)):  # 0.9^35 > 0.025 > 0.9^36
        assert quantile(np.arange(float(seasons)), 0.9).high == high
    days = np.datetime64("2026-05-01") + np.arange(35)
    assert np.isnat(quantile(days, 0.9).high)


def test_the_error_of_years_is_the_spread_of_replicates_beyond_that_of_their_seasons() -> None:
    random = np.random.default_rng(3)
    replicate = np.repeat(np.arange(400), 50)
    seasons = random.normal(0, 10, replicate.size)
    assert years_error(seasons + random.normal(0, 4, 400)[replicate], replicate) == pytest.approx(
        4, rel=0.15
    )
    assert years_error(seasons, replicate) < 0.7  # nothing but the seasons


def test_an_error_of_years_that_cannot_be_seen_is_not_0() -> None:
    replicate = np.repeat(np.arange(10), 2)
    assert np.isnan(years_error(np.tile([1.0, 5.0], 10), replicate))
    assert np.isnan(years_error(np.arange(4.0), np.zeros(4, dtype=np.int64)))
    assert np.isnan(years_error(np.arange(4.0), np.arange(4)))
    assert years_error(np.full(20, 3.0), replicate) == 0.0
