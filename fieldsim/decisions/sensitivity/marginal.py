"""What one more is worth: a suitable day, an operator, an hour a day, a mile an hour."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from fieldsim.decisions.comparison import total_cost
from fieldsim.decisions.sampling import mean_error, told_apart
from fieldsim.decisions.sensitivity.added_days import with_a_day_more
from fieldsim.decisions.sensitivity.usual_inputs import LONGEST_DAY, planters
from fieldsim.draws import Draws, draw_seasons
from fieldsim.errors import InputError, no_such
from fieldsim.farm import Farm, changed
from fieldsim.quantities import factor, unit
from fieldsim.simulation import simulate

__all__ = ["worth_of_one_more"]

MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July", "August"),
    *("September", "October", "November", "December"),
)

Floats = NDArray[np.float64]
DUST = 1e-9  # of a season's cost: a saving below that is rounding


@dataclass(frozen=True, eq=False)
class _More:
    """A farm with one more of something.

    Parameters
    ----------
    name : str
    farm : Farm
    step : float or ndarray, shape (season,)
        How much more, in the unit of the name.
    draws : Draws
    """

    name: str
    farm: Farm
    draws: Draws = field(repr=False)
    step: float | Floats = 1.0


def worth_of_one_more(
    farm: Farm, option: str | None = None, *, seasons: int = 2000, seed: int = 0
) -> pd.DataFrame:
    """Say what one more of each scarce thing saves in a year, on the same seasons.

    Parameters
    ----------
    farm : Farm
    option : str, optional
        Default: every option.
    seasons, seed : int
        See `simulate`.

    Returns
    -------
    pandas.DataFrame
        A row for each option and each of

        - a suitable day in each month of the season, and between the first day of planting and the
          last target date: a lost working day made suitable, see `with_a_day_more`;
        - an operator, paid for the hours of work only; no tractor comes along;
        - a working hour a day, for the crew and all operations;
        - a mile (or km) an hour of the speed of what plants, where the file gives a speed and the
          tractors can pull it;

        with the columns `option`, `one_more`, ``worth``: total cost of a year without it less that
        with it [$], below 0 where it costs more than it saves; its standard error
        ``worth_error``, and ``cannot_tell_apart`` from nothing. What one more costs to buy or to
        have is not taken off. ``attrs`` holds ``seasons``, ``seed`` and ``units``.

    Raises
    ------
    InputError
        If there is no such option, or a number is out of range.

    Notes
    -----
    Finite differences with common random numbers. Where a step is less than one (a day that was
    suitable in part), worth is the ratio of the means and its error that of a ratio estimator:
    Cochran (1977), Sampling Techniques, 3rd ed., eq. 6.9; cited from memory.

    Examples
    --------
    >>> import fieldsim
    >>> table = worth_of_one_more(fieldsim.demo_farm(), "six_rows", seasons=50)
    >>> table.one_more.tolist()[4:]
    ['suitable day in planting time', 'operator', 'working hour a day', 'mph of planting']
    """
    if option is not None:
        if option not in farm.options:
            raise InputError([no_such("option", "option", option, farm.options)])
        farm = replace(farm, options={option: farm.options[option]})
    now = total_cost(simulate(farm, seasons, seed))
    draws = draw_seasons(farm, seasons, seed)
    saved: dict[str, tuple[Floats, float | Floats]] = {}
    for more in _all_more(farm, draws, seed):
        then = total_cost(simulate(more.farm, seasons, seed, draws=more.draws))
        saved[more.name] = _clean(now.values - then.values, now.values), more.step
    rows = [
        {"option": str(name), "one_more": what} | _worth(money[place], step)
        for place, name in enumerate(now.option.values)
        for what, (money, step) in saved.items()
    ]
    table = pd.DataFrame(rows)
    table.attrs = {"seasons": seasons, "seed": seed, "units": now.attrs["units"]}
    return table


def _clean(saved: Floats, cost: Floats) -> Floats:
    """Return savings with what is rounding as 0."""
    return np.where(np.abs(saved) > DUST * np.abs(cost), saved, 0.0)


def _worth(saved: Floats, step: float | Floats) -> dict[str, Any]:
    """Return what one is worth, from what a step saved in each season [$]."""
    steps = np.broadcast_to(step, saved.shape)
    if not steps.any():
        return {"worth": np.nan, "worth_error": np.nan, "cannot_tell_apart": True}
    worth = float(saved.mean() / steps.mean())
    error = mean_error(saved - worth * steps) / float(steps.mean())
    return {
        "worth": worth,
        "worth_error": error,
        "cannot_tell_apart": not told_apart(worth, error),
    }


def _all_more(farm: Farm, draws: Draws, seed: int) -> Iterator[_More]:
    """Yield the farm with one more of each."""
    for name, window in _windows(farm):
        with_day, added = with_a_day_more(farm, draws, window, seed, name)
        yield _More(f"suitable day {name}", farm, with_day, added)
    yield _More("operator", _more_operators(farm), draws)
    hours = _hours_free(farm)
    if hours > 0:
        yield _More("working hour a day", _longer_days(farm, hours), draws, hours)
    faster = _faster(farm)
    if faster is not None:
        yield _More(f"{unit('speed', farm.units)} of planting", faster, draws)


def _windows(farm: Farm) -> Iterator[tuple[str, NDArray[np.bool_]]]:
    """Yield the months of the season and planting time, shape (day,)."""
    season = farm.season
    months = np.array([season.date(day).month for day in range(season.days)])
    for month in dict.fromkeys(months.tolist()):
        yield f"in {MONTHS[month - 1]}", months == month
    starts = [
        0 if part.earliest is None else season.index(part.earliest)
        for crops in farm.operations.values()
        for crop, part in crops.items()
        if part.kind == "planting" and crop in farm.grown_crops
    ]
    targets = [season.index(farm.crops[crop].target_date) for crop in farm.grown_crops]
    days = np.arange(season.days)
    if starts:
        yield "in planting time", (days >= min(starts)) & (days <= max(targets))


def _more_operators(farm: Farm) -> Farm:
    """Return a farm with one operator more in each option."""
    crew = farm.crew.operators
    options = {
        name: part.model_copy(
            update={"operators": 1 + (crew if part.operators is None else part.operators)}
        )
        for name, part in farm.options.items()
    }
    return replace(farm, options=options)


def _hours_free(farm: Farm) -> float:
    """Return by how many hours a working day can be longer, 1 at most [h]."""
    parts = [part for crops in farm.operations.values() for part in crops.values()]
    longest = max([farm.crew.hours_per_day, *(part.hours_per_day for part in parts)])
    return min(1.0, LONGEST_DAY - longest)


def _longer_days(farm: Farm, hours: float) -> Farm:
    """Return a farm whose crew and operations have more hours a day [h]."""

    def longer(part: Any) -> Any:
        return part.model_copy(update={"hours_per_day": part.hours_per_day + hours})

    operations = {
        operation: {crop: longer(part) for crop, part in crops.items()}
        for operation, crops in farm.operations.items()
    }
    return replace(farm, crew=longer(farm.crew), operations=operations)


def _faster(farm: Farm) -> Farm | None:
    """Return a farm whose planters go one mile (or km) an hour faster, if they can."""
    step = 1 / factor("speed", farm.units)
    speeds = {
        f"machines.{name}.speed": f"{machine.speed + step!r} km/h"
        for name, machine in planters(farm).items()
        if machine.speed is not None
    }
    if not speeds:
        return None
    try:
        faster = changed(farm, speeds)
    except InputError:  # the tractors could not pull them
        return None
    return replace(faster, options=farm.options)  # a farm read again has all of them
