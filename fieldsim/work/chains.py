"""Who follows whom along the land of a block, and who may weed the same land."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["followers_of", "peers_of"]

Ints = NDArray[np.int64]


def followers_of(follows: Ints) -> Ints:
    """Return the tasks that follow each task.

    Parameters
    ----------
    follows : ndarray of int64, shape (T,)
        The task that each follows; -1 none.

    Returns
    -------
    ndarray of int64, shape (T, F)
        F is the most that follow one; -1 where a row has ended.

    Examples
    --------
    >>> followers_of(np.array([-1, 0, 0, 1])).tolist()
    [[1, 2], [3, -1], [-1, -1], [-1, -1]]
    """
    return _rows([np.flatnonzero(follows == t) for t in range(len(follows))])


def peers_of(tasks: NDArray[Any]) -> Ints:
    """Return the planting of each weeding task and the others that may weed its land before it.

    Parameters
    ----------
    tasks : ndarray of TASK, shape (T,)
        A task stands after the one it follows.

    Returns
    -------
    ndarray of int64, shape (T, W)
        First the planting; -1 where a row has ended, and all along for a task that does not weed.
    """
    planting, follows = tasks["planting"], tasks["follows"]
    weeds = (tasks["control"] > 0) & (planting >= 0)
    after = np.zeros((len(weeds), len(weeds)), dtype=bool)  # [t, p]: t comes after p
    for t, before in enumerate(follows):
        if before >= 0:
            after[t] = after[before]
            after[t, before] = True
    together = weeds & (planting == planting[:, None]) & ~after.T
    np.fill_diagonal(together, val=False)
    return _rows(
        [[planting[t], *np.flatnonzero(together[t])] if weeds[t] else [] for t in range(len(weeds))]
    )


def _rows(rows: Sequence[Sequence[int] | Ints]) -> Ints:
    """Return rows of different lengths as one array; -1 stands where a row has ended."""
    width = max(map(len, rows))
    return np.array([[*row, *[-1] * (width - len(row))] for row in rows], dtype=np.int64)
