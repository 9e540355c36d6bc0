"""Figures of options as cells of words, with their Monte Carlo bands."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import pandas as pd

from fieldsim.decisions.in_words.words import band as money_band
from fieldsim.decisions.sampling import Quantile, Z
from fieldsim.plots.words import day_text, money_text

__all__ = [
    "Cell",
    "chance",
    "difference",
    "finish_day",
    "kept_share",
    "late_day",
    "money_in_band",
    "percent",
    "with_error",
]


FULL = 99.95  # [%]: what is shown as all of it


class Cell(NamedTuple):
    """What one option comes to: the figure, and the ends of its band where they are uneven."""

    figure: str
    band: str = ""


def finish_day(when: Any) -> str:
    """Return a finish date; not every season has one."""
    return "not within the season" if pd.isna(when) else day_text(when)


def late_day(when: Any, low: Any, high: Any) -> Cell:
    """Return a late finish date with the ends of its band."""
    if low == high or pd.isna(low):
        return Cell(finish_day(when))
    return Cell(finish_day(when), f"{day_text(low)} to {day_text(high) or 'later'}")


def percent(share: float) -> str:
    """Return a share in per cent; only a true 0 or 1 is shown as such."""
    if 0 < share < 0.005:
        return "under 1 %"
    return "over 99 %" if 0.995 <= share < 1 else f"{100 * share:.0f} %"


def chance(share: float, error: float) -> Cell:
    """Return a chance with its band."""
    band = 100 * Z * error
    return Cell(f"{percent(share)} ± {band:.0f}" if band >= 0.5 else f"{percent(share)} ± 1")


def kept_share(share: float, bad: Quantile) -> Cell:
    """Return a share of insured revenue kept [%], on average and in a bad year with its band."""
    if not bad.value < FULL:
        return Cell(f"{share:.1f} %")
    low, high = max(bad.low, 0.0), min(bad.high, 100.0)  # of few seasons the ends are open
    return Cell(
        f"{share:.1f} %", f"1 year in 10: {bad.value:.1f} % or less ({low:.1f} to {high:.1f})"
    )


def with_error(amount: float, error: float) -> Cell:
    """Return money with its band."""
    return Cell(money_text(amount) + ("" if math.isnan(error) else f" ± {Z * error:,.0f}"))


def money_in_band(amount: float, low: float, high: float) -> Cell:
    """Return money with the ends of its band."""
    return Cell(money_text(amount), money_band(low, high))


def difference(row: dict[Any, Any]) -> Cell:
    """Return what an option costs more or less than the first."""
    amount = float(row["difference"])
    size = with_error(abs(amount), float(row["difference_error"])).figure
    words = f"{size} {'more' if amount > 0 else 'less'}"
    return Cell("cannot tell apart", words) if row["cannot_tell_apart"] else Cell(words)
