"""One worked season, day by day, as a Dataset."""

from __future__ import annotations

import numpy as np
import xarray as xr
from numpy.typing import NDArray

from fieldsim.farm import Farm
from fieldsim.quantities import factor, unit
from fieldsim.work.arrays import DONE, MISSED
from fieldsim.work.progress import Progress
from fieldsim.work.tasks import Task

__all__ = ["make_replay"]


def make_replay(
    farm: Farm,
    tasks: tuple[Task, ...],
    progress: Progress,
    suitable: NDArray[np.float64],
    hands: NDArray[np.float64],
) -> xr.Dataset:
    """Put one worked season, day by day, into a Dataset in the farm's unit system.

    Parameters
    ----------
    farm : Farm
    tasks : tuple of Task
    progress : Progress
        As the kernel left it.
    suitable : ndarray, shape (soil, day)
    hands : ndarray, shape (day,)

    Returns
    -------
    xarray.Dataset
        Dims field, operation, day, soil.
    """
    fields, operations, days = list(farm.fields), list(farm.operations), farm.season.days
    area = {kind: np.zeros((len(fields), len(operations), days)) for kind in (DONE, MISSED)}
    for t, task in enumerate(tasks):
        at = fields.index(task.field), operations.index(task.group.operation)
        start = progress.tasks["begin"][t]
        for segment in progress.segments[t, : progress.tasks["segments"][t]]:
            if segment["kind"] in area and segment["day"] < days:
                area[segment["kind"]][*at, segment["day"]] += segment["end"] - start
            start = segment["end"]
    shown, attrs = factor("area", farm.units), {"units": unit("area", farm.units)}
    dims = ("field", "operation", "day")
    return xr.Dataset(
        {
            "done_area": (dims, area[DONE] * shown, attrs),
            "missed_area": (dims, area[MISSED] * shown, attrs),
            "suitable_share": (("soil", "day"), suitable),
            "hands": ("day", hands),
        },
        {
            "field": fields,
            "operation": operations,
            "soil": list(farm.day_source.soils),
            "day": farm.season.dates.astype("datetime64[ns]"),
            "crop": ("field", [part.crop for part in farm.fields.values()]),
        },
    )
