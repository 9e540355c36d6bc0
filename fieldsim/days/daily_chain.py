"""Suitable days drawn day by day from a two-state chain."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.cells import bounded_number
from fieldsim.errors import Fault, InputError
from fieldsim.randomness import Seasons, by_season
from fieldsim.season import CalendarDay, Season, parse_calendar_day
from fieldsim.tables import Row, Table, parse_table, read_text

__all__ = [
    "DailyChain",
    "daily_probabilities",
    "parse_daily_chain",
    "read_daily_chain",
    "stationary_share",
]

PROBABILITY_COLUMNS = ("suitable_after_suitable", "suitable_after_unsuitable")
FROZEN_STATE = "a day is never unlike the day before, so the share of suitable days has no value"


@dataclass(frozen=True)
class DailyChain:
    """A chain of suitable (1) and unsuitable (0) days whose probabilities follow the calendar.

    Between the dates the probabilities are interpolated linearly, day by day; outside them they
    keep the value of the nearest date. The first day of a season is suitable with the stationary
    share of that day's probabilities; each later day depends on the day before by its own.

    Parameters
    ----------
    dates : tuple of CalendarDay
        Days for which the probabilities are given, each once, in any order.
    after_suitable : tuple of float
        P(suitable | the day before suitable) on each date [0..1].
    after_unsuitable : tuple of float
        P(suitable | the day before unsuitable) on each date [0..1].

    Raises
    ------
    ValueError
        If there is no date, a date stands there twice, a probability is missing or outside 0 to 1,
        or on some date no day is ever unlike the day before (1 after suitable, 0 after unsuitable).

    Examples
    --------
    >>> from datetime import date
    >>> chain = DailyChain((CalendarDay(4, 1), CalendarDay(6, 1)), (0.70, 0.85), (0.20, 0.35))
    >>> chain.draw(Season(date(2026, 4, 1), date(2026, 7, 31)), seasons=100, seed=0).shape
    (100, 1, 122)
    """

    dates: tuple[CalendarDay, ...]
    after_suitable: tuple[float, ...]
    after_unsuitable: tuple[float, ...]

    soils: ClassVar[tuple[str, ...]] = ("any",)

    def __post_init__(self) -> None:
        if not len(self.dates) == len(self.after_suitable) == len(self.after_unsuitable) > 0:
            raise ValueError("a chain has at least one date, and both probabilities for each")
        if len({day.day_of_year for day in self.dates}) < len(self.dates):
            raise ValueError("dates: each day of the calendar once")
        for day, *pair in zip(self.dates, self.after_suitable, self.after_unsuitable, strict=True):
            if not all(0 <= probability <= 1 for probability in pair):
                raise ValueError(f"{day}: probabilities {pair}; 0 to 1 is allowed")
            if pair == [1, 0]:
                raise ValueError(f"{day}: {FROZEN_STATE}")

    def draw(self, season: Season, seasons: Seasons, seed: int) -> NDArray[np.float64]:
        """Draw seasons; see `DaySource.draw`. Every share is 0 or 1."""
        after_suitable, after_unsuitable = daily_probabilities(self, season)
        uniforms = by_season(
            seed, "days.chain", seasons, lambda random, n: random.random((n, season.days))
        )
        suitable = np.empty(uniforms.shape, dtype=bool)
        suitable[:, 0] = uniforms[:, 0] < stationary_share(after_suitable[0], after_unsuitable[0])
        for day in range(1, season.days):
            share = np.where(suitable[:, day - 1], after_suitable[day], after_unsuitable[day])
            suitable[:, day] = uniforms[:, day] < share
        return suitable[:, None, :].astype(np.float64)


def stationary_share(after_suitable: float, after_unsuitable: float) -> float:
    """Return the share of suitable days in a chain that has run for long.

    The share s that a day keeps: s = s P(S|S) + (1 - s) P(S|U), so
    s = P(S|U) / (1 - P(S|S) + P(S|U)).

    Parameters
    ----------
    after_suitable, after_unsuitable : float
        P(suitable | the day before suitable) and P(suitable | the day before unsuitable) [0..1].

    Returns
    -------
    float
        Share of days [0..1].

    Raises
    ------
    ValueError
        If no day is ever unlike the day before (1 and 0), since any share would then be kept.

    Examples
    --------
    >>> round(stationary_share(0.8, 0.2), 12)
    0.5
    """
    changes = 1 - after_suitable + after_unsuitable
    if changes == 0:
        raise ValueError(FROZEN_STATE)
    return after_unsuitable / changes


def daily_probabilities(
    chain: DailyChain, season: Season
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the chain's probabilities for each day of a season.

    Parameters
    ----------
    chain : DailyChain
    season : Season

    Returns
    -------
    tuple of two ndarrays, shape (day,)
        P(suitable | the day before suitable) and P(suitable | the day before unsuitable) [0..1].

    Examples
    --------
    >>> from datetime import date
    >>> chain = DailyChain((CalendarDay(5, 1), CalendarDay(5, 3)), (0.7, 0.8), (0.2, 0.2))
    >>> season = Season(date(2026, 4, 30), date(2026, 5, 4))
    >>> daily_probabilities(chain, season)[0].round(3).tolist()
    [0.7, 0.7, 0.75, 0.8, 0.8]
    """
    at = np.array([season.index(day) for day in chain.dates])
    order = np.argsort(at)
    after_suitable, after_unsuitable = (
        np.interp(np.arange(season.days), at[order], np.array(values)[order])
        for values in (chain.after_suitable, chain.after_unsuitable)
    )
    return after_suitable, after_unsuitable


def read_daily_chain(path: Path | Traversable, name: str | None = None) -> DailyChain:
    """Read a chain from a CSV file; see `parse_daily_chain`.

    Parameters
    ----------
    path : Path or Traversable
    name : str, optional
        What to call the file in messages; default: the path.

    Returns
    -------
    DailyChain

    Raises
    ------
    InputError
        As `parse_daily_chain`, and if the file cannot be read.
    """
    return parse_daily_chain(read_text(path, name), name or str(path))


def parse_daily_chain(text: str, file: str) -> DailyChain:
    r"""Read the text of a chain.

    Columns: ``date``, as ``1 Apr``; ``suitable_after_suitable`` and ``suitable_after_unsuitable``,
    probabilities from 0 to 1.

    Parameters
    ----------
    text : str
        The table as CSV.
    file : str
        What to call the table in messages.

    Returns
    -------
    DailyChain

    Raises
    ------
    InputError
        With every fault of the table.

    Examples
    --------
    >>> text = "date,suitable_after_suitable,suitable_after_unsuitable\n1 Apr,0.80,0.25"
    >>> parse_daily_chain(text, "chain").after_suitable
    (0.8,)
    """
    table = parse_table(text, file, ["date", *PROBABILITY_COLUMNS])
    faults = [
        Fault(file, f"column {column}", "", "not a column of a chain", "leave it out")
        for column in table.columns
        if column not in ("date", *PROBABILITY_COLUMNS)
    ]
    dates: dict[int, CalendarDay] = {}
    pairs = []
    for row in table.rows:
        _add_date(table, row, dates, faults)
        pair = [_probability(table, row, column, faults) for column in PROBABILITY_COLUMNS]
        if pair == [1, 0]:
            repair = "write a first number below 1 or a second above 0"
            columns = " and ".join(PROBABILITY_COLUMNS)
            faults.append(
                Fault(file, f"line {row.line}, {columns}", "1 and 0", FROZEN_STATE, repair)
            )
        pairs.append(pair)
    if faults:
        raise InputError(faults)
    after_suitable, after_unsuitable = zip(*pairs, strict=True)
    return DailyChain(tuple(dates.values()), after_suitable, after_unsuitable)


def _add_date(table: Table, row: Row, dates: dict[int, CalendarDay], faults: list[Fault]) -> None:
    """Read the date of a row into `dates`, by its day of the year."""
    try:
        day = parse_calendar_day(row.cells["date"])
    except ValueError as error:
        faults.append(table.fault(row, "date", str(error), "write a day, as 1 Apr"))
        return
    if day.day_of_year in dates:
        faults.append(table.fault(row, "date", "the date stands there twice", "give it once"))
    dates[day.day_of_year] = day


def _probability(table: Table, row: Row, column: str, faults: list[Fault]) -> float:
    """Read a probability; nan where the cell is at fault."""
    text = row.cells[column]
    try:
        return bounded_number(text, 0, 1)
    except ValueError as error:
        repair = "write a probability, as 0.80"
        try:
            percent = bounded_number(text.removesuffix("%").strip(), 0, 100)
            repair = f"write {percent / 100:.2f} for {percent:g} %"
        except ValueError:
            pass
        faults.append(table.fault(row, column, str(error), repair))
        return float("nan")
