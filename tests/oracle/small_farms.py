"""Farms small enough to work by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np

from .work_rules import SeasonResult, run_season

__all__ = ["MISSED", "PREVENTED", "SWITCHED", "farm", "run"]

MISSED, SWITCHED, PREVENTED = 1, 2, 3
BY_SLOT = {"capacity": 1.0, "setup": 0.0, "morning": 0.0, "fuel": 0.0, "labor": 1.0}
BY_DAY = ("weight", "second_weight", "insured", "drying", "weeds_ahead")


def farm(days: int, *tasks: dict[str, Any], **changes: Any) -> SimpleNamespace:
    """A plan of tasks that each work 10 ha at 1 ha/h, 10 h a day, with a machine of their own."""
    usual: dict[str, Any] = {"area": 10.0, "soil": 0, "follows": -1, "lag": 0, "planting": -1}
    usual |= {"lag_degrees": 0.0, "longest_wait_degrees": -1.0, "needs_warmth": 0}
    usual |= {"longest_wait": -1, "earliest": 0, "close_day": days, "close_as": MISSED}
    usual |= {"starts_with": -1, "wet_from": days, "control": 0.0, "hours": [10.0] * days}
    usual |= {name: [0.0] * days for name in BY_DAY}
    rows = [{**usual, "machine": (number,), **task} for number, task in enumerate(tasks)]
    for row in rows:
        for name, value in BY_SLOT.items():
            row.setdefault(name, (value,) * len(row["machine"]))
    machines = 1 + max(max(row["machine"]) for row in rows)
    plan: dict[str, Any] = {name: np.array([row[name] for row in rows]) for name in rows[0]}
    plan |= {"order": [range(len(tasks))] * days, "units": [1] * machines, "power": [0] * machines}
    plan |= {"hired": [-1] * machines, "tractors": [], "tractor_power": []}
    plan |= {"tractor_hours": [10.0] * days, "operator_hours": [10.0] * days, "wet_share": 0.0}
    return SimpleNamespace(**{name: np.array(value) for name, value in (plan | changes).items()})


def run(plan: SimpleNamespace, *, suitable: Any = None, operators: Any = 9) -> SeasonResult:
    """Work a plan with every day suitable and hands enough, unless said otherwise."""
    days = len(plan.operator_hours)
    shares = np.ones((1, days)) if suitable is None else np.array(suitable)
    return run_season(plan, shares, np.broadcast_to(np.array(operators, dtype=float), days))
