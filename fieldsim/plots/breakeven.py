"""What an acre costs as a figure of the farm moves, and where the options change places."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.ticker import FuncFormatter

from fieldsim.decisions.break_even.cost_curves import curve_crossings
from fieldsim.decisions.sampling import Z
from fieldsim.plots.labels import LineEnd, label_ends
from fieldsim.plots.style import (
    INK,
    QUIET,
    WIDTH,
    OptionStyle,
    bare_axes,
    option_styles,
    verbatim,
)
from fieldsim.plots.words import in_lines, money_text, readable
from fieldsim.quantities import with_unit

__all__ = ["plot_cost_curves"]

ROW_HEIGHT = 0.4  # that the label of an option needs [in]
LABEL_WIDTH = 24  # letters
STEP = 12.0  # between the figures of neighbouring crossings [pt]
CLOSE = 0.14  # of the width of the axes
AIR = 0.04  # of the span of costs, above and below the curves


def plot_cost_curves(curve: xr.Dataset, *, ax: Axes | None = None) -> Axes:
    """Plot total cost for each area of land against a figure of the farm, a line for each option.

    Bands are 95 % Monte Carlo errors. A full mark and a figure stand where the cheapest option
    changes, open marks where two dearer options cross, and a dotted line at the figure as it is.

    Parameters
    ----------
    curve : xarray.Dataset
        From `cost_curve`.
    ax : Axes, optional
        Default: new ones. The labels stand to the right of the axes.

    Returns
    -------
    Axes
        Its lines are labelled with the options' names, and ``least`` and ``crossings`` (the marks)
        where there are any.

    Examples
    --------
    >>> import fieldsim
    >>> from fieldsim.decisions.break_even.cost_curves import cost_curve
    >>> curve = cost_curve(fieldsim.demo_farm(), "area", [0.5, 1, 2], seasons=20)
    >>> plot_cost_curves(curve).get_xlabel()
    'area of all fields [acre]'
    """
    styles = option_styles(curve)
    ax = bare_axes(ax, rows=ROW_HEIGHT * len(styles))
    value, costs = curve.value.values, curve.cost_per_area
    low, high = float(costs.min()), float(costs.max())
    air = AIR * ((high - low) or 1.0)
    ax.set_xlim(float(value.min()), float(value.max()))
    ax.set_ylim(low - 3 * air, high + air)
    ends = [_draw(ax, curve, option, style) for option, style in styles.items()]
    _mark(ax, curve_crossings(curve), curve)
    _show_now(ax, curve)
    money = costs.attrs["units"]
    ax.yaxis.set_major_formatter(FuncFormatter(lambda y, _: money_text(y)))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: f"{x:,g}"))
    verbatim(ax.set_ylabel(f"total cost in a year [{money}]", color=INK))
    units = curve.attrs["figure_units"]
    verbatim(ax.set_xlabel(f"{readable(curve.attrs['figure'])} [{units}]", color=INK))
    title = "What an option costs in a year, losses included, and where the cheapest changes"
    ax.set_title(title, loc="left", pad=20, fontsize="medium", color=INK)
    label_ends(ax, ends)
    return ax


def _draw(ax: Axes, curve: xr.Dataset, option: str, style: OptionStyle) -> LineEnd:
    """Draw one option's line with its band; return what to write at its end."""
    at = curve.sel(option=option)
    value, cost = curve.value.values, at.cost_per_area.values
    band = Z * at.cost_per_area_error.values
    ax.fill_between(value, cost - band, cost + band, color=style.color, alpha=0.15, linewidth=0)
    look: dict[str, Any] = {"color": style.color, "linestyle": style.line, "linewidth": WIDTH}
    ax.plot(value, cost, label=option, **look)
    low, high = ax.get_ylim()
    label = in_lines(style.label, LABEL_WIDTH, 2)
    return LineEnd((cost[-1] - low) / (high - low), label, style)


def _mark(ax: Axes, crossings: pd.DataFrame, curve: xr.Dataset) -> None:
    """Mark crossings, and write the figure at which the cheapest option changes."""
    is_least = crossings.least.astype(bool)
    least, others = crossings[is_least], crossings[~is_least]
    look: dict[str, Any] = {"linestyle": "none", "marker": "o", "color": INK, "zorder": 4}
    if len(others):
        ax.plot(
            others.value,
            others.cost_per_area,
            markersize=5.0,
            markerfacecolor="white",
            label="crossings",
            **look,
        )
    if not len(least):
        return
    ax.plot(least.value, least.cost_per_area, markersize=7.0, label="least", **look)
    ax.vlines(
        least.value,
        ax.get_ylim()[0],
        least.cost_per_area,
        color=INK,
        linewidth=0.8,
        linestyles=(0.0, (1.0, 2.0)),
    )
    room = CLOSE * float(np.ptp(ax.get_xlim()))
    for i, value in enumerate(least.value):
        left = 0 < curve.attrs["value_now"] - value < room  # keep clear of that line
        verbatim(
            ax.annotate(
                _figure(value, curve.attrs["figure_units"]),
                (value, 0.0),
                xycoords=ax.get_xaxis_transform(),
                xytext=(-3.0 if left else 3.0, 3.0 + STEP * (i % 3)),
                textcoords="offset points",
                ha="right" if left else "left",
                fontsize="small",
                color=INK,
            )
        )


def _show_now(ax: Axes, curve: xr.Dataset) -> None:
    """Mark the figure as it is, if it is on the axes."""
    now, (low, high) = curve.attrs["value_now"], ax.get_xlim()
    if not low <= now <= high:
        return
    ax.axvline(now, color=QUIET, linewidth=1.0, linestyle=(0, (2, 2)), label="_now")
    verbatim(
        ax.annotate(
            f"as it is: {_figure(now, curve.attrs['figure_units'])}",
            (now, 1.0),
            xycoords=ax.get_xaxis_transform(),
            xytext=(0, 3),
            textcoords="offset points",
            ha="center",
            fontsize="small",
            color=INK,
        )
    )


def _figure(value: float, units: str) -> str:
    """Return a figure with its unit, as ``$4.30/bu``, ``812 acres`` or ``120 %``."""
    number = f"{value:,.0f}" if abs(value) >= 100 else f"{value:,.3g}"
    if units.startswith("$"):
        return f"${number if abs(value) >= 1000 else f'{value:,.2f}'}{units[1:]}"
    return with_unit(number, units.split()[0])
