"""The barest loop over days and tasks that still is a farm: what the engine's features cost.

One crew, earliest dates, a predecessor whose area runs ahead, and the yield by planting date. No
lags, no land that expires, no setting up, no tractors, soils, helpers or late rules, and no record
of which land was done when.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from fieldsim import Farm
from fieldsim.work.plan import make_plans
from fieldsim.work.tasks import tasks_of

BLOCK = 1000  # seasons a thread takes at a time, as in fieldsim.simulation

Floats = NDArray[np.float64]


class Totals(NamedTuple):
    """What became of each task in each season, shape (season, task)."""

    done: Floats  # [ha]
    weighted: Floats  # area done times the relative yield of its day [ha]
    last_day: NDArray[np.int64]


def work_options(farm: Farm, suitable: Floats, threads: int) -> dict[str, list[Totals]]:
    """Run every option through the same seasons, in blocks; `suitable` has axes season and day."""
    tasks = tasks_of(farm)
    with ThreadPoolExecutor(threads) as pool:
        waiting = {}
        for option, plan in make_plans(farm, tasks).items():
            arrays = (
                *(plan.tasks[name].copy() for name in ("area", "follows", "earliest")),
                plan.slots["capacity"][:, 0].copy(),
                plan.operator_hours,
                plan.order,
                plan.days["weight"].copy(),
            )
            blocks = range(0, len(suitable), BLOCK)
            waiting[option] = [
                pool.submit(_work_block, arrays, suitable[start : start + BLOCK])
                for start in blocks
            ]
        return {option: [job.result() for job in jobs] for option, jobs in waiting.items()}


def _work_block(arrays: tuple[NDArray[np.generic], ...], suitable: Floats) -> Totals:
    shape = (len(suitable), len(arrays[0]))
    totals = Totals(np.zeros(shape), np.zeros(shape), np.full(shape, -1))
    _work(*arrays, suitable, *totals)
    return totals


@njit(nogil=True)
def _work(
    area, follows, earliest, capacity, hours, order, weight, suitable, done, weighted, last_day
):
    for season in range(suitable.shape[0]):
        for day in range(suitable.shape[1]):
            left = suitable[season, day] * hours[day]
            for i in range(area.size):
                if left <= 0.0:
                    break
                t = order[day, i]
                if day < earliest[t]:
                    continue
                ahead = area[t] if follows[t] < 0 else done[season, follows[t]]
                ready = ahead - done[season, t]
                if ready <= 0.0:
                    continue
                needed = ready / capacity[t]
                if needed <= left:
                    left -= needed
                    done[season, t] = ahead
                else:
                    ready = left * capacity[t]
                    left = 0.0
                    done[season, t] += ready
                weighted[season, t] += ready * weight[day, t]
                last_day[season, t] = day
