"""The bare loop does a farm's work: on a farm without the rest it equals the engine.

And plain numpy equals the bare loop.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

import fieldsim
from fieldsim.farm import Farm
from fieldsim.work.tasks import tasks_of
from tests.benchmarks import vectorised
from tests.benchmarks.bare_loop import work_options
from tests.benchmarks.farms import fifty_options, one_crew, one_crew_without_extras

SEASONS = 60


def test_bare_loop_equals_the_engine_where_nothing_else_is_asked_for() -> None:
    farm = one_crew_without_extras()
    outcomes = fieldsim.simulate(farm, SEASONS)
    acres = float(outcomes.crop_area.sum()) / sum(field.area for field in farm.fields.values())
    tasks = tasks_of(farm)
    worked = work_options(farm, farm.day_source.draw(farm.season, SEASONS, seed=0)[:, 0], threads=1)
    finished = 0
    for option, (totals,) in worked.items():
        for operation in farm.operations:
            for crop in farm.crops:
                at = {"option": option, "operation": operation, "crop": crop}
                own = [
                    t
                    for t, task in enumerate(tasks)
                    if (task.group.operation, task.group.crop) == (operation, crop)
                ]
                area = totals.done[:, own].sum(axis=1) * acres
                np.testing.assert_allclose(outcomes.done_area.sel(at), area, atol=1e-6)
                all_done = np.isclose(area, float(outcomes.crop_area.sel(crop=crop)), rtol=1e-9)
                last = farm.season.dates[totals.last_day[:, own].max(axis=1)]
                dates = np.where(all_done, last, np.datetime64("NaT")).astype("datetime64[ns]")
                np.testing.assert_array_equal(outcomes.finish_date.sel(at), dates)
                finished += all_done.sum()
    assert finished > SEASONS


@pytest.mark.parametrize("make", [one_crew, one_crew_without_extras, fifty_options])
def test_plain_numpy_equals_the_bare_loop(make: Callable[[], Farm]) -> None:
    farm = make()
    suitable = farm.day_source.draw(farm.season, 300, seed=3)[:, 0]
    compiled = work_options(farm, suitable, threads=1)
    for option, found in vectorised.work_options(farm, suitable).items():
        (totals,) = compiled[option]
        assert 0 < found.done.sum() < 300 * sum(f.area for f in farm.fields.values()) * 4
        np.testing.assert_allclose(found.done, totals.done, rtol=1e-9, atol=1e-9)
        np.testing.assert_allclose(found.weighted, totals.weighted, rtol=1e-9, atol=1e-9)
        np.testing.assert_array_equal(found.last_day, totals.last_day)
