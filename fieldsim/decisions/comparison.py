"""Every option beside every other, on the same seasons: finish dates, costs, paired differences."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pandas as pd
import xarray as xr

from fieldsim.decisions.sampling import (
    mean_error,
    quantile,
    share_error,
    told_apart,
    years_error,
)
from fieldsim.errors import Fault, InputError
from fieldsim.outcomes import finish_dates_of, over_seasons

__all__ = ["compare", "compare_costs", "finish_dates", "total_cost"]

# What an option costs beside the revenue it loses.
YEARLY_COSTS = ("ownership_cost", "repair_cost", "labor_cost", "fuel_cost", "hire_cost")
SHARES = {"early": 0.1, "median": 0.5, "late": 0.9}
LATE_BAND = ("late_from", "late_to")


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


def finish_dates(outcomes: xr.Dataset) -> pd.DataFrame:
    """Return when each operation is finished on each crop, by option.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.

    Returns
    -------
    pandas.DataFrame
        A row for each option, operation and crop. `early`, `median`, `late`: the date by which 1,
        5 and 9 seasons in 10 are finished (NaT: not within the season); `late_from`, `late_to`:
        the 95 % Monte Carlo band of `late` (NaT: later, or not to be told by so few seasons);
        `finished`: share of seasons in which all land was
        done, and `finished_error`, its standard error.

    Examples
    --------
    >>> import fieldsim
    >>> table = finish_dates(fieldsim.simulate(fieldsim.demo_farm(), seasons=50))
    >>> " ".join(table[["option", "operation", "crop"]].iloc[0])
    'four_rows till corn'
    """
    rows = []
    seasons = outcomes.sizes["season"]
    worked = over_seasons(outcomes.machine_hours) > 0
    for option in outcomes.option.values:
        for operation in outcomes.operation.values:
            for crop in outcomes.crop.values:
                at = {"option": option, "operation": operation, "crop": crop}
                if not worked.sel(at):
                    continue
                dates = finish_dates_of(outcomes, option, operation, crop)
                finished = 1 - float(np.isnat(dates).mean())
                found = {name: quantile(dates, share) for name, share in SHARES.items()}
                rows.append(
                    at
                    | {name: pd.Timestamp(q.value) for name, q in found.items()}
                    | {
                        "late_from": pd.Timestamp(found["late"].low),
                        "late_to": pd.Timestamp(found["late"].high),
                        "finished": finished,
                        "finished_error": share_error(finished, seasons),
                    }
                )
    table = pd.DataFrame(rows)
    columns = [*SHARES, *LATE_BAND]
    return table.astype(dict.fromkeys(columns, "datetime64[ns]"))  # also where none is finished


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
    own = {option: _on_target(outcomes, option) for option in costs.index}
    if "replicate" in outcomes.coords:
        own = {
            option: found | _years(outcomes, option, costs.attrs["baseline"])
            for option, found in own.items()
        }
    table = costs.join(pd.DataFrame.from_dict(own, orient="index"))
    table = table.join(_finish_columns(outcomes))
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
        repair = f"options are {', '.join(options)}"
        raise InputError([Fault("", "baseline", repr(baseline), "there is no such option", repair)])
    cost = dict(zip(options, total_cost(outcomes).values, strict=True))
    rows = {
        option: _costs(outcomes, option, cost[option])
        | _paired(cost[option], cost[baseline], is_baseline=option == baseline)
        for option in options
    }
    table = pd.DataFrame.from_dict(rows, orient="index").rename_axis("option")
    table.attrs = {
        "baseline": baseline,
        "seasons": outcomes.sizes["season"],
        "units": outcomes.lost_revenue.attrs["units"],
    }
    return table


def _costs(outcomes: xr.Dataset, option: str, cost: np.ndarray[Any, Any]) -> dict[str, Any]:
    at = outcomes.sel(option=option)
    lost = at.lost_revenue.sum("crop").values
    bad, bad_cost = quantile(lost, 0.9), quantile(cost, 0.9)
    varying = {name: at[name].values for name in ("labor_cost", "fuel_cost", "hire_cost")}
    by_cause = over_seasons(at.lost_revenue_by_cause.sum("crop"))
    return {
        "label": str(at.option_label.item()),
        "ownership_cost": float(at.ownership_cost),
        "repair_cost": float(at.repair_cost),
        **{name: float(values.mean()) for name, values in varying.items()},
        **{f"{name}_error": mean_error(values) for name, values in varying.items()},
        **{f"lost_{cause}": float(by_cause.sel(cause=cause)) for cause in by_cause.cause.values},
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


def _paired(
    cost: np.ndarray[Any, Any], base: np.ndarray[Any, Any], *, is_baseline: bool
) -> dict[str, Any]:
    paired = cost - base
    difference, error = float(paired.mean()), mean_error(paired)
    return {
        "difference": difference,
        "difference_error": error,
        "seasons_won": float((paired < 0).mean()),
        "cannot_tell_apart": not is_baseline and not told_apart(difference, error),
    }


def _years(outcomes: xr.Dataset, option: str, baseline: str) -> dict[str, Any]:
    lost = outcomes.lost_revenue.sum("crop").sel(option=option).values
    costs, replicate = total_cost(outcomes), outcomes.replicate.values
    cost = costs.sel(option=option).values
    paired = cost - costs.sel(option=baseline).values
    error = years_error(paired, replicate)
    both = math.hypot(0.0 if math.isnan(error) else error, mean_error(paired))
    return {
        "lost_revenue_years_error": years_error(lost, replicate),
        "total_cost_years_error": years_error(cost, replicate),
        "difference_years_error": error,
        "cannot_tell_with_these_years": bool(paired.any())
        and not told_apart(float(paired.mean()), both),
    }


def _on_target(outcomes: xr.Dataset, option: str) -> dict[str, float]:
    shares = {}
    for crop in outcomes.crop.values:
        at = outcomes.sel(option=option, crop=crop)
        planting = at.operation.values[at.plants.values]
        if len(planting) == 0:
            continue
        dates = finish_dates_of(outcomes, option, planting[0], crop)
        share = float((dates <= at.target_date.values).mean())
        shares[f"{crop}_on_target"] = share
        shares[f"{crop}_on_target_error"] = share_error(share, outcomes.sizes["season"])
    return shares


def _finish_columns(outcomes: xr.Dataset) -> pd.DataFrame:
    columns: dict[str, dict[str, Any]] = {}
    for row in finish_dates(outcomes).to_dict("records"):
        for name in (*SHARES, *LATE_BAND):
            column = f"{row['operation']}_{row['crop']}_{name}"
            columns.setdefault(column, {})[row["option"]] = row[name]
    return pd.DataFrame(columns)
