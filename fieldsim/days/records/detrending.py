"""Records moved to the level that their trend has in one year."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from fieldsim.days.layout import DAYS
from fieldsim.days.records.record import Records
from fieldsim.days.records.trend import Trend, level, trend
from fieldsim.errors import Fault, InputError
from fieldsim.season import CalendarDay

__all__ = ["Detrended", "remove_trend"]


@dataclass(frozen=True, eq=False)
class Detrended:
    """Records moved to the level of one year, and what was done.

    Parameters
    ----------
    records : Records
    trend : Trend
        The trend that was taken out.
    levels : tuple of float
        Season total on the line in each year of the records [days].
    text : str
        What was done, in plain sentences.
    """

    records: Records
    trend: Trend
    levels: tuple[float, ...]
    text: str


def remove_trend(
    records: Records,
    reference_year: int,
    first: CalendarDay | None = None,
    last: CalendarDay | None = None,
) -> Detrended:
    """Move the weeks of each year to the level that the trend has in one year.

    With the level L of the year, that of the reference year L0 and D days counted, a week with T
    suitable days gets T L0 / L where L0 is below L, and 7 - (7 - T) (D - L0) / (D - L) where it is
    above. Both keep 0 to 7 days and move a season on the line from L to L0 exactly. Where suitable
    days are taken away no full week is left, and where they are added no empty one: the change is
    spread over all weeks in proportion.

    Whether a trend goes on is not for the figures to say; nothing else in this package removes one.

    Parameters
    ----------
    records : Records
        Weekly ones.
    reference_year : int
        The year whose level all years get, as 2026; it may lie outside the records.
    first, last : CalendarDay, optional
        Weeks from which the trend is taken; all weeks of the records are moved by it.

    Returns
    -------
    Detrended

    Raises
    ------
    InputError
        If the records are daily, or the line leaves 0 to D days; and as `trend`.

    Examples
    --------
    >>> from datetime import date
    >>> from fieldsim.days.records.record import from_seasons, weekly
    >>> from fieldsim.season import Season
    >>> april = Season(date(2026, 4, 1), date(2026, 4, 28))
    >>> records = weekly(from_seasons(np.tri(28)[[7, 9, 11, 13]], april, (2001, 2002, 2003, 2004)))
    >>> remove_trend(records, 2001).records.days.sum(axis=1).round(6).tolist()
    [8.0, 8.0, 8.0, 8.0]
    """
    if records.unit == "day":
        problem = "a share of every day is not taken away or added; weeks are"
        repair = "add the days up first: weekly(records)"
        raise InputError([Fault(records.file, "trend", "daily records", problem, repair)])
    line = trend(records, first, last)
    target = level(line, reference_year)
    levels = np.array([level(line, year) for year in records.years])
    if not (min(target, *levels) > 0 and max(target, *levels) < line.length):
        problem = f"the line leaves 0 to {line.length} days"
        repair = "choose a reference year nearer the records"
        raise InputError(
            [Fault(records.file, "reference_year", str(reference_year), problem, repair)]
        )
    at, days = levels[:, None], records.days
    down = days * target / at
    up = DAYS - (DAYS - days) * (line.length - target) / (line.length - at)
    moved = np.clip(np.where(target <= at, down, up), 0.0, DAYS)
    text = _told(line, reference_year)
    return Detrended(replace(records, days=moved), line, tuple(levels.tolist()), text)


def _told(line: Trend, year: int) -> str:
    """Say what was done."""
    left = f" Without {', '.join(map(str, line.left_out))}: weeks missing." if line.left_out else ""
    first, last = line.years[0], line.years[-1]
    away = max(first - year, year - last)
    far = (
        f" {year} lies {away} years from a record that spans {last - first + 1}: nobody knows that "
        "the trend held so long. Choose a year nearer the record."
        if away > last - first + 1
        else ""
    )
    return (
        f"All years moved to the level of {year}: {level(line, year):.1f} of {line.length} days, "
        f"by the trend of {line.slope:+.2f} days a year (standard error "
        f"{line.standard_error:.2f}; {len(line.years)} years, {first} to "
        f"{last}, weeks of {line.first} to {line.last}).{left} In years above that level "
        "the suitable days of each week were multiplied by one factor, in years below it the "
        f"unsuitable days; weeks stay within 0 and 7 days.{far}"
    )
