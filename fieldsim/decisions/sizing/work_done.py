"""An option's work on one operation: its machines, their capacity, and when it is finished."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fieldsim.decisions.sizing.window_hours import day_index
from fieldsim.draws import Draws
from fieldsim.errors import Fault, InputError, no_such
from fieldsim.farm import Farm
from fieldsim.farm.pulling import working_speed
from fieldsim.simulation import simulate
from fieldsim.work.slots import slot_arrays
from fieldsim.work.tasks import tasks_of

__all__ = ["Scale", "check_work", "finished", "resized", "work_capacity"]

Scale = Literal["width", "speed"]


def resized(
    farm: Farm, option: str, operation: str, size: float, scale: Scale = "width"
) -> dict[str, object]:
    """Return the changes that make an option's machines for an operation larger.

    Parameters
    ----------
    farm : Farm
    option, operation : str
    size : float
        Times the width or speed that is there.
    scale : "width" or "speed"

    Returns
    -------
    dict
        For `changed`: by path, the new figure. A machine with rows gets wider rows, so that the
        width needs be no whole number of them.

    Examples
    --------
    >>> import fieldsim
    >>> resized(fieldsim.demo_farm(), "six_rows", "plant", 2.0)
    {'machines.planter_6_rows.row_spacing': '1.524 m'}
    """
    changes: dict[str, object] = {}
    for name in _machines(farm, option, operation):
        machine = farm.machines[name]
        if scale == "speed":
            changes[f"machines.{name}.speed"] = f"{working_speed(machine) * size!r} km/h"
        elif machine.width is not None:
            changes[f"machines.{name}.width"] = f"{machine.width * size!r} m"
        else:
            assert machine.row_spacing is not None
            changes[f"machines.{name}.row_spacing"] = f"{machine.row_spacing * size!r} m"
    return changes


def work_capacity(farm: Farm, option: str, operation: str, crop: str | None = None) -> float:
    """Return the field capacity of all of an option's machines for an operation together.

    Parameters
    ----------
    farm : Farm
    option, operation : str
    crop : str, optional
        Default: every crop on which the operation is done.

    Returns
    -------
    float
        The land of all fields over the hours that it takes [ha/h].
    """
    tasks = tasks_of(farm)
    slots = slot_arrays(farm, tasks, option)
    units = np.array(list(farm.options[option].machines.values()))
    together = np.where(slots["machine"] < 0, 0, slots["capacity"] * units[slots["machine"]])
    worked = [
        (farm.fields[task.field].area, together[t].sum())
        for t, task in enumerate(tasks)
        if task.group.operation == operation
        and crop in (None, task.group.crop)
        and not task.group.instead_of
    ]
    area, capacity = np.array(worked).T
    return float(area.sum() / (area / capacity).sum())


def finished(
    farm: Farm, option: str, operation: str, by: str, crop: str | None, draws: Draws, seed: int
) -> NDArray[np.bool_]:
    """Say of each season whether an option has finished an operation by a date, shape (season,)."""
    outcomes = simulate(
        replace(farm, options={option: farm.options[option]}),
        len(draws.suitable),
        seed,
        draws=draws,
    )
    crops = [crop] if crop else _crops(farm, operation)
    dates = outcomes.finish_date.sel(option=option, operation=operation, crop=crops)
    last = np.datetime64(farm.season.date(day_index(farm.season, by, "by", [])), "ns")
    done: NDArray[np.bool_] = (dates.values <= last).all(axis=1)
    return done


def check_work(farm: Farm, option: str, operation: str, by: str, crop: str | None) -> None:
    """Raise unless a farm has the option, the operation and the crop, and the day is in its season.

    Raises
    ------
    InputError
        With every fault.
    """
    faults: list[Fault] = []
    known = {"option": list(farm.options), "operation": list(farm.operations)}
    for name, value in (("option", option), ("operation", operation)):
        if value not in known[name]:
            faults.append(no_such(name, name, value, known[name]))
    if operation in farm.operations:
        crops = _crops(farm, operation)
        if crop is not None and crop not in crops:
            repair = f"write one of {', '.join(crops)}"
            faults.append(Fault("", "crop", crop, f"{operation} is not done on it", repair))
    day_index(farm.season, by, "by", faults)
    if faults:
        raise InputError(faults)


def _crops(farm: Farm, operation: str) -> list[str]:
    return [crop for crop in farm.grown_crops if crop in farm.operations[operation]]


def _machines(farm: Farm, option: str, operation: str) -> list[str]:
    names = farm.options[option].machines
    return [name for name in names if operation in farm.machines[name].operations]
