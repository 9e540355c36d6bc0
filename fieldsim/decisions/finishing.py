"""When each option finishes its operations, over the seasons, and whether planting is in time."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import xarray as xr
from numpy.typing import NDArray

from fieldsim.decisions.sampling import quantiles, share_error
from fieldsim.outcomes import finish_dates_of, over_seasons

__all__ = ["finish_columns", "finish_dates", "target_columns"]

WORK = ("option", "operation", "crop")
SHARES = {"early": 0.1, "median": 0.5, "late": 0.9}
DATES = (*SHARES, "late_from", "late_to")

Columns = dict[str, NDArray[Any]]


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
    places, found = _finished(outcomes)
    names = {dim: outcomes[dim].values[at] for dim, at in zip(WORK, places.T, strict=True)}
    return pd.DataFrame(names | found)


def finish_columns(outcomes: xr.Dataset) -> Columns:
    """Return the dates of `finish_dates` as columns of `compare`, shape (option,) each."""
    operations, crops = outcomes.operation.values, outcomes.crop.values
    empty = np.full(outcomes.sizes["option"], "NaT", "datetime64[ns]")
    columns: Columns = {}
    places, found = _finished(outcomes)
    for row, (option, operation, crop) in enumerate(places):
        for name in DATES:
            column = f"{operations[operation]}_{crops[crop]}_{name}"
            columns.setdefault(column, empty.copy())[option] = found[name][row]
    return columns


def target_columns(outcomes: xr.Dataset) -> Columns:
    """Return the share of seasons in which each crop is planted by its target, and its error.

    Columns of `compare`, shape (option,) each.
    """
    plants = outcomes.plants.transpose("crop", "operation").values
    options, seasons = range(outcomes.sizes["option"]), outcomes.sizes["season"]
    columns: Columns = {}
    for crop, (name, target) in enumerate(
        zip(outcomes.crop.values, outcomes.target_date.values, strict=True)
    ):
        if not plants[crop].any():
            continue
        dates = [finish_dates_of(outcomes, o, int(plants[crop].argmax()), crop) for o in options]
        shares = [float((of_option <= target).mean()) for of_option in dates]
        errors = [share_error(share, seasons) for share in shares]
        columns[f"{name}_on_target"] = np.array(shares)
        columns[f"{name}_on_target_error"] = np.array(errors)
    return columns


def _finished(outcomes: xr.Dataset) -> tuple[NDArray[np.intp], Columns]:
    """Return the places of what is worked along the axes of `WORK`, and its columns, by row."""
    worked = over_seasons(outcomes.variables["machine_hours"]).transpose(*WORK).values > 0
    places, seasons = np.argwhere(worked), outcomes.sizes["season"]
    columns: Columns = {name: np.empty(len(places), "datetime64[ns]") for name in DATES}
    finished = np.empty(len(places))
    for row, place in enumerate(places):
        dates = finish_dates_of(outcomes, *place)
        finished[row] = 1 - np.isnat(dates).mean()
        found = dict(zip(SHARES, quantiles(dates, tuple(SHARES.values())), strict=True))
        for name, of in found.items():
            columns[name][row] = of.value
        columns["late_from"][row], columns["late_to"][row] = found["late"].low, found["late"].high
    errors = [share_error(share, seasons) for share in finished]
    return places, columns | {"finished": finished, "finished_error": np.array(errors)}
