"""Speed of weather and of the soil-water balance, on results that are known."""

from __future__ import annotations

from typing import Any

import pytest

from tests.benchmarks import weather


def test_generate_10_000_seasons(benchmark: Any) -> None:
    drawn = benchmark.pedantic(weather.generate_seasons, rounds=5, warmup_rounds=1)
    # The invented weather rains on about a third of the days, most of it in spring and summer.
    assert 0.2 < (drawn.rain > 0).mean() < 0.5


def test_10_000_generated_seasons_through_5_soils(benchmark: Any) -> None:
    suitable = benchmark.pedantic(weather.watered_seasons, rounds=5, warmup_rounds=1)
    assert 0 < suitable[..., :30].mean() < suitable[..., -30:].mean() < 1


def test_30_years_through_5_soils(benchmark: Any) -> None:
    days = benchmark.pedantic(weather.water_soils, rounds=20, warmup_rounds=1)
    # Sandy loam is dry on the day after the rain: three days of four, once the soil is warm.
    assert days.suitable[0, 0].sum() == pytest.approx(0.75 * 122, abs=2.0)
