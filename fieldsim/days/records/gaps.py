"""What is missing in records, said in plain sentences."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from fieldsim.season import CalendarDay

__all__ = ["gap_sentences"]

LONGEST_LIST = 6  # gaps named in a sentence


def gap_sentences(
    file: str,
    unit: str,
    years: Sequence[int],
    starts: NDArray[np.datetime64],
    missing: NDArray[np.bool_],
) -> list[str]:
    """Say what is missing.

    Parameters
    ----------
    file : str
        What to call the records.
    unit : str
        ``"week"`` or ``"day"``.
    years : sequence of int
    starts : ndarray of datetime64[D], shape (year, column)
        First day of each week, or the day.
    missing : ndarray of bool, shape (year, column)

    Returns
    -------
    list of str
        A sentence on the gaps, and one on the columns that fewer than half of the years hold;
        empty where nothing is missing.

    Examples
    --------
    >>> weeks = np.array([["2001-04-02", "2001-04-09"], ["2002-04-01", "2002-04-08"]], "M8[D]")
    >>> for sentence in gap_sentences("f", "week", (2001, 2002), weeks, np.eye(2, dtype=bool)):
    ...     print(sentence)
    f: 2 of 4 weeks are missing and not taken for zero: 1 from 2 Apr 2001, 1 from 8 Apr 2002
    """
    sentences = []
    if missing.any():
        gaps = [
            f"{count} from {_day(starts[year, first])} {years[year]}"
            for year, cells in enumerate(missing)
            for first, count in _runs(cells)
        ]
        more = [f"and {len(gaps) - LONGEST_LIST} more gaps"] if len(gaps) > LONGEST_LIST else []
        named = ", ".join(gaps[:LONGEST_LIST] + more)
        sentences.append(
            f"{file}: {missing.sum()} of {missing.size} {unit}s are missing and not taken for "
            f"zero: {named}"
        )
    thin = (~missing).sum(axis=0) < len(years) / 2
    if thin.any():
        named = ", ".join(
            f"{count} from {_day(starts[0, first])}" for first, count in _runs(thin)[:LONGEST_LIST]
        )
        sentences.append(
            f"{file}: fewer than half of the years hold these {unit}s, and the others would be "
            f"filled from them: {named}"
        )
    return sentences


def _day(start: np.datetime64) -> CalendarDay:
    """Return the day of the calendar of a date."""
    _, month, day = str(start).split("-")
    return CalendarDay(int(month), int(day))


def _runs(cells: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return first index and length of each run of true cells."""
    edges = np.diff(np.concatenate([[0], cells.astype(int), [0]]))
    firsts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    return [(int(a), int(b - a)) for a, b in zip(firsts, ends, strict=True)]
