"""Fitting a weekly probability table to records."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.layout import DAYS
from fieldsim.days.records.dependence import Estimate
from fieldsim.days.records.fitted import PARAMETER_COLUMNS, Fitted, csv_text
from fieldsim.days.records.quantiles import neighbor_share, sample_quantiles, smoothing_weights
from fieldsim.days.records.record import Records, weekly
from fieldsim.days.records.season_fit import season_estimates, table_settings
from fieldsim.days.weekly_files import WeeklyParameters
from fieldsim.days.weekly_table import MOST_WEEKS, WeeklyTable
from fieldsim.randomness import stream
from fieldsim.student import student_quantile

__all__ = ["fit_weekly_table", "smoothed_quantiles"]

HALF_WIDTH = 3  # weeks on either side
BATCH = 100  # bootstrap samples at a time, to keep memory small
DIGITS = 2


def smoothed_quantiles(
    totals: NDArray[np.float64],
    percentiles: NDArray[np.float64],
    years: NDArray[np.float64],
    neighbor_years: float,
) -> NDArray[np.float64]:
    """Return quantiles of weekly totals, drawn toward a smooth course over the weeks.

    (1 - k) q + k m, with q the week's own `sample_quantiles`, m the line through the quantiles of
    up to 3 weeks on either side (`smoothing_weights`) and k = neighbor_years / (neighbor_years +
    years) (`neighbor_share`). Sorted along the percentiles, which moves quantiles that cross
    nearer to the truth (Chernozhukov, Fernandez-Val and Galichon 2010, Econometrica 78, 1093).

    Parameters
    ----------
    totals : ndarray, shape (..., year, week)
        Suitable days [days, 0..7]; nan where missing.
    percentiles : ndarray, shape (percentile,)
        Shares of years [0..1], rising.
    years : ndarray, shape (week,)
        Years behind each week.
    neighbor_years : float
        Years that the line counts for.

    Returns
    -------
    ndarray, shape (..., week, percentile)
        Suitable days [days, 0..7].

    Examples
    --------
    >>> totals = np.array([[1.0, 2.0, 3.0], [2.0, 3.0, 4.0]])
    >>> smoothed_quantiles(totals, np.array([0.5]), np.full(3, 2.0), 20.0).round(2).ravel().tolist()
    [1.5, 2.5, 3.5]
    """
    return _smoothed(sample_quantiles(totals, percentiles), years, neighbor_years)


def _smoothed(
    own: NDArray[np.float64], years: NDArray[np.float64], neighbor_years: float
) -> NDArray[np.float64]:
    """Draw the weeks' own quantiles (..., week, percentile) toward a smooth course."""
    share = neighbor_share(years, neighbor_years)[:, None]
    matrix = (1 - share) * np.eye(len(years)) + share * smoothing_weights(years, HALF_WIDTH)
    known = np.where(years[:, None] > 0, own, 0.0)  # weeks without a year have no weight
    return np.sort(np.clip(matrix @ known, 0.0, DAYS), axis=-1)


def fit_weekly_table(
    records: Records,
    *,
    at_least: Sequence[float] = (90, 80, 50, 20, 10),
    neighbor_years: float = 20.0,
    replicates: int = 400,
    seed: int = 0,
) -> Fitted:
    """Fit a weekly probability table.

    Each week's days at each level are `smoothed_quantiles`. The correlation of weeks and the
    season's share of it come from the normal scores of the years within each week
    (`normal_scores_of`, `lag_correlations`, `copula_parameters`); a trend in the records shows as a
    common wetness of seasons and makes the share larger. The persistence comes from daily records
    (`pooled_persistence`), or the nearest to it that the fitted weeks allow; weekly records say
    nothing of it.

    Standard errors are by bootstrap of whole years (stream "days.records.fit"), times
    sqrt(n / (n - 1)); intervals are the estimate plus or minus so many of them as Student's t says
    for n - 1. They hold the chance that lies in having just these n years; not a climate that
    changes, and not what the smoothing takes off a week that truly differs from its neighbors.

    For records simulated from a table of 18 weeks, 150 each of 5, 10, 20 and 40 years, the 95 %
    intervals held the true days in 92 to 93 % of the cases (84 % for the days had in 90 % of years
    from 5 years, which came out 0.5 days too many; 0.1 days from 20 years), and smoothing made the
    error 28 % smaller with 10 years and 17 % with 40. A week_correlation of 0.30 and a season_share
    of 0.20 came out as 0.24 and 0.16 from 5 years, 0.28 and 0.19 from 20.

    Parameters
    ----------
    records : Records
        Daily ones are added up over weeks from their first day on. At most 52 weeks are fitted.
    at_least : sequence of float
        Levels: shares of years in which at least so many days are had [%], between 0 and 100.
    neighbor_years : float
        Years that the neighboring weeks count for; 0 for no smoothing.
    replicates : int
        Bootstrap samples, 50 or more.
    seed : int
        0 or more, for the bootstrap.

    Returns
    -------
    Fitted
        Rows of `table` have ``week_starting``, ``at_least`` [%] and ``days`` [days].

    Raises
    ------
    ValueError
        If a parameter is not as said above.

    Examples
    --------
    >>> from datetime import date
    >>> from fieldsim.days.records.record import from_seasons
    >>> from fieldsim.season import Season
    >>> april = Season(date(2026, 4, 1), date(2026, 4, 28))
    >>> fitted = fit_weekly_table(from_seasons(np.tri(28)[::2], april), at_least=(80, 20))
    >>> print(fitted.text.splitlines()[-4])
    1 Apr,4.76,7.00
    """
    levels = sorted(set(at_least), reverse=True)
    if len(levels) < 2 or not all(0 < number < 100 for number in levels):
        raise ValueError(f"at_least = {at_least}: two levels or more, between 0 and 100")
    if neighbor_years < 0 or replicates < 50:
        raise ValueError("neighbor_years is 0 or more, replicates 50 or more")
    weeks = weekly(records)
    totals = weeks.days[:, :MOST_WEEKS]
    years = (~np.isnan(totals)).sum(axis=0).astype(np.float64)
    percentiles = np.array([(100 - number) / 100 for number in levels])
    sampled = _bootstrap(len(totals), replicates, seed)
    own = sample_quantiles(totals, percentiles)
    quantiles = _smoothed(own, years, neighbor_years)
    errors = _errors(totals, percentiles, years, neighbor_years, sampled)
    source = WeeklyTable(
        week_starts=weeks.columns[:MOST_WEEKS],
        percentiles=tuple(percentiles.tolist()),
        days=tuple(map(tuple, quantiles.round(DIGITS).tolist())),
    )
    estimates = season_estimates(records, totals, sampled)
    settings = table_settings(source, estimates)
    source = replace(source, **settings)
    return _fitted(weeks, source, (own, errors, years), levels, estimates, settings)


def _bootstrap(years: int, replicates: int, seed: int) -> NDArray[np.int64]:
    """Return bootstrap samples of the years, shape (replicate, year)."""
    return (stream(seed, "days.records.fit").random((replicates, years)) * years).astype(np.int64)


def _errors(
    totals: NDArray[np.float64],
    percentiles: NDArray[np.float64],
    years: NDArray[np.float64],
    neighbor_years: float,
    sampled: NDArray[np.int64],
) -> NDArray[np.float64]:
    """Return the bootstrap standard errors of the smoothed quantiles, (week, percentile).

    A sample that has none of the few years of a week takes that week as it is.
    """
    own = sample_quantiles(totals, percentiles)
    made = []
    for batch in np.array_split(sampled, max(1, len(sampled) // BATCH)):
        again = sample_quantiles(totals[batch], percentiles)
        made.append(_smoothed(np.where(np.isnan(again), own, again), years, neighbor_years))
    scale = np.sqrt(len(totals) / (len(totals) - 1))
    errors: NDArray[np.float64] = scale * np.concatenate(made).std(axis=0)
    return errors


def _fitted(
    weeks: Records,
    source: WeeklyTable,
    figures: tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]],
    levels: Sequence[float],
    estimates: dict[str, Estimate],
    settings: WeeklyParameters,
) -> Fitted:
    """Put figures, errors and text together; `figures` are own quantiles, errors and years."""
    import pandas as pd

    own, errors, years = figures
    half = student_quantile(len(weeks.years) - 1, 0.975) * errors
    names = [str(day) for day in source.week_starts]
    days = np.array(source.days)
    table = pd.DataFrame(
        {
            "week_starting": np.repeat(names, len(levels)),
            "at_least": np.tile(np.array(levels, dtype=float), len(names)),
            "days": days.ravel(),
            "standard_error": errors.ravel(),
            "low": np.clip(days - half, 0, DAYS).ravel(),
            "high": np.clip(days + half, 0, DAYS).ravel(),
            "own": own.ravel(),
            "years": np.repeat(years.astype(int), len(levels)),
        }
    )
    values = dict(settings.items())
    parameters = pd.DataFrame(
        [
            (name, values[name], estimate.value, estimate.standard_error, len(weeks.years))
            for name, estimate in estimates.items()
        ],
        columns=list(PARAMETER_COLUMNS),
    )
    warnings = (*weeks.warnings, *_warnings(levels, years, names))
    text = _text(weeks, source, errors, years, levels, estimates, values)
    return Fitted(source, table, parameters, text, settings, warnings)


def _text(
    weeks: Records,
    source: WeeklyTable,
    errors: NDArray[np.float64],
    years: NDArray[np.float64],
    levels: Sequence[float],
    estimates: dict[str, Estimate],
    values: dict[str, object],
) -> str:
    """Write the table as CSV text."""
    comments = ["Days had in at least so many % of years; smoothed over neighboring weeks"]
    comments += [
        f"{name} = {values[name]} (standard error {estimate.standard_error:.2f})"
        for name, estimate in estimates.items()
    ]
    rows = [
        (str(day), week, error, int(count))
        for day, week, error, count in zip(
            source.week_starts, source.days, errors.tolist(), years, strict=True
        )
    ]
    columns = ["week_starting", *(f"at_least_{number:g}" for number in levels)]
    return csv_text(weeks, comments, columns, rows, DIGITS)


def _warnings(
    levels: Sequence[float], years: NDArray[np.float64], names: Sequence[str]
) -> list[str]:
    """Say which weeks have too few years for the outermost levels."""
    rarest = min(levels[-1], 100 - levels[0]) / 100
    few = [
        name for name, count in zip(names, years, strict=True) if (count + 1 / 3) * rarest < 2 / 3
    ]
    if not few:
        return []
    return [
        f"{len(few)} weeks (the first from {few[0]}) have too few years to place the outermost "
        "levels: there the best or worst year known stands for it"
    ]
