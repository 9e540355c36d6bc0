"""Names, days and money as people read them, in plots and on the page."""

from __future__ import annotations

import textwrap
from typing import Any

import pandas as pd

from fieldsim.season import CalendarDay

__all__ = ["day_text", "in_lines", "money_text", "readable"]


def readable(name: str) -> str:
    """Return a name as it is shown: underscores as spaces, and no control characters.

    Examples
    --------
    >>> readable("first_cultivation")
    'first cultivation'
    """
    return "".join(c if c.isprintable() else " " for c in name.replace("_", " ")).strip()


def in_lines(text: str, width: int, most: int) -> str:
    r"""Break text into at most `most` lines of at most `width` characters.

    Examples
    --------
    >>> in_lines("one outfit of 6 rows with a helper", 14, 2)
    'one outfit of\n6 rows with a…'
    """
    lines = textwrap.wrap(readable(text), width, max_lines=most, placeholder="…")
    return "\n".join(lines)


def day_text(when: Any) -> str:
    """Return a date without its year; empty for NaT.

    Parameters
    ----------
    when : datetime64, Timestamp or datetime

    Examples
    --------
    >>> import numpy as np
    >>> day_text(np.datetime64("2026-05-09"))
    '9 May'
    """
    date = pd.Timestamp(when)
    return "" if pd.isna(date) else str(CalendarDay(date.month, date.day))


def money_text(amount: float) -> str:
    """Return a sum of money in whole dollars.

    Examples
    --------
    >>> money_text(-1234.5)
    '−$1,234'
    """
    whole = f"${abs(amount):,.0f}"
    return f"−{whole}" if amount < 0 and whole != "$0" else whole
