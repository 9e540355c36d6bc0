"""How bad the bad years are: quantiles, expected shortfall and certainty equivalents of cost."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import pandas as pd
import xarray as xr
from numpy.typing import NDArray

from fieldsim.decisions.comparison import total_cost
from fieldsim.decisions.sampling import mean_error, quantile
from fieldsim.decisions.under_risk.certainty import (
    Estimate,
    certain_cost_absolute,
    certain_cost_relative,
)
from fieldsim.errors import Fault, InputError

__all__ = ["expected_shortfall", "risk"]


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

        - ``mean`` and ``standard_deviation`` of total cost, with their errors in ``..._error``;
        - ``quantile_S``, the cost that the share S of the seasons does not exceed, with the ends
          of its 95 % band in ``..._from`` and ``..._to``;
        - ``shortfall_S``, the mean cost of the other, worst seasons, and its error;
        - ``certain_relative_A`` and ``certain_absolute_A``: the sure cost that would be as bad as
          the risky one, with constant relative and constant absolute risk aversion (the
          coefficient A / `wealth`), and their errors. What is at stake is `wealth` and potential
          revenue less total cost.

        ``attrs`` holds the number of seasons, `wealth` and the unit of money.

    Raises
    ------
    InputError
        If a number is out of range, or some season costs more than wealth and revenue together.

    Notes
    -----
    Of 1,000 seasons of the demo farm, 95 % intervals (1.96 errors) held the truth in 94 to 96 of
    100 runs for means and certainty equivalents and in 93 to 96 for quantiles, but only in 88 to
    93 for the standard deviation, in 93 to 94 for the mean of the worst tenth and in 91 to 93 for
    that of the worst twentieth: few seasons show the tail. Measured by `tests/benchmarks/seasons`.

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
    rows = {}
    for option in cost.option.values:
        of_option = cost.sel(option=option).values
        row = _spread(of_option) | _bad_years(of_option, shares)
        if wealth is not None:
            row |= _certain(of_option, risk_aversion, wealth, before_cost)
        rows[str(option)] = row
    table = pd.DataFrame.from_dict(rows, orient="index").rename_axis("option")
    table.attrs = {"seasons": cost.sizes["season"], "units": cost.attrs["units"], "wealth": wealth}
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
        In the unit of the values; the error by the influence of each season.

    Notes
    -----
    Rockafellar and Uryasev (2002), Conditional value-at-risk for general loss distributions, J.
    Banking and Finance 26, theorem 10. The error is that of Manistre and Hancock (2005), Variance
    of the CTE estimator, North American Actuarial J. 9(2). Both cited from memory.

    Examples
    --------
    >>> expected_shortfall(np.arange(1.0, 101.0), 0.9).value  # mean of 91 to 100
    95.5
    """
    beyond = float(quantile(values, share).value)
    influence = np.maximum(values - beyond, 0.0) / (1 - share)
    return Estimate(beyond + float(influence.mean()), mean_error(influence))


def _spread(cost: NDArray[np.float64]) -> dict[str, float]:
    """Return mean and standard deviation.

    The error of the latter follows from the fourth moment: Kendall and Stuart (1977), The Advanced
    Theory of Statistics, vol. 1, section 10.9; cited from memory.
    """
    deviation = float(cost.std(ddof=1)) if cost.size > 1 else math.nan
    squares = mean_error((cost - cost.mean()) ** 2)
    return {
        "mean": float(cost.mean()),
        "mean_error": mean_error(cost),
        "standard_deviation": deviation,
        "standard_deviation_error": squares / (2 * deviation) if deviation else 0.0,
    }


def _bad_years(cost: NDArray[np.float64], shares: Sequence[float]) -> dict[str, float]:
    row: dict[str, float] = {}
    for share in shares:
        at, beyond = quantile(cost, share), expected_shortfall(cost, share)
        row |= {
            f"quantile_{share:g}": float(at.value),
            f"quantile_{share:g}_from": float(at.low),
            f"quantile_{share:g}_to": float(at.high),
            f"shortfall_{share:g}": beyond.value,
            f"shortfall_{share:g}_error": beyond.error,
        }
    return row


def _certain(
    cost: NDArray[np.float64], aversions: Sequence[float], wealth: float, before_cost: float
) -> dict[str, float]:
    row: dict[str, float] = {}
    for aversion in aversions:
        for kind, sure in (
            ("relative", certain_cost_relative(cost, aversion, before_cost)),
            ("absolute", certain_cost_absolute(cost, aversion / wealth)),
        ):
            row |= {
                f"certain_{kind}_{aversion:g}": sure.value,
                f"certain_{kind}_{aversion:g}_error": sure.error,
            }
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
