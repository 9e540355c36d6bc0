"""The compiled kernel against the independent plain-Python reading of the rules of work."""

from __future__ import annotations

import numpy as np
import pytest

from fieldsim.work.arrays import MACHINE, TRACTOR, Plan
from fieldsim.work.kernel import run_season

from .random_farms import random_plan, random_warmth
from .work_rules import SeasonResult
from .work_rules import run_season as run_by_the_rules

FARMS = 400
AREAS = ("done", "missed", "switched", "prevented", "left")
SUMS = ("weighted", "second_weighted", "insured", "drying", "wet", "saved", "fuel", "labor")


@pytest.mark.parametrize("seed", range(FARMS))
def test_kernel_equals_oracle(seed: int) -> None:
    rng = np.random.default_rng(seed)
    drawn, suitable, operators = random_plan(rng)
    degrees, warm_day = random_warmth(rng, drawn)
    plan = Plan.of(**vars(drawn))
    expected = run_by_the_rules(drawn, suitable, operators, degrees, warm_day)
    progress = run_season(plan, suitable, operators, degrees, warm_day)
    found, resources = progress.tasks, progress.resources
    for name in (*AREAS, *SUMS):
        np.testing.assert_allclose(
            found[name], getattr(expected, name), rtol=1e-9, atol=1e-8, err_msg=name
        )
    np.testing.assert_allclose(found["hours_spent"], expected.machine_hours, rtol=1e-9, atol=1e-8)
    for kind, column, name in (
        (MACHINE, "spent", "machine_unit_hours"),
        (MACHINE, "area", "machine_area"),
        (TRACTOR, "spent", "tractor_unit_hours"),
    ):
        of_kind = resources[resources["kind"] == kind][column]
        np.testing.assert_allclose(
            of_kind, getattr(expected, name), rtol=1e-9, atol=1e-8, err_msg=name
        )
    complete = np.array(_land(expected)) - expected.done <= 1e-9 * drawn.area
    finish = np.where(complete & (found["done"] > 0), found["last_day"], -1)
    np.testing.assert_array_equal(finish, expected.finish_day)


def _land(season: SeasonResult) -> list[float]:
    """The land that came to each task."""
    parts = (season.done, season.missed, season.switched, season.prevented, season.left)
    return [sum(areas) for areas in zip(*parts, strict=True)]
