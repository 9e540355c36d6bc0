"""How many days of each week are fit for fieldwork? Drawn seasons, and the years they rest on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from numpy.typing import NDArray

from fieldsim.days import DailyChain, DaySource, WeeklyTable
from fieldsim.days.layout import DAYS
from fieldsim.days.records import Records, RecordYears
from fieldsim.days.records.quantiles import sample_quantiles
from fieldsim.days.records.references import Reference, reference_to
from fieldsim.days.records.resampling import drawn_columns
from fieldsim.days.weather import SoilWater
from fieldsim.days.weather.past_years import past_years
from fieldsim.errors import Fault, InputError, no_such
from fieldsim.plots.labels import LineEnd, label_ends
from fieldsim.plots.style import (
    INK,
    Dashes,
    OptionStyle,
    bare_axes,
    date_axis,
    day_numbers,
    verbatim,
)
from fieldsim.plots.words import in_lines, readable
from fieldsim.season import Season

__all__ = ["plot_suitable_days"]

BAND, INNER_BAND, EDGE, YEARS = "#CFE3F3", "#8FBEE0", "#0B4F8A", "#B8430A"
LOW, HIGH = -0.25, 7.25  # of the days axis: a dot at 0 or 7 is seen whole
ROW_HEIGHT = 3.2  # of a new figure [in]
MARGIN = 0.12  # of a week's width, left free on either side of its dots
DOT = 3.0  # diameter of a year's dot [pt]
CAPTION_WIDTH = 84  # letters that fit above the axes of a new figure


@dataclass(frozen=True)
class Level:
    """A quantile that is drawn: the share of years below it, how it is named, and its line."""

    share: float
    words: str
    dashes: Dashes
    width: float


LEVELS = (
    Level(0.90, "1 year in 10", (0.0, (1.2, 1.2)), 1.0),
    Level(0.75, "1 year in 4", (0.0, (5.0, 2.0)), 1.0),
    Level(0.50, "half of the years", "-", 2.2),
    Level(0.25, "3 years in 4", (0.0, (5.0, 2.0)), 1.0),
    Level(0.10, "9 years in 10", (0.0, (1.2, 1.2)), 1.0),
)


def plot_suitable_days(
    source: DaySource,
    season: Season,
    *,
    against: Records | None = None,
    seasons: int = 2000,
    seed: int = 0,
    soil: str | None = None,
    ax: Axes | None = None,
) -> Axes:
    """Plot the suitable days of each week: bands of drawn seasons, dots for the years on record.

    Weeks are those of the record or the weekly table that the source rests on, else they are
    counted from the first day of the season; only weeks that lie wholly in it are shown. The dots
    of a week stand for its years from left to right, so that a trend over the years shows in them.
    A weekly table has no years: its own levels are marked.

    Parameters
    ----------
    source : DaySource
    season : Season
    against : Records, optional
        Years to show; default: those that the source itself rests on, if it does.
    seasons : int
        Seasons to draw; of a replay, all its years.
    seed : int
        0 or more.
    soil : str, optional
        Which soil, for a source with several.
    ax : Axes, optional
        Default: new ones. What the lines mean is written to the right of the axes.

    Returns
    -------
    Axes
        Its patches are labelled ``10-90 %`` and ``25-75 %`` (the bands), and ``90 %``, ``75 %``,
        ``50 %``, ``25 %`` and ``10 %`` (the share of seasons with fewer days); its lines ``years``
        (dots) and ``levels`` (marks of a weekly table); y is the suitable days of a week [days].

    Raises
    ------
    InputError
        If the soil is not known or not said, no week lies wholly in the season, or too few years
        of a record have its weeks; and as the draw.

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> ax = plot_suitable_days(farm.day_source, farm.season, seasons=50)
    >>> ax.get_ylabel()
    'suitable days of the week [days]'
    """
    soil = _chosen_soil(source, soil)
    target = _own(source, season, soil) if against is None else against
    reference = _from_first_day(season) if target is None else reference_to(target, season)
    if isinstance(source, RecordYears) and source.resampling == "replay":
        seasons = min(seasons, len(source.records.years))
    if isinstance(source, RecordYears) and source.records is target and target.unit == "week":
        weeks = drawn_columns(source, seasons, seed)[:, reference.kept]  # as the years keep them
    else:
        suitable = source.draw(season, seasons, seed)[:, source.soils.index(soil)]
        weeks = suitable[:, reference.windows].sum(axis=-1)
    ax = bare_axes(ax, rows=ROW_HEIGHT)
    edges = _edges(reference.windows, season)
    ends = _draw_bands(ax, weeks, edges)
    caption = [f"bands: {seasons:,} drawn seasons"]
    if isinstance(target, Records):
        caption.append(_draw_years(ax, reference, edges, target.years))
    if isinstance(source, WeeklyTable):
        caption.append(_draw_levels(ax, source, season))
    _dress(ax, edges, caption, soil if len(source.soils) > 1 else "")
    label_ends(ax, ends)
    return ax


def _chosen_soil(source: DaySource, soil: str | None) -> str:
    """Return the soil that is meant."""
    if soil is None and len(source.soils) == 1:
        return source.soils[0]
    if soil is None:
        repair = f"soils are {', '.join(source.soils)}"
        raise InputError([Fault("", "soil", "", "say which soil", repair)])
    if soil not in source.soils:
        raise InputError([no_such("soil", "soil", soil, source.soils)])
    return soil


def _own(source: DaySource, season: Season, soil: str) -> WeeklyTable | DailyChain | Records | None:
    """Return what a source rests on; None where it does not say."""
    if isinstance(source, RecordYears):
        return source.records
    if isinstance(source, SoilWater):
        return past_years(source, season, soil)
    return source if isinstance(source, WeeklyTable | DailyChain) else None


def _from_first_day(season: Season) -> Reference:
    """Return the full weeks from the first day of a season on, of which nothing is expected."""
    windows = np.arange(season.days // DAYS * DAYS).reshape(-1, DAYS)
    if not len(windows):
        problem, repair = "no week lies wholly in the season", "choose a longer season"
        raise InputError([Fault("", "season", "", problem, repair)])
    none = np.empty((len(windows), 0))
    return Reference((), windows, np.arange(len(windows)), np.empty(0), none)


def _edges(windows: NDArray[np.int64], season: Season) -> NDArray[np.float64]:
    """Return where each week begins and ends on the date axis, shape (week, 2)."""
    starts = day_numbers(season.dates)
    return np.column_stack([starts[windows[:, 0]], starts[windows[:, -1]] + 1.0])


def _draw_bands(ax: Axes, weeks: NDArray[np.float64], edges: NDArray[np.float64]) -> list[LineEnd]:
    """Draw the quantiles of the drawn seasons, week by week; return what to write at their ends."""
    at = np.unique(edges)
    drawn = np.full((len(LEVELS), len(at) - 1), np.nan)  # nan between weeks that do not touch
    shares = np.array([level.share for level in LEVELS])
    drawn[:, np.searchsorted(at, edges[:, 0])] = sample_quantiles(weeks, shares).T
    for low, high, color in ((-1, 0, BAND), (-2, 1, INNER_BAND)):
        label = f"{100 * LEVELS[low].share:.0f}-{100 * LEVELS[high].share:.0f} %"
        ax.stairs(drawn[high], at, baseline=drawn[low], fill=True, color=color, label=label)
    for level, days in zip(LEVELS, drawn, strict=True):
        look: dict[str, Any] = {
            "linestyle": level.dashes,
            "linewidth": level.width,
            "label": f"{100 * level.share:.0f} %",
        }
        ax.hlines(days, at[:-1], at[1:], color=EDGE, **look)
    return [
        LineEnd(
            (days[-1] - LOW) / (HIGH - LOW),
            level.words,
            OptionStyle(level.words, EDGE, level.dashes, ""),
        )
        for level, days in zip(LEVELS, drawn, strict=True)
    ]


def _draw_years(
    ax: Axes, reference: Reference, edges: NDArray[np.float64], years: tuple[int, ...]
) -> str:
    """Draw a dot for each year in each week, the first year at the left; say so."""
    assert reference.sample is not None
    order = np.argsort(years, kind="stable")
    place = MARGIN + (1 - 2 * MARGIN) * (np.arange(len(years)) + 0.5) / len(years)
    x = edges[:, 0] + place[:, None] * np.diff(edges, axis=1).ravel()
    ax.plot(
        x.ravel(),
        reference.sample[order].ravel(),
        "o",
        color=YEARS,
        markersize=DOT,
        markeredgewidth=0.0,
        label="years",
    )
    return f"dots: years {min(years)} to {max(years)}, left to right in each week"


def _draw_levels(ax: Axes, table: WeeklyTable, season: Season) -> str:
    """Mark the levels that a weekly table itself gives; say which."""
    own = reference_to(table, season)
    middles = _edges(own.windows, season).mean(axis=1)
    x = np.repeat(middles, len(own.percentiles))
    ax.plot(
        x,
        own.quantiles.ravel(),
        "D",
        markersize=3.6,
        color=INK,
        markeredgecolor="white",
        markeredgewidth=0.5,
        label="levels",
    )
    return "diamonds: the levels that the table gives"


def _dress(ax: Axes, edges: NDArray[np.float64], caption: list[str], soil: str) -> None:
    """Set limits, names and ticks."""
    ax.set_xlim(edges.min(), edges.max())
    ax.set_ylim(LOW, HIGH)
    ax.set_yticks(range(DAYS + 1))
    date_axis(ax)
    ax.grid(False, axis="x")
    ax.set_ylabel("suitable days of the week [days]", color=INK)
    ax.set_xlabel("date", color=INK)
    title = "Suitable days of each week" + (f": {readable(soil)}" if soil else "")
    said = in_lines("; ".join(caption), CAPTION_WIDTH, 3)
    lines = 1 + said.count("\n")
    ax.annotate(
        said[0].upper() + said[1:],
        (0.0, 1.0),
        xycoords="axes fraction",
        xytext=(0.0, 5.0),
        textcoords="offset points",
        fontsize="small",
        color=INK,
    )
    verbatim(ax.set_title(title, loc="left", pad=8 + 12 * lines, fontsize="medium", color=INK))
    ax.annotate(
        "at least so many\ndays in",
        (1.03, 1.0),
        xycoords="axes fraction",
        xytext=(0.0, 5.0),
        textcoords="offset points",
        fontsize="small",
        color=INK,
    )
