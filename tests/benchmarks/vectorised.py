"""The bare loop's farm in plain numpy: days and tasks in turn, each with all seasons at once.

What a capable user would write without a compiler. It makes the assumptions of `bare_loop`.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fieldsim import Farm
from fieldsim.work.plan import make_plans
from fieldsim.work.tasks import tasks_of
from tests.benchmarks.bare_loop import Floats, Totals


class Bare(NamedTuple):
    """What the bare farm needs of an option's plan, for T tasks and D days."""

    area: Floats  # (T,) [ha]
    capacity: Floats  # (T,) [ha/h]
    follows: list[int]  # task that runs ahead, or below 0
    earliest: list[int]  # day
    hours: Floats  # (D,) [h]
    order: list[list[int]]  # tasks in the order of service, for each day
    weight: Floats  # (D, T): relative yield


def work_options(farm: Farm, suitable: Floats) -> dict[str, Totals]:
    """Run every option through the same seasons; `suitable` has axes season and day."""
    tasks = tasks_of(farm)
    worked = {}
    for option, plan in make_plans(farm, tasks).items():
        bare = Bare(
            plan.tasks["area"],
            plan.slots["capacity"][:, 0],
            plan.tasks["follows"].tolist(),
            plan.tasks["earliest"].tolist(),
            plan.operator_hours,
            plan.order.tolist(),
            plan.days["weight"],
        )
        worked[option] = work(bare, suitable)
    return worked


def work(bare: Bare, suitable: Floats) -> Totals:
    """Work the tasks of one option day by day through all seasons."""
    shape = (len(bare.area), len(suitable))  # a task's seasons lie side by side
    done, weighted, last_day = np.zeros(shape), np.zeros(shape), np.full(shape, -1)
    hours_left = suitable.T * bare.hours[:, None]
    for day, left in enumerate(hours_left):
        for t in bare.order[day]:
            if day < bare.earliest[t]:
                continue
            ahead = np.broadcast_to(
                bare.area[t] if bare.follows[t] < 0 else done[bare.follows[t]], left.shape
            )
            at = np.flatnonzero((ahead > done[t]) & (left > 0))  # seasons in which it works
            if at.size == 0:
                continue
            hours, before = left[at], done[t, at]
            needed = (ahead[at] - before) / bare.capacity[t]
            finishes = needed <= hours
            after = np.where(finishes, ahead[at], before + hours * bare.capacity[t])
            left[at] = np.where(finishes, hours - needed, 0.0)
            done[t, at] = after
            weighted[t, at] += (after - before) * bare.weight[day, t]
            last_day[t, at] = day
    return Totals(done.T, weighted.T, last_day.T)
