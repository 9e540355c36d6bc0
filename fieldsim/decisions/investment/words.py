"""What an investment comes to, in a few sentences that say no more than the numbers do."""

from __future__ import annotations

import math

import pandas as pd
import xarray as xr

from fieldsim.decisions.in_words.few import FEW_SEASONS
from fieldsim.decisions.investment.table import FIRST_YEARS, investment_table
from fieldsim.decisions.sampling import Z, told_apart

__all__ = ["describe_investment", "replacement_words"]

NOTABLE = 0.1  # of what is bought at the start, or at the largest replacement
FEW_FUTURES = 500


def describe_investment(investment: xr.Dataset) -> list[str]:
    """Say what moving costs, what it is worth, when it pays back, and how it may begin.

    Parameters
    ----------
    investment : xarray.Dataset
        From `invest`.

    Returns
    -------
    list of str
        Sentences, in that order; what they rest on comes last.

    Examples
    --------
    >>> import fieldsim
    >>> from fieldsim.decisions.investment.investing import invest
    >>> farm = fieldsim.demo_farm()
    >>> found = invest(farm, fieldsim.simulate(farm, 200), "six_rows", "eight_rows")
    >>> describe_investment(found)[0].split(" and ")[0]
    'Machines for $64,000 are bought'
    """
    table, years = investment_table(investment), int(investment.attrs["years"])
    said = [*_start(investment), *replacement_words(investment)]
    said += [*_worth(investment, table, years), _payback(table, years)]
    if investment.attrs["borrowed"] > 0:
        said.append(_within_loan(investment, table))
    return [*said, _first_years(investment, table, years), *_basis(investment)]


def _money(amount: float) -> str:
    whole = f"${abs(amount):,.0f}"
    return f"−{whole}" if amount < 0 and whole != "$0" else whole


def _share(table: pd.DataFrame, name: str) -> str:
    """Return a share with its band, as people read it."""
    row = table.loc[name]
    return f"{100 * row['value']:.0f} % (± {max(100 * Z * row['error'], 1.0):.0f})"


def _tenth(table: pd.DataFrame, name: str) -> str:
    """Return what 1 future in 10 falls short of, with its band."""
    value, low, high = (_money(table[end][name]) for end in ("value", "low", "high"))
    return f"{value} ({low} to {high})"


def _start(investment: xr.Dataset) -> list[str]:
    """Say what is paid at the start, and from what."""
    attrs = investment.attrs
    price, got = float(investment.price.sum()), float(investment.trade_in.sum())
    bought = f"Machines for {_money(price)} are bought" if price else "No machine is bought"
    traded = f" and old ones traded in for {_money(got)}" if got else ""
    paid, at_start = price - got, "at the start"
    if not traded:
        said = [f"{bought}."]
    elif paid >= 0:
        said = [f"{bought}{traded}: {_money(paid)} {at_start}."]
    else:
        said = [f"{bought}{traded}, which leaves {_money(-paid)} {at_start}."]
    if attrs["borrowed"] > 0:
        payment = -float(investment.plan.sel(part="loan", year=1))
        count = attrs["loan_years"]
        each = f"{_money(payment)} a year for {count} years" if count > 1 else "all after a year"
        worth = " (the first; later ones weigh less in today's dollars)"
        said.append(
            f"{_money(attrs['borrowed'])} is borrowed at {100 * attrs['loan_rate']:.3g} % and paid "
            f"back by {each}{worth if attrs['inflation'] else ''}."
        )
    return said


def replacement_words(investment: xr.Dataset) -> list[str]:
    """Say where one of the two options takes machines anew on the way and the other does not.

    Parameters
    ----------
    investment : xarray.Dataset
        From `invest`.

    Returns
    -------
    list of str
        A sentence for each year in which the difference is more than a tenth of the purchase, and
        of the largest such difference.
    """
    bought = -float(investment.plan.sel(part="purchase").sum())
    spent = investment.plan.sel(part="replacement").to_series()
    least = NOTABLE * max(bought, spent.abs().max())
    said = []
    for year, amount in spent[spent.abs() > least].items():
        when = f"After year {year}" if year else "At once"
        way, other = ("staying", "moving") if amount > 0 else ("moving", "staying")
        more = f"{_money(abs(amount))} more than {other}"
        said.append(f"{when} {way} would replace worn machines, for {more}.")
    return said


def _worth(investment: xr.Dataset, table: pd.DataFrame, years: int) -> list[str]:
    """Say what moving is worth, in the mean and in the bad one in ten."""
    mean, error = table.value["net_present_value"], table.error["net_present_value"]
    options = investment.attrs
    margin = f"± {_money(Z * error)}"
    interest = f"{100 * options['discount_rate']:.3g} % interest"
    if told_apart(mean, error):
        more = "more" if mean > 0 else "less"
        said = [
            f"Over {years} years {options['to_label']} is worth {_money(abs(mean))} ({margin}) "
            f"{more} today than {options['from_label']}, at {interest}: "
            f"{_money(abs(table.value['yearly_worth']))} a year."
        ]
    else:
        said = [
            f"Over {years} years, at {interest}, the worth of the two cannot be told apart: "
            f"{_money(mean)} ({margin}) for moving."
        ]
    if "net_present_value_years" in table.index:
        unsure = Z * table.value["net_present_value_years"]
        said.append(
            "What the few years on record leave open cannot be seen in so few seasons: draw more."
            if math.isnan(unsure)
            else f"The few years on record leave another ± {_money(unsure)} open."
        )
    said.append(
        f"Moving is the better way in {_share(table, 'pays')} of futures; in the bad one in ten it "
        f"is worth {_tenth(table, 'net_present_value_1_in_10')} or less."
    )
    earned = table.value["rate_of_return"]
    if not math.isnan(earned):
        said.append(f"The money put in earns {100 * earned:.0f} % a year in an average future.")
    return said


def _payback(table: pd.DataFrame, years: int) -> str:
    """Say when what was paid has come back."""
    half, most = (table.value[f"payback_year_{share}_in_10"] for share in (5, 9))
    if math.isnan(half):
        share = _share(table, "paid_back")
        return f"Within {years} years only {share} of futures pay back what moving takes."
    late = f"not within the {years} years" if math.isnan(most) else f"by that of year {most:.0f}"
    return (
        f"Half of the futures have paid back for good by the end of year {half:.0f}, 9 in 10 "
        f"{late}; with interest {_share(table, 'discounted_paid_back')} pay back in time."
    )


def _within_loan(investment: xr.Dataset, table: pd.DataFrame) -> str:
    count = investment.attrs["loan_years"]
    return (
        f"When the loan is paid off after year {count}, savings have met the down payment and all "
        f"payments in {_share(table, 'paid_within_loan')} of futures."
    )


def _first_years(investment: xr.Dataset, table: pd.DataFrame, years: int) -> str:
    """Say how it may begin."""
    first = min(FIRST_YEARS, years)
    bad = _tenth(table, f"cash_after_{first}_years_1_in_10")
    borrowed = investment.attrs["borrowed"] > 0
    short = "save less than the loan takes" if borrowed else "cost more than they save"
    return (
        f"Bad start: in {_share(table, 'bad_start')} of futures the first {first} years {short}; "
        f"with what is paid at the start, 1 future in 10 then stands at {bad} or less."
    )


def _basis(investment: xr.Dataset) -> list[str]:
    """Say what the numbers rest on, and what they leave out."""
    attrs, futures = investment.attrs, investment.sizes["future"]
    said = []
    if futures < FEW_FUTURES or attrs["seasons"] < FEW_SEASONS:
        said.append(
            f"{futures} futures of {attrs['seasons']} seasons are few: run 2,000 or more of each "
            "before you act on this."
        )
    if attrs["owned"] or float(investment.traded.sum()) > 0:
        age = f"as owned for {attrs['owned']} years" if attrs["owned"] else "as the file has them"
        worth = "" if attrs["traded_in"] else "; those not kept bring nothing"
        said.append(f"The old machines are taken {age}{worth}.")
    if attrs["also_other_work"]:
        said.append(f"The whole price of {attrs['also_other_work']} counts, other work or not.")
    lender = ""
    if attrs["borrowed"] > 0:
        lender = (
            f", and the lender's rate holds {100 * attrs['inflation']:.3g} % inflation"
            if attrs["inflation"]
            else ", the loan's too: a lender's rate holds inflation, which makes it look dearer"
        )
    said.append(f"All is in today's dollars and interest above inflation{lender}.")
    return [*said, f"Not counted: {attrs['not_counted']}."]
