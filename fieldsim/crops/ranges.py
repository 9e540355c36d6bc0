"""Numbers held to their range, with one wording of the error for every function of the room."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["in_range"]


def in_range(
    name: str,
    value: ArrayLike,
    unit: str = "",
    *,
    at_least: float = -math.inf,
    at_most: float = math.inf,
) -> NDArray[np.float64]:
    """Return `value` as an array if every number in it is finite and within the bounds.

    Parameters
    ----------
    name : str
        What the argument is called in the message.
    value : array_like, any shape
    unit : str
        Unit of `value` and of the bounds, for the message; empty where there is none.
    at_least, at_most : float, optional

    Returns
    -------
    ndarray of float64, shape of `value`

    Raises
    ------
    ValueError
        Names the argument, the first value out of range, and what is allowed.

    Examples
    --------
    >>> in_range("control", [0.5, 1.2], at_least=0, at_most=1)
    Traceback (most recent call last):
    ...
    ValueError: control = 1.2: a number from 0 to 1 is allowed
    """
    numbers = np.asarray(value, dtype=np.float64)
    right = np.isfinite(numbers) & (numbers >= at_least) & (numbers <= at_most)
    if not right.all():
        suffix = f" {unit}" if unit else ""
        wrong = numbers[~right].flat[0]
        raise ValueError(f"{name} = {wrong:g}{suffix}: {_allowed(at_least, at_most)} is allowed")
    return numbers


def _allowed(at_least: float, at_most: float) -> str:
    """Return the bounds in words."""
    if math.isfinite(at_least) and math.isfinite(at_most):
        return f"a number from {at_least:g} to {at_most:g}"
    if math.isfinite(at_least):
        return f"a number of at least {at_least:g}"
    if math.isfinite(at_most):
        return f"a number of at most {at_most:g}"
    return "a finite number"
