"""What do late and unfinished plantings cost? Lost revenue over the seasons, for each option.

Each option is a row of dots, one for each twentieth of the seasons: counts of equal dots are read
more surely than areas or curves (Kay, Kola, Hullman and Munson 2016, "When (ish) is my bus?",
Proc. CHI '16; cited from memory). No season is smoothed away, and a heavy tail stays a few dots.
"""

from __future__ import annotations

import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.ticker import FuncFormatter, MaxNLocator
from numpy.typing import NDArray

from fieldsim.decisions.sampling import quantiles
from fieldsim.plots.style import INK, OptionStyle, bare_axes, option_styles, verbatim
from fieldsim.plots.words import in_lines, money_text

__all__ = ["plot_lost_revenue"]

MOST_DOTS = 20
ROW_HEIGHT = 0.7  # height of an option's row in a new figure [in]
DOT = 6.5  # diameter of a dot [pt]
STACK = 0.60  # of a row's height, for the highest stack of dots
BELOW = 0.17  # of a row's height, from the lowest dots down to the marks
DIGIT, COMMA = 6.4, 3.2  # widths of signs of a sum of money [pt]
MOST_STEPS = 5  # between the figures at the axis
MILLION = 1e6  # [$]: from here on figures are in small print, to stand apart in their columns
LEAST_SPAN = 1000.0  # of the money axis [$]: losses that are all zero need one too
# Name, marker, its sign in the head of the column, the head, and where the column ends [pt].
MARKS = (
    ("median", "|", "│", "half of the\nyears lose\nmore than", 58.0),
    ("mean", "d", "♦", "average\nof all\nyears", 110.0),
    ("1 in 10", "^", "▲", "1 year in 10\nis worse\nthan this", 176.0),
)


def plot_lost_revenue(outcomes: xr.Dataset, *, ax: Axes | None = None) -> Axes:
    """Plot the distribution of a year's lost revenue, a row of dots for each option.

    Each of 20 dots stands for 1 year in 20 and lies at the median loss of that twentieth (with
    fewer seasons, each dot is a season). Marks below the dots and columns at the right give the
    median, the mean, and the loss that 1 year in 10 exceeds, with its 95 % band.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.
    ax : Axes, optional
        Default: new ones. The columns stand to the right of the axes.

    Returns
    -------
    Axes
        Its lines are labelled ``OPTION`` (the dots) and ``OPTION median``, ``OPTION mean`` and
        ``OPTION 1 in 10`` (the marks); x is lost revenue [$]; rows stand at 0, -1, -2 and so on.

    Examples
    --------
    >>> import fieldsim
    >>> ax = plot_lost_revenue(fieldsim.simulate(fieldsim.demo_farm(), 50))
    >>> ax.get_xlabel()
    'lost revenue in a year [$]'
    """
    styles = option_styles(outcomes)
    ax = bare_axes(ax, rows=ROW_HEIGHT * len(styles))
    losses = {
        option: outcomes.lost_revenue.sel(option=option).sum("crop").values for option in styles
    }
    dots = {option: _dots(loss) for option, loss in losses.items()}
    _set_limits(ax, list(dots.values()), list(losses.values()))
    small = any(quantiles(loss, (0.9,))[0].value >= MILLION for loss in losses.values())
    for row, (option, style) in enumerate(styles.items()):
        _draw_dots(ax, option, -row, dots[option], style)
        _draw_marks(ax, option, -row, losses[option], style, small=small)
    _head_columns(ax)
    labels = [in_lines(style.label, 22, 3) for style in styles.values()]
    ax.set_yticks([-row for row in range(len(styles))], labels)
    for tick in ax.yaxis.get_major_ticks():
        tick.tick1line.set_visible(False)
        verbatim(tick.label1).set_verticalalignment("bottom")
    ax.spines["left"].set_visible(False)
    count, seasons = len(next(iter(dots.values()))), outcomes.sizes["season"]
    each = f"1 year in {count}" if seasons > count else "one season"
    ax.set_title(f"Each dot is {each}", loc="left", pad=8, fontsize="medium", color=INK)
    ax.set_xlabel(f"lost revenue in a year [{outcomes.lost_revenue.attrs['units']}]", color=INK)
    return ax


def _dots(loss: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the median of each twentieth of the seasons, or every season where they are few."""
    count = min(MOST_DOTS, loss.size)
    shares = [(i + 0.5) / count for i in range(count)]
    return np.array([found.value for found in quantiles(loss, shares)])


def _set_limits(
    ax: Axes, dots: list[NDArray[np.float64]], losses: list[NDArray[np.float64]]
) -> None:
    """Show all dots and means; the single worst seasons may lie far beyond them."""
    shown = np.concatenate([*dots, [loss.mean() for loss in losses], [0.0]])
    low, high = shown.min(), shown.max()
    span = max(high - low, LEAST_SPAN)
    ax.set_xlim(low - 0.02 * span, low + 1.04 * span)
    ax.set_ylim(-len(dots) + 1 - 2.2 * BELOW, 1 - BELOW)
    ends = [money_text(limit) for limit in ax.get_xlim()]
    widest = max(DIGIT * len(end) - (DIGIT - COMMA) * end.count(",") for end in ends)
    steps = ax.get_window_extent().width * 72.0 / ax.figure.dpi / (widest + DIGIT)
    ax.xaxis.set_major_locator(MaxNLocator(int(np.clip(steps, 1, MOST_STEPS))))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: money_text(x)))
    ax.grid(False, axis="y")


def _draw_dots(
    ax: Axes, option: str, row: int, dots: NDArray[np.float64], style: OptionStyle
) -> None:
    """Draw an option's dots, those that would cover each other one above the other."""
    box, points = ax.get_window_extent(), 72.0 / ax.figure.dpi
    width = np.diff(ax.get_xlim())[0] / (box.width * points) * DOT
    level = _levels(dots, width)
    pitch = np.diff(ax.get_ylim())[0] / (box.height * points) * DOT
    pitch = min(pitch, STACK / max(1, level.max()))
    ax.plot(
        dots,
        row + level * pitch,
        "o",
        markersize=DOT,
        color=style.color,
        markeredgecolor="white",
        markeredgewidth=0.6,
        label=option,
    )


def _levels(dots: NDArray[np.float64], width: float) -> NDArray[np.int64]:
    """Return for each of the rising dots the lowest level at which it covers none before it."""
    ends: list[float] = []
    levels = []
    for dot in dots:
        free = next((i for i, end in enumerate(ends) if dot >= end), len(ends))
        ends[free : free + 1] = [dot + width]
        levels.append(free)
    return np.array(levels)


def _draw_marks(
    ax: Axes, option: str, row: int, loss: NDArray[np.float64], style: OptionStyle, *, small: bool
) -> None:
    """Draw an option's median, mean and bad year below its dots, and write them at the right."""
    median, bad = quantiles(loss, (0.5, 0.9))
    figures = {
        "median": float(median.value),
        "mean": float(loss.mean()),
        "1 in 10": float(bad.value),
    }
    ax.plot([float(bad.low), float(bad.high)], [row - BELOW] * 2, color=style.color, linewidth=4.0,
            alpha=0.35, solid_capstyle="butt", label=f"_{option} band", zorder=1.5)  # fmt: skip
    ax.axhline(row - BELOW, color=style.color, linewidth=0.8, label=f"_{option} foot", zorder=1)
    for name, marker, _, _, right in MARKS:
        ax.plot(
            [figures[name]],
            [row - BELOW],
            marker,
            color=INK,
            markersize=9.0 if marker == "|" else 7.0,
            markeredgewidth=1.8 if marker == "|" else 0.0,
            label=f"{option} {name}",
            clip_on=False,
        )
        verbatim(
            ax.annotate(
                money_text(figures[name]),
                (1.0, row),
                xycoords=ax.get_yaxis_transform(),
                xytext=(right, 0.0),
                textcoords="offset points",
                ha="right",
                fontsize="small" if small else None,
                color=INK,
            )
        )


def _head_columns(ax: Axes) -> None:
    for _, _, sign, head, right in MARKS:
        ax.annotate(
            f"{head} {sign}",
            (1.0, 1.0),
            xycoords="axes fraction",
            xytext=(right, 4.0),
            textcoords="offset points",
            ha="right",
            fontsize="small",
            color=INK,
        )
