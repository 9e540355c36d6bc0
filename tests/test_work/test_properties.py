"""What must hold for any farm and any season, whatever the rules of work say in detail.

Farms are those of `tests.oracle.random_farms`; the compiled kernel works them.
"""

from __future__ import annotations

from copy import deepcopy
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from fieldsim.work.arrays import DONE, MACHINE, TRACTOR, Plan
from fieldsim.work.kernel import run_season
from fieldsim.work.progress import Progress
from tests.oracle.random_farms import random_plan, random_warmth
from tests.oracle.small_farms import farm as small_farm
from tests.oracle.test_kernel_against_oracle import test_kernel_equals_oracle as hold_to_oracle
from tests.reliability.commands import NIGHTLY

FARMS = range(2000 if NIGHTLY else 80)
ORACLE_FARMS = range(400, 10_400)  # the first 400 are held to the oracle in every run
OF_DONE, OF_LOST = 0, 1
SUMS = ("done", "missed", "switched", "prevented", "left", "weighted", "fuel", "labor", "insured")
Season = tuple[SimpleNamespace, NDArray[np.float64], NDArray[np.float64], NDArray[np.float64], int]


def season(seed: int) -> Season:
    """Draw a farm and a season for it."""
    rng = np.random.default_rng((seed, 77))
    plan, suitable, operators = random_plan(rng)
    return plan, suitable, operators, *random_warmth(rng, plan)


def work(drawn: Season, **changes: Any) -> Progress:
    """Work a season, with some arrays of the plan changed."""
    plan, *given = drawn
    return run_season(Plan.of(**(vars(deepcopy(plan)) | changes)), *given)


def by_day(progress: Progress, days: int) -> NDArray[np.float64]:
    """Return land done and land lost by each task on each day, shape (2, task, day) [ha]."""
    land = np.zeros((2, len(progress.tasks), days))
    for t, task in enumerate(progress.tasks):
        start = task["begin"]
        for segment in progress.segments[t, : task["segments"]]:
            if segment["day"] < days:
                land[OF_DONE if segment["kind"] == DONE else OF_LOST, t, segment["day"]] += (
                    segment["end"] - start
                )
            start = segment["end"]
    return land


every_farm = pytest.mark.parametrize("seed", FARMS)


def test_most_farms_do_and_lose_land() -> None:
    land = [by_day(work(drawn), drawn[1].shape[1]) for drawn in map(season, range(40))]
    assert sum(bool(of[OF_DONE].any()) for of in land) > 30
    assert sum(bool(of[OF_LOST].any()) for of in land) > 10
    assert sum(bool(by_day(work(d), d[1].shape[1]).any()) for d in map(alone, range(40))) > 30


@every_farm
def test_land_is_kept(seed: int) -> None:
    drawn = season(seed)
    tasks = work(drawn).tasks
    total = sum(tasks[name] for name in ("done", "missed", "switched", "prevented", "left"))
    planting = tasks["planting"]
    switching = np.where(planting >= 0, tasks["starts_with"][planting], -1)
    land = np.where(switching < 0, drawn[0].area, tasks["switched"][switching])
    np.testing.assert_allclose(total, land, atol=1e-9)
    for name in SUMS:
        assert (tasks[name] >= 0).all(), name


@every_farm
def test_settled_land_lies_in_stretches_of_which_a_day_of_work_is_one(seed: int) -> None:
    progress = work(season(seed))
    for task, segments in zip(progress.tasks, progress.segments, strict=True):
        settled = segments[: task["segments"]]
        assert task["segments"] <= len(segments)  # all of them have a place
        assert (np.diff([task["begin"], *settled["end"]]) > 0).all()
        done = settled["kind"] == DONE
        same_day = settled["day"][1:] == settled["day"][:-1]
        assert not (done[1:] & done[:-1] & same_day).any()


@every_farm
def test_no_task_is_ahead_of_the_one_before_it_by_the_lag(seed: int) -> None:
    drawn = season(seed)
    days = drawn[1].shape[1]
    progress = work(drawn)
    land = by_day(progress, days)
    settled = land.sum(axis=0).cumsum(axis=1) + progress.tasks["begin"][:, None]
    for t, before in enumerate(drawn[0].follows):
        lag = int(drawn[0].lag[t])
        if before < 0 or lag >= days:
            continue
        for day in np.flatnonzero(land[OF_DONE, t] > 0):
            assert day >= lag
            assert settled[t, day] <= settled[before, day] + 1e-9
            done_in_time = land[OF_DONE, before, : day - lag + 1].sum()
            assert land[OF_DONE, t, : day + 1].sum() <= done_in_time + 1e-9


@every_farm
def test_nobody_and_nothing_works_longer_than_its_hours(seed: int) -> None:
    plan, suitable, operators, *_ = drawn = season(seed)
    resources = work(drawn).resources
    best = np.maximum(suitable.max(axis=0), plan.wet_share)
    machines = resources[resources["kind"] == MACHINE]
    for m, machine in enumerate(machines):
        users = (plan.machine == m).any(axis=1)
        hours = plan.hours[users].max(axis=0, initial=0.0) * best
        assert machine["spent"] <= plan.units[m] * hours.sum() * (1 + 1e-12)
    tractors = resources[resources["kind"] == TRACTOR]
    for g, tractor in enumerate(tractors):
        most = plan.tractors[g] * (plan.tractor_hours * best).sum()
        assert tractor["spent"] <= most * (1 + 1e-12)
    own = machines["spent"][plan.hired < 0].sum()
    assert own <= (operators * plan.operator_hours * best).sum() * (1 + 1e-12)


@every_farm
def test_no_more_is_done_in_a_day_than_the_units_can_do(seed: int) -> None:
    plan, suitable, *_ = drawn = season(seed)
    land = by_day(work(drawn), suitable.shape[1])[OF_DONE]
    units = np.where(plan.machine >= 0, plan.units[plan.machine], 0)
    most = (plan.capacity * units).sum(axis=1)[:, None] * plan.hours
    wet = np.arange(suitable.shape[1]) >= plan.wet_from[:, None]
    share = np.where(wet, np.maximum(suitable[plan.soil], plan.wet_share), suitable[plan.soil])
    assert (land <= most * share + 1e-8).all()


@every_farm
def test_what_happens_later_changes_nothing_before_it(seed: int) -> None:
    plan, suitable, operators, degrees, warm_day = drawn = season(seed)
    days = suitable.shape[1]
    cut = days // 2
    rng = np.random.default_rng(seed)
    other, fewer = suitable.copy(), operators.copy()
    other[:, cut:] = rng.random(other[:, cut:].shape)
    fewer[cut:] = 0
    changed = work((plan, other, fewer, degrees, warm_day))
    first, second = (by_day(p, days)[:, :, :cut] for p in (work(drawn), changed))
    # A twin is begun where the planting was closed, which may come after the cut.
    np.testing.assert_array_equal(first, second)


@every_farm
def test_twice_the_land_units_and_people_do_twice_as_much_to_the_last_bit(seed: int) -> None:
    plan, suitable, operators, *warmth = drawn = season(seed)
    once = work(drawn)
    twice = work(
        (plan, suitable, 2 * operators, *warmth),
        area=2 * plan.area,
        units=2 * plan.units,
        tractors=2 * plan.tractors,
    )
    for name in SUMS:
        np.testing.assert_array_equal(twice.tasks[name], 2 * once.tasks[name], err_msg=name)
    np.testing.assert_array_equal(twice.tasks["last_day"], once.tasks["last_day"])


@every_farm
def test_days_of_half_the_hours_and_twice_the_capacity_do_the_same_to_the_last_bit(
    seed: int,
) -> None:
    plan = (drawn := season(seed))[0]
    once = work(drawn)
    halved = work(
        drawn,
        hours=plan.hours / 2,
        tractor_hours=plan.tractor_hours / 2,
        operator_hours=plan.operator_hours / 2,
        setup=plan.setup / 2,
        morning=plan.morning / 2,
        capacity=plan.capacity * 2,
    )
    for name in ("done", "missed", "left", "weighted"):
        np.testing.assert_array_equal(halved.tasks[name], once.tasks[name], err_msg=name)


@every_farm
def test_a_machine_that_nobody_uses_changes_nothing(seed: int) -> None:
    plan = (drawn := season(seed))[0]
    more = work(
        drawn,
        units=np.append(plan.units, 3),
        power=np.append(plan.power, 0.0),
        hired=np.append(plan.hired, -1),
    )
    once = work(drawn)
    for name in SUMS:
        np.testing.assert_array_equal(more.tasks[name], once.tasks[name], err_msg=name)


def alone(seed: int) -> Season:
    """Draw a farm and leave it one task, which is open all season, its machines and people."""
    plan, suitable, operators, degrees, warm_day = season(seed)
    first = {
        name: array[:, :1] * 0 if name == "order" else array[:1]
        for name, array in vars(plan).items()
        if isinstance(array, np.ndarray)
        and name not in ("units", "power", "hired", "tractors", "tractor_power")
        and name not in ("tractor_hours", "operator_hours")
    }
    days = suitable.shape[1]
    first |= {
        "follows": np.array([-1]),
        "planting": np.array([-1]),
        "starts_with": np.array([-1]),
        "close_day": np.array([days]),
    }
    return SimpleNamespace(**(vars(plan) | first)), suitable, operators, degrees, warm_day


@every_farm
@pytest.mark.parametrize("more", ["suitable", "hours", "capacity", "units", "people", "setup"])
def test_a_task_alone_never_does_less_by_any_day_with_more(seed: int, more: str) -> None:
    plan, suitable, operators, *warmth = drawn = alone(seed)
    rng = np.random.default_rng(seed)
    changes: dict[str, Any] = {}
    if more == "suitable":
        suitable = suitable + (1 - suitable) * rng.random(suitable.shape)
    elif more == "people":
        operators = operators + rng.integers(0, 2, len(operators))
    elif more == "hours":
        changes = {
            name: getattr(plan, name) * 1.25
            for name in ("hours", "tractor_hours", "operator_hours")
        }
    elif more == "setup":
        changes = {"setup": plan.setup / 2, "morning": plan.morning / 2}
    elif more == "capacity":
        changes = {"capacity": plan.capacity * 1.5}
    else:
        # A further unit has to be set up too, and takes people from a faster machine named after
        # it: nothing to set up, and one machine.
        simpler = {"setup": plan.setup * 0, "morning": plan.morning * 0}
        simpler["machine"] = np.array([[plan.machine[0, 0], -1]])
        drawn = (SimpleNamespace(**(vars(plan) | simpler)), suitable, operators, *warmth)
        plan = drawn[0]
        changes = {"units": plan.units + 1}
    days = suitable.shape[1]
    usual, greater = (
        by_day(progress, days)[OF_DONE, 0].cumsum()
        for progress in (work(drawn), work((plan, suitable, operators, *warmth), **changes))
    )
    assert (greater >= usual - 1e-8).all()


@every_farm
def test_machines_may_be_numbered_in_any_order(seed: int) -> None:
    plan = (drawn := season(seed))[0]
    order = np.random.default_rng(seed).permutation(len(plan.units))
    place = np.append(np.argsort(order), -1)  # -1: no machine
    moved = work(
        drawn,
        machine=place[plan.machine],
        units=plan.units[order],
        power=plan.power[order],
        hired=plan.hired[order],
    )
    once = work(drawn)
    for name in SUMS:
        np.testing.assert_array_equal(moved.tasks[name], once.tasks[name], err_msg=name)


def test_a_need_below_a_kilowatt_takes_the_hours_of_a_tractor() -> None:
    drawn = small_farm(1, {}, power=[0.5], tractors=[1], tractor_power=[60.0], tractor_hours=[4.0])
    progress = run_season(Plan.of(**vars(drawn)), np.ones((1, 1)), np.ones(1), np.zeros(1), 0)
    assert progress.tasks["done"] == 4.0  # 1 ha/h
    of_tractors = progress.resources["kind"] == TRACTOR
    assert progress.resources["spent"][of_tractors].tolist() == [4.0]


def test_a_day_of_half_an_hour_is_worked() -> None:
    plan = Plan.of(**vars(small_farm(1, {"hours": [0.5]})))
    progress = run_season(plan, np.ones((1, 1)), np.ones(1), np.zeros(1), 0)
    assert progress.tasks["done"] == 0.5  # 1 ha/h


def test_a_task_alone_has_a_place_for_each_day_of_its_work() -> None:
    plan = Plan.of(**vars(small_farm(20, {"area": 200.0})))
    progress = run_season(plan, np.ones((1, 20)), np.ones(20), np.zeros(20), 0)
    assert progress.tasks["segments"] == 20 <= progress.segments.shape[1]
    np.testing.assert_allclose(progress.segments["end"][0, :20], np.arange(10.0, 201.0, 10.0))


def test_setting_up_to_the_end_of_a_day_does_no_trace_of_land() -> None:
    """In this farm rounding left 1e-15 h of a day, in which its follower began a day early."""
    hold_to_oracle(9368)


@pytest.mark.skipif(not NIGHTLY, reason="10,000 farms: runs where FIELDSIM_NIGHTLY is set")
def test_ten_thousand_farms_equal_the_oracle() -> None:
    for seed in ORACLE_FARMS:
        hold_to_oracle(seed)
