"""The oracle's days: seasons worked by hand, rule by rule."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from .small_farms import MISSED, PREVENTED, SWITCHED, farm, run


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
    two = {"machine": (0, 1), "setup": (0.0, 4.0)}
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
    assert run(farm(2, {"area": 10 + 0.5e-8})).machine_area == [10 + 0.5e-8]


def test_a_hired_machine_comes_whole_days_after_its_call() -> None:
    plan = farm(6, {"area": 20.0}, {"area": 20.0, "follows": 0, "lag": 1}, hired=[-1, 2])
    # Land is first ready on day 1: that is the day of the call, and the machine comes on day 3.
    assert run(plan).done_on[1] == [0, 0, 0, 10, 10, 0]
    plan.hired = np.array([-1, 0])
    assert run(plan).done_on[1] == [0, 10, 10, 0, 0, 0]


def test_a_hired_machine_is_not_called_on_a_day_that_its_task_is_skipped() -> None:
    plan = farm(5, {"area": 20.0, "earliest": 1}, hired=[1])
    assert run(plan, suitable=[[1, 0, 1, 1, 1]]).done_on == [[0, 0, 0, 10, 10]]  # called on day 2
    assert run(plan).done_on == [[0, 0, 10, 10, 0]]


def test_a_hired_machine_called_for_one_task_serves_all_of_its_tasks() -> None:
    plan = farm(4, {"area": 5.0}, {"machine": (0,), "earliest": 3}, hired=[2])
    assert run(plan).done_on == [[0, 0, 5, 0], [0, 0, 0, 10]]


def test_a_hired_machine_is_called_once_the_own_one_leaves_land_ready() -> None:
    both, hired = {"machine": (0, 1)}, [-1, 1]
    result = run(farm(4, both | {"area": 35.0}, hired=hired))
    assert result.done_on == [[10, 20, 5, 0]]
    assert result.machine_area == [10 + 10 + 5, 10]
    later = {"machine": (1, -1), "earliest": 2}  # on days 0 and 1 there is no call
    assert run(farm(4, both, later, hired=hired)).done_on[1] == [0, 0, 0, 10]


def test_a_hired_machine_needs_and_takes_neither_tractor_nor_operator() -> None:
    tractors = {"power": [90.0, 90.0], "tractors": [1], "tractor_power": [100.0]}
    plan = farm(2, {"area": 20.0}, {"area": 20.0}, hired=[0, -1], **tractors)
    result = run(plan, operators=[1, 0])
    assert result.done_on == [[10, 10], [10, 0]]
    assert [work.tractors for work in result.log] == [(), (10,), ()]
    assert result.tractor_unit_hours == [10]


def test_each_unit_starts_the_day_with_its_morning() -> None:
    plan = farm(3, {"area": 24.0, "morning": (2.0,)})
    result = run(plan)
    assert (result.done_on, result.machine_hours) == ([[8, 8, 8]], [30])
    plan.units = np.array([2])  # 2 x 2 h of the one operator's 10 h
    assert run(plan, operators=1).done_on == [[6, 6, 6]]


def test_a_machine_has_one_morning_a_day_however_many_its_tasks() -> None:
    tasks = {"area": 3.0, "morning": (2.0,)}, {"machine": (0,), "morning": (4.0,)}
    # Day 0: 2 h of morning, 3 ha, and 5 h for the second task; day 1: its own 4 h of morning.
    assert run(farm(2, *tasks)).done_on == [[3, 0], [5, 5]]


def test_an_hour_spent_on_any_task_ends_the_morning_even_if_it_was_cut_short() -> None:
    tasks = {"morning": (4.0,)}, {"soil": 1, "machine": (0,), "morning": (4.0,)}
    # 3 h on soil 0, all of them morning; soil 1 has the 7 h left of its 10 h.
    assert run(farm(1, *tasks), suitable=[[0.3], [1.0]]).done == [0, 7]


@pytest.mark.parametrize(
    ("setup", "morning", "first_share", "done"),
    [
        (3.0, 2.0, 1.0, [7, 8]),  # the longer of the two, then a morning
        (1.0, 2.0, 1.0, [8, 8]),
        (0.0, 4.0, 0.3, [0, 6]),  # 1 h of the first morning is forgotten
        (3.0, 4.0, 0.3, [0, 6]),  # 3 h were enough to set up
        (9.0, 4.0, 0.3, [0, 4]),  # 6 h of setting up are still owed
        (5.0, 4.0, 0.3, [0, 6]),  # 2 h still owed, less than the morning
    ],
)
def test_a_morning_is_forgotten_overnight_but_not_setting_up(
    setup: float, morning: float, first_share: float, done: list[float]
) -> None:
    plan = farm(2, {"area": 30.0, "setup": (setup,), "morning": (morning,)})
    assert run(plan, suitable=[[first_share, 1.0]]).done_on == [done]


def test_what_is_left_of_a_morning_is_not_owed_the_day_after() -> None:
    tasks = {"morning": (4.0,)}, {"area": 2.0, "machine": (0,), "earliest": 1, "morning": (1.0,)}
    plan = farm(2, *tasks, order=[[0, 1], [1, 0]])
    # Day 0: 3 of 4 h of morning. Day 1 starts with the other task: 1 h and 2 ha, leaving 7 h.
    assert run(plan, suitable=[[0.3, 1.0]]).done_on == [[0, 7], [0, 2]]


def test_from_a_day_on_work_goes_on_in_the_wet() -> None:
    task = {"area": 50.0, "wet_from": 1}
    result = run(farm(5, task, wet_share=0.5), suitable=[[0.2, 0.2, 0.0, 0.5, 1.0]])
    assert result.done_on == [[2, 5, 5, 5, 10]]
    dry = run(farm(2, task), suitable=[[0.2, 0.0]])
    assert dry.done_on == [[2, 0]]


@pytest.mark.parametrize(
    ("areas", "wet_first", "done"),
    [
        ((9.0, 9.0), False, [2, 3]),  # 5 h in the wet include the 2 h that are dry
        ((9.0, 9.0), True, [0, 5]),  # dry work: least of 2 - 0 and 5 - 5
        ((9.0, 4.0), True, [1, 4]),  # dry work: least of 2 - 0 and 5 - 4
    ],
)
def test_wet_work_shares_the_day_as_on_a_soil_of_its_own(
    areas: tuple[float, float], wet_first: bool, done: list[float]
) -> None:
    tasks = {"area": areas[0]}, {"area": areas[1], "wet_from": 0}
    plan = farm(1, *tasks, wet_share=0.5, order=[[1, 0] if wet_first else [0, 1]])
    assert run(plan, suitable=[[0.2]], operators=1).done == done


def test_a_billionth_of_an_hour_left_is_none() -> None:
    tasks = {"area": 10 - 0.5e-9}, {"machine": (0,)}
    assert run(farm(1, *tasks)).done[1] == 0
    tasks = {"area": 10 - 2e-9}, {"machine": (0,)}
    assert run(farm(1, *tasks)).done[1] == pytest.approx(2e-9)
