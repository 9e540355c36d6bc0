"""What happened in one season? Suitable days and the work that was done, day by day."""

from __future__ import annotations

import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.patches import StepPatch
from numpy.typing import NDArray

from fieldsim.plots.style import (
    CROP_COLORS,
    INK,
    MISSED,
    QUIET,
    bare_axes,
    date_axis,
    day_numbers,
    verbatim,
)
from fieldsim.plots.words import day_text, readable
from fieldsim.quantities import with_unit

__all__ = ["plot_season"]

ROW_HEIGHT = 0.4  # height of a row in a new figure [in]
FILL = 0.8  # of a row's height, for the day on which most is done


def plot_season(replay: xr.Dataset, *, ax: Axes | None = None) -> Axes:
    """Plot one season day by day: when the soil was fit, and what was done on each crop.

    The top rows show the share of each day in which a soil is fit for fieldwork. Below them stands
    a row for each operation and crop; its height is the area done that day, on one scale for all
    rows. Crosses mark days on which land was missed: its time had run out.

    Parameters
    ----------
    replay : xarray.Dataset
        From `replay`.
    ax : Axes, optional
        Default: new ones. What each row comes to is written to the right of the axes.

    Returns
    -------
    Axes
        Its patches are labelled ``fit SOIL`` and ``OPERATION, CROP``, its lines (the crosses)
        ``OPERATION, CROP missed``; rows stand at 0, -1, -2 and so on.

    Examples
    --------
    >>> import fieldsim
    >>> ax = plot_season(fieldsim.replay(fieldsim.demo_farm(), "six_rows", season=0))
    >>> ax.get_title(loc="left")
    'One season, day by day'
    """
    soils = [str(soil) for soil in replay.soil.values]
    crops = list(dict.fromkeys(str(crop) for crop in replay.crop.values))
    work = [(str(operation), crop) for operation in replay.operation.values for crop in crops]
    ax = bare_axes(ax, rows=ROW_HEIGHT * (len(soils) + len(work)))
    unit = replay.done_area.attrs["units"]
    most = float(replay.done_area.groupby("crop").sum().max()) or 1.0
    names: list[str] = []
    for soil in soils:
        share = replay.suitable_share.sel(soil=soil).values
        _draw_row(ax, f"fit {soil}", -len(names), share * FILL, replay.day.values, QUIET)
        _write_at_right(ax, -len(names), f"{share.sum():.0f} days fit in all")
        names.append("fit for fieldwork" if len(soils) == 1 else f"fit: {readable(soil)}")
    for operation, crop in work:
        at = replay.sel(operation=operation).isel(field=replay.crop.values == crop).sum("field")
        color = CROP_COLORS[crops.index(crop) % len(CROP_COLORS)]
        name, row = f"{operation}, {crop}", -len(names)
        _draw_row(ax, name, row, at.done_area.values / most * FILL, replay.day.values, color)
        missed = replay.day.values[at.missed_area.values > 0]
        ax.plot(missed, np.full(missed.size, row + 0.12), "x", color=MISSED, label=f"{name} missed")
        _write_at_right(ax, row, _sum_up(at, unit), alarm=missed.size > 0)
        names.append(readable(name))
    _dress(ax, names, replay.day.values, grouped=len(soils), group=len(crops))
    ax.set_ylabel(f"area done in a day, up to {most:,.0f} [{unit}]", color=INK)
    ax.set_title("One season, day by day", loc="left", fontsize="medium", color=INK)
    return ax


def _draw_row(
    ax: Axes,
    name: str,
    row: int,
    heights: NDArray[np.float64],
    days: NDArray[np.datetime64],
    color: str,
) -> None:
    """Draw a step for each day, on the foot of a row."""
    middles = day_numbers(days)
    edges = np.append(middles, middles[-1] + 1.0) - 0.5
    steps = StepPatch(
        row + heights, edges, baseline=row, fill=True, color=color, linewidth=0.0, label=name
    )
    ax.add_artist(steps)  # `ax.stairs` would look for limits, which are set by hand here


def _write_at_right(ax: Axes, row: int, text: str, *, alarm: bool = False) -> None:
    verbatim(
        ax.annotate(
            text,
            (1.0, row),
            xycoords=ax.get_yaxis_transform(),
            xytext=(6.0, 0.0),
            textcoords="offset points",
            fontsize="small",
            color=MISSED if alarm else INK,
        )
    )


def _sum_up(at: xr.Dataset, unit: str) -> str:
    """Say how much was done and by when, and how much was missed."""
    done, missed = float(at.done_area.sum()), float(at.missed_area.sum())
    text = "nothing done"
    if done > 0:
        last = day_text(at.day.values[at.done_area.values > 0][-1])
        text = f"{with_unit(f'{done:,.0f}', unit)}, last {last}"
    return f"{text}; × {missed:,.0f} missed" if missed > 0 else text


def _dress(
    ax: Axes, names: list[str], days: NDArray[np.datetime64], *, grouped: int, group: int
) -> None:
    """Name the rows, part the operations, and mark months and weeks."""
    ax.set_yticks([-row for row in range(len(names))], names, fontsize="small")
    for tick in ax.yaxis.get_major_ticks():
        tick.tick1line.set_visible(False)
        verbatim(tick.label1).set_verticalalignment("bottom")
    ax.set_ylim(-len(names) + 0.92, 1.0)
    for row in range(grouped, len(names), group):
        ax.axhline(1.0 - row - 0.08, color=QUIET, linewidth=0.6, label="_operation")
    ends = day_numbers(days[[0, -1]])
    ax.set_xlim(ends[0] - 0.5, ends[1] + 0.5)
    date_axis(ax)
    ax.spines["left"].set_visible(False)
    ax.set_xlabel("date", color=INK)
