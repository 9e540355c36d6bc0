"""Fitting sources of suitable days to records, with the sampling error beside each figure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from fieldsim.days.records.chain_fit import Period, fit_daily_chain
from fieldsim.days.records.fitted import Fitted
from fieldsim.days.records.record import Records
from fieldsim.days.records.table_fit import fit_weekly_table

__all__ = ["fit"]


def fit(
    records: Records,
    *,
    kind: Literal["weekly_table", "daily_chain"] = "weekly_table",
    at_least: Sequence[float] = (90, 80, 50, 20, 10),
    period: Period = "half_month",
    neighbor_years: float = 20.0,
    persistence: float | None = None,
    replicates: int = 400,
    seed: int = 0,
) -> Fitted:
    """Fit a weekly table or a daily chain to records.

    For seasons given as an array, make records of them first: ``fit(from_seasons(suitable,
    season))``.

    Parameters
    ----------
    records : Records
    kind : "weekly_table" or "daily_chain"
        See `fit_weekly_table` and `fit_daily_chain`.
    at_least : sequence of float
        Levels of a weekly table [%].
    period : "half_month" or "month"
        Periods of a chain.
    neighbor_years : float
        Years that neighboring weeks or periods count for; 0 for no smoothing.
    persistence : float, optional
        For a chain from weekly records: P(suitable | the day before suitable) [0..1].
    replicates, seed : int
        Bootstrap samples of a weekly table, and their seed.

    Returns
    -------
    Fitted

    Raises
    ------
    InputError
        If the records do not hold what the source needs.
    ValueError
        If a parameter is out of its bounds.

    Examples
    --------
    >>> from datetime import date
    >>> import numpy as np
    >>> from fieldsim.days import parse_weekly_table
    >>> from fieldsim.days.records.record import from_seasons
    >>> from fieldsim.season import Season
    >>> april = Season(date(2026, 4, 1), date(2026, 4, 28))
    >>> fitted = fit(from_seasons(np.tri(28)[::2], april))
    >>> parse_weekly_table(fitted.text, "april", **fitted.settings) == fitted.source
    True
    """
    if kind == "daily_chain":
        return fit_daily_chain(
            records, period=period, neighbor_years=neighbor_years, persistence=persistence
        )
    if kind != "weekly_table":
        raise ValueError(f'kind = {kind!r}: "weekly_table" or "daily_chain" is allowed')
    return fit_weekly_table(
        records,
        at_least=at_least,
        neighbor_years=neighbor_years,
        replicates=replicates,
        seed=seed,
    )
