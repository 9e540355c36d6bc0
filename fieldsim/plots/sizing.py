"""How certain is it that work is done by a date? The share of seasons against field capacity."""

from __future__ import annotations

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from numpy.typing import NDArray

from fieldsim.decisions.sampling import Z
from fieldsim.plots.labels import LineEnd, label_ends
from fieldsim.plots.style import (
    COLORS,
    INK,
    LINES,
    MARKERS,
    QUIET,
    WIDTH,
    OptionStyle,
    bare_axes,
    verbatim,
)
from fieldsim.plots.words import in_lines, readable

__all__ = ["plot_certainty"]

TOP = 103.0  # per cent
ROW_HEIGHT = 0.45  # that the label of a curve needs [in]
LABEL_WIDTH = 26  # letters


def plot_certainty(
    curves: pd.DataFrame, *, sought: float = 0.9, title: str = "", ax: Axes | None = None
) -> Axes:
    """Plot the share of seasons in which work is done against capacity, a curve for each label.

    The band around a curve is its 95 % Monte Carlo error; the label at its end says what capacity
    the share that is sought takes. A mark stands where a curve has the machines as they are.

    Parameters
    ----------
    curves : DataFrame
        From `certainty_curves` or `capacity_tradeoff`.
    sought : float
        Share of seasons that is marked [0..1].
    title : str
        Default: what the axes show.
    ax : Axes, optional
        Default: new ones. The labels stand to the right of the axes.

    Returns
    -------
    Axes
        Its lines are labelled as the curves, and ``LABEL now`` where machines are as they are; x is
        capacity, y the share of seasons [%].

    Examples
    --------
    >>> import fieldsim
    >>> from fieldsim.decisions.sizing.curves import capacity_tradeoff
    >>> curves = capacity_tradeoff(fieldsim.demo_farm(), "462 acre", "18 Apr", "10 May",
    ...     ["9 h", "11 h"], [0.3, 0.6, 0.9], seasons=50)
    >>> plot_certainty(curves).get_xlabel()
    'field capacity of each outfit [acre/h]'
    """
    labels = list(dict.fromkeys(curves.label))
    ax = bare_axes(ax, rows=ROW_HEIGHT * len(labels))
    units = curves.attrs["units"]["capacity"]
    parts = {
        label: curves[(curves.label == label) & np.isfinite(curves.capacity)].sort_values(
            "capacity"
        )
        for label in labels
    }
    shown = [part.capacity.max() for part in parts.values() if len(part)]
    ax.set_xlim(0.0, min(shown) if shown else 1.0)
    ax.set_ylim(0.0, TOP)
    ax.axhline(100 * sought, color=QUIET, linewidth=1.0, linestyle=(0, (2, 2)), label="_sought")
    ends = []
    for i, (label, part) in enumerate(parts.items()):
        style = OptionStyle(
            str(label), COLORS[i % len(COLORS)], LINES[i % len(LINES)], MARKERS[i % len(MARKERS)]
        )
        if len(part):
            ends.append(_draw(ax, part, style, sought, units))
    ax.set_xlabel(f"field capacity of {curves.attrs['capacity_of']} [{units}]", color=INK)
    ax.set_ylabel("seasons finished by the date [%]", color=INK)
    said = title or "Share of seasons finished by the date, by field capacity"
    verbatim(ax.set_title(said, loc="left", pad=20, fontsize="medium", color=INK))
    if "factor" in curves:
        ax.annotate(
            "Marks: machines of the size that they have now",
            (0.0, 1.0),
            xycoords="axes fraction",
            xytext=(0.0, 5.0),
            textcoords="offset points",
            fontsize="small",
            color=INK,
        )
    if ends:
        label_ends(ax, ends)
    return ax


def _draw(ax: Axes, part: pd.DataFrame, style: OptionStyle, sought: float, units: str) -> LineEnd:
    """Draw one curve with its band and its mark; return what to write at its end."""
    capacity, share = part.capacity.to_numpy(), part.certainty.to_numpy()
    band = Z * part.certainty_error.to_numpy()
    ax.fill_between(
        capacity,
        100 * np.clip(share - band, 0, 1),
        100 * np.clip(share + band, 0, 1),
        color=style.color,
        alpha=0.15,
        linewidth=0,
    )
    ax.plot(
        capacity,
        100 * share,
        color=style.color,
        linestyle=style.line,
        linewidth=WIDTH,
        label=style.label,
    )
    if "factor" in part:
        now = part[part.factor == 1.0]
        ax.plot(
            now.capacity,
            100 * now.certainty,
            style.marker,
            color=style.color,
            markersize=8.0,
            markeredgecolor="white",
            label=f"{style.label} now",
            clip_on=False,
        )
    ends = float(np.interp(ax.get_xlim()[1], capacity, 100 * share)) / TOP
    name = in_lines(readable(style.label), LABEL_WIDTH, 2)
    return LineEnd(ends, f"{name}\n{_takes(capacity, share, sought, units)}", style)


def _takes(
    capacity: NDArray[np.float64], share: NDArray[np.float64], sought: float, units: str
) -> str:
    """Say what capacity the share that is sought takes, between the points of a curve."""
    wanted = f"{100 * sought:.0f} %"
    reached = np.flatnonzero(share >= sought)
    if not len(reached):
        return f"{wanted}: not reached"
    if reached[0] == 0:
        return f"{wanted}: {capacity[0]:.1f} {units} or less"
    two = slice(reached[0] - 1, reached[0] + 1)
    return f"{wanted}: {np.interp(sought, share[two], capacity[two]):.1f} {units}"
