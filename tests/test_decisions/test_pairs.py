from __future__ import annotations

import math

import numpy as np
import pytest
import xarray as xr

import fieldsim
from fieldsim.decisions.under_risk.pairs import pairwise, seasons_to_tell_apart
from fieldsim.errors import InputError

from .invented import outcomes_of

LOST = np.arange(100.0) * 100


def row_of(paired: np.ndarray, **more: float) -> dict:
    """The one pair of two options whose costs differ by `paired`."""
    return pairwise(outcomes_of({"a": LOST + paired, "b": LOST}), **more).iloc[0].to_dict()


def test_a_pair_by_hand() -> None:
    paired = np.where(np.arange(100) < 80, -10.0, 20.0)
    paired[93] = 500.0
    row = row_of(paired)
    mean = (80 * -10 + 19 * 20 + 500) / 100
    assert (row["option"], row["against"]) == ("a", "b")
    assert row["difference"] == pytest.approx(mean)  # 0.8
    squares = (80 * 10**2 + 19 * 20**2 + 500**2) - 100 * mean**2
    assert row["difference_error"] == pytest.approx(math.sqrt(squares / 99 / 100))
    assert row["seasons_won"] == 0.8
    share = (80 + 2) / (100 + 4)  # with two seasons more of each kind
    assert row["seasons_won_error"] == pytest.approx(math.sqrt(share * (1 - share) / (100 + 4)))
    # The 99th of 100 in order. All 100 seasons lie below the true one with a chance of
    # 0.99**100 = 0.37, so that its 95 % band has no upper end.
    assert (row["worst_1_in_100"], row["worst"], row["worst_season"]) == (20.0, 500.0, 93)
    assert (row["worst_1_in_100_from"], row["worst_1_in_100_to"]) == (20.0, math.inf)
    assert not row["told_apart"]


def test_every_option_stands_against_every_other_once() -> None:
    pairs = pairwise(outcomes_of({"a": LOST, "b": LOST + 1, "c": LOST + 3}))
    found = dict(zip(zip(pairs.option, pairs.against, strict=True), pairs.difference, strict=True))
    assert found == pytest.approx({("a", "b"): -1, ("a", "c"): -3, ("b", "c"): -2})


def test_the_differences_are_those_of_compare() -> None:
    outcomes = fieldsim.simulate(fieldsim.demo_farm(), 100)
    pairs = pairwise(outcomes)
    assert len(pairs) == 6
    for row in pairs.itertuples():
        other = fieldsim.compare(outcomes, row.against).loc[row.option]
        assert row.difference == pytest.approx(other.difference)
        assert row.difference_error == pytest.approx(other.difference_error)
        assert row.told_apart != other.cannot_tell_apart


def test_the_worst_season_is_numbered_as_in_the_outcomes() -> None:
    outcomes = outcomes_of({"a": LOST + np.where(LOST == 4200, 9.0, 0.0), "b": LOST})
    part = outcomes.isel(season=slice(40, None))
    assert pairwise(part).worst_season[0] == 42


def test_so_many_more_seasons_do_tell_two_apart() -> None:
    # 4 times the seasons halve an error: 1.96 * 100 / sqrt(3.8416) is 100 to the dollar.
    assert seasons_to_tell_apart(100.0, 100.0, 1000) == 2900.0  # 2841.6 rounded up to two digits
    assert seasons_to_tell_apart(-100.0, 100.0, 1000) == 2900.0
    for difference, error in ((3.0, 2.0), (0.7, 5.0), (40.0, 21.0)):
        more = seasons_to_tell_apart(difference, error, 500)
        reached = error * math.sqrt(500 / (500 + more))
        assert 1.96 * reached < difference
        assert 1.96 * error * math.sqrt(500 / (500 + 0.85 * more)) > difference or more < 10
        assert float(f"{more:.1e}") == more


def test_where_no_number_of_seasons_would_do_it_is_inf() -> None:
    assert seasons_to_tell_apart(0.0, 5.0, 100) == math.inf
    assert seasons_to_tell_apart(0.0, 0.0, 100) == math.inf
    for nearly_none in (1e-200, 1e-320):
        assert seasons_to_tell_apart(nearly_none, 5.0, 100) == math.inf
    assert seasons_to_tell_apart(10.0, 1.0, 100) == 0.0
    assert math.isnan(seasons_to_tell_apart(10.0, math.nan, 1))


def test_the_same_cost_in_every_season_is_small_and_never_told_apart() -> None:
    row = row_of(np.zeros(100))
    assert row["more_seasons"] == math.inf
    assert row["small_difference"]
    assert not row["told_apart"]


def test_a_difference_may_be_told_apart_and_yet_be_small() -> None:
    row = row_of(np.where(np.arange(100) % 2, 3.0, 1.0), small=3.0)
    assert row["told_apart"]
    assert row["small_difference"]  # 2 and 1.96 times 0.1005
    assert not row_of(np.where(np.arange(100) % 2, 3.0, 1.0), small=2.1)["small_difference"]


def test_a_noisy_difference_is_not_called_small() -> None:
    row = row_of(np.where(np.arange(100) % 2, 900.0, -900.0), small=100.0)
    assert row["difference"] == pytest.approx(0.0)
    assert not row["small_difference"]  # the interval reaches 177


def test_small_is_a_hundredth_of_the_least_mean_cost_if_nothing_is_said() -> None:
    outcomes = outcomes_of({"a": LOST, "b": LOST + 7})
    assert pairwise(outcomes).attrs["small"] == pytest.approx((4950 + 1000 + 300 + 200) / 100)
    with pytest.raises(InputError, match="small = -1"):
        pairwise(outcomes, small=-1)


def test_one_season_tells_nothing_and_one_option_has_no_pair() -> None:
    row = pairwise(outcomes_of({"a": LOST[:1], "b": LOST[:1] + 50})).iloc[0]
    assert not row.told_apart
    assert not row.small_difference
    assert np.isnan(row.more_seasons)
    only: xr.Dataset = outcomes_of({"a": LOST})
    assert list(pairwise(only).columns[:2]) == ["option", "against"]
    assert pairwise(only).empty
