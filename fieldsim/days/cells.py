"""Numbers in the cells of a table of days."""

from __future__ import annotations

import re

__all__ = ["bounded_number"]

NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)")


def bounded_number(text: str, least: float, most: float) -> float:
    """Read a bare number that must lie between two bounds.

    Parameters
    ----------
    text : str
        A number with a decimal point, no unit.
    least, most : float
        Smallest and largest number allowed.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        If the text is empty, no such number or out of bounds; the message says what is allowed.

    Examples
    --------
    >>> bounded_number("4.3", 0, 7)
    4.3
    """
    if not text:
        raise ValueError(f"the cell is empty; a number from {least:g} to {most:g} is needed")
    if NUMBER.fullmatch(text) is None:
        raise ValueError(f"not a bare number; one from {least:g} to {most:g} is needed")
    number = float(text)
    if not least <= number <= most:
        raise ValueError(f"a number from {least:g} to {most:g} is allowed")
    return number
