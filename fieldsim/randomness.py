"""One seed, named streams: each random quantity draws from a stream of its own."""

from __future__ import annotations

import numpy as np

__all__ = ["stream"]


def stream(seed: int, name: str) -> np.random.Generator:
    """Return the random generator of one named quantity.

    Streams of different names are independent, so adding a random quantity changes no other.
    Draw one array of shape ``(seasons, ...)`` from a stream: numpy fills it season by season, so
    the first seasons of a long run are those of a short one.

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
