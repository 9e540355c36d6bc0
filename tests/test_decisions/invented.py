"""Outcomes with numbers of our own, to see what the decisions make of them."""

from __future__ import annotations

import numpy as np
import xarray as xr
from numpy.typing import NDArray

DATES = np.datetime64("2026-05-01", "ns") + np.arange(100).astype("timedelta64[D]")


def outcomes_of(
    lost: dict[str, NDArray[np.float64]],
    *,
    ownership: dict[str, float] | None = None,
    finish: dict[str, NDArray[np.datetime64]] | None = None,
) -> xr.Dataset:
    """One operation, one crop; lost revenue [$] and finish dates by option and season."""
    options = list(lost)
    seasons = len(next(iter(lost.values())))
    dates = dict.fromkeys(options, np.resize(DATES, seasons)) | (finish or {})
    work = ("option", "season", "operation", "crop")
    shape = (len(options), seasons, 1, 1)
    return xr.Dataset(
        {
            "lost_revenue": (
                ("option", "season", "crop"),
                np.array([lost[name] for name in options])[..., None],
                {"units": "$"},
            ),
            "labor_cost": (("option", "season"), np.full((len(options), seasons), 1000.0)),
            "fuel_cost": (("option", "season"), np.full((len(options), seasons), 300.0)),
            "hire_cost": (("option", "season"), np.zeros((len(options), seasons))),
            "repair_cost": ("option", np.full(len(options), 200.0)),
            "ownership_cost": ("option", [(ownership or {}).get(name, 0.0) for name in options]),
            "lost_revenue_by_cause": (
                ("option", "season", "crop", "cause"),
                np.array([lost[name] for name in options])[..., None, None],
            ),
            "machine_hours": (work, np.ones(shape)),
            "finish_date": (work, np.array([dates[name] for name in options])[..., None, None]),
            "plants": (("operation", "crop"), [[True]]),
            "target_date": ("crop", [DATES[24]]),
        },
        {
            "option": options,
            "option_label": ("option", [f"outfit {name}" for name in options]),
            "season": np.arange(seasons),
            "operation": ["plant"],
            "crop": ["corn"],
            "cause": ["planting_date"],
        },
    )
