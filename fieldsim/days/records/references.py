"""What a source should draw, by its own table or chain or by a record, with the record's error."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.daily_chain import DailyChain
from fieldsim.days.layout import DAYS, expected_persistence
from fieldsim.days.records.chain_moments import chain_moments
from fieldsim.days.records.figures import DAILY, WEEKLY, jackknife
from fieldsim.days.records.quantiles import sample_quantiles
from fieldsim.days.records.record import Records, weekly
from fieldsim.days.records.table_moments import table_covariance, table_means, table_zero_weeks
from fieldsim.days.weekly_table import (
    COMMON_YEAR,
    PILOT_SEASONS,
    WeeklyTable,
    change_odds,
    weekly_totals,
)
from fieldsim.errors import Fault, InputError
from fieldsim.season import CalendarDay, Season

__all__ = ["PERSISTENCE", "ZEROS", "Reference", "reference_to"]

FEWEST_YEARS = 3
PERCENTILES = (0.1, 0.2, 0.5, 0.8, 0.9)
MEAN, SPREAD, CORRELATION, ZEROS = WEEKLY
PERSISTENCE, AFTER_UNSUITABLE, SUITABLE_RUN, UNSUITABLE_RUN = DAILY


@dataclass(frozen=True, eq=False)
class Reference:
    """What is expected of the draws over the weeks of a season.

    Parameters
    ----------
    weeks : tuple of CalendarDay
        First day of each week.
    windows : ndarray of int, shape (week, 7)
        Its days in the season.
    kept : ndarray of int, shape (week,)
        Which weeks of the table, or columns of the record, they are.
    percentiles : ndarray, shape (percentile,)
        Of the quantiles [0..1]; empty if there are none.
    quantiles : ndarray, shape (week, percentile)
        Suitable days [days].
    means : ndarray, shape (week,) or None
        Mean suitable days of each week [days], where there are no quantiles.
    sample : ndarray, shape (year, week) or None
        The record's weekly totals behind the quantiles.
    days : ndarray of int, shape (day,) or None
        Days of the season over which the figures of days are taken; None: all.
    figures : mapping of str to (float, float)
        Expected value of each figure and the record's standard error of it, 0 if exact.
    years : int
        Years of the record, 0 if there is none.
    """

    weeks: tuple[CalendarDay, ...]
    windows: NDArray[np.int64]
    kept: NDArray[np.int64]
    percentiles: NDArray[np.float64]
    quantiles: NDArray[np.float64]
    means: NDArray[np.float64] | None = None
    sample: NDArray[np.float64] | None = None
    days: NDArray[np.int64] | None = None
    figures: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    years: int = 0


def reference_to(against: WeeklyTable | DailyChain | Records, season: Season) -> Reference:
    """Return what draws are held against.

    Parameters
    ----------
    against : WeeklyTable, DailyChain or Records
    season : Season
        Weeks that lie wholly in it are compared.

    Returns
    -------
    Reference

    Raises
    ------
    InputError
        If no week lies wholly in the season, or too few years of a record have any.
    """
    if isinstance(against, WeeklyTable):
        return _of_table(against, season)
    if isinstance(against, DailyChain):
        return _of_chain(against, season)
    return _of_records(against, season)


def _windows(
    starts: tuple[CalendarDay, ...], season: Season
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return which weeks lie wholly in a season, and the days of each; a leap day is left out."""
    of_year = (season.day_of_year - 1) % COMMON_YEAR
    index = {int(day): at for at, day in reversed(list(enumerate(of_year)))}
    kept, windows = [], []
    for week, start in enumerate(starts):
        days = [(start.day_of_year - 1 + day) % COMMON_YEAR for day in range(DAYS)]
        if all(day in index for day in days) and index[days[-1]] > index[days[0]]:
            kept.append(week)
            windows.append([index[day] for day in days])
    if not kept:
        problem, repair = "no week lies wholly in the season", "choose a longer season"
        raise InputError([Fault("check of days", "season", "", problem, repair)])
    return np.array(kept), np.array(windows)


def _of_table(table: WeeklyTable, season: Season) -> Reference:
    """Return what a weekly table says of itself."""
    kept, windows = _windows(table.week_starts, season)
    covariance = table_covariance(table)[np.ix_(kept, kept)]
    pilot = weekly_totals(table, PILOT_SEASONS, 0, "days.pilot")
    figures = {
        MEAN: float(table_means(table)[kept].sum()),
        SPREAD: float(np.sqrt(covariance.sum())),
        CORRELATION: _pooled_correlation(covariance),
        ZEROS: float(table_zero_weeks(table)[kept].mean()),
        PERSISTENCE: expected_persistence(pilot, change_odds(table)),
    }
    return Reference(
        weeks=tuple(table.week_starts[week] for week in kept),
        windows=windows,
        kept=kept,
        percentiles=np.array(table.percentiles),
        quantiles=np.array(table.days)[kept],
        figures={what: (value, 0.0) for what, value in figures.items()},
    )


def _of_chain(chain: DailyChain, season: Season) -> Reference:
    """Return what a chain says of itself, over the full weeks from the season's first day on."""
    starts = tuple(_day(season, at) for at in range(0, season.days - DAYS + 1, DAYS))
    kept, windows = _windows(starts, season)
    exact = chain_moments(chain, season)
    days = windows.ravel()
    covariance = exact.covariance[np.ix_(days, days)]
    weekly_covariance = covariance.reshape(len(kept), DAYS, len(kept), DAYS).sum(axis=(1, 3))
    stays = exact.stays_unsuitable[windows[:, 1:]].prod(axis=1)
    figures = {
        MEAN: float(exact.share[days].sum()),
        SPREAD: float(np.sqrt(covariance.sum())),
        CORRELATION: _pooled_correlation(weekly_covariance),
        ZEROS: float(((1 - exact.share[windows[:, 0]]) * stays).mean()),
        PERSISTENCE: exact.after_suitable,
        AFTER_UNSUITABLE: exact.after_unsuitable,
        SUITABLE_RUN: exact.suitable_run,
        UNSUITABLE_RUN: exact.unsuitable_run,
    }
    return Reference(
        weeks=tuple(starts[week] for week in kept),
        windows=windows,
        kept=kept,
        percentiles=np.empty(0),
        quantiles=np.empty((len(kept), 0)),
        means=exact.share[windows].sum(axis=1),
        figures={what: (value, 0.0) for what, value in figures.items()},
    )


def _of_records(records: Records, season: Season) -> Reference:
    """Return what the years of a record hold, with the error of having so few of them.

    Weeks that fewer than half of the years have are left out.
    """
    at = {day: place for place, day in enumerate(records.columns)}
    inside = [i for i in range(season.days) if _day(season, i) in at]
    weeks = weekly(records, _day(season, inside[0]) if inside else None)
    kept, windows = _windows(weeks.columns, season)
    years = len(records.years)
    held = (~np.isnan(weeks.days[:, kept])).sum(axis=0) >= max(FEWEST_YEARS, years / 2)
    kept, windows = kept[held], windows[held]
    if not len(kept):
        problem = f"no week of the season is known for half of the years and {FEWEST_YEARS}"
        repair = "add years, or choose another season"
        raise InputError([Fault(records.file, f"{records.unit}s", "", problem, repair)])
    sample = weeks.days[:, kept]
    figures = {what: jackknife(of, sample, years) for what, of in WEEKLY.items()}
    if records.unit == "day":
        days = records.days[:, [at[_day(season, i)] for i in inside]]
        figures |= {what: jackknife(of, days, years) for what, of in DAILY.items()}
    percentiles = np.array(PERCENTILES)
    return Reference(
        weeks=tuple(weeks.columns[week] for week in kept),
        windows=windows,
        kept=kept,
        percentiles=percentiles,
        quantiles=sample_quantiles(sample, percentiles),
        sample=sample,
        days=np.array(inside),
        figures=figures,
        years=years,
    )


def _day(season: Season, at: int) -> CalendarDay:
    """Return the day of the calendar at an index of the season."""
    day = season.date(at)
    return CalendarDay(day.month, day.day)


def _pooled_correlation(covariance: NDArray[np.float64]) -> float:
    """Return the correlation of weeks with the next ones, pooled as in the draws."""
    variance = np.diag(covariance)
    if len(variance) < 2:
        return float("nan")
    scale = np.sqrt(variance[:-1].sum() * variance[1:].sum())
    return float(np.diag(covariance, 1).sum() / scale)
