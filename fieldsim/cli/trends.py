"""The trend of past years, in words."""

from __future__ import annotations

from fieldsim.days.records import Records, trend
from fieldsim.errors import InputError
from fieldsim.season import CalendarDay

__all__ = ["trend_words"]

DECADE = 10  # years


def trend_words(
    records: Records, first: CalendarDay | None = None, last: CalendarDay | None = None
) -> str:
    """Say how the suitable days of a season changed over the years of a record.

    Parameters
    ----------
    records : Records
    first, last : CalendarDay, optional
        Only weeks (or days) that begin on these days or between them.

    Returns
    -------
    str
        A sentence; where no trend can be fitted, why.

    Examples
    --------
    >>> from datetime import date
    >>> import numpy as np
    >>> from fieldsim.days.records import from_seasons
    >>> from fieldsim.season import Season
    >>> april = Season(date(2026, 4, 1), date(2026, 4, 30))
    >>> print(trend_words(from_seasons(np.tri(30)[[10, 14, 12]], april, (2001, 2002, 2003))))
    Trend of 2001 to 2003: +10.0 days a decade (standard error 17.3), which may be chance alone.
    """
    try:
        line = trend(records, first, last)
    except InputError as error:
        return f"No trend: {error.faults[0].problem}."
    told = "may be" if line.low <= 0 <= line.high else "is more than"
    left = f"; without {', '.join(map(str, line.left_out))}, weeks missing" if line.left_out else ""
    unsure = f"standard error {DECADE * line.standard_error:.1f}{left}"
    return (
        f"Trend of {min(line.years)} to {max(line.years)}: {DECADE * line.slope:+.1f} days a "
        f"decade ({unsure}), which {told} chance alone."
    )
