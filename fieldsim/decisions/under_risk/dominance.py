"""Which options no one would choose, whatever their aversion to risk: stochastic dominance of cost.

An option dominates another to the first degree if it less often costs more than x, for every
amount x: everyone who likes to spend less prefers it. It dominates to the second degree if the mean
excess of its cost over x is less for every x: everyone who is averse to risk besides prefers it.
"""

from __future__ import annotations

import math
from functools import cache
from itertools import combinations, permutations
from typing import Any, NamedTuple

import numpy as np
import pandas as pd
import xarray as xr
from numpy.typing import NDArray

from fieldsim.decisions.comparison import total_cost
from fieldsim.errors import Fault, InputError
from fieldsim.randomness import stream

__all__ = ["dominance", "efficient"]

SHARES = np.append(np.arange(0.02, 0.99, 0.02), 0.99)  # of the costs, below the amounts compared
FEWEST = 10  # seasons in which the two must differ at an amount, for its error to be near normal
DRAWS = 2_000  # of the greatest deviation, for its 95 % point: known to about 1 %
CONFIDENCE = 0.95
SLACK = 1e-9  # of the costs: less is rounding


def dominance(outcomes: xr.Dataset, degree: int = 1) -> pd.DataFrame:
    """Test stochastic dominance of total cost between all options, on the same seasons.

    At 51 amounts x, from the least cost to one that 1 season in 100 exceeds, the two options are
    compared by the share of seasons that cost more than x (first degree) or by the mean excess over
    x (second degree). An option is better or worse somewhere where the paired difference lies
    outside a band that holds it at all amounts at once in 95 of 100 runs. It dominates where it is
    better somewhere and worse nowhere.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.
    degree : int
        1 or 2.

    Returns
    -------
    pandas.DataFrame
        A row for each ordered pair:

        - ``dominates``: `option` dominates `against` as far as these seasons tell;
        - ``better_somewhere`` and ``worse_somewhere``, beyond sampling error;
        - ``better_by`` and ``worse_by``: the largest lead and lag, in standard errors of the paired
          difference [-], and ``band``, the half width of the band in the same measure;
        - ``dominates_in_sample``: the drawn seasons, taken as all there are, show dominance.

        ``attrs`` holds the degree and the number of seasons.

    Raises
    ------
    InputError
        If the degree is neither 1 nor 2.

    Notes
    -----
    Paired differences of dominance functions and their covariance: Davidson and Duclos (2000),
    Statistical inference for stochastic dominance and for the measurement of poverty and
    inequality, Econometrica 68, theorem 1. The band is the 95 % point of the largest studentized
    deviation, with that covariance simulated as a normal vector, which is what the multipliers of
    Barrett and Donald (2003), Consistent tests for stochastic dominance, Econometrica 71, amount
    to. The rule of one or more significant leads and no significant lag: Bishop, Formby and
    Thistle (1992), Convergence of the South and non-South income distributions, American Economic
    Review 82. All cited from memory.

    Examples
    --------
    >>> import fieldsim
    >>> table = dominance(fieldsim.simulate(fieldsim.demo_farm(), seasons=500))
    >>> bool(table.dominates[(table.option == "six_rows") & (table.against == "four_rows")].item())
    True
    """
    _check(degree)
    cost = total_cost(outcomes)
    names = [str(name) for name in cost.option.values]
    found = {
        (first, second): _compared(cost.values[first], cost.values[second], degree)
        for first, second in combinations(range(len(names)), 2)
    }
    rows = []
    for first, second in permutations(range(len(names)), 2):
        pair = found[min(first, second), max(first, second)]
        if first > second:
            pair = Comparison(pair.worse_by, pair.better_by, pair.band, *pair[:2:-1])
        better, worse = pair.better_by > pair.band, pair.worse_by > pair.band
        rows.append(
            {
                "option": names[first],
                "against": names[second],
                "dominates": better and not worse,
                "better_somewhere": better,
                "worse_somewhere": worse,
                "better_by": pair.better_by,
                "worse_by": pair.worse_by,
                "band": pair.band,
                "dominates_in_sample": pair.better_in_sample and not pair.worse_in_sample,
            }
        )
    table = pd.DataFrame(rows, columns=None if rows else ["option", "against", "dominates"])
    table.attrs = {"degree": degree, "seasons": cost.sizes["season"]}
    return table


def efficient(outcomes: xr.Dataset, degree: int = 2) -> list[str]:
    """Return the options that no other dominates, as far as the drawn seasons tell.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.
    degree : int
        1 or 2: see `dominance`.

    Returns
    -------
    list of str
        Names, in the order of the options.

    Examples
    --------
    >>> import fieldsim
    >>> efficient(fieldsim.simulate(fieldsim.demo_farm(), seasons=500))
    ['two_six_rows']
    """
    table = dominance(outcomes, degree)
    dominated = set(table.against[table.dominates.astype(bool)])
    return [name for name in map(str, outcomes.option.values) if name not in dominated]


class Comparison(NamedTuple):
    """How one option's dominance function lies beside another's; see `dominance`."""

    better_by: float
    worse_by: float
    band: float
    better_in_sample: bool
    worse_in_sample: bool


def _compared(a: NDArray[np.float64], b: NDArray[np.float64], degree: int) -> Comparison:
    """Compare the costs of two options, each of shape (season,)."""
    in_sample = _in_sample(a, b, degree)
    both = np.concatenate([a, b])
    amounts = np.unique([both.min(), *np.quantile(both, SHARES)])
    paired = _function(a, amounts, degree) - _function(b, amounts, degree)
    paired = paired[:, np.count_nonzero(paired, axis=0) >= FEWEST]
    if paired.size == 0:
        return Comparison(0.0, 0.0, math.inf, *in_sample)
    mean, spread = paired.mean(axis=0), paired.std(axis=0)
    varies = spread > SLACK * float(np.abs(both).max() if degree == 2 else 1.0)
    spread = np.where(varies, spread, 1.0)
    # A lead that is the same in every season is sure.
    student = np.where(varies, mean * math.sqrt(len(a)) / spread, np.copysign(math.inf, mean))
    band = _band(np.where(varies, (paired - mean) / spread, 0.0))
    lead, lag = max(0.0, -float(student.min())), max(0.0, float(student.max()))
    return Comparison(lead, lag, band, *in_sample)


def _function(
    cost: NDArray[np.float64], amounts: NDArray[np.float64], degree: int
) -> NDArray[np.float64]:
    """Return the part of each season in the dominance function, shape (season, amount)."""
    if degree == 1:
        return (cost[:, None] > amounts).astype(np.float64)
    return np.maximum(cost[:, None] - amounts, 0.0)


def _in_sample(a: NDArray[np.float64], b: NDArray[np.float64], degree: int) -> tuple[bool, bool]:
    """Say whether a is anywhere better, and anywhere worse, than b in the drawn seasons alone.

    With as many seasons of both, the order of sorted costs is that of the first degree, the order
    of the sums of the highest that of the second: Levy (2016), Stochastic Dominance, 3rd ed.,
    chapter 5; cited from memory.
    """
    differ = np.sort(a)[::-1] - np.sort(b)[::-1]
    if degree == 2:
        differ = np.cumsum(differ)
    slack = SLACK * float(np.abs(a).max() + np.abs(b).max())
    return bool((differ < -slack).any()), bool((differ > slack).any())


def _band(deviations: NDArray[np.float64]) -> float:
    """Return the 95 % point of the largest absolute mean of studentized deviations.

    Parameters
    ----------
    deviations : ndarray, shape (season, amount)
        With mean 0 and variance 1 at each amount.
    """
    values, vectors = np.linalg.eigh(deviations.T @ deviations / len(deviations))
    root = vectors * np.sqrt(np.maximum(values, 0.0))
    largest = np.abs(_normal_numbers(len(values)) @ root.T).max(axis=1)
    return float(np.quantile(largest, CONFIDENCE))


@cache
def _normal_numbers(amounts: int) -> NDArray[np.float64]:
    return stream(0, "decisions.dominance").standard_normal((DRAWS, amounts))


def _check(degree: Any) -> None:
    if degree not in (1, 2):
        problem = "degrees 1 and 2 are known"
        raise InputError([Fault("", "degree", repr(degree), problem, "write 2")])
