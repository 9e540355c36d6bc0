"""Small random farms that put every rule of work to use."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["random_plan", "random_warmth"]

MISSED, SWITCHED, PREVENTED = 1, 2, 3
ROLES = ("tillage", "planting", "after")
Draft = dict[str, Any]


def random_plan(
    rng: np.random.Generator,
) -> tuple[SimpleNamespace, NDArray[np.float64], NDArray[np.float64]]:
    """Draw a farm of 1 to 5 blocks over 10 to 60 days, and one season for it.

    Half of the farms have round numbers, so that work often ends exactly with the day, with the
    land or with the land that is ready; the others have none.

    Parameters
    ----------
    rng : numpy.random.Generator

    Returns
    -------
    plan : types.SimpleNamespace
        The arrays of a plan, under their names.
    suitable : ndarray, (soil, day)
        Share of the day's field hours in which the soil carries fieldwork [1].
    operators : ndarray, (day,)
        Hands at work [1].
    """
    days, soils = int(rng.integers(10, 61)), int(rng.integers(1, 4))
    step = 0.25 if rng.random() < 0.5 else 0.0
    drafts: list[Draft] = []
    for _ in range(int(rng.integers(1, 6))):
        drafts += _block(rng, days, int(rng.integers(soils)), _number(rng, 4, 40, step))
    if rng.random() < 0.3:
        drafts.sort(key=lambda draft: draft["stage"])
    wet_share = float(rng.choice([0.0, 0.25, 0.5, 0.75, 1.0]) if step else rng.random())
    if rng.random() < 0.4:
        for draft in drafts:
            draft["wet_from"] = int(rng.integers(days // 4, days + 1))
    plan = SimpleNamespace(
        **_links(drafts),
        **_machine_arrays(rng, drafts, step),
        **_day_arrays(rng, drafts, days, step),
        **_worth_arrays(rng, drafts, days),
        wet_share=wet_share,
    )
    shares = np.array([0.0, 0.0, 0.0, 0.25, 0.5, 0.75, 1.0, 1.0, 1.0])
    suitable = rng.choice(shares, size=(soils, days))
    if not step:
        suitable = suitable * rng.uniform(0.5, 1.0, size=(soils, days))
    hands = np.array([0.0, 1.0, 1.0, 2.0, 2.0, 3.0, 4.5])
    return plan, suitable, rng.choice(hands, size=days)


def _number(rng: np.random.Generator, low: float, high: float, step: float) -> float:
    """Draw a number, a multiple of `step` unless `step` is 0."""
    number = float(rng.uniform(low, high))
    return round(number / step) * step if step else number


def _block(rng: np.random.Generator, days: int, soil: int, area: float) -> list[Draft]:
    """Draft the tasks of one block; links to other tasks are the drafts themselves."""

    def task(role: str, stage: int, follows: Draft | None) -> Draft:
        return {
            "role": role,
            "stage": stage,
            "area": area,
            "soil": soil,
            "follows": follows,
            "lag": int(rng.choice([0, 0, 0, 1, 2, 6])),
            "lag_degrees": 0.0,
            "planting": None,
            "longest_wait": -1,
            "longest_wait_degrees": -1.0,
            "needs_warmth": int(role == "planting" and rng.random() < 0.3),
            "wet_from": days,
            "control": 0.0,
            "earliest": 0 if rng.random() < 0.5 else int(rng.integers(days // 3)),
            "close_day": days,
            "close_as": MISSED,
            "starts_with": None,
        }

    def planted(stage: int, follows: Draft | None) -> list[Draft]:
        planting = task("planting", stage, follows)
        planting["planting"] = planting
        chain = [planting]
        for number in range(int(rng.integers(4))):
            before = planting if rng.random() < 0.4 else chain[-1]
            chain.append(task("after", stage + 1 + number, before))
            chain[-1]["planting"] = planting
            if rng.random() < 0.6:
                chain[-1]["control"] = float(rng.choice([0.5, 0.75, 0.9, 1.0]))
            if rng.random() < 0.6:
                chain[-1]["longest_wait"] = int(rng.integers(0, 16))
            if rng.random() < 0.3:
                chain[-1]["lag_degrees"] = float(rng.integers(0, 60))
            if rng.random() < 0.3:
                chain[-1]["longest_wait_degrees"] = float(rng.integers(0, 160))
            if rng.random() < 0.3:
                chain[-1]["close_day"] = int(rng.integers(days // 3, days))
        return chain

    tillage: list[Draft] = []
    for stage in range(int(rng.integers(3))):
        tillage.append(task("tillage", stage, tillage[-1] if tillage else None))
        if rng.random() < 0.2:
            tillage[-1]["close_day"] = int(rng.integers(days // 4, days))
    bed = tillage[-1] if tillage else None
    crop = planted(2, bed)
    if rng.random() < 0.7:
        crop[0]["close_day"] = int(rng.integers(1, days * 3 // 4))
        crop[0]["close_as"] = int(rng.choice([MISSED, SWITCHED, SWITCHED, PREVENTED]))
    twin: list[Draft] = []
    if crop[0]["close_day"] < days and crop[0]["close_as"] == SWITCHED:
        twin = planted(6, bed)
        twin[0]["starts_with"] = crop[0]
        if rng.random() < 0.6:
            twin[0]["close_day"] = int(rng.integers(crop[0]["close_day"], days))
            twin[0]["close_as"] = int(rng.choice([MISSED, PREVENTED]))
    for draft in tillage:
        if rng.random() < 0.8:
            stopper = (twin or crop)[0]
            if stopper["close_day"] < draft["close_day"]:
                draft["close_day"], draft["close_as"] = stopper["close_day"], stopper["close_as"]
    return [*tillage, *crop, *twin]


def _links(drafts: list[Draft]) -> dict[str, NDArray[Any]]:
    """Turn drafts into the arrays with one entry a task, links into indices of tasks."""
    place = {id(draft): index for index, draft in enumerate(drafts)}
    links = ("follows", "planting", "starts_with")
    numbers = ("soil", "lag", "longest_wait", "needs_warmth", "earliest", "wet_from")
    arrays: dict[str, NDArray[Any]] = {
        name: np.array([place.get(id(d[name]), -1) for d in drafts], dtype=np.int64)
        for name in links
    }
    for name in (*numbers, "close_day", "close_as"):
        arrays[name] = np.array([draft[name] for draft in drafts], dtype=np.int64)
    for name in ("area", "lag_degrees", "longest_wait_degrees", "control"):
        arrays[name] = np.array([draft[name] for draft in drafts], dtype=np.float64)
    return arrays


def random_warmth(
    rng: np.random.Generator, plan: SimpleNamespace
) -> tuple[NDArray[np.float64], int]:
    """Draw growing degrees up to each day, cold spells without any, and the warm day."""
    days = len(plan.operator_hours)
    daily = rng.choice([0.0, 0.0, 4.0, 8.0, 12.5], size=days)
    return daily.cumsum(), int(rng.integers(0, days // 3))


def _machine_arrays(
    rng: np.random.Generator, drafts: list[Draft], step: float
) -> dict[str, NDArray[Any]]:
    """Draw machines, each operation's one or two of them, and tractors strong enough or not."""
    machines, kinds = int(rng.integers(1, 5)), int(rng.integers(0, 4))
    power = rng.choice([0.0, 60.0, 90.0, 130.0], size=machines) if kinds else np.zeros(machines)
    hired = np.full(machines, -1, dtype=np.int64)
    if rng.random() < 1 / 3:
        some = rng.permutation(machines)[: int(rng.integers(1, machines + 1))]
        hired[some] = rng.choice([0, 0, 1, 2, 5], size=len(some))
    return {
        **_slots(rng, drafts, hired, step),
        "units": rng.integers(1, 4, size=machines),
        "power": power,
        "hired": hired,
        "tractors": rng.integers(1, 3, size=kinds),
        "tractor_power": np.sort(rng.choice([60.0, 100.0, 150.0], size=kinds, replace=False)),
    }


def _slots(
    rng: np.random.Generator, drafts: list[Draft], hired: NDArray[np.int64], step: float
) -> dict[str, NDArray[Any]]:
    """Draw which machines do each operation, and what a unit does, takes and burns there."""
    used = {role: rng.permutation(len(hired))[: int(rng.integers(1, 3))] for role in ROLES}
    shape, with_mornings = (len(drafts), 2), rng.random() < 0.4
    machine, capacity = np.full(shape, -1, dtype=np.int64), np.ones(shape)
    setup, morning, fuel, labor = (np.zeros(shape) for _ in range(4))
    for task, draft in enumerate(drafts):
        for slot, index in enumerate(used[draft["role"]]):
            at = task, slot
            machine[at] = index
            capacity[at] = _number(rng, 0.5, 4, step)
            setup[at] = _number(rng, 0.25, 6, step) if rng.random() < 0.5 else 0.0
            if with_mornings and rng.random() < 0.8:
                morning[at] = _number(rng, 0.25, 2, step)
            fuel[at] = _number(rng, 5, 40, step)
            labor[at] = _number(rng, 1, 2, step) if hired[index] < 0 else 0.0
    arrays = {"machine": machine, "capacity": capacity, "setup": setup}
    return {**arrays, "morning": morning, "fuel": fuel, "labor": labor}


def _day_arrays(
    rng: np.random.Generator, drafts: list[Draft], days: int, step: float
) -> dict[str, NDArray[Any]]:
    """Draw hours with days off, and the order of service."""
    tasks = len(drafts)

    def by_day(low: float, high: float) -> NDArray[np.float64]:
        shares = rng.choice([0.5, 0.75, 1.0, 1.0, 1.0], size=days)
        return np.asarray(_number(rng, low, high, step) * shares, dtype=np.float64)

    hours = {role: by_day(6, 14) for role in ROLES}
    day_off = np.arange(days) % 7 == int(rng.integers(14))
    for role in ROLES:
        hours[role][day_off | (rng.random(days) < 0.05)] = 0.0
    order = np.tile(np.arange(tasks), (days, 1))
    for day in range(days):
        if day == 0 or rng.random() < 0.3:
            order[day:] = rng.permutation(tasks)
    return {
        "hours": np.array([hours[draft["role"]] for draft in drafts]),
        "order": order.astype(np.int64),
        "tractor_hours": by_day(8, 16),
        "operator_hours": by_day(6, 12),
    }


def _worth_arrays(
    rng: np.random.Generator, drafts: list[Draft], days: int
) -> dict[str, NDArray[Any]]:
    """Draw what each planting day is worth, and what weeds cost as the crop gets older."""
    names = ("weight", "second_weight", "insured", "drying", "weeds_ahead")
    arrays = {name: np.zeros((len(drafts), days)) for name in names}
    day = np.arange(days)
    for task, draft in enumerate(drafts):
        if draft["role"] == "planting":
            weight = np.linspace(1.0, float(rng.uniform(0.3, 0.9)), days)
            arrays["weight"][task] = weight
            arrays["second_weight"][task] = weight**2 * float(rng.uniform(0.5, 1.0))
            late = np.maximum(day - int(rng.integers(days)), 0)
            arrays["insured"][task] = np.maximum(1 - 0.01 * late, 0.6)
            arrays["drying"][task] = 20 + float(rng.uniform(0, 2)) * day
        if draft["control"] > 0:
            harmless = int(rng.integers(2, days))
            top = float(rng.uniform(0.1, 0.6))
            arrays["weeds_ahead"][task] = top * np.maximum(1 - day / harmless, 0)
    return arrays
