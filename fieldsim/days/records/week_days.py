"""Which day of which week of a record year stands on each day of the calendar."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.layout import DAYS
from fieldsim.days.records.filling import Donors, find_donors
from fieldsim.days.records.places import calendar_day, is_leap_day, place, season_places
from fieldsim.days.records.record import Records
from fieldsim.errors import Fault, InputError
from fieldsim.season import Season

__all__ = ["Weeks", "day_places", "day_table", "padded_weeks", "runs_of_weeks"]


@dataclass(frozen=True, eq=False)
class Weeks:
    """Weekly totals with one more week before the first and after the last, and their donors.

    Parameters
    ----------
    totals : ndarray, shape (year, week)
        Suitable days [days, 0..7]; nan where missing, as in the two weeks added.
    donors : Donors
    """

    totals: NDArray[np.float64]
    donors: Donors


def padded_weeks(records: Records) -> Weeks:
    """Return the weekly totals of a record with a week added at each end.

    Parameters
    ----------
    records : Records
        Weekly ones.

    Returns
    -------
    Weeks
    """
    totals = np.pad(records.days, ((0, 0), (1, 1)), constant_values=np.nan)
    return Weeks(totals, find_donors(totals, from_neighbor=True))


def runs_of_weeks(weeks: Weeks, first: int, last: int) -> list[slice]:
    """Return the runs of weeks that can be filled, from week `first` to before week `last`."""
    filled = np.zeros(weeks.totals.shape[1] + 2, dtype=int)
    filled[first + 1 : last + 1] = weeks.donors.counts[first:last] > 0
    edges = np.diff(filled)
    begins, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    return [slice(int(a), int(b)) for a, b in zip(begins, ends, strict=True)]


def day_table(records: Records, places: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return where each day is found among the laid-out days of each year.

    Parameters
    ----------
    records : Records
        Weekly ones.
    places : ndarray of int, shape (day,)
        Places on the calendar, each of which some year has a figure for.

    Returns
    -------
    ndarray of int, shape (year, day)
        Index along the days of all weeks of `padded_weeks`, 7 a week; never a 29 February.
    """
    table = np.empty((len(records.years), len(places)), dtype=np.int64)
    for row, year in enumerate(records.years):
        starts = records.starts[row].tolist()
        week = timedelta(days=DAYS)
        starts = [starts[0] - week, *starts, starts[-1] + week]
        found = {}
        for index, start in enumerate(starts):
            for day in (start + timedelta(days=n) for n in range(DAYS)):
                if not is_leap_day(day):
                    found[place(day, year, records.begins)] = DAYS * index + (day - start).days
        table[row] = [found[int(at)] for at in places]
    return table


def day_places(records: Records, season: Season) -> NDArray[np.int64]:
    """Return the place of each day of a season, each of which some year has a figure for.

    Parameters
    ----------
    records : Records
    season : Season

    Returns
    -------
    ndarray of int, shape (day,)

    Raises
    ------
    InputError
        If the season runs over the day on which a year of the records begins, or no year has a
        figure for one of its days; the message names the first such day.
    """
    places = season_places(season, records.begins, records.file)
    held: set[int] = set()
    for row, year in enumerate(records.years):
        for start in records.starts[row][~np.isnan(records.days[row])].tolist():
            days = (start + timedelta(days=n) for n in range(records.longest))
            held.update(place(day, year, records.begins) for day in days)
    lacking = [int(at) for at in places if int(at) not in held]
    if lacking:
        day = calendar_day(lacking[0], records.begins)
        problem = (
            f"no year has a figure for {day}; the records run from {records.columns[0]} to the "
            f"{records.unit} of {records.columns[-1]}"
        )
        repair = "choose a season within the records, or add years that have these days"
        raise InputError([Fault(records.file, f"{records.unit}s", "", problem, repair)])
    return places
