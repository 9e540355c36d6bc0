"""Drawn seasons -> outcomes: every option through the same seasons, in threads."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from functools import partial
from typing import Any

import numpy as np
import xarray as xr

from fieldsim.draws import Draws
from fieldsim.farm import Farm
from fieldsim.outcomes import fill_in, make_outcomes, new_values
from fieldsim.work.arrays import Plan, new_spent, new_totals
from fieldsim.work.kernel import run_seasons
from fieldsim.work.plan import make_plans
from fieldsim.work.tasks import groups_of, tasks_of

__all__ = ["Progress", "memory_needed", "own_operators", "run_draws"]

NUMBER_SIZE = 8  # bytes
PLANNED = 8  # arrays of a plan with a number for each task and day
BLOCK = 1000  # seasons handed to a thread at a time; results do not depend on it

Progress = Callable[[float], None]
Job = Callable[[], None]


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
    days, options, tasks = farm.season.days, len(farm.options), len(tasks_of(farm))
    drawn = days * (2 * len(farm.day_source.soils) + 3)
    found = sum(value.nbytes for value in new_values(farm, 1).values())
    planned = options * tasks * days * PLANNED
    return float(seasons * (NUMBER_SIZE * drawn + found) + NUMBER_SIZE * planned)


def run_draws(
    farm: Farm,
    draws: Draws,
    provenance: Mapping[str, Any],
    threads: int | None = None,
    progress: Progress | None = None,
    plans: Mapping[str, Plan] | None = None,
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
    plans : mapping, optional
        From `make_plans` of the same farm, for a run in several parts. Default: they are made.

    Returns
    -------
    xarray.Dataset
        See `fieldsim.variables.VARIABLES`.
    """
    seasons = len(draws.hands)
    tasks = tasks_of(farm)
    groups = groups_of(tasks)
    group = np.array([groups.index(task.group) for task in tasks])
    values = new_values(farm, seasons)

    def run_block(option: str, plan: Plan, block: slice) -> None:
        part = draws.part(block)
        total, spent = new_totals(len(part.hands), len(groups)), new_spent(len(part.hands), plan)
        hands = part.hands + own_operators(farm, option)
        season = part.suitable, hands, part.degrees, part.warm_day
        run_seasons(plan, group, *season, total, spent)
        fill_in(values, farm, groups, option, block, total, spent, part.replanted)

    plans = make_plans(farm, tasks) if plans is None else plans
    blocks = [slice(start, start + BLOCK) for start in range(0, seasons, BLOCK)]
    jobs = [
        partial(run_block, option, plan, block)
        for option, plan in plans.items()
        for block in blocks
    ]
    _run(jobs, threads, progress)
    return make_outcomes(farm, values, provenance)


def _run(
    jobs: Sequence[Callable[[], None]], threads: int | None, progress: Progress | None
) -> None:
    """Run the jobs in threads: the compiled kernel holds no lock, and each job has its own rows."""
    pool = ThreadPoolExecutor(threads or os.cpu_count() or 1)
    try:
        waiting = [pool.submit(job) for job in jobs]
        for number, job in enumerate(as_completed(waiting), 1):
            job.result()
            if progress is not None:
                progress(number / len(jobs))
    finally:
        pool.shutdown(cancel_futures=True)  # after Ctrl-C, what has not begun is not done
