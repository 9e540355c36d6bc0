"""The figures of the page, and the bad year that one of them shows."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from fieldsim.decisions import total_cost
from fieldsim.decisions.sampling import quantile
from fieldsim.farm import Farm
from fieldsim.plots import plot_finish_dates, plot_lost_revenue, plot_season
from fieldsim.plots.finish import ROW_HEIGHT as FINISH_ROW
from fieldsim.plots.loss import ROW_HEIGHT as LOSS_ROW
from fieldsim.plots.replay import ROW_HEIGHT as SEASON_ROW
from fieldsim.plots.style import INK, figure_size, lay_out, verbatim
from fieldsim.plots.words import readable
from fieldsim.simulation import replay

__all__ = ["BadYear", "bad_year", "make_figures", "planted_crops"]


class BadYear(NamedTuple):
    """A season of the cheapest option that loses what 1 in 10 exceeds, and what it loses [$]."""

    option: str
    season: int
    lost_revenue: float


def planted_crops(outcomes: xr.Dataset) -> list[str]:
    """Return the crops that stand on fields, in the order of the outcomes."""
    return [str(crop) for crop in outcomes.crop.values[outcomes.crop_area.values > 0]]


def bad_year(outcomes: xr.Dataset) -> BadYear:
    """Return the first season that comes nearest to the 1-in-10 loss of the cheapest option.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.
    """
    cost = total_cost(outcomes).mean("season")
    option = str(cost.option.values[cost.values.argmin()])
    lost = outcomes.lost_revenue.sel(option=option).sum("crop").values
    place = int(np.abs(lost - quantile(lost, 0.9).value).argmin())
    return BadYear(option, int(outcomes.season.values[place]), float(lost[place]))


def make_figures(farm: Farm, outcomes: xr.Dataset) -> dict[str, Figure]:
    """Draw the figures of the page.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
        From `simulate`, of the same farm.

    Returns
    -------
    dict
        Figures by the stem of a file name: ``finish_CROP`` for each crop on the fields,
        ``lost_revenue``, and ``season``, a bad year with the option that costs least.

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> list(make_figures(farm, fieldsim.simulate(farm, 50)))
    ['finish_corn', 'finish_soybeans', 'lost_revenue', 'season']
    """
    options = outcomes.sizes["option"]
    figures: dict[str, Figure] = {}
    for crop in planted_crops(outcomes):
        ax = _new_axes(figures, f"finish_{crop}", FINISH_ROW * options)
        plot_finish_dates(outcomes, crop=crop, ax=ax)
    plot_lost_revenue(outcomes, ax=_new_axes(figures, "lost_revenue", LOSS_ROW * options))
    bad = bad_year(outcomes)
    days = replay(farm, bad.option, bad.season, seed=int(outcomes.attrs["seed"]))
    rows = days.sizes["operation"] * len(np.unique(days.crop.values)) + days.sizes["soil"]
    ax = plot_season(days, ax=_new_axes(figures, "season", SEASON_ROW * rows))
    label = readable(str(outcomes.option_label.sel(option=bad.option).item()))
    title = f"A bad year with {label} (season {bad.season})"
    verbatim(ax.set_title(title, loc="left", fontsize="medium", color=INK))
    for figure in figures.values():
        lay_out(figure)
    return figures


def _new_axes(figures: dict[str, Figure], name: str, rows: float) -> Axes:
    figures[name] = Figure(figsize=figure_size(rows), layout="constrained")
    return figures[name].add_subplot()
