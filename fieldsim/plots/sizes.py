"""Which size of outfit is the cheapest at which area? Cost for each acre against area, by size."""

from __future__ import annotations

import matplotlib as mpl
import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.colors import to_hex
from matplotlib.ticker import FuncFormatter, MaxNLocator
from numpy.typing import NDArray

from fieldsim.decisions.sizing.sizes import cheapest_sizes
from fieldsim.errors import Fault, InputError
from fieldsim.plots.labels import LineEnd, label_ends
from fieldsim.plots.style import (
    INK,
    MARKERS,
    QUIET,
    WIDTH,
    Dashes,
    OptionStyle,
    bare_axes,
    verbatim,
)
from fieldsim.plots.words import in_lines, money_text

__all__ = ["plot_sizes"]

ROW_HEIGHT = 0.35  # height that the label of a size needs [in]
TALLEST = 1.8  # costs are shown up to so many times the dearest of the cheapest
SHADES = (0.0, 0.6)  # of the color map: beyond, it is too light for lines on white
ONE: Dashes = "-"
TWO: Dashes = (0.0, (2.2, 1.2))
SHIFT = 3  # from the marker of one outfit to that of two
ENVELOPE, BAND = "#CFCFCF", 9.0  # color and width [pt] of the mark along the cheapest
MOST_NAMED = 2  # sizes that stand below an area
STEPS = 400  # in which the cheapest is followed from area to area

Floats = NDArray[np.float64]


def plot_sizes(table: pd.DataFrame, *, bought: str = "new", ax: Axes | None = None) -> Axes:
    """Plot the cost of a year for each acre (or hectare) against the area, a line a size.

    Sizes are told apart by color, dark for few rows and light for many, and by marker, pairs of
    outfits by dashes; each line is labelled at its end. The grey band follows what is cheapest, and
    below it stands which size that is at each area, with those that cannot be told apart from it.

    Parameters
    ----------
    table : pandas.DataFrame
        From `sizes`.
    bought : "new" or "used"
    ax : Axes, optional
        Default: new ones. The labels stand to the right of the axes.

    Returns
    -------
    Axes
        Its lines are labelled with the sizes; x is area, y total cost, in the units of the table.
        Lines far above the cheapest are cut off; their label says how far they go.

    Raises
    ------
    InputError
        If the table has no such machines.
    """
    part = table[table.bought == bought]
    if part.empty:
        there = " or ".join(map(repr, table.bought.unique()))
        problem = "there are no such machines in the table"
        raise InputError([Fault("", "bought", repr(bought), problem, f"write {there}")])
    costs = part.pivot(index="area", columns="size", values="total_cost")[part["size"].unique()]
    styles = _styles(part)
    ax = bare_axes(ax, rows=ROW_HEIGHT * len(styles))
    best = cheapest_sizes(part)
    low, high = _limits(costs, best)
    areas = costs.index.to_numpy(dtype=float)
    _draw_envelope(ax, areas, costs.to_numpy())
    ends = []
    for size, style in styles.items():
        values = costs[size].to_numpy()
        ax.plot(
            areas, values, color=style.color, linestyle=style.line, linewidth=WIDTH,
            marker=style.marker, markersize=4.0, label=size,
        )  # fmt: skip
        if values.min() <= high:
            last = float(values[-1])
            words = style.label if last <= high else f"{style.label} (to {money_text(last)})"
            height = (min(last, high) - low) / (high - low)
            ends.append((last, LineEnd(height, in_lines(words, 26, 2), style)))
    ax.set_ylim(low, high)
    _name_cheapest(ax, best)
    ax.yaxis.set_major_formatter(FuncFormatter(lambda y, _: money_text(y)))
    ax.xaxis.set_major_locator(MaxNLocator(6))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: f"{x:,.0f}"))
    ax.set_xlabel(f"area of the farm [{table.attrs['area_units']}]", color=INK)
    verbatim(ax.set_ylabel(f"cost of a year [{table.attrs['cost_units']}]", color=INK))
    ax.set_title(f"Outfits bought {bought}", loc="left", pad=8, fontsize="medium", color=INK)
    label_ends(ax, [end for _, end in sorted(ends, key=lambda pair: -pair[0])])
    return ax


def _styles(part: pd.DataFrame) -> dict[str, OptionStyle]:
    """Return the look of each size, by its place among the sizes of planters."""
    rows = sorted(part.rows.unique())
    shades = np.linspace(*SHADES, len(rows)) if len(rows) > 1 else [SHADES[0]]
    colors = {n: to_hex(mpl.colormaps["viridis"](s)) for n, s in zip(rows, shades, strict=True)}
    return {
        row["size"]: OptionStyle(
            row["size"],
            colors[row["rows"]],
            ONE if row["units"] == 1 else TWO,
            MARKERS[(rows.index(row["rows"]) + (SHIFT if row["units"] > 1 else 0)) % len(MARKERS)],
        )
        for row in part.drop_duplicates("size").to_dict("records")
    }


def _limits(costs: pd.DataFrame, best: pd.DataFrame) -> tuple[float, float]:
    """Return the costs between which lines are shown, with room for words below the cheapest."""
    lowest, dearest = float(best.total_cost.min()), float(best.total_cost.max())
    span = abs(dearest) * (TALLEST - 1) or 1.0
    high = min(float(costs.to_numpy().max()), dearest + span)
    high += 0.04 * (high - lowest) or 1.0
    return lowest - 0.22 * (high - lowest), high


def _draw_envelope(ax: Axes, areas: Floats, costs: Floats) -> None:
    fine = np.linspace(areas[0], areas[-1], STEPS)
    lowest = np.min([np.interp(fine, areas, values) for values in costs.T], axis=0)
    ax.plot(fine, lowest, color=ENVELOPE, linewidth=BAND, solid_capstyle="round", label="_cheapest")


def _name_cheapest(ax: Axes, best: pd.DataFrame) -> None:
    """Write below each area which size is the cheapest there."""
    last = len(best) - 1
    for place, row in enumerate(best.to_dict("records")):
        sizes = (row["size"], *row["tied"])
        words = [in_lines(size, 9, 3) for size in sizes[:MOST_NAMED]]
        words += [f"{len(sizes) - MOST_NAMED} more"] if len(sizes) > MOST_NAMED else []
        ax.plot([row["area"]], [row["total_cost"]], "o", color=INK, markersize=6.5, label="_best")
        verbatim(
            ax.annotate(
                "\nor ".join(words),
                (row["area"], row["total_cost"]),
                xytext=(0.0, -10.0),
                textcoords="offset points",
                ha="left" if place == 0 else "right" if place == last else "center",
                va="top",
                fontsize="small",
                color=INK,
                bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.5, "alpha": 0.8},
            )
        )
    ax.tick_params(color=QUIET)
