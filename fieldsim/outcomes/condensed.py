"""Outcomes of very many seasons in little memory: a few figures by season, the rest as means."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import xarray as xr
from numpy.typing import NDArray

from fieldsim.farm import Farm
from fieldsim.outcomes.prices import with_equipment_costs

__all__ = ["condense", "finish_dates_of", "over_seasons"]

# What comparisons need season by season; money is kept to seven digits.
KEPT = ("lost_revenue", "labor_cost", "fuel_cost", "hire_cost")
NOT_FINISHED = -1


def condense(farm: Farm, parts: Iterable[xr.Dataset], seasons: int) -> xr.Dataset:
    """Return the outcomes of a run that is worked in parts, without holding them all.

    Parameters
    ----------
    farm : Farm
    parts : iterable of Dataset
        Outcomes of the seasons one part after the other, as `make_outcomes` returns them.
    seasons : int
        Seasons of all parts together.

    Returns
    -------
    Dataset
        As the outcomes, but only lost revenue and the costs of labor, fuel and hired work have each
        season (in single precision), and `finish_day` (days after the first day, -1: not finished)
        takes the place of `finish_date`. The other variables are means over the seasons.
    """
    kept: dict[str, NDArray[np.generic]] = {}
    sums: dict[str, NDArray[np.float64]] = {}
    start, first = 0, None
    for part in parts:
        first = part if first is None else first
        here = slice(start, start + part.sizes["season"])
        for name, values in _by_season(part).items():
            if name not in kept:
                shape = tuple(seasons if d == "season" else n for d, n in values.sizes.items())
                kept[name] = np.empty(shape, values.dtype)
            at = tuple(here if d == "season" else slice(None) for d in values.dims)
            kept[name][at] = values.values
        for key, variable in part.data_vars.items():
            if "season" in variable.dims and key not in (*KEPT, "finish_date"):
                total = variable.sum("season").values
                sums[str(key)] = sums[str(key)] + total if key in sums else total
        start = here.stop
    assert first is not None
    # Equipment is costed at the mean use of all seasons, not of the first.
    return with_equipment_costs(farm, _assembled(first, kept, sums, seasons))


def _by_season(part: xr.Dataset) -> dict[str, xr.DataArray]:
    """Return what is kept of each season, in the types in which it is kept."""
    days = (part.finish_date - np.datetime64(part.attrs["first_day"])).dt.days
    found = {name: part[name].astype(np.float32) for name in KEPT}
    return found | {"finish_day": days.fillna(NOT_FINISHED).astype(np.int16)}


def _assembled(
    first: xr.Dataset,
    kept: dict[str, NDArray[np.generic]],
    sums: dict[str, NDArray[np.float64]],
    seasons: int,
) -> xr.Dataset:
    """Return the Dataset made of the kept seasons, of means, and of what has no seasons."""
    data = {}
    for key, variable in first.data_vars.items():
        name = str(key)
        if name == "finish_date":
            attrs = variable.attrs | {"units": "days after the first day"}
            data["finish_day"] = xr.Variable(variable.dims, kept["finish_day"], attrs)
        elif name in kept:
            data[name] = xr.Variable(variable.dims, kept[name], variable.attrs)
        elif name in sums:
            dims = [dim for dim in variable.dims if dim != "season"]
            data[name] = xr.Variable(dims, sums[name] / seasons, variable.attrs)
        else:
            data[name] = variable.variable
    coords = {name: c for name, c in first.coords.items() if name != "season"}
    whole = xr.Dataset(data, coords | {"season": np.arange(seasons)}, first.attrs)
    return whole.assign_attrs(keep="summary")


def finish_dates_of(
    outcomes: xr.Dataset, option: int, operation: int, crop: int
) -> NDArray[np.datetime64]:
    """Return the finish dates of one option's operation on one crop, whatever was kept.

    Parameters
    ----------
    outcomes : xarray.Dataset
    option, operation, crop : int
        Their places in the outcomes.

    Returns
    -------
    ndarray of datetime64, shape (season,)
        NaT where it was not finished.
    """
    at = {"option": option, "operation": operation, "crop": crop}
    if "finish_date" in outcomes:
        return np.asarray(outcomes.variables["finish_date"].isel(at).values)
    days = outcomes.variables["finish_day"].isel(at).values
    dates = np.datetime64(outcomes.attrs["first_day"], "ns") + days.astype("timedelta64[D]")
    return np.asarray(np.where(days == NOT_FINISHED, np.datetime64("NaT", "ns"), dates))


def over_seasons(variable: xr.Variable) -> xr.Variable:
    """Return the mean over the seasons, of a variable that may be a mean already."""
    return variable.mean("season") if "season" in variable.dims else variable
