"""The compiled kernel against the independent plain-Python reading of the rules of work."""

from __future__ import annotations

import numpy as np
import pytest

from fieldsim.work.arrays import Plan
from fieldsim.work.kernel import run_season
from fieldsim.work.state import new_state

from .random_farms import random_plan
from .work_rules import run_season as run_by_the_rules

FARMS = 400
AREAS = ("done", "missed", "switched", "prevented", "left", "weighted")


@pytest.mark.parametrize("seed", range(FARMS))
def test_kernel_equals_oracle(seed: int) -> None:
    drawn, suitable, operators = random_plan(np.random.default_rng(seed))
    plan = Plan(**{name: np.ascontiguousarray(getattr(drawn, name)) for name in Plan._fields})
    plan = plan._replace(units=plan.units.astype(float), tractors=plan.tractors.astype(float))
    expected = run_by_the_rules(drawn, suitable, operators)
    found = run_season(plan, suitable, operators, new_state(plan, suitable.shape[0]))
    for name in AREAS:
        np.testing.assert_allclose(
            getattr(found, name), getattr(expected, name), rtol=1e-9, atol=1e-9, err_msg=name
        )
    np.testing.assert_allclose(found.hours, expected.machine_hours, rtol=1e-9, atol=1e-8)
    np.testing.assert_array_equal(found.finish_day, expected.finish_day)
