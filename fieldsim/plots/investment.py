"""How does the cash of an investment go? A fan of futures, added up year by year."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.ticker import FuncFormatter, MaxNLocator
from numpy.typing import NDArray

from fieldsim.decisions.investment.words import replacement_words
from fieldsim.decisions.sampling import quantile
from fieldsim.plots.labels import LineEnd, label_ends
from fieldsim.plots.style import INK, QUIET, Dashes, OptionStyle, bare_axes, verbatim
from fieldsim.plots.words import in_lines, money_text

__all__ = ["plot_investment"]

BAND, INNER_BAND, EDGE = "#CFE3F3", "#8FBEE0", "#0B4F8A"
AIR = 0.05  # of the height, left free above and below the fan
TITLE_WIDTH, CAPTION_WIDTH = 72, 84  # letters


@dataclass(frozen=True)
class Level:
    """A quantile that is drawn: the share of futures below it, how it is named, and its line."""

    share: float
    words: str
    dashes: Dashes
    width: float


LEVELS = (
    Level(0.90, "1 future in 10\nis above", (0.0, (1.2, 1.2)), 1.0),
    Level(0.75, "1 in 4 is above", (0.0, (5.0, 2.0)), 1.0),
    Level(0.50, "half of the futures", "-", 2.2),
    Level(0.25, "1 in 4 is below", (0.0, (5.0, 2.0)), 1.0),
    Level(0.10, "1 future in 10\nis below", (0.0, (1.2, 1.2)), 1.0),
)


def plot_investment(investment: xr.Dataset, *, ax: Axes | None = None) -> Axes:
    """Plot the cash of moving from one option to another, added up since the start, as a fan.

    At each year half of the futures lie within the inner band and 8 of 10 within the outer one. A
    future that runs above 0 has paid back what it took. What the machines are worth at the end is
    not in the fan but told above it.

    Parameters
    ----------
    investment : xarray.Dataset
        From `invest`.
    ax : Axes, optional
        Default: new ones. What the lines mean is written to the right of the axes.

    Returns
    -------
    Axes
        Its collections are labelled ``10-90 %`` and ``25-75 %`` (the bands), its lines ``90 %``,
        ``75 %``, ``50 %``, ``25 %`` and ``10 %`` (the share of futures below); x is the year, y the
        cash added up [$]. The end of a loan is marked.

    Examples
    --------
    >>> import fieldsim
    >>> from fieldsim.decisions import invest
    >>> farm = fieldsim.demo_farm()
    >>> outcomes = fieldsim.simulate(farm, 200)
    >>> ax = plot_investment(invest(farm, outcomes, "six_rows", "eight_rows", futures=100))
    >>> ax.get_xlabel()
    'years since the start'
    """
    ax = bare_axes(ax)
    years = investment.year.values
    added = np.cumsum(investment.cash_flow.values, axis=1)
    fan = np.array([[quantile(year, level.share).value for year in added.T] for level in LEVELS])
    low, high = min(0.0, float(fan.min())), max(0.0, float(fan.max()))
    span = max(high - low, 1.0)
    ax.set_ylim(low - AIR * span, high + AIR * span)
    ax.set_xlim(0, years[-1])
    _draw_fan(ax, years, fan)
    _mark_loan(ax, investment)
    ax.axhline(0.0, color=INK, linewidth=1.0, label="_nothing", zorder=1.5)
    ax.xaxis.set_major_locator(MaxNLocator(12, integer=True))
    ax.yaxis.set_major_formatter(FuncFormatter(lambda y, _: money_text(y)))
    ax.set_xlabel("years since the start", color=INK)
    ax.set_ylabel("cash added up since the start [$]", color=INK)
    _head(ax, investment)
    bottom, top = ax.get_ylim()
    label_ends(
        ax,
        [
            LineEnd(
                (line[-1] - bottom) / (top - bottom),
                level.words,
                OptionStyle(level.words, EDGE, level.dashes, ""),
            )
            for level, line in zip(LEVELS, fan, strict=True)
        ],
    )
    return ax


def _draw_fan(ax: Axes, years: NDArray[np.int64], fan: NDArray[np.float64]) -> None:
    """Draw both bands and the lines at their edges."""
    for low, high, color in ((-1, 0, BAND), (-2, 1, INNER_BAND)):
        label = f"{100 * LEVELS[low].share:.0f}-{100 * LEVELS[high].share:.0f} %"
        ax.fill_between(years, fan[low], fan[high], color=color, linewidth=0.0, label=label)
    for level, line in zip(LEVELS, fan, strict=True):
        ax.plot(
            years,
            line,
            color=EDGE,
            linestyle=level.dashes,
            linewidth=level.width,
            label=f"{100 * level.share:.0f} %",
        )


def _mark_loan(ax: Axes, investment: xr.Dataset) -> None:
    """Mark the year in which a loan is paid off."""
    if investment.attrs["borrowed"] <= 0:
        return
    end = investment.attrs["loan_years"]
    ax.axvline(end, color=QUIET, linewidth=1.0, linestyle=(0, (2, 2)), label="_loan")
    late = end > 0.8 * investment.attrs["years"]
    ax.annotate(
        "loan paid off",
        (end, 0.0),
        xycoords=ax.get_xaxis_transform(),
        xytext=(-4 if late else 4, 5),
        textcoords="offset points",
        ha="right" if late else "left",
        fontsize="small",
        color=INK,
    )


def _head(ax: Axes, investment: xr.Dataset) -> None:
    """Write what the figure shows, and what the machines are worth at its end."""
    attrs = investment.attrs
    end = float(investment.plan.sel(part="end_worth").sum())
    differ = f"{money_text(abs(end))} {'more' if end >= 0 else 'less'}"
    worth = (
        f"Today's dollars, without interest; at the end the machines are worth {differ} than the "
        "old ones would be, which is not in the fan."
    )
    said = in_lines(" ".join([worth, *replacement_words(investment)]), CAPTION_WIDTH, 3)
    title = in_lines(f"From {attrs['from_label']} to {attrs['to_label']}", TITLE_WIDTH, 1)
    pad = 8 + 12 * (1 + said.count("\n"))
    verbatim(ax.set_title(title, loc="left", pad=pad, fontsize="medium", color=INK))
    verbatim(
        ax.annotate(
            said,
            (0.0, 1.0),
            xycoords="axes fraction",
            xytext=(0.0, 5.0),
            textcoords="offset points",
            fontsize="small",
            color=INK,
        )
    )
