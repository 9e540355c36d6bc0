"""What is held against what: each row of the table is a ratio of two times.

Times of all sides are taken in one run, turn about, and the best of each counts: other work on the
machine only ever makes a run slower.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from time import perf_counter
from typing import Any

from tests.benchmarks import works
from tests.benchmarks.weather import (
    SEASONS_OF_WEATHER,
    YEARS_OF_WEATHER,
    generate_seasons,
    random_numbers,
    water_soils,
    watered_seasons,
)

ROUNDS = 5

MOST_OVER_BARE_LOOP = 2
LEAST_OVER_SIMPY = 1000
LEAST_OVER_ONE_THREAD = 1.7
MOST_OVER_LIBRARIES = 1.3
MOST_SECONDS_OF_DEMO = 3.0
MOST_SECONDS_OF_FIRST_CALL = 5.0
MOST_OVER_RANDOM_NUMBERS = 4
MOST_SECONDS_OF_SOIL_WATER = 0.2

SIMULATE = "import fieldsim; fieldsim.simulate(fieldsim.demo_farm(), 100)"


@dataclass(frozen=True)
class Measured:
    """Seconds of one thing and of what it is held against, and what is wanted of the two."""

    what: str
    seconds: float
    against: str = ""
    seconds_against: float | None = None
    most: float | None = None  # times as long, or seconds where nothing is held against it
    least: float | None = None  # times as fast

    def cells(self) -> tuple[str, ...]:
        """What, time, against, time, ratio and goal, as the table has them."""
        what = self.what, seconds_text(self.seconds), self.against
        if self.seconds_against is None:
            return *what, "", "", "" if self.most is None else f"less than {self.most:g} s"
        against = seconds_text(self.seconds_against)
        ratio = self.seconds / self.seconds_against
        if self.most is not None:
            return *what, against, f"{ratio:.2f}", f"at most {self.most:g}"
        faster = f"{1 / ratio:,.0f}" if ratio < 0.01 else f"{1 / ratio:.3g}"
        goal = "" if self.least is None else f"at least {self.least:,g} times as fast"
        return *what, against, f"{faster} times as fast", goal


def seconds_text(seconds: float) -> str:
    """Seconds as the table has them: three figures, or milliseconds."""
    return f"{1000 * seconds:.2g} ms" if seconds < 0.01 else f"{seconds:.3g} s"


def best_times(*timed: Callable[[], Any], rounds: int = ROUNDS) -> list[float]:
    """Best of some rounds for each work, after one round that compiles and fills caches [s]."""
    times: list[list[float]] = [[] for _ in timed]
    for work in timed:
        work()
    for _ in range(rounds):
        for own, work in zip(times, timed, strict=True):
            start = perf_counter()
            work()
            own.append(perf_counter() - start)
    return [min(own) for own in times]


def engine() -> Iterator[Measured]:
    """Yield the engine against a bare loop, plain numpy and SimPy, and its two threads."""
    works.check_simpy(works.run_simpy(), works.simulate())
    seconds, bare, plain, few, one, two = best_times(
        works.simulate,
        works.loop_barely,
        works.vectorise,
        works.run_simpy,
        partial(works.run_with, 1),
        partial(works.run_with, 2),
    )
    options = f"12 options x {works.SEASONS:,} seasons"
    own = partial(Measured, f"`simulate`, {options}", seconds)
    threads = f"{works.THREADS} threads"
    yield own(f"bare compiled loop over days and tasks, {threads}", bare, most=MOST_OVER_BARE_LOOP)
    yield own("the bare loop's farm in plain numpy, all seasons at once, one thread", plain)
    yield own(
        f"SimPy model of the farm ({works.SIMPY_SEASONS} seasons an option, extrapolated)",
        few * works.SEASONS / works.SIMPY_SEASONS,
        least=LEAST_OVER_SIMPY,
    )
    yield Measured(
        f"drawn seasons to Dataset, {options}, two threads",
        two,
        "one thread",
        one,
        least=LEAST_OVER_ONE_THREAD,
    )


def weather() -> Iterator[Measured]:
    """Yield weather and soils against the random numbers they take."""
    generated, watered, numbers, soils = best_times(
        generate_seasons, watered_seasons, random_numbers, water_soils
    )
    against = "their random numbers", numbers, MOST_OVER_RANDOM_NUMBERS
    yield Measured(f"{SEASONS_OF_WEATHER:,} seasons of weather", generated, *against)
    yield Measured(
        f"{SEASONS_OF_WEATHER:,} seasons of weather through five soils", watered, *against
    )
    yield Measured(
        f"{YEARS_OF_WEATHER} years of daily weather through five soils",
        soils,
        most=MOST_SECONDS_OF_SOIL_WATER,
    )


def seconds_of(*arguments: str, cache: str | None = None) -> float:
    """Wall time of a fresh interpreter [s], its compiled code in a folder of its own if asked."""
    environment = os.environ | ({} if cache is None else {"FIELDSIM_CACHE": cache})
    start = perf_counter()
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True, env=environment)
    return perf_counter() - start


def first_call() -> float:
    """Wall time of a fresh interpreter that finds no compiled code [s]."""
    with tempfile.TemporaryDirectory() as folder:
        return seconds_of("-c", SIMULATE, cache=folder)


def commands() -> Iterator[Measured]:
    """Yield whole commands: importing fieldsim, and the demo once its code is compiled."""
    own, libraries = best_times(
        partial(seconds_of, "-c", "import fieldsim"),
        partial(seconds_of, "-c", "import numpy, pandas, xarray"),
    )
    yield Measured(
        "`import fieldsim`", own, "importing numpy, pandas, xarray", libraries, MOST_OVER_LIBRARIES
    )
    first, later = best_times(first_call, partial(seconds_of, "-c", SIMULATE))
    what = "`import fieldsim` and `simulate` the demo farm"
    yield Measured(f"{what}, nothing compiled yet", first, most=MOST_SECONDS_OF_FIRST_CALL)
    yield Measured(f"{what}, not the first time", later)
    with tempfile.TemporaryDirectory() as folder:
        (demo,) = best_times(partial(seconds_of, "-m", "fieldsim", "demo", "--out", folder))
    yield Measured("`fieldsim demo`, not the first run", demo, most=MOST_SECONDS_OF_DEMO)
