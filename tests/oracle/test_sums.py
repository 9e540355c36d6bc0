"""The oracle's sums of a season, worked by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from .small_farms import farm, run


def test_land_counts_with_the_figures_of_the_day_it_was_done() -> None:
    days = {"weight": [1.0, 0.9], "second_weight": [0.8, 0.6]}
    days |= {"insured": [1.0, 0.99], "drying": [20.0, 30.0]}
    result = run(farm(2, {"area": 15.0, **days}))
    assert result.weighted == pytest.approx([10 * 1.0 + 5 * 0.9])
    assert result.second_weighted == pytest.approx([10 * 0.8 + 5 * 0.6])
    assert result.insured == pytest.approx([10 * 1.0 + 5 * 0.99])
    assert result.drying == pytest.approx([10 * 20.0 + 5 * 30.0])


def test_wet_counts_what_is_lost_on_days_whose_share_is_raised() -> None:
    task = {"area": 50.0, "wet_from": 1, "weight": [1.0, 0.9, 0.8, 0.7, 0.6]}
    result = run(farm(5, task, wet_share=0.5), suitable=[[0.2, 0.2, 0.0, 0.5, 1.0]])
    # Days 1 and 2 only: 5 ha each, 3/5 and all of their hours beyond the suitable ones.
    assert result.wet == pytest.approx([5 * 0.9 * (1 - 0.2 / 0.5) + 5 * 0.8])


def weeding(days: int, *weeders: dict[str, Any], **changes: Any) -> SimpleNamespace:
    """Planting of 20 ha in two days, worth 1 and 0.9; weeds cost 0.4, 0.3, 0.2, 0.1, then none."""
    weights, ahead = [1.0, 0.9, 0.0, 0.0][:days], [0.4, 0.3, 0.2, 0.1][:days]
    planting = {"area": 20.0, "planting": 0, "weight": weights}
    weeder = {"area": 20.0, "follows": 0, "planting": 0, "weeds_ahead": ahead}
    return farm(days, planting, *(weeder | row for row in weeders), **changes)


def test_weeding_saves_what_the_weeds_would_still_cost() -> None:
    plan = weeding(4, {"control": 0.5, "lag": 2}, {"lag": 1})
    # Each day's planting is weeded two days later; the task without control saves nothing.
    assert run(plan).saved == pytest.approx([0, 10 * 1.0 * 0.2 * 0.5 + 10 * 0.9 * 0.2 * 0.5, 0])
    plan.earliest[1] = 3  # land 0-10, then three days old; land 10-20 is left
    assert run(plan).saved[1] == pytest.approx(10 * 1.0 * 0.1 * 0.5)


def test_a_second_weeding_finds_the_weeds_that_the_first_one_left() -> None:
    first = {"control": 0.75, "lag": 1}
    for follows in (0, 1):  # after planting like the first, or after the first
        plan = weeding(4, first, {"control": 0.5, "lag": 2 - follows, "follows": follows})
        expected = [10 * 0.3 * 0.75 * 1.9, 10 * 0.2 * 0.5 * (1 - 0.75) * 1.9]
        assert run(plan).saved[1:] == pytest.approx(expected)


def test_of_two_weedings_on_a_day_the_one_served_first_finds_all_weeds() -> None:
    for order, left in (((0, 1, 2), (1, 0.25)), ((0, 2, 1), (0.5, 1))):
        plan = weeding(1, {"control": 0.75}, {"control": 0.5}, order=[order])
        expected = [10 * 0.4 * 0.75 * left[0], 10 * 0.4 * 0.5 * left[1]]
        assert run(plan).saved[1:] == pytest.approx(expected)


def test_only_land_that_was_weeded_before_has_fewer_weeds() -> None:
    slow = {"control": 1.0, "capacity": (0.4,)}  # 4 ha on each of two days
    plan = weeding(2, slow, {"control": 0.5, "lag": 1})
    # Day 0: slow weeds 0-4 of the land of day 0. Day 1: it weeds 4-8, a day old, and the second
    # weeding does 0-10, of which only 8-10 still has weeds.
    expected = [4 * 0.4 + 4 * 0.3, 2 * 0.3 * 0.5]
    assert run(plan).saved[1:] == pytest.approx(expected)


def test_tasks_of_another_planting_and_ahead_of_planting_save_nothing() -> None:
    ahead = {"control": 0.5, "weeds_ahead": [0.4]}
    plantings = ({"planting": number, "weight": [1.0], "follows": 0} for number in (1, 2))
    weeders = (ahead | {"planting": number, "follows": number} for number in (1, 2))
    result = run(farm(1, ahead, *plantings, *weeders))
    assert result.saved == pytest.approx([0, 0, 0, 10 * 0.4 * 0.5, 10 * 0.4 * 0.5])


def test_fuel_labor_hours_and_land_are_added_up_where_they_belong() -> None:
    own = {"machine": (0, 1), "setup": (2.0, 1.0), "morning": (1.0, 3.0), "area": 13.0}
    own |= {"fuel": (30.0, 20.0), "labor": (1.5, 0.0)}
    tractors = {"power": [50.0, 0.0], "tractors": [1], "tractor_power": [60.0]}
    result = run(farm(1, own, hired=[-1, 0], **tractors))
    # 2 h of setting up and 8 h at work; then the hired machine's 3 h and 5 h.
    assert result.machine_hours == [10 + 8]
    assert result.machine_unit_hours == [10, 8]
    assert result.machine_area == [8, 5]
    assert result.tractor_unit_hours == [10]
    assert result.fuel == [10 * 30 + 8 * 20]
    assert result.labor == [2 * 1 + 8 * 1.5]
