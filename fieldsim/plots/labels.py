"""Labels at the ends of lines, moved apart where they would overlap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.font_manager import FontProperties
from matplotlib.lines import Line2D
from numpy.typing import ArrayLike, NDArray

from fieldsim.plots.style import INK, QUIET, WIDTH, OptionStyle, verbatim

__all__ = ["LineEnd", "label_ends", "label_height", "spread"]

SIZE = "small"
LINE_SPACING = 1.2
SAMPLE = (0.03, 0.09)  # where the sample of the line begins and ends right of the axes [of width]


@dataclass(frozen=True)
class LineEnd:
    """Where a line ends, as a share of the height of the axes, and what is written there."""

    height: float
    text: str
    style: OptionStyle


def spread(wanted: ArrayLike, gap: float, most: float = 1.0) -> NDArray[np.float64]:
    """Return places at least `gap` apart, in the same order and as near as can be to those wanted.

    Parameters
    ----------
    wanted : array_like, shape (place,)
        Not falling.
    gap : float
        Made smaller where the places would not fit.
    most : float
        Places lie between 0 and `most`.

    Returns
    -------
    ndarray, shape (place,)

    Examples
    --------
    >>> spread([0.5, 0.5], 0.2)
    array([0.4, 0.6])
    >>> spread([0.1, 1.0, 1.0], 0.2)
    array([0.1, 0.8, 1. ])
    """
    places = np.asarray(wanted, dtype=np.float64)
    if places.size < 2:
        return places.clip(0.0, most)
    gap = min(gap, most / (places.size - 1))
    steps = gap * np.arange(places.size)
    result: NDArray[np.float64] = _rising(places - steps).clip(0.0, most - steps[-1]) + steps
    return result


def _rising(wanted: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the numbers nearest to those wanted, by least squares, that do not fall.

    The min-max formula of isotonic regression (Robertson, Wright and Dykstra 1988, Order Restricted
    Statistical Inference, section 1.4; cited from memory). `scipy.optimize` has it too, but takes
    as long to load as two figures to draw.
    """
    place = np.arange(wanted.size)
    begins, ends = place[:, None], place[None, :]
    sums = np.append(0.0, wanted.cumsum())
    means = (sums[ends + 1] - sums[begins]) / np.maximum(ends - begins + 1, 1)
    least = np.minimum.accumulate(means[:, ::-1], axis=1)[:, ::-1]  # over all ends from here on
    nearest: NDArray[np.float64] = np.where(begins <= ends, least, -np.inf).max(axis=0)
    return nearest


def label_height(ax: Axes, lines: int) -> float:
    """Return the height that a label of so many lines takes, as a share of that of the axes."""
    points = FontProperties(size=SIZE).get_size_in_points() * (LINE_SPACING * lines + 0.5)
    return float(points / (ax.get_window_extent().height * 72.0 / ax.figure.dpi))


def label_ends(ax: Axes, ends: Sequence[LineEnd]) -> None:
    """Write a label right of the axes for each line, with a sample of the line before it.

    Parameters
    ----------
    ax : Axes
    ends : sequence of LineEnd
        Where heights are equal, the first stands highest.
    """
    order = sorted(range(len(ends)), key=lambda i: (ends[i].height, -i))
    texts = {
        i: verbatim(
            ax.text(
                SAMPLE[1] + 1.015,
                0.0,
                ends[i].text,
                transform=ax.transAxes,
                va="center",
                fontsize=SIZE,
                color=INK,
                linespacing=LINE_SPACING,
            )
        )
        for i in order
    }
    most_lines = max(end.text.count("\n") + 1 for end in ends)
    places = spread([ends[i].height for i in order], label_height(ax, most_lines))
    for i, place in zip(order, places, strict=True):
        end = ends[i]
        texts[i].set_y(place)
        left, right = 1 + SAMPLE[0], 1 + SAMPLE[1]
        leader = Line2D([1.0, left], [end.height, place], color=QUIET, linewidth=0.6)
        sample = Line2D(
            [left, (left + right) / 2, right],
            [place] * 3,
            color=end.style.color,
            linestyle=end.style.line,
            linewidth=WIDTH,
            marker=end.style.marker,
            markevery=[1],
        )
        for line in (leader, sample):
            line.set(transform=ax.transAxes, clip_on=False)
            ax.add_artist(line)
