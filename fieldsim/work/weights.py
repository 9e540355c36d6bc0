"""What land counts by the day it is planted, and weeds by the days since."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fieldsim.crops import (
    HarvestMoisture,
    YieldCurve,
    drying_cost,
    insured_share,
    relative_yield,
    weed_loss,
)
from fieldsim.farm import Farm
from fieldsim.work.tasks import Task

__all__ = ["weight_arrays"]

Floats = NDArray[np.float64]


def weight_arrays(farm: Farm, tasks: tuple[Task, ...]) -> dict[str, Floats]:
    """Return the arrays of a plan that weigh the land done on each day.

    Parameters
    ----------
    farm : Farm
    tasks : tuple of Task

    Returns
    -------
    dict of ndarray of float64, shape (task, day)
        `weight`, `second_weight`, `insured` [1], `drying` [$/ha] for tasks that plant, else 0;
        `weeds_ahead` [1], by days since planting, for tasks that weed, else 0.
    """
    by_crop = {crop: _of_crop(farm, crop) for crop in farm.curves}
    names = ("weight", "second_weight", "insured", "drying")
    arrays = {name: np.zeros((len(tasks), farm.season.days)) for name in (*names, "weeds_ahead")}
    for t, task in enumerate(tasks):
        if task.planting == t:
            for name in names:
                arrays[name][t] = by_crop[task.group.crop][name]
        elif farm.operations[task.group.operation][task.group.crop].weed_control > 0:
            arrays["weeds_ahead"][t] = _weeds_ahead(farm, task.group.crop)
    return arrays


def _of_crop(farm: Farm, crop: str) -> dict[str, Floats]:
    """Return what land of a crop counts by its planting day, shape (day,)."""
    part, late, days = farm.crops[crop], farm.late_costs[crop], farm.season.day_of_year
    curve: YieldCurve = farm.curves[crop]
    weight, again = _scaled(relative_yield(curve, days), part.planting_loss), part.replanting
    second = weight
    if again is not None:
        later = relative_yield(curve, days + again.after)
        second = again.yield_kept * _scaled(later, part.planting_loss)
    moisture: HarvestMoisture | None = late.moisture
    return {
        "weight": weight,
        "second_weight": second,
        "insured": np.ones_like(weight)
        if late.insurance is None
        else insured_share(late.insurance, days),
        "drying": np.zeros_like(weight)
        if moisture is None
        else drying_cost(moisture, days, part.yield_ * weight, late.point_cost),
    }


def _scaled(weight: Floats, loss: float) -> Floats:
    """Return relative yields whose losses are `loss` times as large, at most the whole yield."""
    if loss == 1.0:  # the curve itself, to the last bit
        return weight
    scaled: Floats = np.maximum(0.0, 1.0 - loss * (1.0 - weight))
    return scaled


def _weeds_ahead(farm: Farm, crop: str) -> Floats:
    """Return what weeds will still cost on land planted 0, 1, ... days ago, shape (day,)."""
    late = farm.late_costs[crop]
    if late.weeds is None:
        return np.zeros(farm.season.days)
    emerged = np.arange(farm.season.days) - late.emergence
    ahead: Floats = weed_loss(late.weeds, np.inf) - weed_loss(late.weeds, emerged)
    return ahead
