"""How little a few years tell: sources refitted to other samples of as many years."""

from __future__ import annotations

from dataclasses import replace
from typing import overload

import numpy as np

from fieldsim.days.records.record import Records
from fieldsim.days.records.resampling import RecordYears
from fieldsim.days.records.table_fit import smoothed_quantiles
from fieldsim.days.weekly_table import WeeklyTable, weekly_totals
from fieldsim.randomness import stream

__all__ = ["resampled"]


@overload
def resampled(source: Records, replicate: int, seed: int) -> Records: ...
@overload
def resampled(source: RecordYears, replicate: int, seed: int) -> RecordYears: ...
@overload
def resampled(
    source: WeeklyTable,
    replicate: int,
    seed: int,
    *,
    years: int | None = None,
    neighbor_years: float = 20.0,
) -> WeeklyTable: ...
def resampled(
    source: Records | RecordYears | WeeklyTable,
    replicate: int,
    seed: int,
    *,
    years: int | None = None,
    neighbor_years: float = 20.0,
) -> Records | RecordYears | WeeklyTable:
    """Return a source as it might be, had other years been recorded.

    Seasons drawn from a source hold the risk of the weather, given that the source is right. That
    it rests on a few years is a second uncertainty, and it lies outside the seasons: draw the same
    number of seasons from each of some replicates of the source, and see how far their results lie
    apart.

    From records a replicate is a bootstrap sample of the years: as many years, drawn with
    replacement (Efron 1982, The jackknife, the bootstrap and other resampling plans). From a weekly
    table it is a parametric bootstrap: as many years of weekly totals as lie behind the table are
    drawn from it, and its quantiles are fitted to them anew (`smoothed_quantiles`); its parameters
    stay. Replicate r is the same however many are made.

    A bootstrap knows no year worse than those on record; the truth may be wider still.

    Parameters
    ----------
    source : Records, RecordYears or WeeklyTable
    replicate : int
        Number of the replicate, 0 or more.
    seed : int
        0 or more; streams "days.records.bootstrap" and "days.bootstrap.<replicate>".
    years : int
        Years behind a weekly table, 2 or more; for a table only.
    neighbor_years : float
        Years that neighboring weeks count for when a table is fitted anew; as in its own fit.

    Returns
    -------
    Records, RecordYears or WeeklyTable
        Like the source.

    Raises
    ------
    ValueError
        If `replicate` is negative, or `years` is missing for a table or given for records.
    TypeError
        If the source is of another kind.

    Examples
    --------
    >>> from fieldsim.season import CalendarDay
    >>> table = WeeklyTable((CalendarDay(5, 6),), (0.2, 0.5, 0.8), ((2.0, 4.0, 5.5),))
    >>> [round(resampled(table, r, seed=0, years=20).days[0][1], 1) for r in range(3)]
    [3.9, 2.9, 3.2]
    """
    if replicate < 0:
        raise ValueError(f"replicate = {replicate}: 0 or more")
    if isinstance(source, WeeklyTable):
        if years is None or years < 2:
            raise ValueError(f"years = {years}: say how many years lie behind the table, 2 or more")
        totals = weekly_totals(source, years, seed, f"days.bootstrap.{replicate}")
        behind = np.full(totals.shape[1], float(years))
        quantiles = smoothed_quantiles(totals, np.array(source.percentiles), behind, neighbor_years)
        return replace(source, days=tuple(map(tuple, quantiles.tolist())))
    if years is not None:
        raise ValueError("years: the records know how many they are; leave it out")
    if isinstance(source, RecordYears):
        return replace(source, records=resampled(source.records, replicate, seed))
    if not isinstance(source, Records):
        raise TypeError(f"no years lie behind a {type(source).__name__}")
    count = len(source.years)
    uniforms = stream(seed, "days.records.bootstrap").random((replicate + 1, count))[replicate]
    chosen = (uniforms * count).astype(int)
    return replace(
        source,
        years=tuple(source.years[year] for year in chosen),
        starts=source.starts[chosen],
        days=source.days[chosen],
    )
