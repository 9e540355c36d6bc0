"""Suitable days drawn from records of past years."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar, Literal, get_args

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.layout import DAYS, calibrate_change_odds, lay_out
from fieldsim.days.records.filling import fill, find_donors
from fieldsim.days.records.record import Records
from fieldsim.days.records.week_days import day_places, day_table, padded_weeks, runs_of_weeks
from fieldsim.days.weekly_table import USUAL_PERSISTENCE
from fieldsim.errors import Fault, InputError
from fieldsim.randomness import Seasons, by_season, stream
from fieldsim.season import Season

__all__ = ["RecordYears", "Resampling", "drawn_columns"]

Resampling = Literal["years", "blocks", "replay"]
PILOT_SEASONS = 1000


@dataclass(frozen=True)
class RecordYears:
    """Seasons made of the years of a record.

    A day of a season is the same day of the calendar in the year that is drawn for it; 29 February
    repeats 28 February. Each year keeps its own weeks, on whatever weekday they begin. A week's
    total is laid out in runs over its seven days, as in `WeeklyTable`; daily records are taken as
    they stand.

    A week that is missing in the drawn year is filled by the same week of another year, drawn
    anew for each season from those that have it (stream "days.records.gaps"). The week beside a
    year's first or last, where the season reaches into it by a few days, is filled by the nearest
    week in the same way. Nothing is ever filled by zero. Days missing in daily records are filled
    by the same days of another year, one year for all that lie in one week.

    Parameters
    ----------
    records : Records
    resampling : "years", "blocks" or "replay"
        Whole years, drawn with replacement; blocks of weeks that keep their place on the calendar,
        each from a year drawn anew (more seasons than there are years, but ups and downs that last
        longer than a block are lost, and runs of days break where blocks meet); or the years in
        order, each once.
    block_weeks : int
        Weeks in a block, counted from the first week of the records.
    persistence : float, optional
        P(day suitable | day before suitable) in the layout of weekly totals [0..1], pooled over all
        weeks of the records. None: 0.80, or the nearest to it that the weeks allow. Without effect
        on daily records.

    Raises
    ------
    ValueError
        If a parameter is not as said above.

    Examples
    --------
    >>> from datetime import date
    >>> from fieldsim.days.records.record import from_seasons
    >>> april = Season(date(2026, 4, 1), date(2026, 4, 30))
    >>> source = RecordYears(from_seasons(np.ones((3, 30)), april))
    >>> source.draw(april, seasons=100, seed=0).shape
    (100, 1, 30)
    """

    records: Records
    resampling: Resampling = "years"
    block_weeks: int = 4
    persistence: float | None = None

    soils: ClassVar[tuple[str, ...]] = ("any",)

    def __post_init__(self) -> None:
        if self.resampling not in get_args(Resampling):
            raise ValueError(f"resampling = {self.resampling!r}: {', '.join(get_args(Resampling))}")
        if self.block_weeks < 1:
            raise ValueError(f"block_weeks = {self.block_weeks}: 1 or more is allowed")
        if self.persistence is not None and not 0 <= self.persistence <= 1:
            raise ValueError(f"persistence = {self.persistence}: a share from 0 to 1 is allowed")

    def draw(self, season: Season, seasons: Seasons, seed: int) -> NDArray[np.float64]:
        """Draw seasons; see `DaySource.draw`.

        Whole years are drawn, so the days do not depend on where the season begins.

        Raises
        ------
        InputError
            If no year of the records has a day of the season, the season runs over the day on which
            a year of the records begins, more seasons are asked of a replay than there are years,
            or the weeks do not allow the persistence.
        """
        places = day_places(self.records, season)
        if self.records.unit == "day":
            days = drawn_columns(self, seasons, seed)
            at = places - int(self.records.places[0])
            return days[:, None, at]
        return _weekly_days(self, places, seasons, seed)[:, None, :]


def drawn_columns(source: RecordYears, seasons: Seasons, seed: int) -> NDArray[np.float64]:
    """Draw the figures of each column of the records, before weeks are laid out in days.

    Parameters
    ----------
    source : RecordYears
    seasons : int or range
    seed : int
        See `DaySource.draw`.

    Returns
    -------
    ndarray, shape (season, column)
        Suitable days of each week [days], or shares of each day; nan in columns that no year has.

    Examples
    --------
    >>> from datetime import date
    >>> from fieldsim.days.records.record import from_seasons, weekly
    >>> april = Season(date(2026, 4, 1), date(2026, 4, 14))
    >>> source = RecordYears(weekly(from_seasons(np.ones((3, 14)), april)))
    >>> drawn_columns(source, seasons=2, seed=0).tolist()
    [[7.0, 7.0], [7.0, 7.0]]
    """
    days = source.records.days
    donors = find_donors(days, from_neighbor=False)
    chosen = _chosen_years(source, seasons, seed)
    blocks = _blocks(source, np.arange(days.shape[1]))
    if source.records.unit == "day":
        weeks = np.arange(days.shape[1]) // DAYS
        uniforms = _uniforms(seed, "gaps", seasons, int(weeks[-1]) + 1)[:, weeks]
    else:  # without the week that `_weekly_days` adds at each end
        uniforms = _uniforms(seed, "gaps", seasons, days.shape[1] + 2)[:, 1:-1]
    drawn = np.empty((len(uniforms), days.shape[1]))
    for block in np.unique(blocks):
        filled = fill(days, chosen[:, block], donors, uniforms)
        drawn[:, blocks == block] = filled[:, blocks == block]
    return drawn


def _uniforms(seed: int, name: str, seasons: Seasons, *shape: int) -> NDArray[np.float64]:
    """Draw uniform numbers from a stream of the records, shape (season, ...)."""
    return by_season(
        seed, f"days.records.{name}", seasons, lambda random, n: random.random((n, *shape))
    )


def _chosen_years(
    source: RecordYears, seasons: Seasons, seed: int, name: str = "years"
) -> NDArray[np.int64]:
    """Return the index of the year that each season, or each of its blocks, is taken from.

    The shape is (season, block); without blocks there is one.
    """
    records = source.records
    years = len(records.years)
    if source.resampling == "replay":
        wanted = seasons if isinstance(seasons, range) else range(seasons)
        if wanted.stop > years:
            problem = f"{years} years are given, and a replay draws none twice"
            repair = f'ask for {years} or fewer, or resample "years" or "blocks"'
            raise InputError([Fault(records.file, "seasons", str(wanted.stop), problem, repair)])
        return np.argsort(records.years, kind="stable")[wanted.start : wanted.stop, None]
    blocks = int(_blocks(source, np.array([records.days.shape[1] - 1]))[0]) + 1
    uniforms = _uniforms(seed, name, seasons, blocks)
    return (uniforms * years).astype(np.int64)


def _blocks(source: RecordYears, columns: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return the block of each column; columns beside the records belong to the outermost."""
    if source.resampling != "blocks":
        return np.zeros_like(columns)
    last = source.records.days.shape[1] - 1
    width = source.block_weeks * DAYS // source.records.longest
    blocks: NDArray[np.int64] = np.clip(columns, 0, last) // width
    return blocks


def _weekly_days(
    source: RecordYears, places: NDArray[np.int64], seasons: Seasons, seed: int
) -> NDArray[np.float64]:
    """Draw the days at given places of the record year, shape (season, day)."""
    records = source.records
    weeks = padded_weeks(records)
    table = day_table(records, places)
    odds = _change_odds(source)
    chosen = _chosen_years(source, seasons, seed)
    count = weeks.totals.shape[1]
    gaps = _uniforms(seed, "gaps", seasons, count)
    uniforms = _uniforms(seed, "layout", seasons, count, 2)
    blocks = _blocks(source, (places - int(records.places[0])) // DAYS)
    days = np.empty((len(gaps), len(places)))
    for block in np.unique(blocks):
        here = blocks == block
        first, last = _weeks_of_block(source, int(block), count)
        totals = fill(weeks.totals, chosen[:, block], weeks.donors, gaps)
        shares = np.zeros((len(gaps), last - first, DAYS))
        for run in runs_of_weeks(weeks, first, last):
            inside = slice(run.start - first, run.stop - first)
            shares[:, inside] = lay_out(totals[:, run], odds, uniforms[:, run])
        wanted = table[chosen[:, block]][:, here] - first * DAYS
        days[:, here] = np.take_along_axis(shares.reshape(len(gaps), -1), wanted, axis=1)
    return days


def _weeks_of_block(source: RecordYears, block: int, count: int) -> tuple[int, int]:
    """Return the weeks laid out for a block, from and to before, of `count` with those added.

    One week more at each end: in some years it reaches into the block by a few days.
    """
    if source.resampling != "blocks":
        return 0, count
    first = block * source.block_weeks
    return first, min(first + source.block_weeks + 2, count)


@lru_cache(maxsize=64)
def _change_odds(source: RecordYears) -> float:
    """Return the odds that a day differs from the day before, for the persistence.

    Calibrated on whole years of the records, the same for every seed and kind of resampling, over
    the longest run of weeks that can be filled.
    """
    weeks = padded_weeks(source.records)
    chosen = np.arange(PILOT_SEASONS) % len(source.records.years)
    gaps = stream(0, "days.records.pilot").random((PILOT_SEASONS, weeks.totals.shape[1]))
    runs = runs_of_weeks(weeks, 1, weeks.totals.shape[1] - 1)
    longest = max(runs, key=lambda run: run.stop - run.start)
    totals = fill(weeks.totals, chosen, weeks.donors, gaps)[:, longest]
    if source.persistence is None:
        return calibrate_change_odds(totals, USUAL_PERSISTENCE, nearest=True)
    return calibrate_change_odds(totals, source.persistence, file=source.records.file)
