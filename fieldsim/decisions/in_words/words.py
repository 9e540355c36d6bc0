"""Shares of springs, sums of money and lists of options as the verdict says them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fieldsim.decisions.sampling import Z, share_error

__all__ = ["band", "either", "margin", "money", "springs"]

FEW = 20  # springs that are better counted than called tenths


def money(amount: float) -> str:
    """Return a sum of money in whole dollars.

    Examples
    --------
    >>> money(-1234.5)
    '−$1,234'
    """
    whole = f"${abs(amount):,.0f}"
    return f"−{whole}" if amount < 0 and whole != "$0" else whole


def margin(amount: float, error: float) -> str:
    """Return a sum of money with its 95 % margin, where that is known.

    Examples
    --------
    >>> margin(1800.0, 100.0)
    '$1,800 a year (± $196)'
    """
    band = "" if math.isnan(error) else f" (± {money(Z * error)})"
    return f"{money(amount)} a year{band}"


def band(low: float, high: float) -> str:
    """Return the ends of a 95 % band of money; an end that cannot be told is inf.

    Examples
    --------
    >>> band(1800.0, 2600.0), band(1800.0, math.inf), band(-math.inf, math.inf)
    ('$1,800 to $2,600', '$1,800 to no known end', 'no known end')
    """
    if math.isinf(low) and math.isinf(high):
        return "no known end"
    ends = ("no known end" if math.isinf(end) else money(end) for end in (low, high))
    return " to ".join(ends)


def springs(number: int, seasons: int) -> str:
    """Say in how many springs something holds, no finer than the drawn ones tell.

    Parameters
    ----------
    number : int
        Drawn springs in which it holds.
    seasons : int
        Drawn springs.

    Examples
    --------
    >>> springs(700, 1000), springs(750, 1000), springs(7, 10)
    ('about 7 of 10 springs', '7 to 8 of 10 springs', '7 of the 10 springs drawn')
    >>> springs(999, 1000), springs(0, 1000)
    ('nearly all springs', 'none of the 1,000 springs drawn')
    """
    if number == 0:
        return f"none of the {seasons:,} springs drawn"
    if number == seasons:
        return f"each of the {seasons:,} springs drawn"
    if seasons < FEW:
        return f"{number} of the {seasons} springs drawn"
    share = number / seasons
    band = Z * share_error(share, seasons)
    low, high = (round(10 * min(max(share + side * band, 0.0), 1.0)) for side in (-1, 1))
    if high == 0:
        return "hardly any springs"
    if low == 10:
        return "nearly all springs"
    if low == high:
        return f"about {low} of 10 springs"
    if low == 0:
        return f"at most {high} of 10 springs"
    return f"at least {low} of 10 springs" if high == 10 else f"{low} to {high} of 10 springs"


def either(names: Sequence[str]) -> str:
    """Return a choice between names.

    Examples
    --------
    >>> either(["the old", "the new", "both"])
    'the old, the new or both'
    """
    return " or ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else names[0]
