"""What every option costs as a figure of the farm moves, and where the options' costs cross."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

import numpy as np
import pandas as pd
import xarray as xr
from numpy.typing import NDArray

from fieldsim.decisions.comparison import total_cost
from fieldsim.decisions.sampling import mean_error
from fieldsim.decisions.studied_figures import (
    StudiedFigure,
    at_factor,
    figure_axis,
    same_seasons,
    studied,
)
from fieldsim.draws import draw_seasons
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm
from fieldsim.quantities import factor, unit
from fieldsim.simulation import simulate

__all__ = ["cost_curve", "curve_crossings"]

FACTORS = tuple(float(number) for number in np.geomspace(0.4, 2.5, 15))


def cost_curve(
    farm: Farm,
    path: str | StudiedFigure,
    factors: Sequence[float] = FACTORS,
    *,
    seasons: int = 1000,
    seed: int = 0,
) -> xr.Dataset:
    """Return what each option costs in a year, with a figure multiplied by factors.

    Parameters
    ----------
    farm : Farm
    path : str or StudiedFigure
        See `breakeven`.
    factors : sequence of float
        Rising, two or more.
    seasons, seed : int
        Every option meets the same seasons at every factor.

    Returns
    -------
    xarray.Dataset
        Dims option and factor: `total_cost` and `cost_per_area`, each with its standard error in
        ``..._error``; along factor `value`, the figure itself, and `area`, the farm's land.
        ``attrs``: `figure` and `figure_units` for an axis, `value_now`.

    Raises
    ------
    InputError
        If there is no such figure, factors are not rising, or the farm is not sound with one.

    Examples
    --------
    >>> import fieldsim
    >>> curve = cost_curve(fieldsim.demo_farm(), "area", [0.5, 1, 2], seasons=20)
    >>> curve.value.values.round()
    array([ 451.,  902., 1804.])
    """
    figure = path if isinstance(path, StudiedFigure) else studied(farm, path)
    _check(factors, seasons)
    drawn, same = draw_seasons(farm, seasons, seed), same_seasons(figure.paths)
    costs, areas = [], []
    for number in factors:
        other = at_factor(farm, figure.paths, number)
        draws = drawn if same else draw_seasons(other, seasons, seed)
        costs.append(total_cost(simulate(other, seasons, seed, draws=draws)))
        areas.append(math.fsum(field.area for field in other.fields.values()))
    mean = np.array([cost.values.mean(axis=1) for cost in costs]).T
    error = np.array([[mean_error(values) for values in cost.values] for cost in costs]).T
    area = np.array(areas) * factor("area", farm.units)
    axis = [figure_axis(farm, figure.paths, number) for number in factors]
    now, units = figure_axis(farm, figure.paths, 1.0)
    money, land = costs[0].attrs["units"], unit("area", farm.units)
    data = {
        "total_cost": (("option", "factor"), mean, {"units": money}),
        "total_cost_error": (("option", "factor"), error, {"units": money}),
        "cost_per_area": (("option", "factor"), mean / area, {"units": f"{money}/{land}"}),
        "cost_per_area_error": (("option", "factor"), error / area, {"units": f"{money}/{land}"}),
    }
    coords = {
        "option": costs[0].option.values,
        "option_label": ("option", costs[0].option_label.values),
        "factor": np.array(factors, dtype=np.float64),
        "value": ("factor", np.array([number for number, _ in axis]), {"units": units}),
        "area": ("factor", area, {"units": land}),
    }
    attrs = {
        "figure": figure.name,
        "figure_units": units,
        "value_now": now,
        "seasons": seasons,
        "seed": seed,
        "farm": farm.name,
    }
    return xr.Dataset(data, coords, attrs)


def curve_crossings(curve: xr.Dataset) -> pd.DataFrame:
    """Return where the costs of two options cross, between the factors of a curve.

    Parameters
    ----------
    curve : xarray.Dataset
        From `cost_curve`.

    Returns
    -------
    pandas.DataFrame
        A row for each crossing: `option`, `against`, `factor`, `value`, `cost_per_area`, and
        `least`, whether no third option costs less there. The difference is interpolated between
        the factors by a cubic that does not overshoot; `breakeven` runs the seasons there instead.

    Examples
    --------
    >>> import fieldsim
    >>> curve = cost_curve(fieldsim.demo_farm(), "area", [0.2, 0.4, 0.8, 1.6], seasons=20)
    >>> crossings = curve_crossings(curve).set_index(["option", "against"])
    >>> bool(0.2 < crossings.factor["six_rows", "eight_rows"] < 0.8)
    True
    """
    from scipy.interpolate import PchipInterpolator

    at = curve.factor.values
    costs = {str(name): curve.total_cost.sel(option=name).values for name in curve.option.values}
    columns = ["option", "against", "factor", "value", "cost_per_area", "least"]
    rows = []
    for option, against in combinations(costs, 2):
        difference = costs[option] - costs[against]
        if not difference.any():
            continue
        for root in PchipInterpolator(at, difference).roots(extrapolate=False):
            here = {name: float(PchipInterpolator(at, cost)(root)) for name, cost in costs.items()}
            between = _between(at, root)
            rows.append(
                {
                    "option": option,
                    "against": against,
                    "factor": float(root),
                    "value": float(between @ curve.value.values),
                    "cost_per_area": here[option] / float(between @ curve.area.values),
                    "least": min(here.values()) >= min(here[option], here[against]),
                }
            )
    return pd.DataFrame(rows, columns=columns).sort_values("factor", ignore_index=True)


def _between(at: NDArray[np.float64], place: float) -> NDArray[np.float64]:
    """Return the shares that the two factors beside a place have in it, shape (factor,)."""
    return np.array([np.interp(place, at, row) for row in np.eye(len(at))])


def _check(factors: Sequence[float], seasons: int) -> None:
    faults = []
    if len(factors) < 2 or factors[0] < 0 or not (np.diff(factors) > 0).all():
        problem = "two or more rising numbers of at least 0 are allowed"
        faults.append(Fault("", "factors", str(list(factors)), problem, "write [0.5, 1, 2]"))
    if seasons < 2:
        problem = "a whole number of at least 2 is allowed"
        faults.append(Fault("", "seasons", str(seasons), problem, "write 1000"))
    if faults:
        raise InputError(faults)
