"""The kernel at the ends of its bounds, where the random farms do not happen to come."""

from __future__ import annotations

from typing import Any

import numpy as np

from fieldsim.work.arrays import MACHINE, Plan, new_spent, new_totals
from fieldsim.work.kernel import run_season, run_seasons
from fieldsim.work.progress import Progress

from .small_farms import SWITCHED, farm, run

MOMENT = 1e-9  # h
SLIVER = 3 * 2.0**-28  # ha
BLOCK = SLIVER / 1e-9  # of which it is a billionth, to the last bit


def work(plan: Any, suitable: list[float] | None = None) -> Progress:
    """Work a small farm with every day suitable, unless said otherwise, and hands enough."""
    days = len(plan.operator_hours)
    shares = np.array([suitable or [1.0] * days])
    return run_season(Plan.of(**vars(plan)), shares, np.full(days, 99.0), np.zeros(days), 0)


def test_a_billionth_of_an_hour_left_is_none() -> None:
    assert work(farm(1, {"hours": [MOMENT]})).tasks["hours_spent"] == 0.0
    assert work(farm(1, {"hours": [2 * MOMENT]})).tasks["hours_spent"] == 2 * MOMENT


def test_a_billionth_of_an_hour_after_setting_up_does_no_land() -> None:
    assert work(farm(1, {"hours": [2 * MOMENT], "setup": (MOMENT,)})).tasks["done"] == 0.0
    assert work(farm(1, {"hours": [3 * MOMENT], "setup": (MOMENT,)})).tasks["done"] > 0.0


def test_a_billionth_of_the_block_is_done_with_the_piece_before_it() -> None:
    assert BLOCK * 1e-9 == SLIVER
    assert BLOCK - (BLOCK - SLIVER) == SLIVER
    assert work(farm(1, {"area": BLOCK, "hours": [BLOCK - SLIVER]})).tasks["done"] == BLOCK
    assert work(farm(1, {"area": BLOCK, "hours": [BLOCK - 2 * SLIVER]})).tasks["left"] > 0.0


def test_what_rounding_leaves_of_the_hours_of_tractors_is_taken_from_nothing_else() -> None:
    tractors: dict[str, Any] = {"tractors": [1, 2], "tractor_power": [60.0, 90.0]}
    done = work(farm(1, {}, power=[50.0], tractor_hours=[1.3], **tractors))
    spent, of_machine = 1.3 + 2.6, done.resources["kind"] == MACHINE
    assert spent - 1.3 > 2.6
    assert done.tasks["hours_spent"] == done.resources["spent"][of_machine] == spent


def test_land_switched_on_a_last_day_without_work_comes_to_the_twin() -> None:
    old = {"planting": 0, "hours": [4.0, 4.0], "close_day": 1, "close_as": SWITCHED}
    plan, days = farm(2, old, {"planting": 1, "starts_with": 0}), [1.0, 0.0]
    tasks, expected = work(plan, days).tasks, run(plan, suitable=[days])
    assert tasks["switched"].tolist() == expected.switched == [6.0, 0.0]
    assert tasks["left"].tolist() == expected.left == [0.0, 6.0]


def test_weeding_before_anything_is_planted_saves_nothing() -> None:
    plan = farm(1, {"control": 0.9, "weight": [1.0], "weeds_ahead": [0.5]})
    assert work(plan).tasks["saved"].tolist() == run(plan).saved == [0.0]


def test_what_is_too_small_to_be_left_is_a_share_of_the_block() -> None:
    """Ten square meters, of which a ten-thousandth is left to the twin, and left by it."""
    old = {"area": 1e-3, "hours": [1e-3 - 1e-7, 0.0], "planting": 0, "close_day": 1}
    twin = {"area": 1e-3, "hours": [0.0, 5e-8], "planting": 1, "starts_with": 0}
    plan = Plan.of(**vars(farm(2, old | {"close_as": SWITCHED}, twin)))
    totals = new_totals(1, 2)
    days = np.ones((1, 1, 2)), np.full((1, 2), 9.0), np.zeros((1, 2)), np.zeros(1, np.int64)
    run_seasons(plan, np.arange(2), *days, totals, new_spent(1, plan))
    np.testing.assert_allclose(totals["area"], [[1e-3, 1e-7]])
    np.testing.assert_allclose(totals["done"], [[1e-3 - 1e-7, 5e-8]])
    assert totals["finish_day"].tolist() == [[-1, -1]]


def test_a_chain_has_a_place_for_what_each_of_its_tasks_has_left_ahead_of_the_last() -> None:
    """Each task does in its season what the one before it did on its first day."""
    days, chain = 4, 11
    capacity = [float(days ** (chain - t)) for t in range(chain)]
    tasks = ({"follows": t - 1, "capacity": (c,), "area": 1e9} for t, c in enumerate(capacity))
    season = work(farm(days, *tasks))
    np.testing.assert_allclose(season.tasks["done"], [40 * c for c in capacity])
    stretches = season.tasks["segments"]
    assert stretches.tolist() == [4 + 3 * t for t in range(chain)]
    assert stretches[-1] <= season.segments.shape[1]


def test_land_is_weighed_where_one_weight_of_one_day_is_not_zero() -> None:
    tasks = work(farm(2, {"area": 20.0, "weight": [0.0, 0.5]})).tasks
    assert (tasks["weighted"], tasks["drying"]) == (5.0, 0.0)
