"""Holding a source's draws against its own table or record, or against another."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from fieldsim.days.contract import DaySource
from fieldsim.days.daily_chain import DailyChain
from fieldsim.days.layout import DAYS
from fieldsim.days.records.figures import DAILY, WEEKLY, jackknife
from fieldsim.days.records.quantiles import sample_quantiles
from fieldsim.days.records.record import Records
from fieldsim.days.records.references import PERSISTENCE, ZEROS, Reference, reference_to
from fieldsim.days.records.resampling import RecordYears, drawn_columns
from fieldsim.days.weekly_table import WeeklyTable
from fieldsim.season import Season
from fieldsim.student import student_quantile

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["check_days"]

FALSE_ALARMS = 0.05  # share of the checks of a right source in which any row fails
GROUPS = 40  # of seasons, for the Monte Carlo error
ROUNDING = 1e-6
DECIMALS = 10  # of the bands: releases of NumPy differ in the sixteenth
COLUMNS = ("what", "week", "expected", "drawn", "band_low", "band_high", "passed")

Row = tuple[str, str, float, float, float, float, bool]


def check_days(
    source: DaySource,
    season: Season,
    *,
    against: WeeklyTable | DailyChain | Records | None = None,
    seasons: int = 2000,
    seed: int = 0,
    soil: str | None = None,
) -> pd.DataFrame:
    """Hold a source's draws against its own table, chain or record, or against another.

    Compared are the quantiles of each week that lies wholly in the season, mean and spread of the
    season totals, the correlation of a week with the next, weeks without a suitable day (less than
    0.05 days), and with daily records or a chain how suitable days follow one another. A weekly
    table is asked for its persistence over all its weeks. What a table or a chain should give is
    computed exactly, not drawn.

    A row passes if what was drawn lies in the band around what is expected. The band holds the
    Monte Carlo error of so many seasons, and against a record also the error that lies in its few
    years (order statistics for the quantiles, the jackknife over years for the others). It is so
    wide that for a right source any row fails in about 1 check of 20: this chance is shared out
    evenly over the kinds of rows, and within a kind over the weeks.

    What a table that is fitted to a record most often fails are the spread of the season totals
    and the correlation of weeks, which the quantiles of single weeks do not hold.

    Parameters
    ----------
    source : DaySource
    season : Season
    against : WeeklyTable, DailyChain or Records, optional
        Default: the source itself, or the records of `RecordYears`.
    seasons : int
        Seasons to draw; of a replay, all its years.
    seed : int
        0 or more.
    soil : str, optional
        Which soil, for a source with several.

    Returns
    -------
    DataFrame
        Columns ``what``, ``week`` (its first day; empty for the season), ``expected``, ``drawn``,
        ``band_low``, ``band_high`` and ``passed``; days in [days].

    Raises
    ------
    InputError
        If no week lies wholly in the season, or as the draw.
    ValueError
        If it is not clear what to hold the source against, or which soil is meant.

    Examples
    --------
    >>> from datetime import date
    >>> from fieldsim.season import CalendarDay
    >>> chain = DailyChain((CalendarDay(5, 1),), (0.8,), (0.3,))
    >>> rows = check_days(chain, Season(date(2026, 4, 1), date(2026, 6, 30)), seasons=500)
    >>> bool(rows.passed.all())
    True
    """
    import pandas as pd

    target = _own(source) if against is None else against
    if isinstance(source, RecordYears) and source.resampling == "replay":
        seasons = min(seasons, len(source.records.years))
    reference = reference_to(target, season)
    days = source.draw(season, seasons, seed)[:, _soil(source, soil)]
    weeks = days[:, reference.windows].sum(axis=-1)
    if isinstance(source, RecordYears) and source.records is target and target.unit == "week":
        weeks = drawn_columns(source, seasons, seed)[:, reference.kept]  # as the years keep them
    if reference.days is not None:
        days = days[:, reference.days]
    kinds = len(reference.figures) + 1
    rows = _week_rows(reference, weeks, kinds)
    for what, expected in reference.figures.items():
        sample = weeks if what in WEEKLY else days
        if what == PERSISTENCE and isinstance(target, WeeklyTable):
            if source != target:
                continue
            sample = target.draw(_all_weeks(target), seasons, seed)[:, 0]
        drawn = jackknife((WEEKLY | DAILY)[what], sample, GROUPS)
        if np.isfinite(expected[0]):
            rows.append(_figure_row(what, expected, drawn, reference, sample.size, kinds))
    return pd.DataFrame(rows, columns=list(COLUMNS))


def _own(source: DaySource) -> WeeklyTable | DailyChain | Records:
    """Return what a source says of itself."""
    if isinstance(source, RecordYears):
        return source.records
    if isinstance(source, WeeklyTable | DailyChain):
        return source
    raise ValueError(
        "this source has no table or record of its own; say what to hold it against, as "
        "against=records"
    )


def _soil(source: DaySource, soil: str | None) -> int:
    """Return the place of the soil that is meant."""
    if soil is None and len(source.soils) == 1:
        return 0
    if soil not in source.soils:
        raise ValueError(f"soil = {soil!r}: choose one of {', '.join(source.soils)}")
    return source.soils.index(soil)


def _all_weeks(table: WeeklyTable) -> Season:
    """Return the season of all weeks of a table, without a leap day."""
    first = table.week_starts[0].in_year(2001)
    return Season(first, first + timedelta(days=DAYS * len(table.week_starts) - 1))


def _week_rows(reference: Reference, weeks: NDArray[np.float64], kinds: int) -> list[Row]:
    """Return the rows of single weeks: quantiles, or means where there are none."""
    names = [str(week) for week in reference.weeks]
    if reference.means is not None:
        means = weeks.mean(axis=0)
        half = _times(GROUPS, kinds * len(names)) * weeks.std(axis=0, ddof=1) / np.sqrt(len(weeks))
        bands = zip(names, reference.means, means, half, half, strict=True)
        return [_row("mean days of the week", *band) for band in bands]
    percentiles, expected = reference.percentiles, reference.quantiles
    z = float(-ndtri(FALSE_ALARMS / 2 / kinds / expected.size))
    drawn = sample_quantiles(weeks, percentiles)
    below, above = _order_statistics(weeks, drawn, percentiles, z)
    if reference.sample is not None:
        record_below, record_above = _order_statistics(reference.sample, expected, percentiles, z)
        below, above = np.hypot(below, record_above), np.hypot(above, record_below)
    return [
        _row(
            f"days had in at least {100 * (1 - percentile):g} % of years",
            *(name, expected[week, place], drawn[week, place]),
            *(above[week, place], below[week, place]),
        )
        for place, percentile in enumerate(percentiles)
        for week, name in enumerate(names)
    ]


def _order_statistics(
    sample: NDArray[np.float64],
    quantiles: NDArray[np.float64],
    percentiles: NDArray[np.float64],
    z: float,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return how far a true quantile may lie below and above that of a sample.

    The true quantile at p lies between the sample's quantiles at p - z sqrt(p (1 - p) / n) and
    p + z sqrt(p (1 - p) / n) (order statistics; Conover 1999, Practical nonparametric statistics,
    3rd ed., section 3.2); 0 and 7 days stand for what lies beyond the outermost figures.
    """
    count = (~np.isnan(sample)).sum(axis=0)[:, None]
    half = z * np.sqrt(percentiles * (1 - percentiles) / np.maximum(count, 1))
    low, high = np.empty(quantiles.shape), np.empty(quantiles.shape)
    for week in range(len(quantiles)):
        at = np.clip(np.stack([percentiles - half[week], percentiles + half[week]]), 0, 1)
        reached = sample_quantiles(sample[:, week, None], at.ravel())
        low[week], high[week] = reached.reshape(at.shape)
    outermost = 2 / 3 / (count + 1 / 3)
    low = np.where(percentiles - half < outermost, 0.0, low)
    high = np.where(percentiles + half > 1 - outermost, float(DAYS), high)
    return quantiles - low, high - quantiles


def _figure_row(
    what: str,
    expected: tuple[float, float],
    drawn: tuple[float, float],
    reference: Reference,
    cells: int,
    kinds: int,
) -> Row:
    """Return the row of a figure of the whole season; values with their standard errors."""
    half = _times(GROUPS, kinds) * drawn[1]
    if what == ZEROS:  # rare: one week more or less, and independent weeks, are always allowed
        share = expected[0]
        half = 1 / cells + max(half, _times(GROUPS, kinds) * (share * (1 - share) / cells) ** 0.5)
    if reference.years:
        half = float(np.hypot(half, _times(reference.years, kinds) * expected[1]))
    return _row(what, "", expected[0], drawn[0], half, half)


def _times(groups: int, rows: int) -> float:
    """Return how many standard errors, from so many groups, a row may be off."""
    return -student_quantile(groups - 1, FALSE_ALARMS / 2 / rows)


def _row(what: str, week: str, expected: float, drawn: float, below: float, above: float) -> Row:
    """Return a row with the band from `below` to `above` what is expected."""
    ends = expected - below - ROUNDING, expected + above + ROUNDING
    low, high = (round(float(end), DECIMALS) for end in ends)
    return what, week, float(expected), float(drawn), low, high, bool(low <= drawn <= high)
