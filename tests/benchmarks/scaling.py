"""How work grows with its size, where the time goes, and how much memory a long run takes.

``python -m tests.benchmarks.scaling`` prints its tables in one run; with ``--long``
also the million seasons, which take minutes.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter
from typing import Any

import numpy as np

import fieldsim
import tests.conftest  # noqa: F401 - gives numba a cache that follows the kernel's sources
from fieldsim.decisions import compare
from fieldsim.draws import draw_seasons
from fieldsim.farm import Farm
from fieldsim.report import make_figures, write_report
from fieldsim.running import run_draws
from fieldsim.work.arrays import new_spent, new_totals
from fieldsim.work.kernel import run_seasons
from fieldsim.work.plan import make_plan
from fieldsim.work.tasks import groups_of, tasks_of
from tests.benchmarks.farms import one_crew

ROUNDS = 3
DECADES = (100, 1000, 10_000, 100_000)
OPTIONS = (1, 3, 12)
LONG = 1_000_000


def best(work: Callable[[], Any]) -> float:
    """Shortest of some rounds, after one that compiles and fills caches [s]."""
    work()
    times = []
    for _ in range(ROUNDS):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return min(times)


def with_options(count: int) -> Farm:
    """The benchmarks' farm with its first options only."""
    farm = one_crew()
    head, *options = farm.text.split("[options.")
    text = head + "".join(f"[options.{option}" for option in options[:count])
    return fieldsim.parse_farm(text, dict(farm.tables))


def slope(sizes: tuple[int, ...], seconds: list[float]) -> float:
    """Slope of log time against log size."""
    return float(np.polyfit(np.log(sizes), np.log(seconds), 1)[0])


def growth() -> list[str]:
    """Rows for seasons and options: a slope of 1 is linear."""
    farm = one_crew()
    by_seasons = [
        best(lambda n=n: fieldsim.simulate(farm, n, keep="summary"))  # type: ignore[misc]
        for n in DECADES
    ]
    by_options = [
        best(lambda n=n: fieldsim.simulate(with_options(n), 10_000))  # type: ignore[misc]
        for n in OPTIONS
    ]
    last = slope(DECADES[1:], by_seasons[1:])
    return [
        f"| seasons, {DECADES[0]} to {DECADES[-1]:,} | {slope(DECADES, by_seasons):.2f} |",
        f"| seasons, {DECADES[1]:,} to {DECADES[-1]:,} | {last:.2f} |",
        f"| options, {OPTIONS[0]} to {OPTIONS[-1]} | {slope(OPTIONS, by_options):.2f} |",
    ]


def one_thread_against_two() -> str:
    farm, draws = one_crew(), draw_seasons(one_crew(), 10_000, 0)
    one, two = (best(lambda t=t: run_draws(farm, draws, {}, t)) for t in (1, 2))  # type: ignore[misc]
    return f"| two threads against one, 12 options x 10,000 seasons | {one / two:.2f} times |"


def stages() -> list[str]:
    """Rows for the stages of a laptop's question: 4 options through 2,000 seasons."""
    farm = fieldsim.demo_farm()
    draws = draw_seasons(farm, 2000, 0)
    outcomes = fieldsim.simulate(farm, 2000)
    tasks = tasks_of(farm)
    groups = groups_of(tasks)
    group = np.array([groups.index(task.group) for task in tasks])
    plans = [make_plan(farm, tasks, option) for option in farm.options]

    def kernel() -> None:
        for plan in plans:
            totals, spent = new_totals(2000, len(groups)), new_spent(2000, plan)
            season = draws.suitable, draws.hands + 2, draws.degrees, draws.warm_day
            run_seasons(plan, group, *season, totals, spent)

    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "report.html"
        times = {
            "reading the farm": best(lambda: fieldsim.parse_farm(farm.text, dict(farm.tables))),
            "drawing": best(lambda: draw_seasons(farm, 2000, 0)),
            "plans of 4 options": best(
                lambda: [make_plan(farm, tasks, option) for option in farm.options]
            ),
            "kernel, one thread": best(kernel),
            "whole `simulate`": best(lambda: fieldsim.simulate(farm, 2000)),
            "`compare`": best(lambda: compare(outcomes)),
            "figures": best(lambda: make_figures(farm, outcomes)),
            "page": best(lambda: write_report(farm, outcomes, make_figures(farm, outcomes), page)),
        }
    whole = times["whole `simulate`"]
    return [f"| {what} | {time / whole:.2f} |" for what, time in times.items()]


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
    print("| what grows | slope of log time |\n|---|---|")
    print("\n".join(growth()), flush=True)
    print("\n| what | |\n|---|---|")
    print(one_thread_against_two(), flush=True)
    print(long_run(LONG if "--long" in sys.argv else LONG // 10), flush=True)
    print("\n| stage, 4 options x 2,000 seasons | time / `simulate` |\n|---|---|")
    print("\n".join(stages()), flush=True)


if __name__ == "__main__":
    main()
