"""Filling what a drawn year lacks: by the same week of another year, never by zero."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Donors", "fill", "find_donors"]


@dataclass(frozen=True, eq=False)
class Donors:
    """Which years can fill each column, and from which column they do.

    Parameters
    ----------
    years : ndarray of int, shape (column, year)
        Indices of the years with a figure first, filled up with -1.
    counts : ndarray of int, shape (column,)
        How many they are; 0 for a column that nothing can fill.
    columns : ndarray of int, shape (column,)
        Column they fill from: the column itself, or its neighbor if no year has a figure in it.
    """

    years: NDArray[np.int64]
    counts: NDArray[np.int64]
    columns: NDArray[np.int64]


def find_donors(days: NDArray[np.float64], *, from_neighbor: bool) -> Donors:
    """Find the years that can fill each column.

    Parameters
    ----------
    days : ndarray, shape (year, column)
        Figures; nan where missing.
    from_neighbor : bool
        Whether a column in which no year has a figure is filled from the column beside it, the
        earlier one first.

    Returns
    -------
    Donors

    Examples
    --------
    >>> donors = find_donors(np.array([[1.0, np.nan], [2.0, 3.0]]), from_neighbor=False)
    >>> donors.counts.tolist(), donors.years[1].tolist()
    ([2, 1], [1, -1])
    """
    known: NDArray[np.bool_] = np.isfinite(days.T)
    columns = np.arange(len(known))
    if from_neighbor:
        held = np.asarray(known.any(axis=1))
        for column in np.flatnonzero(~held):
            beside = [at for at in (column - 1, column + 1) if 0 <= at < len(held) and held[at]]
            columns[column] = beside[0] if beside else column
    known = known[columns]
    counts = known.sum(axis=1)
    order = np.argsort(~known, axis=1, kind="stable")
    years = np.where(np.arange(known.shape[1]) < counts[:, None], order, -1)
    return Donors(years, counts, columns)


def fill(
    days: NDArray[np.float64],
    chosen: NDArray[np.int64],
    donors: Donors,
    uniforms: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Return the figures of the chosen years, with the missing ones filled.

    A missing figure is replaced by that of the same column in one of the years that have it, each
    as likely as the others.

    Parameters
    ----------
    days : ndarray, shape (year, column)
        Figures; nan where missing.
    chosen : ndarray of int, shape (season,)
        Index of each season's year.
    donors : Donors
    uniforms : ndarray, shape (season, column)
        Uniform random numbers [0..1).

    Returns
    -------
    ndarray, shape (season, column)
        nan only in columns that nothing can fill.

    Examples
    --------
    >>> days = np.array([[1.0, np.nan], [2.0, 3.0]])
    >>> donors = find_donors(days, from_neighbor=False)
    >>> fill(days, np.array([0, 1]), donors, np.full((2, 2), 0.5)).tolist()
    [[1.0, 3.0], [2.0, 3.0]]
    """
    filled = days[chosen]
    season, column = np.nonzero(np.isnan(filled) & (donors.counts > 0))
    rank = (uniforms[season, column] * donors.counts[column]).astype(int)
    filled[season, column] = days[donors.years[column, rank], donors.columns[column]]
    return filled
