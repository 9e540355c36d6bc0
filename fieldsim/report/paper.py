"""Text and tables on a sheet of paper: a figure on which lengths run in inches from its top."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.lines import Line2D
from matplotlib.textpath import text_to_path

from fieldsim.plots.style import INK, verbatim

__all__ = ["POINTS", "Column", "Font", "Sheet", "in_width", "new_sheet", "rule", "write", "written"]

POINTS = 72.0  # in an inch
LEADING = 1.32  # from line to line, of the size of the letters


@dataclass(frozen=True)
class Font:
    """Size of letters [pt], their weight, and their color."""

    size: float = 9.5
    weight: str = "normal"
    color: str = INK

    @property
    def line(self) -> float:
        """Height of a line [in]."""
        return LEADING * self.size / POINTS


@dataclass(frozen=True)
class Sheet:
    """A sheet: its figure, and its width, height and margin [in]."""

    figure: Figure
    width: float
    height: float
    margin: float

    @property
    def right(self) -> float:
        """Where the right margin begins, from the left [in]."""
        return self.width - self.margin


class Column(NamedTuple):
    """A column of a table: its left and right edge [in], and where its text stands."""

    left: float
    right: float
    align: str


def new_sheet(width: float, height: float, margin: float) -> Sheet:
    """Return an empty sheet; all lengths in inches."""
    return Sheet(Figure(figsize=(width, height)), width, height, margin)


@lru_cache(maxsize=8192)
def _em(text: str, weight: str) -> float:
    """Return how wide a word is, in the size of its letters."""
    font = FontProperties(size=100.0, weight=weight)
    return float(text_to_path.get_text_width_height_descent(text, font, False)[0]) / 100.0


def in_width(text: str, width: float, font: Font) -> list[str]:
    """Break text into lines of at most a width [in]; a longer word is broken where it must be.

    Examples
    --------
    >>> in_width("one outfit of 6 rows", 0.7, Font(9.0))
    ['one outfit', 'of 6 rows']
    """
    room = width * POINTS / font.size  # in the size of the letters, as all widths here
    space = _em("a a", font.weight) - _em("aa", font.weight)
    lines, used = [""], 0.0
    for word in text.split():
        wide = _em(word, font.weight)
        if lines[-1] and used + space + wide <= room:
            lines[-1], used = f"{lines[-1]} {word}", used + space + wide
            continue
        if lines[-1]:
            lines.append("")
        if wide <= room:
            lines[-1], used = word, wide
            continue
        *whole, lines[-1] = _pieces(word, room, font.weight)
        lines[-1:-1] = whole
        used = _em(lines[-1], font.weight)
    return lines


def _pieces(word: str, room: float, weight: str) -> list[str]:
    """Break a word that is too long for a line."""
    pieces = [""]
    for sign in word:
        if pieces[-1] and _em(pieces[-1] + sign, weight) > room:
            pieces.append("")
        pieces[-1] += sign
    return pieces


def write(sheet: Sheet, x: float, top: float, text: str, font: Font, align: str = "left") -> None:
    """Write one line at `x`, its upper edge `top` from the top of the sheet [in]."""
    baseline = top + 0.8 * font.line
    line = sheet.figure.text(
        x / sheet.width,
        1 - baseline / sheet.height,
        text,
        size=font.size,
        weight=font.weight,
        color=font.color,
        ha=align,
        va="baseline",
    )
    verbatim(line)


def written(
    sheet: Sheet,
    top: float,
    text: str,
    font: Font,
    *,
    left: float | None = None,
    right: float | None = None,
    align: str = "left",
) -> float:
    """Write a paragraph between two edges, and return where it ends [in from the top]."""
    begin = sheet.margin if left is None else left
    end = sheet.right if right is None else right
    for line in in_width(text, end - begin, font):
        write(sheet, begin if align == "left" else end, top, line, font, align)
        top += font.line
    return top


def row(
    sheet: Sheet, top: float, columns: Sequence[Column], cells: Sequence[str], font: Font
) -> float:
    """Write a row of a table, and return where its highest cell ends [in from the top]."""
    return max(
        written(sheet, top, cell, font, left=column.left, right=column.right, align=column.align)
        for column, cell in zip(columns, cells, strict=True)
    )


def rule(
    sheet: Sheet, left: float, top: float, right: float, bottom: float, width: float, color: str
) -> None:
    """Draw a straight line [in], of a width [pt]."""
    x, y = (left, right), (top, bottom)
    sheet.figure.add_artist(
        Line2D(
            [of / sheet.width for of in x],
            [1 - of / sheet.height for of in y],
            color=color,
            linewidth=width,
            solid_capstyle="butt",
        )
    )
