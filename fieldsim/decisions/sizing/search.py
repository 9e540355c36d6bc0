"""The smallest factor at which enough seasons are finished, on the same seasons, with its band."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
import pandas as pd

from fieldsim.decisions.sampling import quantile, share_error
from fieldsim.decisions.sizing.by_days import check_certainty
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm

__all__ = ["ENDS", "check_search", "largest_allowed", "searched"]

ENDS = ("", "_from", "_to")  # of a column: the figure, and the ends of its band
STEPS = 8  # halvings in the search for the largest machine that the farm allows


def searched(
    count: Callable[[float], int],
    bounds: tuple[float, float],
    certainty: Sequence[float],
    seasons: int,
    tolerance: float,
) -> pd.DataFrame:
    """Return the factors at which shares of the seasons are finished.

    The share rises in steps of one season, so that the factor for a certainty is a quantile over
    the seasons of the factor that each of them needs. Its band runs, as that of any quantile,
    between two counts of seasons.

    Parameters
    ----------
    count : callable
        Seasons finished at a factor; not falling with it.
    bounds : tuple of float
        Factors between which is searched, above 0.
    certainty : sequence of float
        Shares of seasons [0..1].
    seasons : int
    tolerance : float
        Of the factor: it is at most so much too large, relative to itself.

    Returns
    -------
    pandas.DataFrame
        `certainty`, `certainty_error`, `factor`, `factor_from`, `factor_to` (inf: not reached) and
        `note`.

    Examples
    --------
    >>> def count(factor):
    ...     return min(100, int(50 * factor))
    >>> float(searched(count, (0.1, 8.0), [0.8], 100, 1e-6).factor[0].round(4))
    1.6
    """
    known = {size: count(size) for size in bounds}
    rows = []
    for share in certainty:
        # Of the whole numbers 1 to n, the quantile and its band are the counts that it takes.
        counts = quantile(np.arange(1, seasons + 1), share)
        factors = [_smallest(count, known, needed, tolerance) for needed in counts]
        small = f"{bounds[0]:.3g} times it or less would do" if factors[0] == bounds[0] else ""
        rows.append(
            {"certainty": share, "certainty_error": share_error(share, seasons)}
            | {f"factor{end}": found for end, found in zip(ENDS, factors, strict=True)}
            | {"note": small}
        )
    return pd.DataFrame(rows)


def _smallest(
    count: Callable[[float], int], known: dict[float, int], needed: int, tolerance: float
) -> float:
    """Return the smallest factor at which so many seasons are finished, by halving in ratio."""
    enough = [size for size, seasons in known.items() if seasons >= needed]
    if not enough:
        return math.inf
    high = min(enough)
    below = [size for size in known if size < high]
    if not below:
        return high
    low = max(below)
    while high / low > 1 + tolerance:
        middle = math.sqrt(low * high)
        known[middle] = count(middle)
        if known[middle] >= needed:
            high = middle
        else:
            low = middle
    return high


def largest_allowed(make: Callable[[float], Farm], bound: float) -> tuple[float, str]:
    """Return the largest factor up to a bound for which there is a farm, and what stops it there.

    Parameters
    ----------
    make : callable
        The farm at a factor; raises InputError where there is none. At 1 there is one.
    bound : float

    Returns
    -------
    tuple of float and str
        Empty text where the bound itself is allowed.
    """
    low, high, refused = min(1.0, bound), bound, ""
    try:
        make(bound)
    except InputError as error:
        refused = error.faults[0].problem
    else:
        return bound, ""
    for _ in range(STEPS):
        middle = math.sqrt(low * high)
        try:
            make(middle)
        except InputError:
            high = middle
        else:
            low = middle
    return low, refused


def check_search(certainty: Sequence[float], bounds: tuple[float, float], tolerance: float) -> None:
    """Raise unless certainty, bounds and tolerance are within what is allowed.

    Raises
    ------
    InputError
        With every fault.
    """
    faults: list[Fault] = []
    check_certainty(certainty, faults)
    if not 0 < bounds[0] < bounds[1] < math.inf:
        problem = "two rising factors above 0 are allowed"
        faults.append(Fault("", "bounds", str(bounds), problem, "write (0.2, 5.0)"))
    if not 0 < tolerance < 1:
        problem = "a number between 0 and 1 is allowed"
        faults.append(Fault("", "tolerance", f"{tolerance:g}", problem, "write 0.002"))
    if faults:
        raise InputError(faults)
