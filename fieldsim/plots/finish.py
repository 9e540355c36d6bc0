"""When is an operation finished? The share of seasons by date, for each option."""

from __future__ import annotations

from typing import Any

import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from numpy.typing import NDArray

from fieldsim.decisions.sampling import quantile
from fieldsim.errors import InputError, no_such
from fieldsim.plots.labels import LineEnd, label_ends, label_height
from fieldsim.plots.style import (
    INK,
    QUIET,
    WIDTH,
    OptionStyle,
    bare_axes,
    date_axis,
    day_numbers,
    option_styles,
)
from fieldsim.plots.words import day_text, in_lines, readable

__all__ = ["plot_finish_dates"]

AIR = 3  # days shown before the first finish and after the last
TOP = 103.0  # per cent
ROW_HEIGHT = 0.4  # height that the label of an option needs [in]


def plot_finish_dates(
    outcomes: xr.Dataset,
    *,
    operation: str | None = None,
    crop: str | None = None,
    letters: int = 24,
    ax: Axes | None = None,
) -> Axes:
    """Plot the share of seasons in which an operation is finished by date, a curve an option.

    A curve that stays below 100 % is an option that does not finish in every season. For planting
    the crop's target date is marked.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.
    operation : str, optional
        Default: the operation that plants the crop.
    crop : str, optional
        Default: the first.
    letters : int
        Most letters of an option's name on a line; it has two lines, or one where axes are too low
        for two of every option.
    ax : Axes, optional
        Default: new ones. The labels stand to the right of the axes.

    Returns
    -------
    Axes
        Its lines are labelled with the options' names; y is the share of seasons [%].

    Raises
    ------
    InputError
        If there is no such operation or crop.

    Examples
    --------
    >>> import fieldsim
    >>> ax = plot_finish_dates(fieldsim.simulate(fieldsim.demo_farm(), 50), crop="corn")
    >>> ax.get_ylabel()
    'seasons finished [%]'
    """
    operation, crop = _chosen(outcomes, operation, crop)
    at = outcomes.sel(operation=operation, crop=crop)
    ax = bare_axes(ax, rows=ROW_HEIGHT * outcomes.sizes["option"])
    first, last = (np.datetime64(outcomes.attrs[name], "D") for name in ("first_day", "last_day"))
    days = np.arange(first, last + np.timedelta64(1, "D"))
    medians, ends = [], []
    lines = 2 if outcomes.sizes["option"] * label_height(ax, 3) <= 1 + label_height(ax, 1) else 1
    for option, style in option_styles(outcomes).items():
        dates = at.finish_date.sel(option=option).values
        medians.append(quantile(dates, 0.5).value)
        share = _share_finished(dates, days)
        reach = _draw_curve(ax, option, days, share, medians[-1], style)
        name = in_lines(style.label, letters, lines)
        ends.append(LineEnd(share[-1] / TOP, f"{name}\n{reach}", style))
    planting = bool(at.plants)
    _show_dates(ax, at, days, target=planting)
    ax.set_ylim(0.0, TOP)
    ax.set_ylabel("seasons finished [%]", color=INK)
    ax.set_xlabel("date", color=INK)
    what = "planting" if planting else readable(operation)
    title = f"Share of seasons with {what} of {readable(crop)} finished by a date"
    ax.set_title(title, loc="left", pad=20, fontsize="medium", color=INK)
    label_ends(ax, [ends[i] for i in np.argsort(medians, kind="stable")])  # NaT comes last
    return ax


def _chosen(outcomes: xr.Dataset, operation: str | None, crop: str | None) -> tuple[str, str]:
    """Return the operation and the crop, each as asked for or by default."""
    crop = str(outcomes.crop.values[0]) if crop is None else crop
    _check_name(outcomes, "crop", crop)
    if operation is None:
        planting = outcomes.operation.values[outcomes.plants.sel(crop=crop).values]
        operation = str(planting[0] if len(planting) else outcomes.operation.values[0])
    _check_name(outcomes, "operation", operation)
    return operation, crop


def _check_name(outcomes: xr.Dataset, dim: str, name: str) -> None:
    names = [str(known) for known in outcomes[dim].values]
    if name not in names:
        raise InputError([no_such(dim, dim, name, names)])


def _share_finished(
    dates: NDArray[np.datetime64], days: NDArray[np.datetime64]
) -> NDArray[np.float64]:
    """Return the share of all seasons finished by each day [%]; NaT is not finished."""
    known = np.sort(dates[~np.isnat(dates)])
    finished: NDArray[np.float64] = np.searchsorted(known, days, side="right") * 100.0 / dates.size
    return finished


def _draw_curve(
    ax: Axes,
    option: str,
    days: NDArray[np.datetime64],
    share: NDArray[np.float64],
    median: np.datetime64,
    style: OptionStyle,
) -> str:
    """Draw one option's curve and mark its median; return how far it reaches, in words."""
    look: dict[str, Any] = {"color": style.color, "linestyle": style.line, "linewidth": WIDTH}
    ax.step(days, share, where="post", label=option, **look)
    if np.isnat(median):
        return f"in {share[-1]:.0f} % of seasons"
    ax.plot([median], [50.0], color=style.color, marker=style.marker, linestyle="none")
    return f"half of seasons by {day_text(median)}"


def _show_dates(ax: Axes, at: xr.Dataset, days: NDArray[np.datetime64], *, target: bool) -> None:
    """Show the days between the first finish and the last, and the target date."""
    shown = at.finish_date.values.ravel()
    shown = shown[~np.isnat(shown)] if at.finish_date.notnull().any() else days
    if target:
        due = at.target_date.values
        shown = np.append(shown, due)
        ax.axvline(due, color=QUIET, linewidth=1.0, linestyle=(0, (2, 2)), label="_target")
        ax.annotate(
            f"target {day_text(due)}",
            (day_numbers(due), 1.0),
            xycoords=ax.get_xaxis_transform(),
            xytext=(0, 3),
            textcoords="offset points",
            ha="center",
            fontsize="small",
            color=INK,
        )
    low, high = day_numbers([shown.min(), shown.max()])
    first, last = day_numbers(days[[0, -1]])
    ax.set_xlim(max(low - AIR, first), min(high + AIR, last))
    date_axis(ax)
