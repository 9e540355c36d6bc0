"""The hours between two dates in which the soil carries work, season by season."""

from __future__ import annotations

from typing import TypedDict, Unpack

import numpy as np
from numpy.typing import NDArray

from fieldsim.days import DaySource
from fieldsim.days.weather import daylight_hours
from fieldsim.errors import Fault, InputError, no_such
from fieldsim.farm import Farm
from fieldsim.quantities import KINDS, parse
from fieldsim.season import WEEKDAYS, CalendarDay, Season, parse_calendar_day

__all__ = ["Drawn", "day_index", "quantity", "window_hours"]

MOST_SEASONS = 1_000_000
FULL_DAY = 24.0  # [h]


class Drawn(TypedDict, total=False):
    """Which seasons are drawn, and what of their days counts; see `window_hours`."""

    season: Season | None
    soil: str | None
    after_dark: bool
    seasons: int
    seed: int


def window_hours(
    days: Farm | DaySource,
    first: str,
    last: str,
    hours_per_day: str,
    **drawn: Unpack[Drawn],
) -> NDArray[np.float64]:
    """Return the hours in which one outfit can work between two dates, season by season.

    On a farm nobody works on the crew's days off, and where its latitude is given daylight bounds
    the hours of a day.

    Parameters
    ----------
    days : Farm or DaySource
    first, last : str
        Days of the calendar, both included, as ``"20 Apr"``.
    hours_per_day : str
        Hours in the field on a day that is suitable all day, as ``"10 h"``.
    season : Season, optional
        For a day source; a farm has its own.
    soil : str, optional
        Which soil, where the source has several.
    after_dark : bool, optional
        Work goes on after dark: daylight bounds nothing.
    seasons, seed : int, optional
        How many seasons to draw (2000), and from which seed (0).

    Returns
    -------
    ndarray of float64, shape (season,)
        [h]

    Raises
    ------
    InputError
        With every fault of the arguments, and as the draw.

    Examples
    --------
    >>> import fieldsim
    >>> hours = window_hours(fieldsim.demo_farm(), "18 Apr", "10 May", "10 h", seasons=500)
    >>> round(float(hours.mean()) / 10, 1)  # suitable days but Sundays
    9.0
    """
    faults: list[Fault] = []
    source = days.day_source if isinstance(days, Farm) else days
    season = days.season if isinstance(days, Farm) else drawn.get("season")
    seasons, seed = drawn.get("seasons", 2000), drawn.get("seed", 0)
    if season is None:
        faults.append(_fault("season", "", "a day source needs one", "give a Season"))
        raise InputError(faults)
    window = _window(season, first, last, faults)
    hours = quantity(hours_per_day, "time", "hours_per_day", faults)
    if hours > FULL_DAY:
        faults.append(_fault("hours_per_day", hours_per_day, "a day has 24 h", 'write "10 h"'))
    place = _soil(source, drawn.get("soil"), faults)
    for name, number, least in (("seasons", seasons, 1), ("seed", seed, 0)):
        if not least <= number <= (MOST_SEASONS if name == "seasons" else 2**63 - 1):
            problem = f"a whole number of at least {least} is allowed"
            faults.append(_fault(name, str(number), problem, f"write {name}={2000 * least}"))
    if faults:
        raise InputError(faults)
    by_day = np.full(season.days, hours)
    if isinstance(days, Farm):
        by_day = _farm_hours(days, hours, drawn.get("after_dark", False))
    suitable = source.draw(season, seasons, seed)[:, place, window]
    found: NDArray[np.float64] = suitable @ by_day[window]
    return found


def quantity(text: str, kind: str, name: str, faults: list[Fault]) -> float:
    """Read an argument in the internal unit of its kind, above 0; note what is wrong with it.

    Parameters
    ----------
    text : str
        A number and a unit.
    kind : str
        One of `quantities.KINDS`.
    name : str
        What the argument is called.
    faults : list of Fault
        To which a fault is added.

    Returns
    -------
    float
        1.0 where the text is at fault.
    """
    repair = f"write {KINDS[kind].example}"
    try:
        number = parse(text, kind)
    except ValueError as error:
        faults.append(_fault(name, str(text), str(error), repair))
        return 1.0
    if number <= 0:
        faults.append(_fault(name, text, "must be above 0", repair))
        return 1.0
    return number


def day_index(season: Season, text: str, name: str, faults: list[Fault]) -> int:
    """Return the index of a day of the calendar in a season; note what is wrong with it.

    Parameters
    ----------
    season : Season
    text : str
        As ``"20 Apr"``.
    name : str
        What the argument is called.
    faults : list of Fault
        To which a fault is added.

    Returns
    -------
    int
        0 where the text is at fault.
    """
    first, last = (str(CalendarDay(d.month, d.day)) for d in (season.first_day, season.last_day))
    try:
        index = season.index(parse_calendar_day(text))
    except ValueError as error:
        faults.append(_fault(name, text, str(error), f'write a day, as "{first}"'))
        return 0
    if not 0 <= index < season.days:
        problem = f"lies outside the season, {first} to {last}"
        faults.append(_fault(name, text, problem, "write a day within it"))
        return 0
    return index


def _fault(name: str, value: str, problem: str, repair: str) -> Fault:
    return Fault("", name, value, problem, repair)


def _window(season: Season, first: str, last: str, faults: list[Fault]) -> slice:
    """Return the days from the first to the last."""
    count = len(faults)
    start, end = (
        day_index(season, day, name, faults) for day, name in ((first, "first"), (last, "last"))
    )
    if len(faults) == count and end < start:
        faults.append(_fault("last", last, f"comes before the first, {first}", "swap the two"))
    return slice(start, end + 1)


def _soil(source: DaySource, soil: str | None, faults: list[Fault]) -> int:
    """Return the place of the soil that is meant."""
    if soil is None and len(source.soils) == 1:
        return 0
    if soil in source.soils:
        return source.soils.index(soil)
    which = _fault("soil", "", "say which soil", f"soils are {', '.join(source.soils)}")
    faults.append(which if soil is None else no_such("soil", "soil", soil, source.soils))
    return 0


def _farm_hours(farm: Farm, hours: float, after_dark: bool) -> NDArray[np.float64]:
    """Return the hours of each day on which the farm works, shape (day,) [h]."""
    by_day = np.full(farm.season.days, hours)
    if farm.latitude is not None and not after_dark:
        by_day = np.minimum(by_day, daylight_hours(farm.latitude, farm.season.day_of_year))
    off = [WEEKDAYS.index(day) for day in farm.crew.days_off]
    return np.where(np.isin(farm.season.weekday, off), 0.0, by_day)
