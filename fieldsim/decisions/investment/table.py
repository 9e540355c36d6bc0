"""The figures of an investment with their Monte Carlo errors: in all, and year by year."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import pandas as pd
import xarray as xr
from numpy.typing import NDArray

from fieldsim.decisions.investment.discounting import discount_factors, rate_of_return
from fieldsim.decisions.investment.futures import future_error, future_quantile, future_share_error

__all__ = ["FIRST_YEARS", "SHARES", "cash_by_year", "investment_table"]

FIRST_YEARS = 3  # in which a bad start shows
SHARES = (0.1, 0.25, 0.5, 0.75, 0.9)  # of futures below the quantiles of each year


class Futures(NamedTuple):
    """What the errors of figures are worked out from; see `future_error`."""

    drawn: NDArray[np.int64]
    seasons: int
    replicate: NDArray[np.int64] | None


def investment_table(investment: xr.Dataset) -> pd.DataFrame:
    """Return the figures of an investment, each with its Monte Carlo error.

    Parameters
    ----------
    investment : xarray.Dataset
        From `invest`.

    Returns
    -------
    pandas.DataFrame
        A row for each figure; `value`, `error` (standard error of a mean or a share), `low` and
        `high` (95 % band of a quantile), `unit` and `meaning`. Errors hold both that the futures
        are so many and that the seasons they are drawn from are. The index:

        - ``net_present_value``, ``net_present_value_1_in_10``, ``net_present_value_9_in_10``,
          ``pays``, ``yearly_worth`` and ``rate_of_return``, the last two of the mean cash flow;
        - ``net_present_value_years``: of the few years on record, where replicates were simulated;
        - ``payback_year_5_in_10``, ``payback_year_9_in_10``, ``paid_back``, and the same with
          ``discounted_`` before; a year is nan where so many futures do not pay back in time;
        - ``paid_within_loan``: missing without a loan;
        - ``bad_start``, ``cash_after_3_years``, ``cash_after_3_years_1_in_10`` (with fewer years:
          after all of them).

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> from fieldsim.decisions.investment.investing import invest
    >>> found = invest(farm, fieldsim.simulate(farm, 200), "six_rows", "eight_rows", futures=100)
    >>> investment_table(found).unit.unique().tolist()
    ['$', 'share', '$/year', '1/year', 'year']
    """
    futures = _futures(investment)
    rows = _worth(investment, futures)
    for name, words in (("payback_year", ""), ("discounted_payback_year", ", with interest")):
        years = investment[name].values
        paid = name.replace("payback_year", "paid_back")
        for share in (0.5, 0.9):
            half = f"by its end {10 * share:.0f} futures of 10 have paid back{words}"
            rows[f"{name}_{10 * share:.0f}_in_10"] = _quantile(years, share, futures, "year", half)
        rows[paid] = _share(~np.isnan(years), futures, f"futures that pay back in time{words}")
    return pd.DataFrame.from_dict(rows | _cash(investment, futures), orient="index").rename_axis(
        "figure"
    )


def _futures(investment: xr.Dataset) -> Futures:
    replicate = investment.replicate.values if "replicate" in investment else None
    return Futures(investment.drawn_season.values[:, 1:], investment.attrs["seasons"], replicate)


def _row(value: float, unit: str, meaning: str, **more: float) -> dict[str, Any]:
    none = {"error": math.nan, "low": math.nan, "high": math.nan}
    return {"value": value} | none | more | {"unit": unit, "meaning": meaning}


def _mean(values: NDArray[Any], futures: Futures, unit: str, meaning: str) -> dict[str, Any]:
    return _row(float(values.mean()), unit, meaning, error=future_error(values, *futures))


def _share(holds: NDArray[np.bool_], futures: Futures, meaning: str) -> dict[str, Any]:
    error = future_share_error(holds, *futures)
    return _row(float(holds.mean()), "share", meaning, error=error)


def _quantile(
    values: NDArray[Any], share: float, futures: Futures, unit: str, meaning: str
) -> dict[str, Any]:
    found = future_quantile(values, share, *futures)
    return _row(float(found.value), unit, meaning, low=float(found.low), high=float(found.high))


def _worth(investment: xr.Dataset, futures: Futures) -> dict[str, dict[str, Any]]:
    """Return the rows on what the investment is worth."""
    worth, years = investment.net_present_value.values, investment.attrs["years"]
    rate = investment.attrs["discount_rate"]
    yearly = worth / discount_factors(rate, years)[1:].sum()
    plan = investment.plan
    own_money = investment.cash_flow.mean("future") - plan.sel(part="loan")
    in_all = (own_money + plan.sel(part="end_worth")).values
    rows = {
        "net_present_value": _mean(worth, futures, "$", "worth today of moving, mean"),
        "net_present_value_1_in_10": _quantile(
            worth, 0.1, futures, "$", "1 future in 10 is worth this or less"
        ),
        "net_present_value_9_in_10": _quantile(
            worth, 0.9, futures, "$", "9 futures in 10 are worth this or less"
        ),
        "pays": _share(worth > 0, futures, "futures in which moving is worth more than staying"),
        "yearly_worth": _mean(yearly, futures, "$/year", "the mean worth as an equal yearly sum"),
        "rate_of_return": _row(
            rate_of_return(in_all), "1/year", "interest that the mean cash flow earns, loan aside"
        ),
    }
    if "net_present_value_years_error" in investment:
        unsure = float(investment.net_present_value_years_error)
        meaning = "standard error of the mean worth that the few years on record leave"
        rows["net_present_value_years"] = _row(unsure, "$", meaning)
    return rows


def _cash(investment: xr.Dataset, futures: Futures) -> dict[str, dict[str, Any]]:
    """Return the rows on cash in the first years, and by the end of the loan."""
    cash = investment.cash_flow.values
    added = np.cumsum(cash, axis=1)
    first = min(FIRST_YEARS, investment.attrs["years"])
    rows = {}
    if investment.attrs["borrowed"] > 0:
        rows["paid_within_loan"] = _share(
            added[:, investment.attrs["loan_years"]] >= 0,
            futures,
            "futures whose savings have met all payments when the loan is paid off",
        )
    start, after = cash[:, 1 : first + 1].sum(axis=1), f"cash_after_{first}_years"
    since = f"cash of the start and the first {first} years"
    rows["bad_start"] = _share(
        start < 0, futures, f"futures whose first {first} years take cash beyond the start's"
    )
    rows[after] = _mean(added[:, first], futures, "$", f"{since}, mean")
    rows[f"{after}_1_in_10"] = _quantile(
        added[:, first], 0.1, futures, "$", f"1 future in 10 has this or less: {since}"
    )
    return rows


def cash_by_year(investment: xr.Dataset) -> pd.DataFrame:
    """Return the cash of each year over the futures.

    Parameters
    ----------
    investment : xarray.Dataset
        From `invest`.

    Returns
    -------
    pandas.DataFrame
        A row for each year, 0 being the start [$]:

        - ``cash_mean``, its standard error ``cash_error``, and ``cash_p10`` to ``cash_p90``, below
          which so many per cent of futures lie, each with the ends of its 95 % band in
          ``..._from`` and ``..._to``; the same of the cash ``added`` up since the start;
        - ``paid_back`` and ``discounted_paid_back``: share of futures that have, with errors;
        - a column for each part of the plan, as in `invest`.
    """
    futures = _futures(investment)
    cash = investment.cash_flow.values
    table = pd.DataFrame(index=pd.Index(investment.year.values, name="year"))
    for name, values in (("cash", cash), ("added", np.cumsum(cash, axis=1))):
        table[f"{name}_mean"] = values.mean(axis=0)
        table[f"{name}_error"] = [future_error(of_year, *futures) for of_year in values.T]
        for share in SHARES:
            each = np.array([future_quantile(of_year, share, *futures) for of_year in values.T])
            for end, of_years in zip(("", "_from", "_to"), each.T, strict=True):
                table[f"{name}_p{100 * share:.0f}{end}"] = of_years
    for name in ("paid_back", "discounted_paid_back"):
        years = investment[name.replace("paid_back", "payback_year")].values
        held = [years <= year for year in table.index]
        table[name] = [float(holds.mean()) for holds in held]
        table[f"{name}_error"] = [future_share_error(holds, *futures) for holds in held]
    for part in investment.part.values:
        table[str(part)] = investment.plan.sel(part=part).values
    return table
