"""Seasons run one after the other, against the oracle that works each of them for itself."""

from __future__ import annotations

import numpy as np
import pytest

from fieldsim.work.arrays import MACHINE, OPERATORS, TRACTOR, Plan, new_spent, new_totals
from fieldsim.work.kernel import run_seasons

from .random_farms import random_plan, random_warmth
from .small_farms import farm
from .work_rules import SeasonResult, run_season

GROUPS = 3
SUMS = {
    **{name: name for name in ("done", "left", "missed", "switched", "prevented", "weighted")},
    **{name: name for name in ("second_weighted", "insured", "drying", "wet", "saved")},
    **{"fuel": "fuel", "labor": "labor", "hours": "machine_hours"},
}
PARTS = ("done", "left", "missed", "switched", "prevented")


def finish_of(season: SeasonResult, tasks: list[int], land: np.ndarray) -> int:
    """Return the last day of tasks that all finish; -1 where one does not or none has land."""
    days = [season.finish_day[t] for t in tasks if land[t] > 0]
    return -1 if not days or -1 in days else int(max(days))


@pytest.mark.parametrize("seed", range(40))
def test_seasons_add_up_by_group_and_leave_nothing_to_the_next(seed: int) -> None:
    rng = np.random.default_rng((seed, 31))
    drawn, suitable, operators = random_plan(rng)
    degrees, warm_day = random_warmth(rng, drawn)
    if seed % 2 == 0:  # what would be switched later than the season lasts never is
        drawn.close_day[drawn.starts_with[drawn.starts_with >= 0]] = len(degrees)
    group = rng.integers(GROUPS, size=len(drawn.area))
    seasons = [suitable, suitable[:, ::-1], np.zeros_like(suitable), suitable]
    count = len(seasons)
    plan = Plan.of(**vars(drawn))
    totals, spent = new_totals(count, GROUPS), new_spent(count, plan)
    each = (np.repeat(array[None], count, axis=0) for array in (operators, degrees))
    warm = np.full(count, warm_day)
    run_seasons(plan, group, np.array(seasons), *each, warm, totals, spent)
    for number, days in enumerate(seasons):
        season = run_season(drawn, days, operators, degrees, warm_day)
        land = np.sum([getattr(season, part) for part in PARTS], axis=0)
        for g in range(GROUPS):
            tasks = np.flatnonzero(group == g)
            found = totals[number, g]
            for name, of_oracle in SUMS.items():
                expected = np.array(getattr(season, of_oracle))[tasks].sum()
                assert found[name] == pytest.approx(expected, rel=1e-9, abs=1e-8), name
            assert found["area"] == pytest.approx(land[tasks].sum(), rel=1e-9, abs=1e-8)
            assert found["finish_day"] == finish_of(season, list(tasks), land)
        own = [float(work.hours) for work in season.log if drawn.hired[work.machine] < 0]
        for kind, column, expected in (
            (OPERATORS, "hours", [sum(own)]),
            (TRACTOR, "hours", season.tractor_unit_hours),
            (MACHINE, "hours", season.machine_unit_hours),
            (MACHINE, "area", season.machine_area),
        ):
            of_kind = spent[number][plan.resources["kind"] == kind][column]
            np.testing.assert_allclose(of_kind, expected, rtol=1e-9, atol=1e-8)


def test_tasks_that_are_all_done_on_the_first_day_finish_on_it() -> None:
    plan = Plan.of(**vars(farm(1, {"area": 5.0}, {"area": 5.0})))
    totals = new_totals(1, 1)
    days = (np.ones((1, 1, 1)), np.full((1, 1), 2.0), np.zeros((1, 1)), np.zeros(1, np.int64))
    run_seasons(plan, np.zeros(2, np.int64), *days, totals, new_spent(1, plan))
    assert totals["finish_day"] == 0
    assert totals["done"] == 10.0
