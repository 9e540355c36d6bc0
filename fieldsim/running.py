"""Drawn seasons -> outcomes: every option through the same seasons, in threads."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor, as_completed
from typing import Any

import numpy as np
import xarray as xr
from numpy.typing import NDArray

from fieldsim.draws import Draws
from fieldsim.farm import Farm
from fieldsim.outcomes import make_outcomes
from fieldsim.work.arrays import TOTALS, Plan, new_spent, new_totals
from fieldsim.work.kernel import run_seasons
from fieldsim.work.plan import make_plan
from fieldsim.work.tasks import groups_of, tasks_of

__all__ = ["Progress", "memory_needed", "own_operators", "run_draws"]

NUMBER_SIZE = 8  # bytes
PLANNED = 8  # arrays of a plan with a number for each task and day
COLUMNS = 8  # numbers of each machine and season, on the way to the outcomes
BLOCK = 500  # seasons handed to a thread at a time; results do not depend on it

Progress = Callable[[float], None]
Job = tuple[Any, ...]  # the arguments of `_run_block`


def own_operators(farm: Farm, option: str) -> int:
    """Return the operators of an option beside part-time helpers."""
    own = farm.options[option].operators
    return farm.crew.operators if own is None else own


def memory_needed(farm: Farm, seasons: int) -> float:
    """Estimate the memory that `run_draws` takes, its draws and outcomes included.

    Parameters
    ----------
    farm : Farm
    seasons : int

    Returns
    -------
    float
        Within a factor of two of what was measured [bytes].
    """
    tasks = tasks_of(farm)
    days, options = farm.season.days, len(farm.options)
    equipment = len(farm.machines) + len(farm.tractors)
    groups = len(groups_of(tasks))
    drawn = days * (2 * len(farm.day_source.soils) + 3)
    counted = options * (2 * groups * len(TOTALS.names or ()) + equipment * COLUMNS)
    planned = options * len(tasks) * days * PLANNED
    return NUMBER_SIZE * float(seasons * (drawn + counted) + planned)


def run_draws(
    farm: Farm,
    draws: Draws,
    provenance: Mapping[str, Any],
    threads: int | None = None,
    progress: Progress | None = None,
) -> xr.Dataset:
    """Run every option of a farm through drawn seasons.

    Parameters
    ----------
    farm : Farm
    draws : Draws
    provenance : mapping
        Attributes that tell where the numbers come from.
    threads : int, optional
        Default: one for each core. Results do not depend on it.
    progress : callable, optional
        Called now and then with the share that is done, 0..1.

    Returns
    -------
    xarray.Dataset
        See `fieldsim.variables.VARIABLES`.
    """
    seasons = len(draws.hands)
    tasks = tasks_of(farm)
    groups = groups_of(tasks)
    group = np.array([groups.index(task.group) for task in tasks])
    plans = {option: make_plan(farm, tasks, option) for option in farm.options}
    totals = {option: new_totals(seasons, len(groups)) for option in farm.options}
    spent = {option: new_spent(seasons, plan) for option, plan in plans.items()}
    jobs = []
    for option, plan in plans.items():
        own = own_operators(farm, option)
        for start in range(0, seasons, BLOCK):
            block = slice(start, start + BLOCK)
            rows = totals[option][block], spent[option][block]
            jobs.append((plan, group, own, draws.part(block), *rows))
    _run(jobs, threads, progress)
    return make_outcomes(farm, groups, totals, spent, draws.replanted, provenance)


def _run_block(
    plan: Plan,
    group: NDArray[np.int64],
    own: int,
    draws: Draws,
    totals: NDArray[Any],
    spent: NDArray[Any],
) -> None:
    """Run one option through a block of seasons, with the own operators beside the helpers."""
    hands = draws.hands + own
    season = draws.suitable, hands, draws.degrees, draws.warm_day
    run_seasons(plan, group, *season, totals, spent)


def _run(jobs: list[Job], threads: int | None, progress: Progress | None) -> None:
    """Run the jobs in threads: the compiled kernel holds no lock, and each job has its own rows."""
    pool = ThreadPoolExecutor(threads or os.cpu_count() or 1)
    try:
        waiting = [pool.submit(_run_block, *job) for job in jobs]
        for number, job in enumerate(as_completed(waiting), 1):
            job.result()
            if progress is not None:
                progress(number / len(jobs))
    finally:
        pool.shutdown(cancel_futures=True)  # after Ctrl-C, what has not begun is not done
