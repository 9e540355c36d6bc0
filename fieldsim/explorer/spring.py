"""A spring that is dealt and decided week by week: its frozen state, and the ways to change it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.weather import daylight_hours
from fieldsim.draws import Draws, draw_seasons
from fieldsim.errors import Fault, InputError, no_such
from fieldsim.explorer.switching import farm_with_switches
from fieldsim.farm import Farm
from fieldsim.work.arrays import Plan
from fieldsim.work.plan import make_plan
from fieldsim.work.tasks import Task, tasks_of

__all__ = [
    "KINDS",
    "WEEK",
    "Decisions",
    "Ground",
    "Spring",
    "deal",
    "decide",
    "switchable",
    "weeks_of",
]

WEEK = 7
MOST_HELPERS = 5
MOST_SEED = 2**63 - 1
KINDS = ("planting", "cultivating", "tillage")  # of work that may go first
DAY_HOURS = 24.0


@dataclass(frozen=True)
class Decisions:
    """What is decided for one week; as it stands, everything is left as the farm file says.

    Parameters
    ----------
    helpers : int
        Helpers hired for the week; each is paid for every working hour of it, at work or waiting.
    extra_hours : float
        Hours that everybody works longer on each day of the week [h].
    first : str
        Kind of work that goes ahead of all other this week: ``planting``, ``cultivating`` or
        ``tillage``; empty for the order of the farm file.
    switch : tuple of str
        Fields whose unplanted land goes to the other crop, from the first day of the week on.
    """

    helpers: int = 0
    extra_hours: float = 0.0
    first: str = ""
    switch: tuple[str, ...] = ()


@dataclass(frozen=True)
class Ground:
    """What a dealt spring rests on, before anything is decided.

    Parameters
    ----------
    farm : Farm
        As in its file.
    played : Farm
        The same with the other crop's work on each field that may be switched.
    option : str
    seed : int
    draws : Draws
        Of one season.
    tasks : tuple of Task
        Of the farm as played.
    plan : Plan
        The option's plan with nothing decided.
    plain : ndarray of bool, shape (task,)
        Which tasks the farm in its file has.
    switched_closings : ndarray, shape (task, 2)
        Closing day and what it closes as, for the tasks of a field whose land is switched.
    longest_hours : ndarray, shape (day, task)
        Hours that daylight leaves [h].
    """

    farm: Farm = field(repr=False)
    played: Farm = field(repr=False)
    option: str
    seed: int
    draws: Draws = field(repr=False, compare=False)
    tasks: tuple[Task, ...] = field(repr=False)
    plan: Plan = field(repr=False, compare=False)
    plain: NDArray[np.bool_] = field(repr=False, compare=False)
    switched_closings: NDArray[np.int64] = field(repr=False, compare=False)
    longest_hours: NDArray[np.float64] = field(repr=False, compare=False)


@dataclass(frozen=True)
class Spring:
    """The state of a game: what was dealt, and what was decided for the weeks played so far."""

    ground: Ground
    weeks: tuple[Decisions, ...] = ()


def weeks_of(farm: Farm) -> int:
    """Return the weeks of a farm's season, the last one as long as it is."""
    return -(-farm.season.days // WEEK)


def deal(farm: Farm, option: str, seed: int = 0) -> Spring:
    """Deal a spring: the first season that the seed draws, with one option's outfit.

    Parameters
    ----------
    farm : Farm
    option : str
        Name of the option.
    seed : int
        0 or more; the same seed deals the same spring.

    Returns
    -------
    Spring
        With no week played.

    Raises
    ------
    InputError
        If there is no such option, or the seed is no whole number of 0 or more.

    Examples
    --------
    >>> import fieldsim
    >>> spring = deal(fieldsim.demo_farm(), "six_rows", seed=7)
    >>> len(decide(spring, Decisions(helpers=1)).weeks)
    1
    """
    faults = []
    if not isinstance(option, str) or option not in farm.options:
        faults.append(no_such("option", "option", option, farm.options))
    whole = isinstance(seed, int | np.integer) and not isinstance(seed, bool)
    if not (whole and 0 <= seed <= MOST_SEED):
        problem = f"a whole number from 0 to {MOST_SEED:,} is allowed"
        faults.append(Fault("", "seed", repr(seed), problem, "write 7"))
    if faults:
        raise InputError(faults)
    played = farm_with_switches(farm)
    tasks, own = tasks_of(played), tasks_of(farm)
    plan, file_plan = make_plan(played, tasks, option), make_plan(farm, own, option)
    places = {(task.field, task.group): t for t, task in enumerate(own)}
    in_file = np.array([places.get((task.field, task.group), -1) for task in tasks])
    plain = in_file >= 0
    closings = np.stack([plan.tasks["close_day"], plan.tasks["close_as"]], axis=1)
    table = plan.tasks.copy()
    for name in ("close_day", "close_as"):
        table[name][plain] = file_plan.tasks[name][in_file[plain]]
    table["close_day"][~plain] = farm.season.days
    plan = plan._replace(tasks=table, tractor_hours=file_plan.tractor_hours)
    if farm.priority == ("loss",):  # what a twin would lose is no reason while there is none
        here = np.flatnonzero(plain)[np.argsort(in_file[plain])]
        later = np.tile(np.flatnonzero(~plain), (farm.season.days, 1))
        plan = plan._replace(order=np.hstack([here[file_plan.order], later]))
    return Spring(
        Ground(
            farm,
            played,
            option,
            int(seed),
            draw_seasons(farm, 1, int(seed)),
            tasks,
            plan,
            plain,
            closings,
            _longest_hours(farm, tasks),
        )
    )


def decide(spring: Spring, decisions: Decisions) -> Spring:
    """Play the next week with what was decided for it.

    Parameters
    ----------
    spring : Spring
    decisions : Decisions

    Returns
    -------
    Spring
        With one more week played; the weeks before are as they were.

    Raises
    ------
    InputError
        If the season is over, or something is decided that cannot be.
    """
    week, ground = len(spring.weeks), spring.ground
    if week >= weeks_of(ground.farm):
        raise InputError([Fault("", "week", str(week + 1), "the season is over", "deal another")])
    faults = [*_faults(ground, decisions)]
    faults += [_no_switch(name) for name in decisions.switch if name not in switchable(spring)]
    if faults:
        raise InputError(faults)
    return replace(spring, weeks=(*spring.weeks, decisions))


def switchable(spring: Spring) -> dict[str, str]:
    """Return the fields whose land may still go to another crop in the coming week, and to which.

    Parameters
    ----------
    spring : Spring

    Returns
    -------
    dict
        Crop by field: where the planting of the field's own crop is open on the first day of the
        week, that of the other crop does not end before it, and the field was not switched yet.
        Whether any of its land is unplanted is not looked at.
    """
    ground, day = spring.ground, len(spring.weeks) * WEEK
    gone = {name for week in spring.weeks for name in week.switch}
    table, found = ground.plan.tasks, {}
    for t, task in enumerate(ground.tasks):
        old = task.starts_with
        if old < 0 or task.field in gone:
            continue
        if day < table["close_day"][old] and day < ground.switched_closings[t, 0]:
            found[task.field] = task.group.crop
    return found


def _faults(ground: Ground, decisions: Decisions) -> Iterable[Fault]:
    """Yield what is wrong with decisions, whatever the week."""
    helpers, extra = decisions.helpers, decisions.extra_hours
    if (
        isinstance(helpers, bool)
        or not isinstance(helpers, int)
        or not 0 <= helpers <= MOST_HELPERS
    ):
        problem = f"a whole number from 0 to {MOST_HELPERS} is allowed"
        yield Fault("", "helpers", repr(helpers), problem, "write 1")
    most = DAY_HOURS - ground.farm.crew.hours_per_day
    number = isinstance(extra, int | float) and not isinstance(extra, bool)
    if not (number and 0 <= extra <= most):
        problem = f"hours from 0 to {most:g} are allowed"
        yield Fault("", "extra_hours", repr(extra), problem, "write 1")
    if decisions.first not in ("", *KINDS):
        repair = f"write one of {', '.join(KINDS)}"
        yield Fault("", "first", repr(decisions.first), "there is no such kind of work", repair)
    if len(set(decisions.switch)) != len(decisions.switch):
        yield Fault(
            "", "switch", repr(decisions.switch), "a field stands there twice", "name it once"
        )


def _no_switch(name: object) -> Fault:
    return Fault("", "switch", repr(name), "its land cannot be switched this week", "leave it out")


def _longest_hours(farm: Farm, tasks: tuple[Task, ...]) -> NDArray[np.float64]:
    """Return the hours of each day that daylight leaves a task, shape (day, task) [h]."""
    longest = np.full((farm.season.days, len(tasks)), DAY_HOURS)
    if farm.latitude is None:
        return longest
    light = daylight_hours(farm.latitude, farm.season.day_of_year)
    for t, task in enumerate(tasks):
        operations = farm.operations[task.group.operation]
        part = operations.get(task.group.crop)
        if part is not None and not part.after_dark:
            longest[:, t] = np.minimum(DAY_HOURS, light)
    return longest
