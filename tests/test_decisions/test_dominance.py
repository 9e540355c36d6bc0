from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
import xarray as xr
from hypothesis import given
from hypothesis import strategies as st

import fieldsim
from fieldsim.decisions.under_risk.dominance import dominance, efficient
from fieldsim.errors import InputError

from .invented import outcomes_of

SEASONS = 1000


def uniform(low: float, high: float, seed: int = 0) -> np.ndarray:
    """Costs between low and high [$ 1,000], each season's share a shuffled grid."""
    share = (np.random.default_rng(seed).permutation(SEASONS) + 0.5) / SEASONS
    return 1000 * (low + (high - low) * share)


def verdicts(outcomes: xr.Dataset, degree: int, column: str = "dominates") -> set[tuple[str, str]]:
    table = dominance(outcomes, degree)
    kept = table[table[column].astype(bool)]
    return set(zip(kept.option, kept.against, strict=True))


def test_a_cheaper_uniform_dominates_to_the_first_and_so_to_the_second_degree() -> None:
    outcomes = outcomes_of({"cheap": uniform(0, 10, 1), "dear": uniform(1, 11, 2)})
    for degree in (1, 2):
        for column in ("dominates", "dominates_in_sample"):
            assert verdicts(outcomes, degree, column) == {("cheap", "dear")}
        assert efficient(outcomes, degree) == ["cheap"]


def test_a_narrower_uniform_of_the_same_mean_dominates_to_the_second_degree_only() -> None:
    outcomes = outcomes_of({"wide": uniform(0, 10, 1), "narrow": uniform(3, 7, 2)})
    first = dominance(outcomes, 1)
    assert first.better_somewhere.all()
    assert first.worse_somewhere.all()
    assert efficient(outcomes, 1) == ["wide", "narrow"]
    assert verdicts(outcomes, 2) == {("narrow", "wide")}
    assert verdicts(outcomes, 2, "dominates_in_sample") == {("narrow", "wide")}


def test_a_cheaper_mean_with_worse_bad_years_leaves_both_efficient() -> None:
    outcomes = outcomes_of({"wide": uniform(0, 10, 1), "narrow": uniform(3, 8, 2)})
    for degree in (1, 2):
        assert verdicts(outcomes, degree) == set()
        assert efficient(outcomes, degree) == ["wide", "narrow"]


def test_a_small_lead_on_the_same_seasons_is_seen_which_independent_seasons_would_hide() -> None:
    rng = np.random.default_rng(3)
    cost, other = 5000 + 1000 * rng.normal(size=(2, SEASONS))
    assert verdicts(outcomes_of({"a": cost, "b": cost + 60}), 1) == {("a", "b")}
    assert verdicts(outcomes_of({"a": cost, "b": other + 60}), 1) == set()


def test_options_alike_in_every_season_do_not_dominate() -> None:
    cost = uniform(0, 10)
    outcomes = outcomes_of({"a": cost, "b": cost})
    for degree in (1, 2):
        assert not dominance(outcomes, degree)[["dominates", "dominates_in_sample"]].any(axis=None)
    assert efficient(outcomes) == ["a", "b"]


def test_a_few_seasons_say_nothing_beyond_themselves() -> None:
    outcomes = outcomes_of({"a": np.arange(5.0), "b": np.arange(5.0) + 1})
    assert verdicts(outcomes, 1) == set()
    assert verdicts(outcomes, 1, "dominates_in_sample") == {("a", "b")}


@pytest.mark.parametrize("degree", [1, 2])
def test_of_options_that_do_not_differ_few_are_called_different(degree: int) -> None:
    rng = np.random.default_rng(5)
    wrong = 0
    for _ in range(60):
        common = rng.gamma(0.5, 1000.0, 400)
        own = rng.gamma(0.5, 1000.0, (2, 400)) * (rng.random(400) < 0.5)
        table = dominance(outcomes_of({"a": common + own[0], "b": common + own[1]}), degree)
        wrong += table.better_somewhere.any()
    assert wrong <= 9  # 5 % of 60, and 3.5 standard errors


@pytest.mark.parametrize("degree", [1, 2])
def test_a_lead_in_the_mean_and_a_lag_in_the_tail_are_both_found(degree: int) -> None:
    rng = np.random.default_rng(6)
    found = []
    for _ in range(20):
        common = rng.gamma(2.0, 1000.0, 1000)
        other = common + np.where(common > 3000, 1000.0, -400.0)  # dearer in 20 % of seasons
        table = dominance(outcomes_of({"a": common, "b": other}), degree).iloc[0]
        found.append(table.better_somewhere and table.worse_somewhere)
    assert np.mean(found) > 0.9


cents = st.lists(st.integers(0, 30), min_size=6, max_size=6).map(np.array)


@given(cents, cents)
def test_dominance_in_the_sample_is_that_of_its_definition(a: np.ndarray, b: np.ndarray) -> None:
    outcomes = outcomes_of({"a": a.astype(float), "b": b.astype(float)})
    amounts = np.arange(-1, 32)
    for degree, of in ((1, lambda c: c > amounts), (2, lambda c: np.maximum(c - amounts, 0))):
        ahead = of(a[:, None]).mean(axis=0) - of(b[:, None]).mean(axis=0)
        expected = bool((ahead <= 1e-12).all() and (ahead < -1e-12).any())
        assert dominance(outcomes, degree).dominates_in_sample[0] == expected


def test_the_two_rows_of_a_pair_mirror_each_other() -> None:
    outcomes = fieldsim.simulate(fieldsim.demo_farm(), 300)
    table = dominance(outcomes, 2).set_index(["option", "against"])
    assert len(table) == 12
    for (option, against), row in table.iterrows():
        other = table.loc[(against, option)]
        assert row.better_by == other.worse_by
        assert row.band == other.band
        assert row.better_somewhere == other.worse_somewhere


def test_what_dominates_to_the_second_degree_costs_less_on_average() -> None:
    outcomes = fieldsim.simulate(fieldsim.demo_farm(), 300)
    mean = fieldsim.compare(outcomes).total_cost
    pairs = verdicts(outcomes, 2)
    assert pairs
    assert all(mean[option] < mean[against] for option, against in pairs)
    assert set(efficient(outcomes, 2)) <= set(efficient(outcomes, 1))


def test_one_option_is_efficient_and_other_degrees_are_not_known() -> None:
    outcomes = outcomes_of({"only": uniform(0, 1)})
    assert isinstance(dominance(outcomes), pd.DataFrame)
    assert efficient(outcomes) == ["only"]
    with pytest.raises(InputError, match="degree = 3"):
        dominance(outcomes, 3)
