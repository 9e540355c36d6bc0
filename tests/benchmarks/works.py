"""The works that are timed: each checks its own result, so that nothing wrong is ever timed."""

from __future__ import annotations

import os
from functools import cache
from typing import Any

import numpy as np
import xarray as xr
from numpy.typing import NDArray

import fieldsim
from fieldsim.draws import Draws, draw_seasons
from fieldsim.farm import Farm
from fieldsim.running import own_operators, run_draws
from fieldsim.work.arrays import new_spent, new_totals
from fieldsim.work.kernel import run_seasons
from fieldsim.work.plan import make_plan
from fieldsim.work.tasks import groups_of, tasks_of
from tests.benchmarks import bare_loop, vectorised
from tests.benchmarks.farms import one_crew
from tests.published.simpy_farm import Job, OneCrew, Record, jobs_of

SEASONS = 10_000
SIMPY_SEASONS = 10  # of each option; a season takes as long as the next
HOURS, SUNDAY = 10.0, 6  # field hours of a day on the benchmarks' farm [h]; its day off
THREADS = os.cpu_count() or 1


@cache
def drawn() -> Draws:
    """Return the seasons of the benchmarks' farm."""
    return draw_seasons(one_crew(), SEASONS, 0)


@cache
def suitable_days() -> NDArray[np.float64]:
    """Return the same seasons' suitable share of each day, shape (season, day)."""
    farm = one_crew()
    return farm.day_source.draw(farm.season, SEASONS, seed=0)[:, 0]


def simulate() -> xr.Dataset:
    """Take 12 options through 10,000 seasons, from the farm to the Dataset."""
    outcomes = fieldsim.simulate(one_crew(), SEASONS)
    assert (outcomes.sizes["option"], outcomes.sizes["season"]) == (12, SEASONS)
    # The run itself has held areas and revenue against their sums.
    assert 0 < float(outcomes.finish_date.notnull().mean()) < 1
    return outcomes


def run_with(threads: int) -> xr.Dataset:
    """Take 12 options through seasons that are drawn already."""
    outcomes = run_draws(one_crew(), drawn(), {}, threads)
    assert outcomes.sizes["season"] == SEASONS
    return outcomes


def loop_barely() -> list[bare_loop.Totals]:
    """Take the bare compiled loop through the same seasons with as many threads."""
    worked = bare_loop.work_options(one_crew(), suitable_days(), THREADS)
    blocks = [totals for option in worked.values() for totals in option]
    for totals in blocks:
        _check_areas(totals)
    return blocks


def vectorise() -> list[bare_loop.Totals]:
    """Take plain numpy through the same seasons; threads would wait for one another."""
    worked = list(vectorised.work_options(one_crew(), suitable_days()).values())
    for totals in worked:
        _check_areas(totals)
    return worked


def _check_areas(totals: bare_loop.Totals) -> None:
    """See that no task did more than its block, and that something was done in every season."""
    farm = one_crew()
    areas = [field.area for field in farm.fields.values() for _ in farm.operations]
    assert (totals.done <= np.array(areas) * (1 + 1e-9)).all()
    assert totals.done.any(axis=1).all()


def run_kernel(farm: Farm, draws: Draws) -> dict[str, NDArray[Any]]:
    """Take all options through the kernel alone, in one thread; totals of each option."""
    tasks = tasks_of(farm)
    groups = groups_of(tasks)
    group = np.array([groups.index(task.group) for task in tasks])
    found = {}
    for option in farm.options:
        plan = make_plan(farm, tasks, option)
        totals, spent = new_totals(len(draws.hands), len(groups)), new_spent(len(draws.hands), plan)
        hands = draws.hands + own_operators(farm, option)
        run_seasons(
            plan, group, draws.suitable, hands, draws.degrees, draws.warm_day, totals, spent
        )
        found[option] = totals
    return found


def run_simpy() -> dict[str, list[dict[Job, Record]]]:
    """Take SimPy's model of the same farm through a few seasons of each option."""
    farm = one_crew()
    suitable = suitable_days()[:SIMPY_SEASONS]
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
