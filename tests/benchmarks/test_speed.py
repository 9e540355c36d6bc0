"""Benchmarks of the engine, of starting up and of the demo.

Skipped unless asked for: ``python -m pytest tests/benchmarks --benchmark-only``.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.benchmarks import measure
from tests.benchmarks.measure import Measured


def test_simulate_12_options_through_10_000_seasons(benchmark: Any) -> None:
    outcomes = benchmark.pedantic(measure.simulate, rounds=3, warmup_rounds=1)
    assert outcomes.sizes["season"] == measure.SEASONS


def test_bare_loop_through_the_same_seasons(benchmark: Any) -> None:
    benchmark.pedantic(measure.loop_barely, rounds=3, warmup_rounds=1)


def test_simpy_through_some_of_the_same_seasons(benchmark: Any) -> None:
    seasons = benchmark.pedantic(measure.run_simpy, rounds=3)
    measure.check_simpy(seasons, measure.simulate())


@pytest.mark.parametrize(
    "measured",
    [
        measure.engine_against_bare_loop,
        measure.engine_against_simpy,
        measure.import_against_libraries,
        measure.second_demo,
    ],
)
def test_ratio_stays_within_its_bound(benchmark: Any, measured: Callable[[], Measured]) -> None:
    result = benchmark.pedantic(measured, rounds=1)
    benchmark.extra_info["ratio"] = result.ratio
    assert result.ratio <= result.most
