"""Suitable days drawn from a weekly probability table."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import ClassVar, get_args

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from fieldsim.days.copula import Tails, normal_scores, weekly_quantiles
from fieldsim.days.layout import DAYS, calibrate_change_odds, lay_out
from fieldsim.errors import Fault, InputError
from fieldsim.randomness import Seasons, by_season
from fieldsim.season import CalendarDay, Season

__all__ = ["WeeklyTable", "change_odds", "days_between", "weekly_totals"]

COMMON_YEAR = 365
MOST_WEEKS = 52
PILOT_SEASONS = 4000  # puts the persistence of the pilot within about 0.001 of the table's own
USUAL_PERSISTENCE = 0.80


@dataclass(frozen=True)
class WeeklyTable:
    """For each week the suitable days that are had at given percentiles of the years.

    A season is drawn in two steps. First each week's total: a standard normal score z becomes the
    percentile p = Phi(z), and the total is the week's quantile at p. The score of week w is

        z_w = sqrt(season_share) S + sqrt(1 - season_share) A_w

    with S one standard normal number a season and A a stationary autoregression of the first order,
    A_w = week_correlation A_(w-1) + sqrt(1 - week_correlation^2) e_w. The scores of weeks k apart
    then have the correlation season_share + (1 - season_share) week_correlation^k. Second, each
    total is laid out over the week's seven days in runs; see `fieldsim.days.layout`. Fractions are
    kept: the shares of a week's days add up to its total.

    Parameters
    ----------
    week_starts : tuple of CalendarDay
        First day of each week, one week after another, at most 52. Weeks are counted in a common
        year: 29 February repeats 28 February.
    percentiles : tuple of float
        Share of years with no more than so many days [0..1], rising, at least two. Days had in at
        least 90 % of years are the percentile 0.10.
    days : tuple of tuple of float
        Suitable days at each percentile, (week, percentile) [days, 0..7]; not falling in a week.
        Quantiles between percentiles are interpolated linearly.
    tails : "extend" or "hold"
        Beyond the outermost percentiles: go on with the slope of the outermost interval, cut off at
        0 and 7 days; or keep the outermost value.
    week_correlation : float
        Correlation of A from one week to the next [-], above -1 and below 1.
    season_share : float
        Share of the variance of the scores that is common to the whole season, its wetness [0..1].
    persistence : float, optional
        P(day suitable | day before suitable), pooled over the whole table [0..1], where a day
        counts as suitable when at least half of its hours are. None: 0.80, or the nearest to it
        that the weeks allow.

    Raises
    ------
    ValueError
        If the table or a parameter is not as said above; the message lists everything wrong.

    Examples
    --------
    >>> from datetime import date
    >>> weeks = (CalendarDay(4, 29), CalendarDay(5, 6))
    >>> table = WeeklyTable(weeks, (0.2, 0.5, 0.8), ((2.0, 4.0, 5.5), (2.5, 4.3, 5.8)))
    >>> table.draw(Season(date(2026, 4, 30), date(2026, 5, 12)), seasons=100, seed=0).shape
    (100, 1, 13)
    """

    week_starts: tuple[CalendarDay, ...]
    percentiles: tuple[float, ...]
    days: tuple[tuple[float, ...], ...]
    tails: Tails = "extend"
    week_correlation: float = 0.3
    season_share: float = 0.0
    persistence: float | None = None

    soils: ClassVar[tuple[str, ...]] = ("any",)

    def __post_init__(self) -> None:
        problems = _table_problems(self) + _parameter_problems(self)
        if problems:
            raise ValueError("\n".join(problems))

    def draw(self, season: Season, seasons: Seasons, seed: int) -> NDArray[np.float64]:
        """Draw seasons; see `DaySource.draw`.

        All weeks of the table are drawn, so a week's days do not depend on where the season begins.

        Raises
        ------
        InputError
            If a day of the season lies in no week of the table, or the weeks do not allow the
            persistence.
        """
        places = _places(self, season)
        odds = change_odds(self)
        totals = weekly_totals(self, seasons, seed)
        uniforms = by_season(
            seed, "days.layout", seasons, lambda random, n: random.random((n, totals.shape[1], 2))
        )
        shares = lay_out(totals, odds, uniforms)
        return shares.reshape(len(totals), 1, -1).take(places, axis=-1)


def days_between(first: CalendarDay, second: CalendarDay) -> int:
    """Return the days from one day to the next occurrence of another in a common year, 0 to 364.

    Examples
    --------
    >>> days_between(CalendarDay(12, 30), CalendarDay(1, 6))
    7
    """
    return (second.day_of_year - first.day_of_year) % COMMON_YEAR


def weekly_totals(
    table: WeeklyTable, seasons: Seasons, seed: int, name: str = "days"
) -> NDArray[np.float64]:
    """Draw the suitable days of each week.

    Parameters
    ----------
    table : WeeklyTable
    seasons : int or range
    seed : int
        See `DaySource.draw`.
    name : str
        What the names of the streams begin with.

    Returns
    -------
    ndarray, shape (season, week)
        Suitable days [days, 0..7], fractions and all.

    Examples
    --------
    >>> table = WeeklyTable((CalendarDay(5, 6),), (0.2, 0.8), ((2.0, 5.0),), tails="hold")
    >>> totals = weekly_totals(table, 1000, seed=0)
    >>> float(totals.min()), float(totals.max())
    (2.0, 5.0)
    """
    scores = normal_scores(
        seasons,
        len(table.week_starts),
        seed,
        week_correlation=table.week_correlation,
        season_share=table.season_share,
        name=name,
    )
    percentiles, days = np.array(table.percentiles), np.array(table.days)
    return weekly_quantiles(ndtr(scores), percentiles, days, table.tails)


@lru_cache(maxsize=64)
def change_odds(table: WeeklyTable) -> float:
    """Return the odds that a day differs from the day before, for the table's persistence.

    Calibrated on the weekly totals of a pilot draw of 4,000 seasons, the same for every seed, so
    that the layout is a property of the table.

    Parameters
    ----------
    table : WeeklyTable

    Returns
    -------
    float
        Odds [-].

    Raises
    ------
    InputError
        If the table's weeks do not allow the persistence; the message states the range.

    Examples
    --------
    >>> weeks = (CalendarDay(5, 6), CalendarDay(5, 13))
    >>> change_odds(WeeklyTable(weeks, (0.2, 0.8), ((2.0, 5.0),) * 2)) < 1.0
    True
    """
    pilot = weekly_totals(table, PILOT_SEASONS, seed=0, name="days.pilot")
    if table.persistence is None:
        return calibrate_change_odds(pilot, USUAL_PERSISTENCE, nearest=True)
    return calibrate_change_odds(pilot, table.persistence)


def _places(table: WeeklyTable, season: Season) -> NDArray[np.int64]:
    """Return the place of each day of the season among the days of the table, shape (day,)."""
    first = table.week_starts[0]
    places = (season.day_of_year - first.day_of_year) % COMMON_YEAR
    outside = np.flatnonzero(places >= DAYS * len(table.week_starts))
    if len(outside):
        uncovered = season.date(int(outside[0]))
        day = CalendarDay(uncovered.month, uncovered.day)
        last = table.week_starts[-1]
        problem = f"no week holds {day}; the weeks run from the one of {first} to the one of {last}"
        repair = f"add the week that holds {day}, or choose a season within the weeks"
        raise InputError([Fault("weekly table", "week_starting", "", problem, repair)])
    return places


def _table_problems(table: WeeklyTable) -> list[str]:
    """Say what is wrong with weeks, percentiles and days."""
    starts, percentiles = table.week_starts, table.percentiles
    problems = []
    if not 1 <= len(starts) <= MOST_WEEKS or any(
        days_between(a, b) != DAYS for a, b in pairwise(starts)
    ):
        problems.append(f"week_starts: 1 to {MOST_WEEKS} days of the calendar, each 7 days on")
    if len(percentiles) < 2 or not (
        percentiles[0] >= 0 and percentiles[-1] <= 1 and np.all(np.diff(percentiles) > 0)
    ):
        problems.append(f"percentiles = {percentiles}: at least two, rising, within 0 and 1")
    if len(table.days) != len(starts):
        problems.append(f"days has {len(table.days)} weeks, week_starts has {len(starts)}")
    for start, days in zip(starts, table.days, strict=False):
        if len(days) != len(percentiles) or not (
            all(0 <= number <= DAYS for number in days) and np.all(np.diff(days) >= 0)
        ):
            problems.append(
                f"days of the week of {start} = {days}: one number a percentile, "
                "within 0 and 7, not falling"
            )
    return problems


def _parameter_problems(table: WeeklyTable) -> list[str]:
    """Say what is wrong with the parameters of the draw."""
    problems = []
    if table.tails not in get_args(Tails):
        problems.append(f'tails = {table.tails!r}: "extend" or "hold" is allowed')
    if not -1 < table.week_correlation < 1:
        problems.append(
            f"week_correlation = {table.week_correlation}: above -1 and below 1 is allowed"
        )
    for name, value in (("season_share", table.season_share), ("persistence", table.persistence)):
        if value is not None and not 0 <= value <= 1:
            problems.append(f"{name} = {value}: a share from 0 to 1 is allowed")
    return problems
