"""One visual language: what an option looks like in every plot, bare axes, date axes.

Everything is set on the axes and artists themselves; matplotlib's global settings are left alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import matplotlib.dates as mdates
import numpy as np
import xarray as xr
from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter
from numpy.typing import ArrayLike, NDArray

from fieldsim.plots.words import day_text, readable

if TYPE_CHECKING:
    from matplotlib.text import Text

__all__ = [
    "CROP_COLORS",
    "GRID",
    "INK",
    "MISSED",
    "QUIET",
    "WIDTH",
    "OptionStyle",
    "bare_axes",
    "date_axis",
    "day_numbers",
    "figure_size",
    "option_styles",
    "verbatim",
]

Dashes = Literal["-"] | tuple[float, tuple[float, ...]]

# Okabe and Ito (2008), "Color Universal Design"; violet and brown stand for its yellow, orange and
# sky blue, which are too pale for lines on white (WCAG 2.2, 1.4.11: a contrast of 3 to 1).
COLORS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#6F2DBD", "#5C3A00", "#000000")
LINES: tuple[Dashes, ...] = (
    "-",
    (0.0, (5.0, 2.0)),
    (0.0, (1.2, 1.2)),
    (0.0, (6.0, 1.5, 1.2, 1.5)),
    (0.0, (9.0, 3.0)),
)
MARKERS = ("o", "s", "^", "D", "v", "P", "X")
# Tol (2021), "Colour schemes", muted, the teal a shade darker: crops share no color with options.
CROP_COLORS = ("#999933", "#117733", "#332288", "#882255", "#3DA393", "#AA4499")
INK, QUIET, GRID, MISSED = "#222222", "#666666", "#DDDDDD", "#B2182B"
WIDTH = 2.0  # of a line of data [pt]: to be read from the back of a room


@dataclass(frozen=True)
class OptionStyle:
    """What an option looks like: told apart by color, and without color by dashes and marker."""

    label: str
    color: str
    line: Dashes
    marker: str


def option_styles(outcomes: xr.Dataset) -> dict[str, OptionStyle]:
    """Return the look of each option, by its place among the options.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.

    Returns
    -------
    dict
        `OptionStyle` by name of the option.
    """
    pairs = zip(outcomes.option.values, outcomes.option_label.values, strict=True)
    return {
        str(name): OptionStyle(
            label=readable(str(label)),
            color=COLORS[i % len(COLORS)],
            line=LINES[i % len(LINES)],
            marker=MARKERS[i % len(MARKERS)],
        )
        for i, (name, label) in enumerate(pairs)
    }


def figure_size(rows: float = 0.0) -> tuple[float, float]:
    """Return the width and height [in] of a figure with so many rows of 1 in."""
    return 8.0, max(4.5, 1.6 + rows)


def lay_out(figure: Figure) -> None:
    """Lay a figure out once and for all.

    Otherwise it would depend on how often it was saved, and be drawn twice each time: first to lay
    it out.
    """
    engine = figure.get_layout_engine()
    if engine is not None:
        engine.execute(figure)
        with rc_context({"figure.autolayout": False, "figure.constrained_layout.use": False}):
            figure.set_layout_engine(None)


def bare_axes(ax: Axes | None, rows: float = 0.0) -> Axes:
    """Return the axes given, or those of a new figure, without frame and with a light grid.

    Parameters
    ----------
    ax : Axes, optional
    rows : float
        Height that the rows of a new figure need [in].
    """
    if ax is None:
        import matplotlib.pyplot as plt

        ax = plt.subplots(figsize=figure_size(rows), layout="constrained")[1]
    for side in ("top", "right"):
        ax.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        ax.spines[side].set_color(QUIET)
    ax.tick_params(color=QUIET, labelcolor=INK)
    ax.grid(True, color=GRID, linewidth=0.8)
    ax.set_axisbelow(True)
    return ax


def date_axis(ax: Axes) -> None:
    """Name the first day of each month, and days between where the span is short.

    Small ticks stand at Mondays.
    """
    low, high = ax.get_xlim()
    days = (1, 8, 15, 22) if high - low <= 55 else (1, 15) if high - low <= 110 else (1,)
    months = mdates.MonthLocator(bymonthday=days)  # type: ignore[no-untyped-call]
    mondays = mdates.WeekdayLocator(byweekday=mdates.MO)  # type: ignore[no-untyped-call]
    ax.xaxis.set_major_locator(months)
    ax.xaxis.set_minor_locator(mondays)
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: _day_at(x)))
    ax.tick_params(axis="x", which="minor", length=2.5, color=QUIET)


def day_numbers(days: ArrayLike) -> NDArray[np.float64]:
    """Return where dates lie on a date axis, shape of `days`."""
    return np.asarray(mdates.date2num(days), np.float64)  # type: ignore[no-untyped-call]


def _day_at(number: float) -> str:
    when = mdates.num2date(number)  # type: ignore[no-untyped-call]
    return day_text(when.date())


def verbatim(text: Text) -> Any:
    """Have a text drawn as it stands: "$" in a user's label begins no formula."""
    text.set_parse_math(False)
    return text
