"""What does the answer hang on? Bars from end to end of each range, and shares of the variance."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.ticker import FuncFormatter, MaxNLocator, PercentFormatter

from fieldsim.plots.style import INK, MISSED, bare_axes, verbatim
from fieldsim.plots.words import in_lines, money_text, readable

__all__ = ["plot_ranges", "plot_variance_shares"]

ROW_HEIGHT = 0.42  # height of an input's row in a new figure [in]
LOW, HIGH = "#BBBBBB", "#777777"  # told apart by lightness; options and crops have the colors
BAR = 0.56  # of a row
ROOM = 0.24  # beside the bars for what is written at their ends, of their span
NAME = 24  # letters of a name on a line


def plot_ranges(table: pd.DataFrame, *, most: int = 12, ax: Axes | None = None) -> Axes:
    r"""Plot what each input does to the answer between the ends of its range, the largest first.

    At each end of a bar stands the figure it is for. Where the decision flips, the figure from
    which on it does stands at the right.

    Parameters
    ----------
    table : pandas.DataFrame
        From `fieldsim.decisions.sensitivity.one_at_a_time.ranges`.
    most : int
        Inputs that are shown, those with the largest effects.
    ax : Axes, optional
        Default: new ones.

    Returns
    -------
    Axes
        Its bars are labelled ``INPUT low`` and ``INPUT high``; x is the total cost of a year, or
        the difference [$]; rows stand at 0, -1, -2 and so on.

    Examples
    --------
    >>> import fieldsim
    >>> from fieldsim.decisions.sensitivity.inputs import Input
    >>> from fieldsim.decisions.sensitivity.one_at_a_time import ranges
    >>> wage = Input("wage", ("money.wage",), 0.8, 1.25)
    >>> ax = plot_ranges(ranges(fieldsim.demo_farm(), [wage], option="six_rows", seasons=50))
    >>> ax.get_xlabel()
    'total cost of a year with one outfit of 6 rows [$]\nlight: low end of a range; dark: high end'
    """
    shown = table.head(most)
    ax = bare_axes(ax, rows=ROW_HEIGHT * len(shown))
    own = float(table.at_own.iloc[0])
    _set_limits(ax, shown)
    for row, (name, figures) in enumerate(shown.iterrows()):
        _draw_range(ax, str(name), -row, figures, own)
    ax.axvline(own, color=INK, linewidth=1.2, label="own", zorder=3)
    _note(ax, own, 1.0, f"as in the file: {money_text(own)}", (0, 4), "center", INK)
    if table.attrs["against"] is not None:
        _mark_zero(ax, _label(table, "option"), _label(table, "against"))
    if (shown.flips_at != "").any():
        _column(ax, shown)
    _name_rows(ax, shown)
    ax.xaxis.set_major_locator(MaxNLocator(5))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: money_text(x)))
    title = "What one figure alone does to the answer, from end to end of its range"
    ax.set_title(title, loc="left", pad=20, fontsize="medium", color=INK)
    asked = f"{_asked(table)} [{table.attrs['units']}]"
    verbatim(ax.set_xlabel(f"{asked}\nlight: low end of a range; dark: high end", color=INK))
    return ax


def plot_variance_shares(table: pd.DataFrame, *, ax: Axes | None = None) -> Axes:
    """Plot the share of the variance that each input makes, alone and with others: Sobol indices.

    Parameters
    ----------
    table : pandas.DataFrame
        From `fieldsim.decisions.sensitivity.together.sobol`.
    ax : Axes, optional
        Default: new ones.

    Returns
    -------
    Axes
        Its bars are labelled ``INPUT total`` and ``INPUT first_order``, and the lines of their
        95 % intervals ``INPUT total interval`` and so on; x is a share [0..1]; rows stand at 0, -1,
        -2 and so on.

    Examples
    --------
    >>> import fieldsim
    >>> from fieldsim.decisions.sensitivity.together import sobol
    >>> from fieldsim.decisions.sensitivity.inputs import Input
    >>> two = Input("wage", ("money.wage",), 0.8, 1.25), Input("area", ("fields.*.area",), 0.8, 1.2)
    >>> ax = plot_variance_shares(sobol(fieldsim.demo_farm(), two, samples=16, seasons=20))
    >>> [label.get_text() for label in ax.get_yticklabels()]
    ['area', 'wage']
    """
    ax = bare_axes(ax, rows=1.3 * ROW_HEIGHT * len(table))
    for row, (name, figures) in enumerate(table.iterrows()):
        for kind, color, up in (("total", LOW, 0.2), ("first_order", HIGH, -0.2)):
            share, y = figures[kind], -row + up
            ends = [figures[f"{kind}_low"], figures[f"{kind}_high"]]
            ax.barh(y, share, 0.36, color=color, label=f"{name} {kind}")
            ax.plot(ends, [y, y], color=INK, linewidth=1.2, label=f"{name} {kind} interval")
            if row == 0:
                said = "with other inputs" if kind == "total" else "alone"
                _note(ax, max(share, ends[1]), y, said, (5, 0), "left", INK, data=True)
    ends = table[["total_high", "first_order_high"]].to_numpy().max()
    ax.set_xlim(min(0.0, float(table.first_order_low.min()) * 1.05), max(1.0, 1.05 * float(ends)))
    ax.set_ylim(-len(table) + 0.5, 0.6)
    _name_rows(ax, table)
    ax.xaxis.set_major_formatter(PercentFormatter(1.0, decimals=0, symbol=" %"))
    verbatim(ax.set_title(_spread(table), loc="left", pad=8, fontsize="medium", color=INK))
    verbatim(ax.set_xlabel(f"share of the variance of the {_asked(table)}", color=INK))
    return ax


def _spread(table: pd.DataFrame) -> str:
    """Say how far the answer spreads over the ranges."""
    mean, spread = (money_text(table.attrs[name]) for name in ("mean", "standard_deviation"))
    return f"Over all ranges: {mean} in the mean, standard deviation {spread}"


def _asked(table: pd.DataFrame) -> str:
    """Say what was asked."""
    option = _label(table, "option")
    if table.attrs["against"] is None:
        return f"total cost of a year with {option}"
    return f"cost of a year: {option} less {_label(table, 'against')}"


def _label(table: pd.DataFrame, which: str) -> str:
    """Return what people call an option."""
    return readable(table.attrs["labels"][table.attrs[which]])


def _set_limits(ax: Axes, shown: pd.DataFrame) -> None:
    ends = shown[["at_low", "at_own", "at_high"]].to_numpy()
    low, high = float(ends.min()), float(ends.max())
    room = ROOM * max(high - low, 1.0)
    ax.set_xlim(low - room, high + room)
    foot = 0.2 if shown.attrs["against"] is None else 0.7  # room for which option is cheaper
    ax.set_ylim(-len(shown) + 0.6 - foot, 0.6)


def _draw_range(ax: Axes, name: str, row: int, figures: pd.Series[Any], own: float) -> None:
    """Draw the two ends of an input from the answer on the farm's own figures."""
    ends = {"low": figures.at_low - own, "high": figures.at_high - own}
    same_side = ends["low"] * ends["high"] > 0
    for (end, change), color, up in zip(ends.items(), (LOW, HIGH), (1, -1), strict=True):
        y, height = (row + up * BAR / 4, BAR / 2) if same_side else (row, BAR)
        ax.barh(y, change, height, left=own, color=color, label=f"{name} {end}")
        other = ends["high" if end == "low" else "low"]
        right = change > 0 or (change == 0 and (other < 0 or (other == 0 and end == "high")))
        place = (4, 0) if right else (-4, 0)
        _note(
            ax, own + change, y, figures[end], place, "left" if right else "right", INK, data=True
        )


def _note(
    ax: Axes,
    x: float,
    y: float,
    text: str,
    offset: tuple[float, float],
    align: str,
    color: str,
    *,
    data: bool = False,
) -> None:
    """Write something beside a point: y in data, or as a share of the height of the axes."""
    verbatim(
        ax.annotate(
            text,
            (x, y),
            xycoords="data" if data else ax.get_xaxis_transform(),
            xytext=offset,
            textcoords="offset points",
            ha=align,
            va="center" if data else "bottom",
            fontsize="small",
            color=color,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0},
            zorder=4,
        )
    )


def _mark_zero(ax: Axes, option: str, against: str) -> None:
    """Mark where two options cost the same, if in sight, and which is cheaper on each side."""
    low, high = ax.get_xlim()
    if not low < 0 < high:
        return
    ax.axvline(0.0, color=MISSED, linewidth=1.2, linestyle=(0, (5, 2)), label="same", zorder=3)
    for align, name, shift in (("right", option, -4), ("left", against, 4)):
        _note(ax, 0.0, 0.0, in_lines(f"{name} cheaper", NAME, 2), (shift, 2), align, MISSED)


def _column(ax: Axes, shown: pd.DataFrame) -> None:
    """Write at the right from which figure on the decision flips."""
    for row, text in enumerate(shown.flips_at):
        verbatim(
            ax.annotate(
                text,
                (1.0, -row),
                xycoords=ax.get_yaxis_transform(),
                xytext=(58, 0),
                textcoords="offset points",
                ha="right",
                va="center",
                fontsize="small",
                color=MISSED,
            )
        )
    ax.annotate(
        "decision\nflips at",
        (1.0, 1.0),
        xycoords="axes fraction",
        xytext=(58, 4),
        textcoords="offset points",
        ha="right",
        fontsize="small",
        color=INK,
    )


def _name_rows(ax: Axes, table: pd.DataFrame) -> None:
    ax.set_yticks(-np.arange(len(table)), [in_lines(str(name), NAME, 2) for name in table.index])
    for tick in ax.yaxis.get_major_ticks():
        tick.tick1line.set_visible(False)
        verbatim(tick.label1)
    ax.spines["left"].set_visible(False)
    ax.grid(False, axis="y")
