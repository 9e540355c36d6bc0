"""Futures drawn from seasons, and whether the errors stated of them are those they have."""

from __future__ import annotations

import numpy as np
import pytest

from fieldsim.decisions.investment.futures import (
    draw_futures,
    future_error,
    future_quantile,
    future_share_error,
)
from fieldsim.decisions.sampling import share_error


def test_the_first_futures_are_the_same_however_many_follow_and_seeds_differ() -> None:
    assert (draw_futures(100, 6, 500, 1)[:20] == draw_futures(100, 6, 20, 1)).all()
    assert (draw_futures(100, 6, 20, 1) != draw_futures(100, 6, 20, 2)).any()


def test_every_season_is_drawn_about_equally_often_in_every_year() -> None:
    drawn = draw_futures(10, 4, 20_000, 0)
    for year in drawn.T:
        counts = np.bincount(year, minlength=10)
        assert np.abs(counts - 2000).max() < 4.5 * np.sqrt(20_000 * 0.1 * 0.9)


def test_with_replicates_a_future_keeps_to_one_of_them() -> None:
    replicate = np.repeat([0, 1, 2], [30, 40, 50])
    drawn = draw_futures(120, 5, 300, 0, replicate)
    of_year = replicate[drawn]
    assert (of_year == of_year[:, :1]).all()
    assert (np.bincount(of_year[:, 0]) == 100).all()
    assert len(np.unique(drawn)) == 120


@pytest.mark.parametrize("figure", ["mean", "share"])
def test_stated_errors_are_those_of_repeated_simulations(figure: str) -> None:
    """Both layers count: drawing the seasons anew, and the futures from them."""
    random, found, stated = np.random.default_rng(8), [], []
    for repetition in range(300):
        seasons = random.gamma(0.6, 1.0, 120)
        drawn = draw_futures(120, 5, 400, repetition)
        values = seasons[drawn].sum(axis=1)
        of_future = values if figure == "mean" else (values > 4.0).astype(float)
        found.append(of_future.mean())
        stated.append(future_error(of_future, drawn, 120))
    # The standard deviation of 300 repetitions is itself known to about 4 %.
    assert np.mean(stated) == pytest.approx(np.std(found), rel=0.15)
    if figure == "mean":
        # Futures alone would have it: sqrt(5 x 0.6 / 400), less than half of it.
        assert np.mean(stated) > 1.8 * np.sqrt(5 * 0.6 / 400)


def test_with_very_many_seasons_only_the_number_of_futures_leaves_an_error() -> None:
    seasons = np.random.default_rng(3).gamma(0.6, 1.0, 1_000_000)
    drawn = draw_futures(1_000_000, 5, 4000, 0)
    error = future_error(seasons[drawn].sum(axis=1), drawn, 1_000_000)
    assert error == pytest.approx(np.sqrt(5 * 0.6 / 4000), rel=0.1)


def test_errors_worked_out_by_hand() -> None:
    # Off the mean: 1, 1, -2; squares 6; by season 2 and -2: (8 - 6) / 9 + 6 / 2 / 3.
    found = future_error(np.array([2.0, 2.0, -1.0]), np.array([[0], [0], [1]]), 2)
    assert found == pytest.approx(np.sqrt(2 / 9 + 1))
    # Each season in one future: the standard error of a mean of two, 2 / sqrt(2) / sqrt(2).
    assert future_error(np.array([0.0, 2.0]), np.array([[0], [1]]), 2) == pytest.approx(1.0)
    # Two years: squares 2, by season 1 - 1 and 1 - 1: nothing is left of the seasons.
    assert future_error(np.array([0.0, 2.0]), np.array([[0, 1], [0, 1]]), 2) == pytest.approx(1.0)
    assert np.isnan(future_error(np.array([2.0]), np.array([[0]]), 2))


def test_the_error_of_replicates_is_that_of_their_means() -> None:
    replicate = np.array([0, 0, 1, 1, 2])
    drawn = np.array([[0, 1], [2, 3], [1, 1], [3, 2], [4, 4]])
    # Means 2, 4 and 6: a standard deviation of 2 over the root of 3.
    found = future_error(np.array([1.0, 3.0, 3.0, 5.0, 6.0]), drawn, 5, replicate)
    assert found == pytest.approx(2 / np.sqrt(3))


def test_the_error_of_a_share_is_that_of_a_mean_of_ones_and_noughts() -> None:
    drawn = draw_futures(120, 5, 400, 0)
    holds = drawn[:, 0] < 30
    expected = future_error(holds.astype(float), drawn, 120)
    assert future_share_error(holds, drawn, 120) == pytest.approx(expected, rel=1e-12)
    assert 0.02 < expected < 0.1


@pytest.mark.parametrize(("futures", "seasons", "filled"), [(3, 120, 3), (40, 120, 24), (9, 4, 1)])
def test_no_more_futures_count_than_there_are_and_at_least_one(
    futures: int, seasons: int, filled: int
) -> None:
    drawn = draw_futures(seasons, 5, futures, 0)
    assert future_share_error(np.full(futures, True), drawn, seasons) == share_error(1.0, filled)


def test_the_band_of_an_outer_quantile_ends_with_the_futures() -> None:
    drawn = np.arange(20)[:, None]
    values = np.arange(20.0)
    lowest, highest = (future_quantile(values, share, drawn, 20) for share in (0.05, 0.95))
    # 1 of 20: 0.05 +- 1.96 x sqrt(0.05 x 0.95 / 19) is below 0, and up to 0.148.
    assert (lowest.low, lowest.value, lowest.high) == (0.0, 0.0, 2.0)
    assert (highest.value, highest.high) == (18.0, 19.0)


@pytest.mark.parametrize("all_agree", [True, False])
def test_where_all_futures_agree_the_error_is_that_of_as_many_as_the_seasons_fill(
    all_agree: bool,
) -> None:
    drawn = draw_futures(120, 5, 400, 0)
    error = future_share_error(np.full(400, all_agree), drawn, 120)
    assert error == share_error(float(all_agree), 24)


def test_the_band_of_a_quantile_holds_the_truth_in_95_of_100_simulations() -> None:
    random, held = np.random.default_rng(9), []
    truth = np.quantile(np.random.default_rng(1).gamma(3.0, 1.0, 400_000), 0.1)
    for repetition in range(400):
        seasons = random.gamma(0.6, 1.0, 120)
        drawn = draw_futures(120, 5, 400, repetition)
        band = future_quantile(seasons[drawn].sum(axis=1), 0.1, drawn, 120)
        held.append(band.low <= truth <= band.high)
    # 4 standard errors of the count, and 2 points for the first-order error.
    assert abs(np.mean(held) - 0.95) < 4 * np.sqrt(0.95 * 0.05 / 400) + 0.02
