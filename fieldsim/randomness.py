"""One seed, named streams: each random quantity draws from a stream of its own."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

__all__ = ["Seasons", "by_season", "count_of", "stream"]

Seasons = int | range  # how many seasons from the first on, or which
BLOCK = 1000  # seasons that are drawn from one stream


def count_of(seasons: Seasons) -> int:
    """Return how many seasons are asked for."""
    return len(seasons) if isinstance(seasons, range) else seasons


def by_season(
    seed: int,
    name: str,
    seasons: Seasons,
    draw: Callable[[np.random.Generator, int], NDArray[np.float64]],
) -> NDArray[np.float64]:
    """Draw a random quantity season by season, any seasons of a run without those before them.

    Each thousand seasons have a stream of their own, so that a run can be worked in parts. The
    first seasons of a long run are those of a short one.

    Parameters
    ----------
    seed : int
        0 or more.
    name : str
        The quantity, as ``"days.weeks"``.
    seasons : int or range
        How many seasons, or which, in steps of 1.
    draw : callable
        Given a generator and a number of seasons, one array of shape (season, ...) drawn from it.

    Returns
    -------
    ndarray of float64, shape (season, ...)

    Examples
    --------
    >>> def pairs(generator, seasons):
    ...     return generator.random((seasons, 2))
    >>> whole = by_season(0, "days.weeks", 2500, pairs)
    >>> part = by_season(0, "days.weeks", range(900, 2100), pairs)
    >>> bool((whole[900:2100] == part).all())
    True
    """
    wanted = seasons if isinstance(seasons, range) else range(seasons)
    parts = []
    for start in range(wanted.start - wanted.start % BLOCK, max(wanted.stop, 1), BLOCK):
        until = min(wanted.stop - start, BLOCK)
        generator = stream(seed, f"{name}.{start}" if start else name)
        parts.append(draw(generator, until)[max(wanted.start - start, 0) :])
    return parts[0] if len(parts) == 1 else np.concatenate(parts)


def stream(seed: int, name: str) -> np.random.Generator:
    """Return the random generator of one named quantity.

    Streams of different names are independent, so adding a random quantity changes no other.
    Quantities of seasons are drawn by `by_season`.

    Parameters
    ----------
    seed : int
        0 or more; 0 is a seed like any other.
    name : str
        The quantity, as ``"days.weeks"``.

    Returns
    -------
    numpy.random.Generator

    Raises
    ------
    ValueError
        If `seed` is negative or not a whole number.

    Examples
    --------
    >>> a = stream(0, "days.weeks").random((100, 2))
    >>> b = stream(0, "days.weeks").random((3, 2))
    >>> bool((a[:3] == b).all())
    True
    """
    if isinstance(seed, bool) or not isinstance(seed, int | np.integer) or seed < 0:
        raise ValueError(f"seed = {seed!r}: a seed is a whole number of 0 or more; write seed=0")
    sequence = np.random.SeedSequence(int(seed), spawn_key=tuple(name.encode()))
    return np.random.Generator(np.random.PCG64(sequence))
