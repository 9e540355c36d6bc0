"""Certainty against capacity, and how hours a day, operators and the first day move it."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from typing import Unpack

import numpy as np
import pandas as pd

from fieldsim.days import DaySource
from fieldsim.decisions.sampling import share_error
from fieldsim.decisions.sizing.by_days import CERTAINTY, needed_capacity
from fieldsim.decisions.sizing.window_hours import Drawn
from fieldsim.decisions.sizing.work_done import Scale, check_work, finished, resized, work_capacity
from fieldsim.decisions.studied_figures import same_seasons
from fieldsim.draws import draw_seasons
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm, changed
from fieldsim.quantities import UnitSystem, factor, unit

__all__ = ["capacity_tradeoff", "certainty_curves"]

SIZES = tuple(float(size) for size in np.geomspace(0.4, 3.2, 10))  # times what is there
AS_IT_IS: Mapping[str, Mapping[str, object]] = {"as it is": {}}


def capacity_tradeoff(
    days: Farm | DaySource,
    area: str,
    first: str | Sequence[str],
    last: str,
    hours_per_day: str | Sequence[str],
    certainty: Sequence[float] = CERTAINTY,
    *,
    outfits: int | Sequence[int] = 1,
    units: UnitSystem | None = None,
    **drawn: Unpack[Drawn],
) -> pd.DataFrame:
    """Return how the capacity needed moves with hours a day, outfits and the first day.

    Parameters
    ----------
    days, area, last, certainty, units, **drawn
        See `needed_capacity`.
    first, hours_per_day, outfits
        As there, one or several of each: all combinations are taken, on the same seasons. An
        outfit takes an operator.

    Returns
    -------
    pandas.DataFrame
        The rows of `needed_capacity` for each combination, with `first`, `hours_per_day` and
        `outfits`, and `label`, which names what differs.

    Raises
    ------
    InputError
        As `needed_capacity`.

    Examples
    --------
    >>> import fieldsim
    >>> table = capacity_tradeoff(fieldsim.demo_farm(), "462 acre", "18 Apr", "10 May",
    ...     ["10 h", "12 h"], [0.9], seasons=500)
    >>> table.label.tolist()
    ['10 h a day', '12 h a day']
    """
    firsts = [first] if isinstance(first, str) else list(first)
    hours = [hours_per_day] if isinstance(hours_per_day, str) else list(hours_per_day)
    teams = [outfits] if isinstance(outfits, int) else list(outfits)
    tables = []
    for start, day, count in itertools.product(firsts, hours, teams):
        words = [f"{day} a day"] if len(hours) > 1 else []
        words += [f"{count} outfit{'s' * (count != 1)}"] if len(teams) > 1 else []
        words += [f"from {start}"] if len(firsts) > 1 else []
        table = needed_capacity(
            days, area, start, last, day, certainty, outfits=count, units=units, **drawn
        )
        label = ", ".join(words) or f"{day} a day"
        tables.append(table.assign(label=label, first=start, hours_per_day=day, outfits=count))
    joined = pd.concat(tables, ignore_index=True)
    joined.attrs = tables[0].attrs | {"capacity_of": "each outfit"}
    return joined


def certainty_curves(
    farm: Farm,
    option: str,
    operation: str,
    by: str,
    crop: str | None = None,
    sizes: Sequence[float] = SIZES,
    *,
    changes: Mapping[str, Mapping[str, object]] = AS_IT_IS,
    scale: Scale = "width",
    seasons: int = 2000,
    seed: int = 0,
) -> pd.DataFrame:
    """Return the share of seasons in which an option finishes by a date, by the size of a machine.

    Parameters
    ----------
    farm, option, operation, by, crop, scale, seasons, seed
        See `sized_capacity`.
    sizes : sequence of float
        Times the width or speed that is there; what is there, 1, is always among them.
    changes : mapping
        A curve for each: its label, and the figures of the farm that are other than in its file,
        as for `changed`.

    Returns
    -------
    pandas.DataFrame
        A row for each label and size: `label`, `factor`, `capacity` of all the machines together,
        `certainty` (the share of seasons) and `certainty_error`. ``attrs``: `units`, and
        `capacity_of`, whose capacity it is. Sizes that the farm does not allow are left out.

    Raises
    ------
    InputError
        With every fault of the arguments, or if the farm is not sound with a change.

    Examples
    --------
    >>> import fieldsim
    >>> longer = {"crew.hours_per_day": "13 h", "operations.plant.hours_per_day": "13 h"}
    >>> curves = certainty_curves(fieldsim.demo_farm(), "six_rows", "plant", "10 May", "corn", [1],
    ...     changes={"as it is": {}, "13 h a day": longer}, seasons=100)
    >>> bool(curves.certainty[1] >= curves.certainty[0])
    True
    """
    check_work(farm, option, operation, by, crop)
    _check_sizes(sizes)
    shown = factor("field_capacity", farm.units)
    drawn, rows = draw_seasons(farm, seasons, seed), []
    for label, figures in changes.items():
        other = changed(farm, figures)
        draws = drawn if same_seasons(figures) else draw_seasons(other, seasons, seed)
        for size in sorted({1.0, *map(float, sizes)}):
            try:
                sized = changed(other, resized(other, option, operation, size, scale))
            except InputError:
                if size == 1.0:
                    raise
                continue
            share = float(finished(sized, option, operation, by, crop, draws, seed).mean())
            rows.append(
                {
                    "label": label,
                    "factor": size,
                    "capacity": shown * work_capacity(sized, option, operation, crop),
                    "certainty": share,
                    "certainty_error": share_error(share, seasons),
                }
            )
    table = pd.DataFrame(rows)
    units = {"capacity": unit("field_capacity", farm.units)}
    table.attrs = {"units": units, "capacity_of": "all machines"}
    return table


def _check_sizes(sizes: Sequence[float]) -> None:
    wrong = [size for size in sizes if not 0 < size < np.inf]
    if wrong:
        problem = "numbers above 0 are allowed"
        raise InputError([Fault("", "sizes", f"{wrong[0]:g}", problem, "write [0.5, 1, 2]")])
