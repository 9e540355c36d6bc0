"""From a farm to its outcomes: draw the seasons once, then run every option through them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib.metadata import version
from typing import Any, Literal, get_args

import numpy as np
import xarray as xr

from fieldsim.draws import Draws, draw_seasons, replicate_of
from fieldsim.errors import Fault, InputError, no_such
from fieldsim.farm import Farm
from fieldsim.outcomes import condense, make_replay
from fieldsim.running import Progress, memory_needed, own_operators, run_draws
from fieldsim.work.kernel import run_season
from fieldsim.work.plan import make_plan, make_plans
from fieldsim.work.tasks import tasks_of

__all__ = ["replay", "simulate"]

PART = 2000  # seasons worked at a time where little of each is kept; whole streams
MOST_SEASONS = 1_000_000
MOST_REPLAYS = 2000
MOST_MEMORY = 4e9  # bytes
BOUNDS = {  # least, most, and what to write
    "seasons": (1, MOST_SEASONS, 2000),
    "season": (0, MOST_SEASONS - 1, 0),
    "seed": (0, 2**63 - 1, 0),
    "threads": (1, 1024, 2),
    "replicates": (2, 1000, 20),
}

Keep = Literal["seasons", "summary", "days"]


def simulate(
    farm: Farm,
    seasons: int = 2000,
    seed: int = 0,
    *,
    replicates: int | None = None,
    draws: Draws | None = None,
    keep: Keep = "seasons",
    threads: int | None = None,
    progress: Progress | None = None,
) -> xr.Dataset:
    """Run every option of a farm through the same drawn seasons.

    Parameters
    ----------
    farm : Farm
    seasons : int
        How many seasons to draw, 1 to 1,000,000. The first ones are the same however many follow.
    seed : int
        0 or more.
    replicates : int, optional
        Carry to the decision how little a few years of records tell: the seasons are drawn in as
        many equal parts, each from the day source as it might be, had other years been recorded.
        The outcomes get a coordinate `replicate`, and `compare` says how sure its means are.
    draws : Draws, optional
        Seasons of a study's own in place of those that `seasons` and `seed` draw: those of
        `fieldsim.draws.draw_seasons` with something changed. As many as `seasons`.
    keep : "seasons", "summary" or "days"
        All variables of each season; for very many seasons only what comparisons need of each, and
        means of the rest (see `outcomes.condense`); or every day of every field (see `replay`),
        for a few seasons.
    threads : int, optional
        Default: one for each core. Results do not depend on it.
    progress : callable, optional
        Called now and then with the share that is done, 0..1.

    Returns
    -------
    xarray.Dataset
        See `fieldsim.variables.VARIABLES`; units stand in each variable's attributes.

    Raises
    ------
    InputError
        If a number is out of range, `replicates` are asked for where nothing is known of the
        years behind the days, or `draws` are not those of this farm and as many seasons.

    Examples
    --------
    >>> import fieldsim
    >>> outcomes = fieldsim.simulate(fieldsim.demo_farm(), seasons=10)
    >>> dict(outcomes.lost_revenue.sizes)
    {'option': 4, 'season': 10, 'crop': 2}
    """
    chosen = {"threads": threads, "replicates": replicates}
    given = {name: value for name, value in chosen.items() if value is not None}
    _check({"seasons": seasons, "seed": seed} | given)
    if keep not in get_args(Keep):
        repair = f"write one of {', '.join(get_args(Keep))}"
        raise InputError([Fault("", "keep", repr(keep), "there is no such word", repair)])
    if replicates is not None and seasons < 2 * replicates:
        repair = f"write replicates = {seasons // 2}, or more seasons"
        problem = f"{seasons} seasons are too few: each replicate needs two"
        raise InputError([Fault("", "replicates", str(replicates), problem, repair)])
    provenance = {"seed": seed, "seasons": seasons, "fieldsim_version": version("fieldsim")}
    if replicates is not None:
        provenance["replicates"] = replicates
    if draws is not None:
        _check_draws(farm, seasons, draws)
        provenance["draws"] = "given"  # so that nobody looks for them under the seed
    if keep == "days":
        return _every_day(farm, seasons, seed)
    if keep == "summary" and draws is None and replicates is None:
        return _condensed(farm, seasons, seed, provenance, threads, progress)
    _check_memory(farm, seasons)
    drawn = draw_seasons(farm, seasons, seed, replicates) if draws is None else draws
    outcomes = run_draws(farm, drawn, provenance, threads, progress)
    if replicates is not None:
        number = replicate_of(seasons, replicates)
        outcomes = outcomes.assign_coords(replicate=("season", number))
    return condense(farm, [outcomes], seasons) if keep == "summary" else outcomes


def _condensed(
    farm: Farm,
    seasons: int,
    seed: int,
    provenance: Mapping[str, Any],
    threads: int | None,
    progress: Progress | None,
) -> xr.Dataset:
    """Work the seasons part by part and keep little of each."""
    _check_memory(farm, min(PART, seasons))
    plans = make_plans(farm, tasks_of(farm))

    def parts() -> Iterator[xr.Dataset]:
        for start in range(0, seasons, PART):
            part = range(start, min(start + PART, seasons))
            draws = draw_seasons(farm, part, seed)
            yield run_draws(farm, draws, provenance, threads, plans=plans)
            if progress is not None:
                progress(part.stop / seasons)

    return condense(farm, parts(), seasons)


def replay(farm: Farm, option: str, season: int, *, seed: int = 0) -> xr.Dataset:
    """Run one option through one of the seasons that `simulate` draws, and keep every day.

    Parameters
    ----------
    farm : Farm
    option : str
        Name of the option.
    season : int
        Number of the season, from 0, as in the outcomes of a simulation with the same seed.
    seed : int

    Returns
    -------
    xarray.Dataset
        Dims field, operation, day, soil: `done_area` and `missed_area` (field, operation, day),
        `suitable_share` (soil, day), `hands` (day), in the farm's unit system.

    Raises
    ------
    InputError
        If there is no such option, or the season or seed is out of range.

    Examples
    --------
    >>> import fieldsim
    >>> days = replay(fieldsim.demo_farm(), "six_rows", season=0)
    >>> round(float(days.done_area.sel(operation="plant").sum()))  # all 902 acres
    902
    """
    if option not in farm.options:
        raise InputError([no_such("option", "option", option, farm.options)])
    _check({"season": season, "seed": seed})
    draws = draw_seasons(farm, range(season, season + 1), seed)
    suitable, hands = draws.suitable[0], draws.hands[0] + own_operators(farm, option)
    tasks = tasks_of(farm)
    plan = make_plan(farm, tasks, option)
    progress = run_season(plan, suitable, hands, draws.degrees[0], int(draws.warm_day[0]))
    return make_replay(farm, tasks, progress, suitable, hands)


def _every_day(farm: Farm, seasons: int, seed: int) -> xr.Dataset:
    """Return every day of every option and season, as `replay` has them, along two more axes."""
    if seasons * len(farm.options) > MOST_REPLAYS:
        most = max(1, MOST_REPLAYS // len(farm.options))
        problem = f"every day of {seasons} seasons and {len(farm.options)} options is too much"
        raise InputError([Fault("", "seasons", str(seasons), problem, f"write {most} or fewer")])
    options = [
        xr.concat([replay(farm, o, s, seed=seed) for s in range(seasons)], "season")
        for o in farm.options
    ]
    return xr.concat(options, "option").assign_coords(
        option=list(farm.options), season=np.arange(seasons)
    )


def _check(values: Mapping[str, int]) -> None:
    """Raise unless every value is a whole number within its bounds."""
    faults = []
    for name, value in values.items():
        least, most, usual = BOUNDS[name]
        whole = isinstance(value, int | np.integer) and not isinstance(value, bool)
        if not (whole and least <= value <= most):
            allowed = f"a whole number from {least} to {most:,} is allowed"
            faults.append(Fault("", name, repr(value), allowed, f"write {usual}"))
    if faults:
        raise InputError(faults)


def _check_memory(farm: Farm, seasons: int) -> None:
    """Raise if so many seasons at once take more memory than machines can be expected to have."""
    needed = memory_needed(farm, seasons)
    if needed > MOST_MEMORY:
        fixed = memory_needed(farm, 0)
        fitting = int((MOST_MEMORY - fixed) * seasons / (needed - fixed))
        problem = f"about {needed / 1e9:,.0f} GB of memory would be needed"
        repair = f"write {fitting:,} or fewer" if fitting > 0 else "leave out options or fields"
        raise InputError([Fault("", "seasons", str(seasons), problem, repair)])


def _check_draws(farm: Farm, seasons: int, draws: Draws) -> None:
    """Raise unless draws have the shapes that this farm and so many seasons need."""
    days = farm.season.days
    needed = (
        (seasons, len(farm.day_source.soils), days),
        (seasons, days),
        (seasons, days),
        (seasons,),
        (seasons, len(farm.crops)),
    )
    repair = "draw them with draw_seasons(farm, seasons, seed), and change those"
    faults = [
        Fault("", f"draws.{name}", str(array.shape), f"the shape {shape} is needed", repair)
        for name, array, shape in zip(Draws._fields, draws, needed, strict=True)
        if array.shape != shape
    ]
    if faults:
        raise InputError(faults)
