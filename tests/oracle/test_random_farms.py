"""What must hold on every random farm that the oracle works."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import combinations, groupby, pairwise
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from .random_farms import random_plan, random_warmth
from .records import Work, exact
from .work_rules import SeasonResult, Segment, run_season

FARMS = 120
Run = tuple[SimpleNamespace, Any, Any, SeasonResult]


@pytest.fixture(scope="module")
def runs() -> list[Run]:
    return [season(np.random.default_rng(number)) for number in range(FARMS)]


def season(rng: np.random.Generator) -> Run:
    plan, suitable, operators = random_plan(rng)
    result = run_season(plan, suitable, operators, *random_warmth(rng, plan))
    return plan, suitable, operators, result


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
                wet = plan.wet_share if segment.day >= plan.wet_from[task] else 0
                share = max(suitable[plan.soil[task], segment.day], wet)
                assert share * plan.hours[task, segment.day] > 0
                if wait >= 0:
                    expired = done_by(result, plan.planting[task], segment.day - wait - 1)
                    assert overlap(segment, expired) == 0


def test_no_unit_hour_is_spent_beyond_the_day(runs: list[Run]) -> None:
    for plan, suitable, operators, result in runs:
        own = plan.hired < 0
        for place, work in enumerate(result.log):
            day, fit = work.day, plan.tractor_power >= plan.power[work.machine]
            pulled = own[work.machine] and plan.power[work.machine] > 0
            fitting = sum(h for h, fits in zip(work.tractors, fit, strict=False) if fits)
            assert fitting == (work.hours if pulled else 0)
            of_machine = plan.units[work.machine] * plan.hours[work.task, day]
            of_operators = operators[day] * plan.operator_hours[day]
            limits = [of_machine, of_operators, *plan.tractors * plan.tractor_hours[day]]
            today = [w for w in result.log[: place + 1] if w.day == day]
            shares = {float(w.share) for w in today} | set(suitable[:, day])
            for share in (share for share in shares if share >= work.share):
                nested = [w for w in today if w.share <= share]
                spent = [[w.hours for w in nested if w.machine == work.machine]]
                spent += [[w.hours for w in nested if own[w.machine]] if own[work.machine] else []]
                spent += [[w.tractors[g] for w in nested if w.tractors] for g in range(len(fit))]
                for hours, limit in zip(spent, limits, strict=True):
                    assert float(sum(hours)) <= limit * share + 1e-9


def test_hours_and_land_of_tasks_machines_and_tractors_add_up(runs: list[Run]) -> None:
    for plan, _, _, r in runs:
        assert sum(r.machine_unit_hours) == pytest.approx(sum(r.machine_hours))
        assert sum(r.machine_area) == pytest.approx(sum(r.done))
        assert r.done == pytest.approx([sum(areas) for areas in r.done_on])
        pulled = (plan.power > 0) & (plan.hired < 0)
        of_pulled = np.array(r.machine_unit_hours)[pulled].sum()
        assert sum(r.tractor_unit_hours) == pytest.approx(of_pulled)


def test_fuel_and_labor_lie_between_those_of_the_least_and_the_most_an_hour(
    runs: list[Run],
) -> None:
    for plan, _, _, r in runs:
        hours, fuel, labor = (np.array(sums) for sums in (r.machine_hours, r.fuel, r.labor))
        assert np.all((fuel >= 5 * hours) & (fuel <= 40 * hours))
        own = np.zeros(len(hours))
        for work in r.log:
            own[work.task] += float(work.hours) * (plan.hired[work.machine] < 0)
        assert np.all((labor >= own - 1e-9) & (labor <= 2 * own + 1e-9))


def of_all_units(plan: SimpleNamespace, name: str, work: Work) -> Fraction:
    """Hours of setting up or of a morning for the units that do the work [h]."""
    return exact(getattr(plan, name)[work.task, work.slot]) * int(plan.units[work.machine])


def test_each_day_of_a_machine_starts_with_its_morning(runs: list[Run]) -> None:
    for plan, _, _, result in runs:
        by_machine = sorted(result.log, key=lambda work: (work.machine, work.day))
        for _, works in groupby(by_machine, key=lambda work: (work.machine, work.day)):
            first, *later = works
            assert first.setup >= min(first.hours, of_all_units(plan, "morning", first))
            assert all(work.setup <= of_all_units(plan, "setup", work) for work in later)


def test_no_machine_works_on_a_block_before_it_is_set_up(runs: list[Run]) -> None:
    for plan, _, _, result in runs:
        spent: Counter[tuple[int, int]] = Counter()
        for work in result.log:
            spent[work.task, work.slot] += work.setup
            if work.land > 0:
                assert spent[work.task, work.slot] >= of_all_units(plan, "setup", work)


def test_no_hired_machine_works_before_it_can_have_come(runs: list[Run]) -> None:
    for plan, _, _, result in runs:
        for work in result.log:
            if plan.hired[work.machine] >= 0:
                called = plan.earliest[(plan.machine == work.machine).any(axis=1)].min()
                assert work.day >= called + plan.hired[work.machine]


def test_weeding_never_saves_more_than_all_weeds_would_cost(runs: list[Run]) -> None:
    for plan, _, _, r in runs:
        assert all(np.array(r.saved)[plan.control == 0] == 0)
        for planting in np.flatnonzero(plan.planting == np.arange(len(plan.planting))):
            tasks = plan.planting == planting
            at_stake = plan.weeds_ahead[tasks, 0] * r.weighted[planting]
            assert np.all(np.array(r.saved)[tasks] <= at_stake + 1e-9)
            assert np.array(r.saved)[tasks].sum() <= at_stake.max() + 1e-9


def test_what_land_is_worth_stays_within_its_bounds(runs: list[Run]) -> None:
    for *_, r in runs:
        done, weighted, wet = np.array(r.done), np.array(r.weighted), np.array(r.wet)
        assert np.all((wet >= 0) & (wet <= weighted) & (weighted <= done))
        assert np.all(np.array(r.second_weighted) <= weighted)
        assert np.all((np.array(r.insured) <= done) & (np.array(r.insured) >= weighted * 0.6))


def test_the_random_farms_put_every_rule_to_use(runs: list[Run]) -> None:
    seen: Counter[str] = Counter()
    for plan, suitable, operators, r in runs:
        after_twin = np.isin(plan.follows, np.flatnonzero(plan.starts_with >= 0))
        for kind in ("done", "missed", "switched", "prevented", "left", "wet", "saved", "labor"):
            seen[kind] += any(getattr(r, kind))
        seen["expired"] += any(s.kind == "missed" for row in r.segments for s in row)
        seen["after a twin"] += any(np.array(r.done)[after_twin])
        ahead = plan.planting < 0
        seen["tillage stopped"] += any(np.array(r.prevented)[ahead])
        seen["set up overnight"] += any(work.setup == work.hours for work in r.log)
        seen["second machine"] += any(w.machine == plan.machine[w.task, 1] for w in r.log)
        seen["two tractor types"] += any(sum(h > 0 for h in w.tractors) > 1 for w in r.log)
        seen["weeded twice"] += weeded_twice(plan, r, follows_planting=False)
        seen["weeded twice after planting"] += weeded_twice(plan, r, follows_planting=True)
        hired = [work for work in r.log if plan.hired[work.machine] >= 0]
        seen["hired"] += bool(hired)
        seen["hired with a wait"] += any(plan.hired[work.machine] > 0 for work in hired)
        seen["hired beside own"] += 0 < len(hired) < len(r.log)
        seen["hired without operators"] += any(operators[work.day] == 0 for work in hired)
        seen["morning"] += any(w.setup > of_all_units(plan, "setup", w) for w in r.log)
        seen["morning cut short"] += any(
            of_all_units(plan, "setup", w) < w.setup == w.hours < of_all_units(plan, "morning", w)
            for w in r.log
        )
        seen["worked all in the wet"] += any(
            suitable[plan.soil[work.task], work.day] == 0 for work in r.log
        )
    assert len(seen) == 23
    assert min(seen.values()) >= FARMS / 20, seen


def weeded_twice(plan: SimpleNamespace, result: SeasonResult, *, follows_planting: bool) -> bool:
    """Say whether two tasks weeded the same land, both right after planting or not both."""
    saving = np.flatnonzero(result.saved)
    return any(
        plan.planting[one] == plan.planting[other]
        and follows_planting == (plan.follows[one] == plan.follows[other] == plan.planting[one])
        and any(overlap(segment, done_by(result, other)) for segment in done_by(result, one))
        for one, other in combinations(saving, 2)
    )
