"""A fitted generator as a table for people: each figure with its error and years."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from fieldsim.days.weather.generator import WeatherGenerator
from fieldsim.days.weather.generator_estimates import Estimate, interval
from fieldsim.season import MONTHS

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["summary"]

STATES = ("dry", "wet")
VARIABLES = ("tmax", "tmin")
WHOLE_YEAR = "year"
BOUNDS = {"0..1": (0.0, 1.0), "mm": (0.0, np.inf)}


def summary(generator: WeatherGenerator) -> pd.DataFrame:
    """Return the figures of a generator with the years they rest on and their sampling error.

    Parameters
    ----------
    generator : WeatherGenerator

    Returns
    -------
    pandas.DataFrame
        One row a figure: `parameter`; `month`, as "Jan", or "year" where one figure serves the
        whole year; `unit`; `value`; `error`, its standard error by leaving out one year after the
        other; `low` and `high`, the ends of its 95 % interval by Student's t, cut off
        where no such figure can be; `years` of the record
        that have a say in it.

    Examples
    --------
    >>> from datetime import date
    >>> from types import SimpleNamespace
    >>> from fieldsim.days.weather.generator_fit import fit_generator
    >>> random = np.random.default_rng(0)
    >>> tmin = random.normal(8.0, 4.0, 3650)
    >>> rain = np.where(random.random(3650) < 0.3, random.exponential(8.0, 3650), 0.0)
    >>> tmax = tmin + random.uniform(4.0, 16.0, 3650)
    >>> record = SimpleNamespace(first_day=date(2001, 1, 1), tmax=tmax, tmin=tmin, rain=rain)
    >>> table = summary(fit_generator(record)).set_index(["parameter", "month"])
    >>> table.loc[("wet_day_rain", "May"), ["value", "error"]].astype(float).round(1).tolist()
    [9.3, 0.8]
    """
    import pandas as pd

    rows = [row for parameter in _parameters(generator) for row in _rows(*parameter)]
    return pd.DataFrame(rows)


def _parameters(generator: WeatherGenerator) -> Iterator[tuple[str, str, Estimate]]:
    """Yield the name, unit and estimate of each figure of a month or of the year."""
    yield "wet_after_wet", "0..1", generator.wet_after_wet
    yield "wet_after_dry", "0..1", generator.wet_after_dry
    yield "wet_day_rain", "mm", generator.wet_day_rain
    yield "shape", "-", generator.shape
    yield "scale", "mm", generator.scale
    for variable, name in enumerate(VARIABLES):
        for state, day in enumerate(STATES):
            at = (slice(None), state, variable)
            yield f"{name}_{day}_mean", "degC", _part(generator.monthly_mean, at)
            yield f"{name}_{day}_sd", "degC", _part(generator.monthly_sd, at)
    yield "season_share", "0..1", generator.season_share
    yield "correlation_tmax_tmin", "-", _part(generator.same_day, (0, 1))
    for row, name in enumerate(VARIABLES):
        for column, before in enumerate(VARIABLES):
            correlation = _part(generator.next_day, (row, column))
            yield f"correlation_{name}_{before}_before", "-", correlation


def _part(estimate: Estimate, at: tuple[int | slice, ...]) -> Estimate:
    return Estimate(estimate.value[at], estimate.error[at], estimate.years[at])


def _rows(name: str, unit: str, estimate: Estimate) -> Iterator[dict[str, object]]:
    """Yield the rows of one figure, of every month or of the year."""
    low, high = np.clip(interval(estimate), *BOUNDS.get(unit, (-np.inf, np.inf)))
    months = MONTHS if np.ndim(estimate.value) else (WHOLE_YEAR,)
    columns = (np.atleast_1d(part) for part in (*estimate[:2], low, high, estimate.years))
    for month, value, error, least, most, years in zip(months, *columns, strict=True):
        yield {
            "parameter": name,
            "month": month,
            "unit": unit,
            "value": float(value),
            "error": float(error),
            "low": float(least),
            "high": float(most),
            "years": int(years),
        }
