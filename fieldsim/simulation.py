"""From a farm to its outcomes: draw the seasons once, then run every option through them."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor, as_completed
from importlib.metadata import version
from typing import Any

import numpy as np
import xarray as xr
from numpy.typing import NDArray

from fieldsim.draws import Draws, draw_seasons, replicate_of
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm
from fieldsim.outcomes import make_outcomes, make_replay
from fieldsim.work.arrays import Plan, new_spent, new_totals
from fieldsim.work.kernel import run_season, run_seasons
from fieldsim.work.plan import make_plan
from fieldsim.work.tasks import groups_of, tasks_of

__all__ = ["replay", "simulate"]

BLOCK = 500  # seasons handed to a thread at a time; results do not depend on it
MOST_SEASONS = 1_000_000
BOUNDS = {  # least, most, and what to write
    "seasons": (1, MOST_SEASONS, 2000),
    "season": (0, MOST_SEASONS - 1, 0),
    "seed": (0, 2**63 - 1, 0),
    "threads": (1, 1024, 2),
    "replicates": (2, 1000, 20),
}

Progress = Callable[[float], None]


def simulate(
    farm: Farm,
    seasons: int = 2000,
    seed: int = 0,
    *,
    replicates: int | None = None,
    draws: Draws | None = None,
    threads: int | None = None,
    progress: Progress | None = None,
) -> xr.Dataset:
    """Run every option of a farm through the same drawn seasons.

    Parameters
    ----------
    farm : Farm
    seasons : int
        How many seasons to draw, 1 to 1,000,000. The first ones are the same however many follow.
    seed : int
        0 or more.
    replicates : int, optional
        Carry to the decision how little a few years of records tell: the seasons are drawn in as
        many equal parts, each from the day source as it might be, had other years been recorded.
        The outcomes get a coordinate `replicate`, and `compare` says how sure its means are.
    draws : Draws, optional
        Seasons of a study's own in place of those that `seasons` and `seed` draw: those of
        `fieldsim.draws.draw_seasons` with something changed. As many as `seasons`.
    threads : int, optional
        Default: one for each core. Results do not depend on it.
    progress : callable, optional
        Called now and then with the share that is done, 0..1.

    Returns
    -------
    xarray.Dataset
        See `fieldsim.variables.VARIABLES`; units stand in each variable's attributes.

    Raises
    ------
    InputError
        If a number is out of range, `replicates` are asked for where nothing is known of the
        years behind the days, or `draws` are not those of this farm and as many seasons.

    Examples
    --------
    >>> import fieldsim
    >>> outcomes = fieldsim.simulate(fieldsim.demo_farm(), seasons=10)
    >>> dict(outcomes.lost_revenue.sizes)
    {'option': 4, 'season': 10, 'crop': 2}
    """
    chosen = {"threads": threads, "replicates": replicates}
    given = {name: value for name, value in chosen.items() if value is not None}
    _check({"seasons": seasons, "seed": seed} | given)
    if replicates is not None and seasons < 2 * replicates:
        repair = f"write replicates = {seasons // 2}, or more seasons"
        problem = f"{seasons} seasons are too few: each replicate needs two"
        raise InputError([Fault("", "replicates", str(replicates), problem, repair)])
    provenance = {"seed": seed, "seasons": seasons, "fieldsim_version": version("fieldsim")}
    if draws is None:
        draws = draw_seasons(farm, seasons, seed, replicates)
    else:
        _check_draws(farm, seasons, draws)
        provenance["draws"] = "given"  # so that nobody looks for them under the seed
    tasks = tasks_of(farm)
    groups = groups_of(tasks)
    group = np.array([groups.index(task.group) for task in tasks])
    plans = {option: make_plan(farm, tasks, option) for option in farm.options}
    totals = {option: new_totals(seasons, len(groups)) for option in farm.options}
    spent = {option: new_spent(seasons, plan) for option, plan in plans.items()}
    jobs = []
    for option, plan in plans.items():
        own = _own_operators(farm, option)
        for start in range(0, seasons, BLOCK):
            block = slice(start, start + BLOCK)
            rows = totals[option][block], spent[option][block]
            jobs.append((plan, group, own, draws.part(block), *rows))
    _run(jobs, threads, progress)
    if replicates is None:
        return make_outcomes(farm, groups, totals, spent, draws.replanted, provenance)
    more = provenance | {"replicates": replicates}
    outcomes = make_outcomes(farm, groups, totals, spent, draws.replanted, more)
    return outcomes.assign_coords(replicate=("season", replicate_of(seasons, replicates)))


def _own_operators(farm: Farm, option: str) -> int:
    own = farm.options[option].operators
    return farm.crew.operators if own is None else own


def replay(farm: Farm, option: str, season: int, *, seed: int = 0) -> xr.Dataset:
    """Run one option through one of the seasons that `simulate` draws, and keep every day.

    Parameters
    ----------
    farm : Farm
    option : str
        Name of the option.
    season : int
        Number of the season, from 0, as in the outcomes of a simulation with the same seed.
    seed : int

    Returns
    -------
    xarray.Dataset
        Dims field, operation, day, soil: `done_area` and `missed_area` (field, operation, day),
        `suitable_share` (soil, day), `hands` (day), in the farm's unit system.

    Raises
    ------
    InputError
        If there is no such option, or the season or seed is out of range.
    """
    if option not in farm.options:
        repair = f"options are {', '.join(farm.options)}"
        raise InputError([Fault("", "option", repr(option), "there is no such option", repair)])
    _check({"season": season, "seed": seed})
    draws = draw_seasons(farm, range(season, season + 1), seed)
    suitable, hands = draws.suitable[0], draws.hands[0] + _own_operators(farm, option)
    tasks = tasks_of(farm)
    plan = make_plan(farm, tasks, option)
    progress = run_season(plan, suitable, hands, draws.degrees[0], int(draws.warm_day[0]))
    return make_replay(farm, tasks, progress, suitable, hands)


def _check(values: Mapping[str, int]) -> None:
    """Raise unless every value is a whole number within its bounds."""
    faults = []
    for name, value in values.items():
        least, most, usual = BOUNDS[name]
        whole = isinstance(value, int | np.integer) and not isinstance(value, bool)
        if not (whole and least <= value <= most):
            allowed = f"a whole number from {least} to {most:,} is allowed"
            faults.append(Fault("", name, repr(value), allowed, f"write {usual}"))
    if faults:
        raise InputError(faults)


def _check_draws(farm: Farm, seasons: int, draws: Draws) -> None:
    """Raise unless draws have the shapes that this farm and so many seasons need."""
    days = farm.season.days
    needed = (
        (seasons, len(farm.day_source.soils), days),
        (seasons, days),
        (seasons, days),
        (seasons,),
        (seasons, len(farm.crops)),
    )
    repair = "draw them with draw_seasons(farm, seasons, seed), and change those"
    faults = [
        Fault("", f"draws.{name}", str(array.shape), f"the shape {shape} is needed", repair)
        for name, array, shape in zip(Draws._fields, draws, needed, strict=True)
        if array.shape != shape
    ]
    if faults:
        raise InputError(faults)


Job = tuple[Any, ...]  # the arguments of `_run_block`


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
    with ThreadPoolExecutor(threads or os.cpu_count() or 1) as pool:
        waiting = [pool.submit(_run_block, *job) for job in jobs]
        for number, job in enumerate(as_completed(waiting), 1):
            job.result()
            if progress is not None:
                progress(number / len(jobs))
