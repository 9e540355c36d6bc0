"""The oracle itself: seasons worked by hand, and what must hold on every farm."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import pairwise
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from .random_farms import random_plan
from .work_rules import SeasonResult, Segment, run_season

MISSED, SWITCHED, PREVENTED = 1, 2, 3
FARMS = 120
Run = tuple[SimpleNamespace, Any, Any, SeasonResult]


def farm(days: int, *tasks: dict[str, Any], **changes: Any) -> SimpleNamespace:
    """A plan of tasks that each work 10 ha at 1 ha/h, 10 h a day, with a machine of their own."""
    usual: dict[str, Any] = {"area": 10.0, "soil": 0, "follows": -1, "lag": 0, "planting": -1}
    usual |= {"lag_degrees": 0.0, "longest_wait_degrees": -1.0, "needs_warmth": 0}
    usual |= {"longest_wait": -1, "earliest": 0, "close_day": days, "close_as": MISSED}
    usual |= {"starts_with": -1, "capacity": (1.0,), "setup": (0.0,)}
    usual |= {"hours": [10.0] * days, "weight": [0.0] * days}
    rows = [{**usual, "machine": (number,), **task} for number, task in enumerate(tasks)]
    machines = 1 + max(max(row["machine"]) for row in rows)
    plan: dict[str, Any] = {name: np.array([row[name] for row in rows]) for name in rows[0]}
    plan |= {"order": [range(len(tasks))] * days, "units": [1] * machines, "power": [0] * machines}
    plan |= {"tractors": [], "tractor_power": [], "tractor_hours": [10.0] * days}
    plan |= {"operator_hours": [10.0] * days}
    return SimpleNamespace(**{name: np.array(value) for name, value in (plan | changes).items()})


def run(plan: SimpleNamespace, *, suitable: Any = None, operators: Any = 9) -> SeasonResult:
    """Work a plan with every day suitable and hands enough, unless said otherwise."""
    days = len(plan.operator_hours)
    shares = np.ones((1, days)) if suitable is None else np.array(suitable)
    return run_season(plan, shares, np.broadcast_to(np.array(operators, dtype=float), days))


def test_one_task_does_its_hours_times_its_capacity_each_suitable_day() -> None:
    plan = farm(5, {"area": 25.0, "weight": [1.0, 0.9, 0.8, 0.7, 0.6]})
    result = run(plan, suitable=[[1.0, 0.5, 0.0, 1.0, 1.0]])
    assert result.done_on == [[10, 5, 0, 10, 0]]  # 10 h x (1, 0.5, 0, 1) x 1 ha/h = 25 ha
    assert (result.machine_hours, result.finish_day) == ([25], [3])
    assert result.weighted == pytest.approx([10 * 1.0 + 5 * 0.9 + 10 * 0.7])


def test_a_task_rests_before_its_earliest_day_on_days_off_and_without_operators() -> None:
    plan = farm(4, {"area": 30.0, "earliest": 1, "hours": [10.0, 10.0, 0.0, 10.0]})
    result = run(plan, operators=[1, 1, 1, 0])
    assert (result.done_on, result.left) == ([[0, 10, 0, 0]], [20])


def test_land_is_ready_whole_days_of_lag_after_it_was_done() -> None:
    tasks = {"area": 15.0}, {"area": 15.0, "follows": 0, "lag": 2, "capacity": (4.0,)}
    # 40 ha a day would do it all on day 3, yet on day 2 only 10 ha are two days old.
    assert run(farm(5, *tasks)).done_on == [[10, 5, 0, 0, 0], [0, 0, 10, 5, 0]]


def test_lag_zero_allows_the_same_day_only_after_the_task_it_follows_was_served() -> None:
    tasks = {"area": 20.0}, {"area": 20.0, "follows": 0}
    assert run(farm(3, *tasks)).done_on == [[10, 10, 0], [10, 10, 0]]
    assert run(farm(3, *tasks, order=[[1, 0]] * 3)).done_on == [[10, 10, 0], [0, 10, 10]]


def test_two_tasks_share_one_operator_in_the_order_of_the_day() -> None:
    plan = farm(3, {"area": 15.0}, {"area": 15.0})
    assert run(plan, operators=1).done_on == [[10, 5, 0], [0, 5, 10]]
    plan.order = np.array([[0, 1], [1, 0], [1, 0]])
    assert run(plan, operators=1).done_on == [[10, 0, 5], [0, 10, 5]]


def test_a_shared_machine_gives_each_task_what_is_left_of_that_tasks_own_hours() -> None:
    plan = farm(1, {"area": 4.0}, {"machine": (0,), "hours": [6.0]})
    assert run(plan).done == [4, 6 - 4]


def expiring(days: int) -> SimpleNamespace:
    """Planting does 10 ha a day; cultivation 5 ha a day, a day after planting to two days after."""
    planting = {"area": 30.0, "planting": 0}
    first = {"area": 30.0, "follows": 0, "lag": 1, "planting": 0, "longest_wait": 2}
    second = {"area": 30.0, "follows": 1, "planting": 0}
    return farm(days, planting, first | {"capacity": (0.5,)}, second)


def test_expired_land_is_missed_and_passed_over_by_the_task_that_follows() -> None:
    result = run(expiring(8))
    # Land 10-20, planted on day 1, expires on day 4 = 1 + 2 + 1: 5-10, 10-15 are done by then,
    # 15-20 is not. Land 20-30 expires on day 5: 20-25 is done on day 4, 25-30 is not.
    missed = [s for s in result.segments[1] if s.kind == "missed"]
    assert [(float(s.start), float(s.end), s.day) for s in missed] == [(15, 20, 4), (25, 30, 5)]
    assert [float(s.start) for s in result.segments[2] if s.kind == "done"] == [0, 5, 10, 20]
    for task in (1, 2):
        assert result.done_on[task] == [0, 5, 5, 5, 5, 0, 0, 0]
        assert (result.done[task], result.missed[task], result.finish_day[task]) == (20, 10, -1)


def test_land_that_could_still_be_done_on_the_last_day_is_left() -> None:
    result = run(expiring(4))
    # By the evening of day 3 land 0-15 is done; none of 15-30 was to be done by then.
    assert (result.done[1:], result.missed[1:], result.left[1:]) == ([15, 15], [0, 0], [15, 15])


def switching(days: int, **twin: Any) -> SimpleNamespace:
    """Tillage of 40 ha; planting until day 2, then a twin; a cultivation a day after each."""
    land, cultivation = {"area": 40.0}, {"area": 40.0, "lag": 1}
    crop = land | {"follows": 0, "planting": 1, "close_day": 2, "close_as": SWITCHED}
    other = land | {"follows": 0, "planting": 3, "starts_with": 1} | twin
    after = [cultivation | {"follows": planting, "planting": planting} for planting in (1, 3)]
    return farm(days, land, crop, after[0], other, after[1])


def test_switched_land_is_planted_by_the_twin_from_the_closing_day_on() -> None:
    result = run(switching(6))
    assert result.done_on[:2] == [[10, 10, 10, 10, 0, 0], [10, 10, 0, 0, 0, 0]]
    assert result.done_on[2:4] == [[0, 10, 10, 0, 0, 0], [0, 0, 10, 10, 0, 0]]
    assert result.done_on[4] == [0, 0, 0, 10, 10, 0]
    assert result.switched == [0, 20, 20, 0, 0]
    assert result.done == [40, 20, 20, 20, 20]  # a twin chain has the 20 ha switched away
    assert result.finish_day == [3, -1, -1, 3, 4]


def test_a_twin_may_be_prevented_in_its_turn() -> None:
    result = run(switching(6, close_day=3, close_as=PREVENTED))
    assert (result.switched, result.done[3:]) == ([0, 20, 20, 0, 0], [10, 10])
    assert result.prevented == [0, 0, 0, 10, 10]  # tillage did its last land on day 3


def test_a_twin_that_never_starts_has_no_land() -> None:
    plan = switching(6)
    plan.close_as = np.array([MISSED] * 5)
    result = run(plan)
    assert (result.missed, result.finish_day[3:]) == ([0, 20, 20, 0, 0], [-1, -1])
    assert result.done[3:] == result.left[3:] == result.prevented[3:] == [0, 0]


def test_the_rest_of_planting_outranks_an_earlier_closing_of_the_task_after_it() -> None:
    plan = switching(6)
    plan.close_day[2] = 2
    result = run(plan)  # cultivation has done 0-10 by then; 10-20 is planted, 20-40 switched
    assert (result.done[2], result.missed[2], result.switched[2]) == (10, 10, 20)


def test_tillage_closed_with_planting_leaves_no_land_to_either() -> None:
    for code, became in ((MISSED, "missed"), (PREVENTED, "prevented")):
        closing = {"area": 50.0, "close_day": 2, "close_as": code}
        result = run(farm(5, closing, closing | {"follows": 0, "lag": 1, "planting": 1}))
        assert result.done_on == [[10, 10, 0, 0, 0], [0, 10, 0, 0, 0]]
        assert getattr(result, became) == [50 - 20, 50 - 10]


def test_land_that_tillage_missed_is_missed_by_planting_and_all_after_it() -> None:
    tillage = {"area": 40.0, "close_day": 2}
    planting = {"area": 40.0, "follows": 0, "planting": 1, "capacity": (0.5,)}
    result = run(farm(3, tillage, planting, {"area": 40.0, "follows": 1, "planting": 1}))
    assert result.done == [20, 15, 15]  # 2 days of 10 ha, 3 days of 5 ha
    assert (result.missed, result.left) == ([20, 20, 20], [0, 5, 5])


def test_suitable_hours_of_two_soils_nest() -> None:
    nested = [[0.75], [0.5]]  # of 10 h: 7.5 h on soil 0, in 5 of which soil 1 is suitable too
    for first, areas, done in (
        (0, (4.0, 9.0), [4, 3.5]),  # soil 1: least of 5 - 0 and 7.5 - 4
        (0, (2.0, 9.0), [2, 5]),  # soil 1: least of 5 - 0 and 7.5 - 2
        (0, (9.0, 9.0), [7.5, 0]),  # soil 1: least of 5 - 0 and 7.5 - 7.5
        (1, (9.0, 9.0), [2.5, 5]),  # soil 0: 7.5 - 5
    ):
        tasks = ({"area": areas[soil], "soil": soil} for soil in (0, 1))
        plan = farm(1, *tasks, order=[[first, 1 - first]])
        assert run(plan, suitable=nested, operators=1).done == done
        plan.machine = np.array([[0], [0]])
        assert run(plan, suitable=nested, operators=2).done == done


def test_setting_up_takes_each_unit_its_hours_and_carries_over_midnight() -> None:
    plan = farm(4, {"area": 18.0, "setup": (6.0,)}, units=[2])
    result = run(plan, operators=1)
    # 2 x 6 h of setting up: 10 h on day 0, 2 h on day 1; that leaves 8 h for land.
    assert (result.done_on, result.machine_hours) == ([[0, 8, 10, 0]], [12 + 18])


def test_a_machine_sets_up_only_when_land_is_ready_for_it() -> None:
    two = {"machine": (0, 1), "capacity": (1.0, 1.0), "setup": (0.0, 4.0)}
    assert run(farm(1, two | {"area": 10.0})).machine_hours == [10]
    assert run(farm(1, two | {"area": 15.0})).machine_hours == [10 + 4 + 5]
    waiting = {"follows": 0, "lag": 1, "setup": (4.0,)}
    assert run(farm(2, {}, waiting)).done_on[1] == [0, 6]


def test_tractor_hours_are_taken_from_the_weakest_that_fit() -> None:
    light, heavy, late = {"area": 15.0, "machine": (0,)}, {"area": 15.0}, {"machine": (0,)}
    tractors = {"tractors": [1, 1], "tractor_power": [60.0, 100.0]}
    plan = farm(1, light, heavy, late, units=[3, 3], power=[50.0, 90.0], **tractors)
    # Light work takes the weak tractor's 10 h and 5 h of the strong one; the last task gets none.
    assert run(plan).done == [15, 5, 0]
    assert [tuple(map(float, work.tractors)) for work in run(plan).log] == [(10, 5), (0, 5)]
    plan.tractor_power = np.array([55.0, 80.0])  # no tractor fits the heavy work
    assert run(plan).done == [15, 0, 5]


def test_a_remainder_of_a_billionth_of_the_block_counts_as_done() -> None:
    assert run(farm(2, {"area": 10 + 0.5e-8})).finish_day == [0]  # 1e-9 x 10 ha = 1e-8 ha
    assert run(farm(2, {"area": 10 + 2e-8})).finish_day == [1]


@pytest.fixture(scope="module")
def runs() -> list[Run]:
    farms = [random_plan(np.random.default_rng(number)) for number in range(FARMS)]
    return [(*drawn, run_season(*drawn)) for drawn in farms]


def overlap(segment: Segment, others: list[Segment]) -> Fraction:
    """Land of a segment that lies in others too [ha]."""
    shared = (min(segment.end, o.end) - max(segment.start, o.start) for o in others)
    return sum((max(land, Fraction(0)) for land in shared), Fraction(0))


def done_by(result: SeasonResult, task: int, day: int = 999) -> list[Segment]:
    return [s for s in result.segments[task] if s.kind == "done" and s.day <= day]


def test_the_accounts_of_every_task_add_up_to_its_land(runs: list[Run]) -> None:
    for plan, _, _, r in runs:
        total = np.sum([r.done, r.missed, r.switched, r.prevented, r.left], axis=0)
        for task, planting in enumerate(plan.planting):
            switching = plan.starts_with[planting] if planting >= 0 else -1
            land = plan.area[task] if switching < 0 else r.switched[switching]
            assert total[task] == pytest.approx(land, abs=1e-9)


def test_no_land_is_settled_or_planted_twice(runs: list[Run]) -> None:
    for plan, _, _, result in runs:
        assert all(a.end == b.start for row in result.segments for a, b in pairwise(row))
        for task in np.flatnonzero(plan.starts_with >= 0):
            planted = done_by(result, plan.starts_with[task])
            assert not any(overlap(segment, planted) for segment in result.segments[task])


def test_no_land_is_done_before_its_predecessor_by_the_lag(runs: list[Run]) -> None:
    for plan, _, _, result in runs:
        for task, before in enumerate(plan.follows):
            for segment in done_by(result, task) if before >= 0 else []:
                ready = done_by(result, before, segment.day - plan.lag[task])
                assert overlap(segment, ready) == segment.end - segment.start
                if overlap(segment, [s for s in ready if s.day == segment.day]):
                    served = list(plan.order[segment.day])
                    assert served.index(before) < served.index(task)


def test_no_land_is_done_out_of_season(runs: list[Run]) -> None:
    for plan, suitable, _, result in runs:
        for task, wait in enumerate(plan.longest_wait):
            for segment in done_by(result, task):
                assert plan.earliest[task] <= segment.day < plan.close_day[task]
                assert suitable[plan.soil[task], segment.day] * plan.hours[task, segment.day] > 0
                if wait >= 0:
                    expired = done_by(result, plan.planting[task], segment.day - wait - 1)
                    assert overlap(segment, expired) == 0


def test_no_unit_hour_is_spent_beyond_the_day(runs: list[Run]) -> None:
    for plan, suitable, operators, result in runs:
        for place, work in enumerate(result.log):
            day, shares = work.day, suitable[:, work.day]
            today = [w for w in result.log[: place + 1] if w.day == day]
            fit = plan.tractor_power >= plan.power[work.machine]
            fitting = sum(h for h, fits in zip(work.tractors, fit, strict=False) if fits)
            assert fitting == (work.hours if plan.power[work.machine] > 0 else 0)
            of_machine = plan.units[work.machine] * plan.hours[work.task, day]
            of_operators = operators[day] * plan.operator_hours[day]
            limits = [of_machine, of_operators, *plan.tractors * plan.tractor_hours[day]]
            for share in shares[shares >= shares[work.soil]]:
                nested = [w for w in today if shares[w.soil] <= share]
                by_machine = [w.hours for w in nested if w.machine == work.machine]
                spent = [by_machine, [w.hours for w in nested]]
                spent += [[w.tractors[g] for w in nested if w.tractors] for g in range(len(fit))]
                for hours, limit in zip(spent, limits, strict=True):
                    assert float(sum(hours)) <= limit * share + 1e-9


def test_the_random_farms_put_every_rule_to_use(runs: list[Run]) -> None:
    seen: Counter[str] = Counter()
    for plan, _, _, r in runs:
        after_twin = np.isin(plan.follows, np.flatnonzero(plan.starts_with >= 0))
        for kind in ("done", "missed", "switched", "prevented", "left"):
            seen[kind] += any(getattr(r, kind))
        seen["expired"] += any(s.kind == "missed" for row in r.segments for s in row)
        seen["after a twin"] += any(np.array(r.done)[after_twin])
        ahead = plan.planting < 0
        seen["tillage stopped"] += any(np.array(r.prevented)[ahead])
        seen["set up overnight"] += any(work.setup == work.hours for work in r.log)
        seen["second machine"] += any(w.machine == plan.machine[w.task, 1] for w in r.log)
        seen["two tractor types"] += any(sum(h > 0 for h in w.tractors) > 1 for w in r.log)
    assert len(seen) == 11
    assert min(seen.values()) >= FARMS / 20, seen
