from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

import fieldsim
from fieldsim.decisions.sampling import mean_error
from fieldsim.decisions.under_risk import enough
from fieldsim.decisions.under_risk.enough import separated, simulate_enough
from fieldsim.errors import InputError

REPETITIONS = 4000


@pytest.fixture
def farm_of(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Let a "farm" be its costs, shape (option, season), of which a run takes the first seasons."""

    def first(costs: Any, seasons: int, *_: object, **__: object) -> SimpleNamespace:
        return SimpleNamespace(attrs={}, values=costs[:, :seasons])

    monkeypatch.setattr(enough, "simulate", first)
    monkeypatch.setattr(enough, "total_cost", lambda outcomes: outcomes)
    return lambda *options: np.array(options)


def test_outcomes_are_those_of_a_run_with_so_many_seasons() -> None:
    farm = fieldsim.demo_farm()
    outcomes = simulate_enough(farm, seed=3, least=250)
    seasons = outcomes.sizes["season"]
    assert seasons > 250
    assert "told from the others" in outcomes.attrs.pop("stopping")
    assert outcomes.identical(fieldsim.simulate(farm, seasons, 3))


def test_seasons_are_doubled_until_told_apart_and_then_once_more(farm_of: Any) -> None:
    noise = np.tile([1.0, -1.0], 5000)  # standard error 1 / sqrt(seasons)
    costs = farm_of(0 * noise, 0.2 + noise)
    # 0.2 sqrt(200) is 2.8 errors, 0.2 sqrt(400) is 4.
    outcomes = simulate_enough(costs, least=100, most=10_000)
    assert outcomes.values.shape[1] == 800
    assert outcomes.attrs["stopping"].startswith("After 400 seasons")
    assert "as many again" in outcomes.attrs["stopping"]


def test_the_cheapest_must_be_told_from_every_other_not_only_from_the_next(farm_of: Any) -> None:
    noise = np.tile([30.0, -30.0], 5000)
    costs = farm_of(0 * noise, 1 + 0.01 * noise, 2 + noise)  # the third is dearer, and unsure
    assert simulate_enough(costs, least=100, most=10_000).values.shape[1] == 6400  # 5.3 errors


def test_the_limit_ends_it(farm_of: Any) -> None:
    noise = np.tile([1.0, -1.0], 5000)
    outcomes = simulate_enough(farm_of(0 * noise, 1e-3 + noise), least=100, most=1000)
    assert outcomes.values.shape[1] == 1000
    assert "limit of 1,000 seasons" in outcomes.attrs["stopping"]
    outcomes = simulate_enough(farm_of(0 * noise, 0.2 + noise), least=100, most=500)
    assert outcomes.values.shape[1] == 500
    assert "more up to the limit" in outcomes.attrs["stopping"]


def test_options_that_cost_the_same_have_nothing_to_tell(farm_of: Any) -> None:
    noise = np.tile([1.0, -1.0], 500)
    for costs in (farm_of(noise), farm_of(noise, noise)):
        outcomes = simulate_enough(costs, least=100)
        assert outcomes.values.shape[1] == 200
        assert "nothing to tell apart" in outcomes.attrs["stopping"]
    assert separated(farm_of(noise, noise, noise + 1))


@pytest.mark.parametrize("shape", ["normal", "skewed"])
@pytest.mark.parametrize("true", [0.0, 0.035, 0.08, 0.16])
def test_stopping_leaves_the_stated_interval_its_coverage(
    farm_of: Any, true: float, shape: str
) -> None:
    # At 0.035 a rule that stops at 3 standard errors, without the last doubling, holds 91 %.
    rng = np.random.default_rng(11)
    held = []
    for _ in range(REPETITIONS):
        drawn = rng.normal(size=5000) if shape == "normal" else rng.gamma(4.0, 0.5, 5000) - 2.0
        paired = simulate_enough(farm_of(0 * drawn, true + drawn), least=50, most=5000).values[1]
        held.append(abs(paired.mean() - true) <= 1.96 * mean_error(paired))
    assert 0.925 < np.mean(held) < 0.97  # 93 to 97 %, and the standard error of 0.4 %


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"least": 1}, "least = 1: a whole number from 2"),
        ({"least": 500, "most": 100}, "most = 100: a whole number from 500"),
        ({"most": 10**9}, "to 1,000,000"),
        ({"least": "few"}, "least = 'few'"),
        ({"seed": -1}, "seed = -1"),
    ],
)
def test_numbers_out_of_range_are_faults(words: dict[str, Any], said: str) -> None:
    with pytest.raises(InputError, match=said):
        simulate_enough(fieldsim.demo_farm(), **words)
