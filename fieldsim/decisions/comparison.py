"""Every option beside every other, on the same seasons: finish dates, costs, paired differences."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd
import xarray as xr
from numpy.typing import NDArray

from fieldsim.decisions.finishing import finish_columns, target_columns
from fieldsim.decisions.sampling import mean_error, quantile, told_apart, years_error
from fieldsim.errors import InputError, no_such
from fieldsim.outcomes import over_seasons

__all__ = ["compare", "compare_costs", "total_cost"]

# What an option costs beside the revenue it loses.
YEARLY_COSTS = ("ownership_cost", "repair_cost", "labor_cost", "fuel_cost", "hire_cost")
VARYING_COSTS = ("labor_cost", "fuel_cost", "hire_cost")


def total_cost(outcomes: xr.Dataset) -> xr.DataArray:
    """Return ownership, repairs, labor, fuel, hired work and lost revenue of a year together.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.

    Returns
    -------
    xarray.DataArray
        Dims option, season [$].
    """
    lost = outcomes.lost_revenue.sum("crop").transpose("option", "season")
    cost = lost.variable  # of one Dataset, so their options and seasons need no lining up
    for name in YEARLY_COSTS:
        cost = cost + outcomes.variables[name]
    attrs = {"long_name": "total cost", "units": outcomes.lost_revenue.attrs["units"]}
    return xr.DataArray(cost.values, lost.coords, lost.dims, "total_cost", attrs)


def compare(outcomes: xr.Dataset, baseline: str | None = None) -> pd.DataFrame:
    """Compare all options with a baseline, season by season.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.
    baseline : str, optional
        Name of an option; default: the first.

    Returns
    -------
    pandas.DataFrame
        A row for each option, in money of a year:

        - ``ownership_cost``, ``repair_cost``, and the means ``labor_cost``, ``fuel_cost``,
          ``hire_cost`` and ``lost_revenue`` with their standard errors in ``..._error``;
        - ``lost_CAUSE`` for each cause of lost revenue (mean); they add up to ``lost_revenue``;
        - ``lost_revenue_1_in_10`` (exceeded in 1 season of 10) with the ends of its 95 % band in
          ``..._from`` and ``..._to`` (-inf, inf: not to be told by so few seasons), and
          ``lost_revenue_worst``;
        - ``total_cost`` (mean of all costs and the loss together) and ``total_cost_1_in_10``, with
          its band;
        - ``difference`` of total cost from the baseline's (mean over seasons, below 0: cheaper),
          ``difference_error``, ``seasons_won`` (share in which it is cheaper) and
          ``cannot_tell_apart`` (the difference lies inside its Monte Carlo error);
        - with replicates (see `simulate`): ``lost_revenue_years_error``,
          ``total_cost_years_error`` and ``difference_years_error``, what the few years behind the
          day source leave unsure of each mean (nan: cannot be seen, see `years_error`), and
          ``cannot_tell_with_these_years`` (the difference lies inside both errors together);
        - for each crop ``CROP_on_target``, the share of seasons in which it is planted by its
          target date, and its error;
        - for each operation and crop ``OPERATION_CROP_early``, ``_median``, ``_late``,
          ``_late_from`` and ``_late_to``: see `finish_dates`.

        ``attrs`` holds the baseline, the number of seasons and the unit of money.

    Raises
    ------
    InputError
        If there is no such option.

    Examples
    --------
    >>> import fieldsim
    >>> table = compare(fieldsim.simulate(fieldsim.demo_farm(), seasons=200), baseline="six_rows")
    >>> bool(table.difference["four_rows"] > 0)  # the smaller planter costs more in a year
    True
    """
    costs = compare_costs(outcomes, baseline)
    parts = [costs, pd.DataFrame(target_columns(outcomes), costs.index)]
    if "replicate" in outcomes.coords:
        base = list(costs.index).index(costs.attrs["baseline"])
        rows = [_years(outcomes, place, base) for place in range(len(costs))]
        parts.append(pd.DataFrame(rows, costs.index))
    parts.append(pd.DataFrame(finish_columns(outcomes), costs.index))
    table = pd.concat(parts, axis=1)
    table.attrs = costs.attrs
    return table


def compare_costs(outcomes: xr.Dataset, baseline: str | None = None) -> pd.DataFrame:
    """Compare the money of all options, as `compare` does, without dates and targets.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.
    baseline : str, optional
        Name of an option; default: the first.

    Returns
    -------
    pandas.DataFrame
        The columns of `compare` from ``label`` to ``cannot_tell_apart``, and its ``attrs``.

    Raises
    ------
    InputError
        If there is no such option.

    Examples
    --------
    >>> import fieldsim
    >>> outcomes = fieldsim.simulate(fieldsim.demo_farm(), seasons=50)
    >>> costs = compare_costs(outcomes)
    >>> costs.equals(compare(outcomes)[list(costs)])
    True
    """
    options = [str(name) for name in outcomes.option.values]
    if baseline is None:
        baseline = options[0]
    if baseline not in options:
        raise InputError([no_such("option", "baseline", baseline, options)])
    cost, base = total_cost(outcomes).values, options.index(baseline)
    rows = [
        _costs(outcomes, place, cost[place])
        | _paired(cost[place], cost[base], is_baseline=place == base)
        for place in range(len(options))
    ]
    table = pd.DataFrame(rows, index=pd.Index(options, name="option"))
    table.attrs = {
        "baseline": baseline,
        "seasons": outcomes.sizes["season"],
        "units": outcomes.lost_revenue.attrs["units"],
    }
    return table


def _costs(outcomes: xr.Dataset, place: int, cost: NDArray[Any]) -> dict[str, Any]:
    """Return the money of the option at a place; `cost` is its total, shape (season,)."""

    def of(name: str) -> xr.Variable:
        return outcomes.variables[name].isel(option=place)

    lost = of("lost_revenue").sum("crop").values
    bad, bad_cost = quantile(lost, 0.9), quantile(cost, 0.9)
    varying = {name: of(name).values for name in VARYING_COSTS}
    by_cause = over_seasons(of("lost_revenue_by_cause").sum("crop")).values
    causes = zip(outcomes.cause.values, by_cause, strict=True)
    return {
        "label": str(of("option_label").values),
        "ownership_cost": float(of("ownership_cost")),
        "repair_cost": float(of("repair_cost")),
        **{name: float(values.mean()) for name, values in varying.items()},
        **{f"{name}_error": mean_error(values) for name, values in varying.items()},
        **{f"lost_{cause}": float(mean) for cause, mean in causes},
        "lost_revenue": float(lost.mean()),
        "lost_revenue_error": mean_error(lost),
        "lost_revenue_1_in_10": float(bad.value),
        "lost_revenue_1_in_10_from": float(bad.low),
        "lost_revenue_1_in_10_to": float(bad.high),
        "lost_revenue_worst": float(lost.max()),
        "total_cost": float(cost.mean()),
        "total_cost_error": mean_error(cost),
        "total_cost_1_in_10": float(bad_cost.value),
        "total_cost_1_in_10_from": float(bad_cost.low),
        "total_cost_1_in_10_to": float(bad_cost.high),
    }


def _paired(cost: NDArray[Any], base: NDArray[Any], *, is_baseline: bool) -> dict[str, Any]:
    paired = cost - base
    difference, error = float(paired.mean()), mean_error(paired)
    return {
        "difference": difference,
        "difference_error": error,
        "seasons_won": float((paired < 0).mean()),
        "cannot_tell_apart": not is_baseline and not told_apart(difference, error),
    }


def _years(outcomes: xr.Dataset, place: int, base: int) -> dict[str, Any]:
    """Say of the option at a place what the few years behind the day source leave unsure."""
    replicate = outcomes.replicate.values
    lost = outcomes.variables["lost_revenue"].isel(option=place).sum("crop").values
    costs = total_cost(outcomes).values
    paired = costs[place] - costs[base]
    error = years_error(paired, replicate)
    both = math.hypot(0.0 if math.isnan(error) else error, mean_error(paired))
    return {
        "lost_revenue_years_error": years_error(lost, replicate),
        "total_cost_years_error": years_error(costs[place], replicate),
        "difference_years_error": error,
        "cannot_tell_with_these_years": bool(paired.any())
        and not told_apart(float(paired.mean()), both),
    }
