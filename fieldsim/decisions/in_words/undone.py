"""Work that hardly ever gets done: often a slip in the farm file, and no lack of machines."""

from __future__ import annotations

import numpy as np
import xarray as xr

from fieldsim.decisions.comparison import total_cost
from fieldsim.decisions.machine_cautions import plain
from fieldsim.decisions.sampling import Z, mean_error
from fieldsim.farm.names import listed

__all__ = ["hardly_done"]

HARDLY = 0.5  # of an operation's land that is left without it; common practice, no source


def hardly_done(outcomes: xr.Dataset) -> list[str]:
    """Say so where the option of least mean cost leaves more than half of an operation undone.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.

    Returns
    -------
    list of str
        One sentence and what to look at; none where more is done, and none of planting, of which
        dates and lost revenue tell.

    Examples
    --------
    >>> import fieldsim
    >>> hardly_done(fieldsim.simulate(fieldsim.demo_farm(), 100))
    []
    """
    cost = total_cost(outcomes)
    best = outcomes.isel(option=int(cost.mean("season").values.argmin()))
    found = []
    for operation in map(str, best.operation.values):
        of_work = best.sel(operation=operation)
        undone = (of_work.missed_area + of_work.unfinished_area).sum("crop").values
        land = undone + of_work.done_area.sum("crop").values
        if bool(of_work.plants.any()) or undone.sum() <= HARDLY * land.sum():
            continue
        share = 100 * undone / np.where(land > 0, land, 1.0)
        band = "" if share.size == 1 else f" ± {max(Z * mean_error(share), 1.0):.0f}"
        found.append(f"{plain(operation)} ({share.mean():.0f} %{band} of its land)")
    if not found:
        return []
    return [
        f"With {best.option_label.item()}, most land is left without {listed(found)} in an average "
        "year: its time or the season runs out. If you did not expect that, look at lag, "
        "latest_after_planting, hours and machines of that work in the farm file."
    ]
