"""Every option against every other, season by season: which costs less, how surely, how often."""

from __future__ import annotations

import math
from itertools import combinations
from typing import Any

import numpy as np
import pandas as pd
import xarray as xr
from numpy.typing import NDArray

from fieldsim.decisions.comparison import total_cost
from fieldsim.decisions.sampling import Z, mean_error, quantile, share_error, told_apart
from fieldsim.errors import Fault, InputError

__all__ = ["pairwise", "seasons_to_tell_apart"]

SMALL_SHARE = 0.01  # of the least mean cost; common practice, no source
WORST = 0.99  # 1 season in 100 is worse


def pairwise(outcomes: xr.Dataset, *, small: float | None = None) -> pd.DataFrame:
    """Compare the total cost of each option with that of each other, on the same seasons.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.
    small : float, optional
        A difference in money of a year that nobody would act on [$]; default: 1 % of the mean
        total cost of the cheapest option.

    Returns
    -------
    pandas.DataFrame
        A row for each pair, in money of a year; differences are `option` less `against`, so that
        below 0 `option` is cheaper:

        - ``difference`` (mean over the seasons) and ``difference_error``, its standard error;
        - ``seasons_won``, the share of seasons in which `option` is cheaper, and its standard
          error ``seasons_won_error``;
        - ``worst_1_in_100``, the difference that 1 season in 100 exceeds, with the ends of its
          95 % band in ``..._from`` and ``..._to``; ``worst``, the largest of all, and
          ``worst_season``, the number of its season, for `replay`;
        - ``told_apart``: the mean difference lies outside its error;
        - ``more_seasons``: about how many more would tell them apart, were the true difference the
          one that was found; 0 where they are told apart, inf where no number would do;
        - ``small_difference``: the whole 95 % interval of the mean difference lies within
          `small`, so that more seasons cannot matter.

        ``attrs`` holds the number of seasons, `small` and the unit of money. Each interval is for
        its pair alone: of 20 pairs that do not differ, about one will be told apart.

    Raises
    ------
    InputError
        If `small` is not a number of 0 or more.

    Notes
    -----
    Of 1,000 seasons of the demo farm, 95 % intervals of the difference held the truth in 94 to 96
    of 100 runs (`tests/benchmarks/seasons`). The error of a share won in nearly all or hardly any
    season is rough.

    That two options are as good as equal is shown by an interval inside the margin: Schuirmann
    (1987), A comparison of the two one-sided tests procedure and the power approach, J.
    Pharmacokinetics and Biopharmaceutics 15; here with a 95 % in place of a 90 % interval. Cited
    from memory.

    Examples
    --------
    >>> import fieldsim
    >>> pairs = pairwise(fieldsim.simulate(fieldsim.demo_farm(), seasons=200))
    >>> len(pairs), bool(pairs.told_apart[0])
    (6, True)
    """
    cost = total_cost(outcomes)
    if small is None:
        small = SMALL_SHARE * float(cost.mean("season").min())
    if not 0 <= small < math.inf:
        fault = Fault("", "small", repr(small), "a number of 0 or more is allowed", "write 500.0")
        raise InputError([fault])
    seasons = outcomes.season.values
    rows = []
    for option, against in combinations([str(name) for name in cost.option.values], 2):
        paired = cost.sel(option=option).values - cost.sel(option=against).values
        rows.append({"option": option, "against": against} | _pair(paired, seasons, small))
    table = pd.DataFrame(rows, columns=None if rows else ["option", "against"])
    table.attrs = {"seasons": len(seasons), "small": small, "units": cost.attrs["units"]}
    return table


def _pair(paired: NDArray[np.float64], season: NDArray[Any], small: float) -> dict[str, Any]:
    """Return the figures of one pair."""
    difference, error = float(paired.mean()), mean_error(paired)
    won, bad, worst = float((paired < 0).mean()), quantile(paired, WORST), int(paired.argmax())
    return {
        "difference": difference,
        "difference_error": error,
        "seasons_won": won,
        "seasons_won_error": share_error(won, paired.size),
        "worst_1_in_100": float(bad.value),
        "worst_1_in_100_from": float(bad.low),
        "worst_1_in_100_to": float(bad.high),
        "worst": float(paired[worst]),
        "worst_season": int(season[worst]),
        "told_apart": told_apart(difference, error),
        "more_seasons": seasons_to_tell_apart(difference, error, paired.size),
        "small_difference": bool(abs(difference) + Z * error <= small),
    }


def seasons_to_tell_apart(difference: float, error: float, seasons: int) -> float:
    """Return about how many more seasons would tell two options apart.

    The standard error of a mean falls with the root of the seasons, so that n seasons do where
    1.96 error sqrt(seasons / n) < abs(difference).

    Parameters
    ----------
    difference, error : float
        Mean of the paired differences and its standard error, in one unit.
    seasons : int
        Seasons that these rest on.

    Returns
    -------
    float
        Seasons besides those drawn, rounded up to two digits; 0 where the two are told apart, inf
        where the difference is 0, nan where the error is not known.

    Examples
    --------
    >>> seasons_to_tell_apart(100.0, 100.0, 1000)
    2900.0
    """
    if math.isnan(error):
        return math.nan
    if told_apart(difference, error):
        return 0.0
    if difference == 0:
        return math.inf
    times = Z * error / abs(difference)
    more = max(1.0, seasons * (times * times - 1))
    if math.isinf(more):
        return more
    step = 10.0 ** max(0, math.floor(math.log10(more)) - 1)
    return math.ceil(more / step - 1e-9) * step
