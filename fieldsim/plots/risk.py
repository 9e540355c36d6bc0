"""How does the cost of a year vary? The share of seasons by total cost, for each option."""

from __future__ import annotations

from typing import Any

import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.ticker import FuncFormatter, MaxNLocator
from numpy.typing import NDArray

from fieldsim.decisions.comparison import total_cost
from fieldsim.decisions.sampling import quantile
from fieldsim.plots.labels import LineEnd, label_ends
from fieldsim.plots.style import INK, QUIET, WIDTH, OptionStyle, bare_axes, option_styles, verbatim
from fieldsim.plots.words import in_lines, money_text

__all__ = ["plot_yearly_cost"]

TOP = 103.0  # per cent
MARKED = 0.9  # 1 season in 10 costs more
SHOWN = 0.98  # of each option's seasons: a single worst one may lie far beyond them
LEAST_SPAN = 1000.0  # of the money axis [$]: costs that are all the same need one too
ROW_HEIGHT = 0.4  # height that the label of an option needs [in]


def plot_yearly_cost(outcomes: xr.Dataset, *, ax: Axes | None = None) -> Axes:
    """Plot the share of seasons that cost no more than an amount, a curve an option.

    A curve left of another is cheaper; a steeper one varies less from year to year. The cost that
    1 year in 10 exceeds is marked on each, with its 95 % band.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.
    ax : Axes, optional
        Default: new ones. The labels stand to the right of the axes.

    Returns
    -------
    Axes
        Its lines are labelled ``OPTION`` (the curve) and ``OPTION 1 in 10`` (the mark); x is the
        total cost of a year [$], y the share of seasons [%].

    Examples
    --------
    >>> import fieldsim
    >>> ax = plot_yearly_cost(fieldsim.simulate(fieldsim.demo_farm(), 50))
    >>> ax.get_xlabel()
    'cost of a year, lost revenue included [$]'
    """
    cost = total_cost(outcomes)
    ax = bare_axes(ax, rows=ROW_HEIGHT * outcomes.sizes["option"])
    _set_limits(ax, cost.values)
    bad_years, ends = [], []
    for option, style in option_styles(outcomes).items():
        of_option = np.sort(cost.sel(option=option).values)
        bad = quantile(of_option, MARKED)
        bad_years.append(float(bad.value))
        ends.append(_draw_curve(ax, option, of_option, bad_years[-1], style))
        band = [float(bad.low), float(bad.high)]
        ax.plot(band, [100.0 * MARKED] * 2, color=style.color, linewidth=4.0, alpha=0.35,
                solid_capstyle="butt", label=f"_{option} band")  # fmt: skip
    _dress(ax, cost.attrs["units"])
    # Where curves end at one height, the cheapest bad year stands highest, as its curve does.
    label_ends(ax, [ends[i] for i in np.argsort(bad_years, kind="stable")])
    return ax


def _set_limits(ax: Axes, cost: NDArray[np.float64]) -> None:
    """Show all costs but those of the worst few seasons."""
    low = float(cost.min())
    high = max(float(quantile(of_option, SHOWN).value) for of_option in cost)
    span = max(high - low, LEAST_SPAN)
    ax.set_xlim(low - 0.02 * span, low + 1.02 * span)
    ax.set_ylim(0.0, TOP)


def _draw_curve(
    ax: Axes, option: str, cost: NDArray[np.float64], bad: float, style: OptionStyle
) -> LineEnd:
    """Draw one option's curve and mark its bad year; return what to write at its end."""
    share = 100.0 * np.arange(cost.size + 1) / cost.size
    low, high = ax.get_xlim()
    look: dict[str, Any] = {"color": style.color, "linestyle": style.line, "linewidth": WIDTH}
    x = np.concatenate([[low], cost, [max(high, cost[-1])]])
    ax.step(x, np.append(share, share[-1]), where="post", label=option, **look)
    ax.plot(
        [bad],
        [100.0 * MARKED],
        color=style.color,
        marker=style.marker,
        linestyle="none",
        label=f"{option} 1 in 10",
    )
    end = share[np.searchsorted(cost, high, side="right")]
    text = f"{in_lines(style.label, 24, 2)}\n1 year in 10 over {money_text(bad)}"
    return LineEnd(float(end) / TOP, text, style)


def _dress(ax: Axes, units: str) -> None:
    """Name the axes, and the height at which bad years are marked."""
    ax.axhline(100.0 * MARKED, color=QUIET, linewidth=1.0, linestyle=(0, (2, 2)), label="_marked")
    ax.xaxis.set_major_locator(MaxNLocator(5))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: money_text(x)))
    ax.set_ylabel("seasons that cost no more [%]", color=INK)
    ax.set_xlabel(f"cost of a year, lost revenue included [{units}]", color=INK)
    title = "Share of seasons by what the year costs; marks: 1 year in 10 is worse"
    verbatim(ax.set_title(title, loc="left", pad=8, fontsize="medium", color=INK))
