"""Fitting a weekly probability table to records."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from fieldsim.days.layout import DAYS
from fieldsim.days.records.dependence import Estimate
from fieldsim.days.records.fitted import Fitted, csv_text
from fieldsim.days.records.quantiles import neighbor_share, sample_quantiles, smoothing_weights
from fieldsim.days.records.record import Records, weekly
from fieldsim.days.records.season_fit import season_estimates, table_settings
from fieldsim.days.weekly_files import WeeklyParameters
from fieldsim.days.weekly_table import MOST_WEEKS, WeeklyTable
from fieldsim.randomness import stream

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
    own = sample_quantiles(totals, percentiles)
    own = np.where(np.isnan(own), 0.0, own)  # without weight below
    share = neighbor_share(years, neighbor_years)[:, None]
    matrix = (1 - share) * np.eye(len(years)) + share * smoothing_weights(years, HALF_WIDTH)
    return np.sort(np.clip(matrix @ own, 0.0, DAYS), axis=-1)


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
    changes, and not what the smoothing takes off a week that truly differs from its neighbors. For
    records simulated from a table of 18 weeks the 95 % intervals held the true days in COVERAGE.

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
    quantiles = smoothed_quantiles(totals, percentiles, years, neighbor_years)
    spread = np.concatenate(
        [
            smoothed_quantiles(totals[batch], percentiles, years, neighbor_years)
            for batch in np.array_split(sampled, max(1, replicates // BATCH))
        ]
    ).std(axis=0)
    errors = spread * np.sqrt(len(totals) / (len(totals) - 1))
    source = WeeklyTable(
        week_starts=weeks.columns[:MOST_WEEKS],
        percentiles=tuple(percentiles.tolist()),
        days=tuple(map(tuple, quantiles.round(DIGITS).tolist())),
    )
    estimates = season_estimates(records, totals, sampled)
    settings = table_settings(source, estimates)
    source = replace(source, **settings)
    own = sample_quantiles(totals, percentiles)
    return _fitted(weeks, source, (own, errors, years), levels, estimates, settings)


def _bootstrap(years: int, replicates: int, seed: int) -> NDArray[np.int64]:
    """Return bootstrap samples of the years, shape (replicate, year)."""
    return (stream(seed, "days.records.fit").random((replicates, years)) * years).astype(np.int64)


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
    half = float(stdtrit(len(weeks.years) - 1, 0.975)) * errors
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
        columns=["parameter", "value", "estimate", "standard_error", "years"],
    )
    comments = [
        "Days had in at least so many % of years; smoothed over neighboring weeks",
        *(
            f"{name} = {values[name]} (standard error {estimate.standard_error:.2f})"
            for name, estimate in estimates.items()
        ),
    ]
    rows = [
        (name, week, error, int(count))
        for name, week, error, count in zip(
            names, days.tolist(), errors.tolist(), years.tolist(), strict=True
        )
    ]
    columns = ["week_starting", *(f"at_least_{number:g}" for number in levels)]
    text = csv_text(weeks, comments, columns, rows, DIGITS)
    warnings = (*weeks.warnings, *_warnings(levels, years, names))
    return Fitted(source, table, parameters, text, settings, warnings)


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
