"""Benchmarks of each stage, from a laptop's question to a study; each holds its result.

Skipped unless asked for: ``python -m pytest tests/benchmarks --benchmark-only``. The study, 100,000
seasons of 50 options, takes minutes and runs only with ``FIELDSIM_NIGHTLY=1`` before it.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest
import xarray as xr

import fieldsim
from fieldsim.decisions import compare, total_cost
from fieldsim.draws import draw_seasons
from fieldsim.farm import Farm
from fieldsim.report import make_figures, write_report
from fieldsim.simulation import PART, Keep
from tests.benchmarks import works
from tests.benchmarks.farms import fifty_options, one_crew
from tests.reliability.commands import NIGHTLY


class Question(NamedTuple):
    """A farm, how many seasons, and what is kept of each."""

    make: Callable[[], Farm]
    options: int
    seasons: int
    keep: Keep
    rounds: int

    @property
    def farm(self) -> Farm:
        return self.make()

    @cache  # noqa: B019 - two or three for as long as the benchmarks run
    def outcomes(self) -> xr.Dataset:
        return fieldsim.simulate(self.farm, self.seasons, keep=self.keep)


LAPTOP = Question(cache(fieldsim.demo_farm), 4, 2_000, "seasons", 5)
CLASS = Question(one_crew, 12, 10_000, "seasons", 3)
STUDY = Question(fifty_options, 50, 100_000, "summary", 1)
QUESTIONS = [
    pytest.param(LAPTOP, id="laptop"),
    pytest.param(CLASS, id="class"),
    pytest.param(
        STUDY,
        id="study",
        marks=pytest.mark.skipif(not NIGHTLY, reason="minutes: runs where FIELDSIM_NIGHTLY is set"),
    ),
]
every_question = pytest.mark.parametrize("question", QUESTIONS)
but_the_study = pytest.mark.parametrize("question", QUESTIONS[:2])


@every_question
def test_draws(benchmark: Any, question: Question) -> None:
    def draw() -> tuple[int, float, np.ndarray]:
        """Draw as `simulate` does, part by part where little is kept."""
        size = PART if question.keep == "summary" else question.seasons
        days, first = 0.0, None
        for start in range(0, question.seasons, size):
            part = range(start, min(start + size, question.seasons))
            suitable = draw_seasons(question.farm, part, 0).suitable
            assert ((suitable >= 0) & (suitable <= 1)).all()
            days += float(suitable.sum())
            first = suitable[:50] if first is None else first
        return part.stop, days / question.seasons, first

    count, days, first = benchmark.pedantic(draw, rounds=question.rounds, warmup_rounds=1)
    assert count == question.seasons
    np.testing.assert_array_equal(first, draw_seasons(question.farm, 50, 0).suitable)
    # The demo table's weeks have 73 suitable days in the middle year, of 122.
    assert days == pytest.approx(70, abs=4)


@but_the_study
def test_kernel(benchmark: Any, question: Question) -> None:
    draws = draw_seasons(question.farm, question.seasons, 0)
    found = benchmark.pedantic(
        works.run_kernel, (question.farm, draws), rounds=question.rounds, warmup_rounds=1
    )
    assert len(found) == question.options
    fates = ("done", "missed", "switched", "prevented", "left")
    for option, totals in found.items():
        np.testing.assert_allclose(sum(totals[fate] for fate in fates), totals["area"], rtol=1e-9)
        finished = question.outcomes().finish_date.sel(option=option).notnull().sum()
        assert (totals["finish_day"] >= 0).sum() == finished


@every_question
def test_simulate(benchmark: Any, question: Question) -> None:
    outcomes = benchmark.pedantic(
        fieldsim.simulate,
        (question.farm, question.seasons),
        {"keep": question.keep},
        rounds=question.rounds,
        warmup_rounds=1 if question.rounds > 1 else 0,
    )
    assert (outcomes.sizes["option"], outcomes.sizes["season"]) == question[1:3]
    few = fieldsim.simulate(question.farm, 50)  # the first seasons are the same however many follow
    lost = outcomes.lost_revenue.isel(season=slice(50))
    np.testing.assert_allclose(lost, few.lost_revenue, rtol=1e-6)


@every_question
def test_compare(benchmark: Any, question: Question) -> None:
    outcomes = question.outcomes()
    table = benchmark.pedantic(compare, (outcomes,), rounds=question.rounds, warmup_rounds=1)
    assert len(table) == question.options
    cost = total_cost(outcomes).values.astype(float)
    paired = cost - cost[:1]
    np.testing.assert_allclose(table.difference, paired.mean(axis=1), rtol=1e-5, atol=1e-6)
    error = paired.std(axis=1, ddof=1) / np.sqrt(question.seasons)
    np.testing.assert_allclose(table.difference_error, error, rtol=1e-5, atol=1e-6)


@but_the_study
def test_page(benchmark: Any, question: Question, tmp_path: Path) -> None:
    outcomes, page = question.outcomes(), tmp_path / "report.html"

    def write() -> None:
        write_report(question.farm, outcomes, make_figures(question.farm, outcomes), page)

    benchmark.pedantic(write, rounds=question.rounds, warmup_rounds=1)
    text = unescape(page.read_text(encoding="utf-8"))
    assert text.count("<svg") >= 3
    for label in outcomes.option_label.values:
        assert str(label) in text
    least = f"{compare(outcomes).total_cost.min():,.0f}"
    assert re.search(rf"\${re.escape(least)}\b", text)


def test_bare_loop(benchmark: Any) -> None:
    blocks = benchmark.pedantic(works.loop_barely, rounds=3, warmup_rounds=1)
    assert sum(len(totals.done) for totals in blocks) == 12 * works.SEASONS


def test_plain_numpy(benchmark: Any) -> None:
    worked = benchmark.pedantic(works.vectorise, rounds=3, warmup_rounds=1)
    blocks = works.loop_barely()
    done = np.concatenate([totals.done for totals in blocks])
    np.testing.assert_allclose(np.concatenate([totals.done for totals in worked]), done, rtol=1e-9)


def test_simpy(benchmark: Any) -> None:
    seasons = benchmark.pedantic(works.run_simpy, rounds=2)
    works.check_simpy(seasons, works.simulate())
