"""How bad the bad years are: quantiles, expected shortfall and certainty equivalents of cost."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import pandas as pd
import xarray as xr
from numpy.typing import NDArray

from fieldsim.decisions.comparison import total_cost
from fieldsim.decisions.sampling import few_beyond, mean_error, quantile
from fieldsim.decisions.skewed import Estimate, estimate, standard_deviation
from fieldsim.decisions.under_risk.certainty import certain_cost_absolute, certain_cost_relative
from fieldsim.errors import Fault, InputError

__all__ = ["expected_shortfall", "risk"]

LEAST_FREEDOM = 10.0  # of a certainty equivalent's error, for its band to hold what it says


def risk(
    outcomes: xr.Dataset,
    *,
    shares: Sequence[float] = (0.5, 0.9, 0.95),
    risk_aversion: Sequence[float] = (1.0, 2.0, 4.0),
    wealth: float | None = None,
) -> pd.DataFrame:
    """Say how the total cost of each option varies from season to season.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.
    shares : sequence of float
        Shares of the seasons, between 0 and 1.
    risk_aversion : sequence of float
        Coefficients of relative risk aversion at the wealth given [-], 0 or more. About 1 is
        common, 4 is very averse: Anderson and Dillon (1992), Risk Analysis in Dryland Farming
        Systems, FAO; cited from memory.
    wealth : float, optional
        What the decision maker owns besides this year's revenue, less debts [$], above 0. Without
        it there are no certainty equivalents.

    Returns
    -------
    pandas.DataFrame
        A row for each option, in money of a year, with S for each share and A for each aversion:

        - ``mean`` of total cost and its standard error in ``mean_error``;
        - ``standard_deviation``, with its error and the ends of its 95 % band in ``..._from`` and
          ``..._to``: it reaches farther up than down;
        - ``quantile_S``, the cost that the share S of the seasons does not exceed, with its band
          (-inf, inf: such an end cannot be told by so few seasons);
        - ``shortfall_S``, the mean cost of the other, worst seasons, with its error and band;
        - ``certain_relative_A`` and ``certain_absolute_A``: the sure cost that would be as bad as
          the risky one, with constant relative and constant absolute risk aversion (the
          coefficient A / `wealth`), with their errors and bands. What is at stake is `wealth` and
          potential revenue less total cost.

        ``attrs`` holds the number of seasons, `wealth`, the unit of money, and ``rough``, the names
        of columns that rest on too few seasons: quantiles and shortfalls with fewer than 10 seasons
        beyond them (common practice, no source), and certainty equivalents that a few bad seasons
        carry, for which the band is too narrow.

    Raises
    ------
    InputError
        If a number is out of range, or some season costs more than wealth and revenue together.

    Notes
    -----
    Of 100 bands of 95 %, these held the truth over 500 runs of the demo farm, least and most over
    four options, with 1,000 and with 200 seasons: means (1.96 errors) 95.0-95.6 and 90.4-93.8,
    standard deviations 95.0-95.4 and 93.2-95.8, shortfalls 94.0-95.8 and 91.4-96.2, certainty
    equivalents at a wealth of 1,000,000 94.4-95.8 and 93.8-96.0, quantiles 93.8-96.6 and 95.8-97.0.
    Measured by `tests/benchmarks/seasons`.

    Absolute from relative aversion: Hardaker, Lien, Anderson and Huirne (2015), Coping with Risk
    in Agriculture, 3rd ed., chapter 5; cited from memory.

    Examples
    --------
    >>> import fieldsim
    >>> outcomes = fieldsim.simulate(fieldsim.demo_farm(), seasons=200)
    >>> table = risk(outcomes, wealth=1_000_000.0)
    >>> bool((table["certain_relative_2"] > table["mean"]).all())
    True
    """
    cost = total_cost(outcomes)
    before_cost = 0.0
    faults = list(_faults(shares, risk_aversion, wealth))
    if wealth is not None and not faults:
        before_cost = wealth + float(outcomes.potential_revenue.sum())
        highest = float(cost.max())
        if before_cost <= highest:
            problem = f"a season costs {highest:,.0f}, more than wealth and revenue together"
            faults = [Fault("", "wealth", repr(wealth), problem, "leave it out, or write more")]
    if faults:
        raise InputError(faults)
    rows, seasons = {}, cost.sizes["season"]
    beyond = [share for share in shares if few_beyond(min(share, 1 - share), seasons)]
    rough = {f"{what}_{share:g}" for share in beyond for what in ("quantile", "shortfall")}
    for option in cost.option.values:
        of_option = cost.sel(option=option).values
        found = _bad_years(of_option, shares)
        if wealth is not None:
            sure = _certain(of_option, risk_aversion, wealth, before_cost)
            rough |= {name for name, of in sure.items() if of.freedom < LEAST_FREEDOM}
            found |= _columns(sure)
        rows[str(option)] = _spread(of_option) | found
    table = pd.DataFrame.from_dict(rows, orient="index").rename_axis("option")
    table.attrs = {
        "seasons": seasons,
        "units": cost.attrs["units"],
        "wealth": wealth,
        "rough": [name for name in table.columns if name in rough],
    }
    return table


def expected_shortfall(values: NDArray[np.float64], share: float) -> Estimate:
    """Return the mean of the worst seasons, those beyond a quantile.

    It is q + mean(max(value - q, 0)) / (1 - share), with q the quantile at `share`, which holds
    where the worst seasons are no whole number, too.

    Parameters
    ----------
    values : ndarray, shape (season,)
        High is bad.
    share : float
        Share of the seasons that are not counted [0..1], below 1.

    Returns
    -------
    Estimate
        In the unit of the values; error and band by the influence of each season.

    Notes
    -----
    Rockafellar and Uryasev (2002), Conditional value-at-risk for general loss distributions, J.
    Banking and Finance 26, theorem 10. The error is that of Manistre and Hancock (2005), Variance
    of the CTE estimator, North American Actuarial J. 9(2): (variance beyond the quantile + share x
    (shortfall - quantile)^2) / (n (1 - share)). Both cited from memory. It is widened by the root
    of k / (k - 1), since it rests on the k = n (1 - share) seasons beyond the quantile. For the
    band see `fieldsim.decisions.skewed.estimate`.

    Examples
    --------
    >>> expected_shortfall(np.arange(1.0, 101.0), 0.9).value  # mean of 91 to 100
    95.5
    """
    beyond = float(quantile(values, share).value)
    influence = np.maximum(values - beyond, 0.0) / (1 - share)
    behind = max(values.size * (1 - share), 2.0)
    widened = math.sqrt(behind / (behind - 1)) * influence
    return estimate(beyond + float(influence.mean()), widened)


def _spread(cost: NDArray[np.float64]) -> dict[str, float]:
    """Return mean and standard deviation."""
    mean = {"mean": float(cost.mean()), "mean_error": mean_error(cost)}
    return mean | _columns({"standard_deviation": standard_deviation(cost)})


def _bad_years(cost: NDArray[np.float64], shares: Sequence[float]) -> dict[str, float]:
    row: dict[str, float] = {}
    for share in shares:
        at = quantile(cost, share)
        row |= {
            f"quantile_{share:g}": float(at.value),
            f"quantile_{share:g}_from": float(at.low),
            f"quantile_{share:g}_to": float(at.high),
        }
        row |= _columns({f"shortfall_{share:g}": expected_shortfall(cost, share)})
    return row


def _certain(
    cost: NDArray[np.float64], aversions: Sequence[float], wealth: float, before_cost: float
) -> dict[str, Estimate]:
    found = {}
    for aversion in aversions:
        relative = certain_cost_relative(cost, aversion, before_cost)
        found[f"certain_relative_{aversion:g}"] = relative
        found[f"certain_absolute_{aversion:g}"] = certain_cost_absolute(cost, aversion / wealth)
    return found


def _columns(found: Mapping[str, Estimate]) -> dict[str, float]:
    """Return each figure with its error and the ends of its band, by the names of columns."""
    row: dict[str, float] = {}
    for name, of in found.items():
        ends = {"": of.value, "_error": of.error, "_from": of.low, "_to": of.high}
        row |= {f"{name}{end}": number for end, number in ends.items()}
    return row


def _faults(
    shares: Sequence[float], aversions: Sequence[float], wealth: float | None
) -> Iterator[Fault]:
    for share in shares:
        if not 0 < share < 1:
            yield Fault("", "shares", repr(share), "shares lie between 0 and 1", "write 0.9")
    for aversion in aversions:
        if not 0 <= aversion < math.inf:
            problem = "a coefficient of 0 or more is allowed"
            yield Fault("", "risk_aversion", repr(aversion), problem, "write 2.0")
    if wealth is not None and not 0 < wealth < math.inf:
        problem = "an amount above 0 is allowed"
        yield Fault("", "wealth", repr(wealth), problem, "leave it out, or write 1_000_000.0")
