"""How work grows with its size, where the time goes, and how much memory a long run takes.

``python -m tests.benchmarks.scaling`` prints its tables in one run; with ``--long``
also the million seasons, which take minutes.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from dataclasses import replace
from functools import partial
from pathlib import Path
from time import perf_counter

import numpy as np

import fieldsim
import tests.conftest  # noqa: F401 - keeps compiled code where the tests do
from fieldsim.decisions import compare
from fieldsim.draws import draw_seasons
from fieldsim.farm import Farm
from fieldsim.report import make_figures, write_report
from fieldsim.work.plan import make_plans
from fieldsim.work.tasks import tasks_of
from tests.benchmarks.farms import fifty_options, one_crew
from tests.benchmarks.measure import best_times, seconds_text
from tests.benchmarks.table import load
from tests.benchmarks.works import run_kernel

DECADES = (1000, 10_000, 100_000)  # seasons
LONG = 1_000_000
OPTIONS = (5, 50, 500)
SEASONS_OF_OPTIONS = 10_000
ROUNDS = 3
GOAL = "0.95 to 1.05"


def with_options(count: int) -> Farm:
    """The benchmarks' farm of 50 options with so many: some of them, or each so often."""
    farm = fifty_options()
    times = max(count // len(farm.options), 1)
    options = [(f"{name}_{i}", own) for i in range(times) for name, own in farm.options.items()]
    return replace(farm, options=dict(options[:count]))


def slope(sizes: tuple[int, ...], seconds: list[float]) -> float:
    """Slope of log time against log size."""
    return float(np.polyfit(np.log(sizes), np.log(seconds), 1)[0])


def growth(longest: int | None) -> list[str]:
    """Rows for seasons and options: a slope of 1 is linear."""
    summary = partial(fieldsim.simulate, one_crew(), keep="summary")
    sizes, seconds = DECADES, best_times(*(partial(summary, n) for n in DECADES), rounds=ROUNDS)
    if longest is not None:
        start = perf_counter()
        summary(longest)
        sizes, seconds = (*DECADES, longest), [*seconds, perf_counter() - start]
    by_options = best_times(
        *(
            partial(fieldsim.simulate, with_options(n), SEASONS_OF_OPTIONS, keep="summary")
            for n in OPTIONS
        ),
        rounds=1,
    )
    rows = {
        f"seasons of 12 options, {sizes[0]:,} to {sizes[-1]:,}": slope(sizes, seconds),
        f"options with {SEASONS_OF_OPTIONS:,} seasons, {OPTIONS[0]} to {OPTIONS[-1]}": slope(
            OPTIONS, by_options
        ),
    }
    return [f"| {what} | {found:.2f} | {GOAL} |" for what, found in rows.items()]


def stages() -> list[str]:
    """Rows for the stages of a laptop's question: 4 options through 2,000 seasons."""
    farm = fieldsim.demo_farm()
    draws = draw_seasons(farm, 2000, 0)
    outcomes = fieldsim.simulate(farm, 2000)
    tasks = tasks_of(farm)
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "report.html"
        works = {
            "reading the farm": lambda: fieldsim.parse_farm(farm.text, dict(farm.tables)),
            "drawing": lambda: draw_seasons(farm, 2000, 0),
            "plans of 4 options": lambda: make_plans(farm, tasks),
            "plans and kernel, one thread": lambda: run_kernel(farm, draws),
            f"whole `simulate`, {os.cpu_count()} threads": lambda: fieldsim.simulate(farm, 2000),
            "`compare`": lambda: compare(outcomes),
            "figures": lambda: make_figures(farm, outcomes),
            "page, figures included": lambda: write_report(
                farm, outcomes, make_figures(farm, outcomes), page
            ),
        }
        times = dict(zip(works, best_times(*works.values()), strict=True))
    (whole,) = (time for what, time in times.items() if "simulate" in what)
    return [
        f"| {what} | {seconds_text(time)} | {time / whole:.2f} |" for what, time in times.items()
    ]


def long_run(seasons: int) -> str:
    """Peak memory of a run of which little is kept, in an interpreter of its own."""
    command = [sys.executable, "-m", "tests.benchmarks.scaling", "--one-run", str(seasons)]
    found = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    seconds, mebibytes = map(float, found.split())
    return f"| {seasons:,} seasons x 12 options, peak | {mebibytes:,.0f} MiB in {seconds:.0f} s |"


def _one_run(seasons: int) -> None:
    start = perf_counter()
    outcomes = fieldsim.simulate(one_crew(), seasons, keep="summary")
    assert compare(outcomes).attrs["seasons"] == seasons
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(perf_counter() - start, peak)


def main() -> None:
    if "--one-run" in sys.argv:
        _one_run(int(sys.argv[-1]))
        return
    before = load()
    longest = LONG if "--long" in sys.argv else None
    print("| what | |\n|---|---|")
    # First of all: Linux counts what the parent had at its peak as its children's.
    print(long_run(longest or LONG // 10), flush=True)
    print("\n| what grows | slope of log time | goal |\n|---|---|---|")
    print("\n".join(growth(longest)), flush=True)
    print("\n| stage, 4 options x 2,000 seasons | time | / `simulate` |\n|---|---|---|")
    print("\n".join(stages()), flush=True)
    print(f"\n{os.cpu_count()} cores; load of the machine when this began: {before}")


if __name__ == "__main__":
    main()
