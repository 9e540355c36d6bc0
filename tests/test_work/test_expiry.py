"""Expiry on records as plain Python, where a day beyond the season is an error and not a read."""

from __future__ import annotations

import numpy as np

from fieldsim.work.arrays import MISSED, Plan
from fieldsim.work.expiry import expire
from fieldsim.work.progress import new_progress
from tests.oracle.small_farms import farm


def test_land_that_planting_missed_after_the_last_day_has_no_degrees_to_read() -> None:
    weeder = {"follows": 0, "planting": 0, "longest_wait_degrees": 50.0}
    plan = Plan.of(**vars(farm(2, {"planting": 0}, weeder)))
    progress = new_progress(plan, 1)
    tasks = progress.tasks.view(np.recarray)
    segments = progress.segments.view(np.recarray)
    tasks[1].started = tasks[0].segments = 1
    segments[0, 0] = (10.0, 2, MISSED)  # of two days: the day after them
    expire(progress._replace(tasks=tasks, segments=segments), np.array([10.0, 20.0]), 1, 1)
    assert tasks[1].aged == 1
    assert tasks[1].segments == 0
