"""What is measured, and against what: each measurement checks its results too.

Times of both sides of a ratio are taken in one run, turn about, and the best of each counts: other
work on the machine only ever makes a run slower.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median
from time import perf_counter
from typing import Any

import numpy as np
import xarray as xr

import fieldsim
from tests.benchmarks.bare_loop import work_options
from tests.benchmarks.farms import one_crew
from tests.published.simpy_farm import Job, OneCrew, Record, jobs_of

SEASONS = 10_000
SIMPY_SEASONS = 10  # of each option; a season takes as long as the next
HOURS, SUNDAY = 10.0, 6  # field hours of a day on the benchmarks' farm [h]; its day off
THREADS = os.cpu_count() or 1
ROUNDS = 3

LEAST_OVER_SIMPY = 500
MOST_OVER_BARE_LOOP = 4
MOST_OVER_LIBRARIES = 1.3
MOST_SECONDS_OF_DEMO = 10


@dataclass(frozen=True)
class Measured:
    """Seconds of one thing and of what it is held against, and the bound on their ratio."""

    what: str
    seconds: float
    against: str
    seconds_against: float
    most: float

    @property
    def ratio(self) -> float:
        return self.seconds / self.seconds_against


def best_times(*works: Callable[[], Any]) -> list[float]:
    """Best of some rounds for each work, after one round that compiles and fills caches [s]."""
    times: list[list[float]] = [[] for _ in works]
    for work in works:
        work()
    for _ in range(ROUNDS):
        for own, work in zip(times, works, strict=True):
            start = perf_counter()
            work()
            own.append(perf_counter() - start)
    return [min(own) for own in times]


def simulate() -> xr.Dataset:
    """The engine: 12 options through 10,000 seasons, from the farm to the Dataset."""
    outcomes = fieldsim.simulate(one_crew(), SEASONS)
    assert dict(outcomes.sizes)["option"] == 12
    # check_balance has held areas and revenue against their sums in the run itself.
    assert 0 < float(outcomes.finish_date.notnull().mean()) < 1
    return outcomes


def loop_barely() -> None:
    """The bare loop through the same seasons with as many threads."""
    farm = one_crew()
    suitable = farm.day_source.draw(farm.season, SEASONS, seed=0)[:, 0]
    worked = work_options(farm, suitable, THREADS)
    areas = [field.area for field in farm.fields.values() for _ in farm.operations]
    for blocks in worked.values():
        assert sum(len(totals.done) for totals in blocks) == SEASONS
        assert all((totals.done <= np.array(areas) * (1 + 1e-9)).all() for totals in blocks)
        assert all(totals.done.any(axis=1).all() for totals in blocks)


def run_simpy() -> dict[str, list[dict[Job, Record]]]:
    """SimPy's model of the same farm, a few seasons of each option."""
    farm = one_crew()
    suitable = farm.day_source.draw(farm.season, SIMPY_SEASONS, seed=0)[:, 0]
    field_hours = HOURS * suitable * (farm.season.weekday != SUNDAY)
    return {
        option: [OneCrew(jobs_of(farm, option), hours).run() for hours in field_hours]
        for option in farm.options
    }


def check_simpy(seasons: dict[str, list[dict[Job, Record]]], outcomes: xr.Dataset) -> None:
    """Hold every finish date that SimPy found against those of the engine."""
    farm = one_crew()
    for option, worked in seasons.items():
        dates = outcomes.finish_date.sel(option=option)
        for number, records in enumerate(worked):
            for (operation, crop), day in finish_days(records).items():
                found = dates.sel(operation=operation, crop=crop)[number].to_numpy()
                assert np.isnat(found) if day < 0 else found == farm.season.dates[day]


def finish_days(records: dict[Job, Record]) -> dict[tuple[str, str], int]:
    """Last day of each operation on each crop; -1 where some of it was not finished."""
    days: dict[tuple[str, str], list[int]] = {}
    for job, record in records.items():
        group = (job.operation, one_crew().fields[job.field].crop)
        days.setdefault(group, []).append(record.finish_day(job.area))
    return {group: -1 if -1 in own else max(own) for group, own in days.items()}


def engine_against_bare_loop() -> Measured:
    seconds, bare = best_times(simulate, loop_barely)
    return Measured(
        "`simulate`, 12 options x 10,000 seasons",
        seconds,
        f"bare loop over days and tasks, {THREADS} threads",
        bare,
        MOST_OVER_BARE_LOOP,
    )


def engine_against_simpy() -> Measured:
    check_simpy(run_simpy(), simulate())
    seconds, few = best_times(simulate, run_simpy)
    return Measured(
        "`simulate`, 12 options x 10,000 seasons",
        seconds,
        f"SimPy model of the farm ({SIMPY_SEASONS} seasons an option, extrapolated)",
        few * SEASONS / SIMPY_SEASONS,
        1 / LEAST_OVER_SIMPY,
    )


def seconds_of(*arguments: str) -> float:
    """Wall time of a fresh interpreter [s]."""
    start = perf_counter()
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True)
    return perf_counter() - start


def import_against_libraries() -> Measured:
    runs = range(7)
    own, libraries = (
        median(seconds_of("-c", code) for _ in runs)
        for code in ("import fieldsim", "import numpy, pandas, xarray")
    )
    return Measured(
        "`import fieldsim`", own, "importing numpy, pandas, xarray", libraries, MOST_OVER_LIBRARIES
    )


def second_demo() -> Measured:
    with tempfile.TemporaryDirectory() as folder:
        first, second = (seconds_of("-m", "fieldsim", "demo", "--out", folder) for _ in range(2))
    return Measured(
        "`fieldsim demo`, second run",
        second,
        f"{MOST_SECONDS_OF_DEMO} s (the first took {first:.1f} s)",
        MOST_SECONDS_OF_DEMO,
        1.0,
    )
