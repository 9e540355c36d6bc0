"""Published figures on what lateness costs, in the units as printed, each with its source."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import NamedTuple

from fieldsim.tables import read_table

__all__ = ["PublishedFigure", "figure_subjects", "published_figure", "published_figures"]

TABLE = "late_figures.csv"


class PublishedFigure(NamedTuple):
    """One figure as printed: the ends of its range, its unit, its source and how sure it is.

    Parameters
    ----------
    name : str
    low, high : float
        Ends of the range [`unit`]; equal where one number was printed.
    unit : str
    source : str
    status : str
        Read in the source, read in a secondary source, derived, or from memory.
    """

    name: str
    low: float
    high: float
    unit: str
    source: str
    status: str


def figure_subjects() -> tuple[str, ...]:
    """Return the subjects of the published figures, in the order of the table."""
    return tuple(_figures())


def published_figures(subject: str) -> tuple[PublishedFigure, ...]:
    """Return every published figure on a subject.

    Parameters
    ----------
    subject : str
        One of `figure_subjects()`.

    Returns
    -------
    tuple of PublishedFigure

    Raises
    ------
    ValueError
        If there is no such subject.

    Examples
    --------
    >>> [figure.name for figure in published_figures("emergence")]
    ['corn_growing_degrees', 'corn_days', 'soybean_days']
    """
    figures = _figures()
    if subject not in figures:
        names = ", ".join(figures)
        raise ValueError(f"there is no subject {subject!r}: {names} are allowed")
    return figures[subject]


def published_figure(subject: str, name: str) -> PublishedFigure:
    """Return a published figure by its subject and name.

    Parameters
    ----------
    subject : str
        One of `figure_subjects()`.
    name : str
        Name of a figure of that subject.

    Returns
    -------
    PublishedFigure

    Raises
    ------
    ValueError
        If there is no such subject or figure.

    Examples
    --------
    >>> published_figure("weed_control", "cultivation_between_rows")[1:4]
    (70.0, 80.0, '%')
    """
    figures = {figure.name: figure for figure in published_figures(subject)}
    if name not in figures:
        names = ", ".join(figures)
        raise ValueError(f"there is no figure {name!r} on {subject}: {names} are allowed")
    return figures[name]


@cache
def _figures() -> dict[str, tuple[PublishedFigure, ...]]:
    """Return the figures by subject, read at first use."""
    columns = ("subject", "name", "low", "high", "unit", "source", "status")
    table = read_table(files("fieldsim.crops") / TABLE, columns, TABLE)
    figures: dict[str, tuple[PublishedFigure, ...]] = {}
    for row in table.rows:
        subject, name, low, high, *rest = (row.cells[column] for column in columns)
        figure = PublishedFigure(name, float(low), float(high), *rest)
        figures[subject] = (*figures.get(subject, ()), figure)
    return figures
