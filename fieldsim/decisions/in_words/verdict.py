"""The answer in a few sentences, saying no more than the numbers do."""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd
import xarray as xr

from fieldsim.decisions.break_even.result import Breakeven
from fieldsim.decisions.comparison import compare, compare_costs, total_cost
from fieldsim.decisions.in_words.few import TEN_TO_TELL, few_drawn
from fieldsim.decisions.in_words.turning import turning_words
from fieldsim.decisions.in_words.words import band, either, margin, money, springs
from fieldsim.decisions.in_words.worst_years import worst_years
from fieldsim.decisions.sampling import Z
from fieldsim.decisions.under_risk.pairs import SMALL_SHARE, seasons_to_tell_apart

__all__ = ["Verdict", "summarize", "verdict"]

WORST_TENTH = 200  # seasons, before worst tenths are compared
BAD = "lost_revenue_1_in_10"
MOST_SEASONS = 1_000_000  # that a run can draw
MOST_NAMED = 3  # options of which something is told one by one


@dataclass(frozen=True)
class Verdict:
    """What outcomes say about which option to choose, in words.

    Parameters
    ----------
    best : str
        The option of least mean cost, if it is told apart from every other; else empty.
    tied : tuple of str
        Without a best: the options that cannot be told from the cheapest, and that one first.
    answer : str
        The main thing, in a sentence or two.
    surety : tuple of str
        How sure that is, and what would make it surer.
    bad_years : tuple of str
    turning : tuple of str
        What would have to be other for another answer, as far as that was studied.
    limits : tuple of str
        What is not in the figures.
    """

    best: str
    tied: tuple[str, ...]
    answer: str
    surety: tuple[str, ...]
    bad_years: tuple[str, ...]
    turning: tuple[str, ...]
    limits: tuple[str, ...]


def verdict(
    outcomes: xr.Dataset,
    *,
    leads: pd.DataFrame | None = None,
    flips: pd.DataFrame | None = None,
    breakevens: Sequence[Breakeven] = (),
) -> Verdict:
    """Say which option costs least in a year, how sure that is, and what it hangs on.

    An option is named the best only where its mean cost is told apart from that of every other, by
    the drawn seasons and, where `replicates` carry them, by the years on record.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.
    leads : pandas.DataFrame, optional
        From `leads`.
    flips : pandas.DataFrame, optional
        From `fieldsim.decisions.sensitivity.one_at_a_time.flips`.
    breakevens : sequence of Breakeven, optional
        From `fieldsim.decisions.break_even.crossing.breakeven`.

    Returns
    -------
    Verdict

    Examples
    --------
    >>> import fieldsim
    >>> outcomes = fieldsim.simulate(fieldsim.demo_farm(), seasons=1000)
    >>> verdict(outcomes).best
    'two_six_rows'
    """
    surety: list[str]
    cost = total_cost(outcomes)
    cheapest = str(cost.option.values[cost.mean("season").values.argmin()])
    known = compare if "replicate" in outcomes.coords else compare_costs  # no word on dates
    table = known(outcomes, baseline=cheapest)
    others = table.drop(index=cheapest).sort_values("difference", kind="stable")
    by_years = others.get("cannot_tell_with_these_years", pd.Series(False, index=others.index))
    tied = others[others.cannot_tell_apart | by_years]
    if others.empty:
        answer, surety = _only(table), []
    elif len(tied):
        answer, surety = _tie(table, cheapest, tied, others)
    else:
        answer, surety = _winner(table, cheapest, others, cost)
    names = (cheapest, *map(str, tied.index))
    return Verdict(
        best="" if len(tied) or others.empty else cheapest,
        tied=names if len(tied) else (),
        answer=answer,
        surety=tuple(surety + few_drawn(outcomes)),
        bad_years=tuple(_bad_years(table, names, cost)),
        turning=tuple(turning_words(cheapest, table.label.to_dict(), leads, flips, breakevens)),
        limits=tuple(_limits(str(outcomes.attrs.get("not_counted", "")))),
    )


def summarize(outcomes: xr.Dataset, *, leads: pd.DataFrame | None = None) -> list[str]:
    """Return the verdict as sentences, the answer first.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.
    leads : pandas.DataFrame, optional
        From `leads`.

    Returns
    -------
    list of str
        See `verdict`.

    Examples
    --------
    >>> import fieldsim
    >>> outcomes = fieldsim.simulate(fieldsim.demo_farm(), seasons=1000)
    >>> print(summarize(outcomes)[0].split(", by")[0])
    On these assumptions, least cost in an average year: two outfits of 6 rows
    """
    found = verdict(outcomes, leads=leads)
    return [found.answer, *found.surety, *found.bad_years, *found.turning, *found.limits]


def _only(table: pd.DataFrame) -> str:
    row = table.iloc[0]
    mean = margin(row.total_cost, row.total_cost_error)
    return f"There is one option only: {row.label}. All together it costs {mean}."


def _winner(
    table: pd.DataFrame, cheapest: str, others: pd.DataFrame, cost: xr.DataArray
) -> tuple[str, list[str]]:
    """Say by how much the best costs less than the next, and in how many springs."""
    second = others.iloc[0]
    paired = (cost.sel(option=others.index[0]) - cost.sel(option=cheapest)).values
    cheaper, dearer = int((paired > 0).sum()), int((paired < 0).sum())
    answer = (
        f"On these assumptions, least cost in an average year: {table.label[cheapest]}, by "
        f"{margin(second.difference, second.difference_error)} before the next, {second.label}. "
        f"It is cheaper than that in {springs(cheaper, paired.size)}"
    )
    answer += ", by enough to make up for the others." if cheaper < dearer else "."
    surety = []
    most = second.difference + Z * second.difference_error
    if most <= _small(table, cheapest):
        surety.append(f"The lead is at most {money(most)} a year: too little to choose by.")
    if "difference_years_error" in second:
        unsure = float(second.difference_years_error)
        surety.append(
            "How far other years on record would move that lead cannot be seen in so few seasons: "
            "draw more."
            if math.isnan(unsure)
            else f"Other years on record would move that lead by up to ± {money(Z * unsure)}, 95 "
            "times in 100."
        )
    return answer, surety


def _tie(
    table: pd.DataFrame, cheapest: str, tied: pd.DataFrame, others: pd.DataFrame
) -> tuple[str, list[str]]:
    """Say which options cannot be told apart, and what would help."""
    names, first = [table.label[cheapest], *tied.label], table.label[cheapest]
    few, seasons = tied[tied.cannot_tell_apart], int(table.attrs["seasons"])
    by = "by one season" if seasons == 1 else "by what they cost in an average year"
    known = "" if len(few) else "with the few years on record "
    answer = f"Least cost: {either(names)}; {known}they cannot be told apart {by}."
    nearest = tied.to_dict("records")[:MOST_NAMED]
    surety = [_apart(row, first, table, cheapest) for row in nearest]
    if more := len(tied) - len(nearest):
        surety.append(f"Nor can {more} more of them be told from {first}.")
    dearer = others.drop(index=tied.index)
    if len(dearer):
        surety.append(f"Told apart from {first}, and dearer: {', '.join(dearer.label)}.")
    return answer, surety


def _apart(row: dict[Hashable, Any], first: str, table: pd.DataFrame, cheapest: str) -> str:
    """Say how far an option lies from the cheapest, and whether more seasons would help."""
    difference, error = float(row["difference"]), float(row["difference_error"])
    seasons = int(table.attrs["seasons"])
    of = f"The cost of {row['label']}"
    if math.isnan(error):
        return f"{of} in that season: {money(difference)} above that of {first}."
    if difference == 0 and error == 0:
        return f"{of}: the same as that of {first} in every season."
    said = f"{of}: {margin(difference, error)} above that of {first}"
    if not row["cannot_tell_apart"]:
        years = money(Z * float(row["difference_years_error"]))
        return (
            f"{said} in the seasons drawn, but other years on record would move that by up to "
            f"± {years}; more seasons would not help, more years would."
        )
    if abs(difference) + Z * error <= _small(table, cheapest):
        return f"{said}; too little to choose by, whatever more seasons would tell."
    more = seasons_to_tell_apart(difference, error, seasons)
    if more > MOST_SEASONS:
        return f"{said}; no number of seasons that can be drawn would part them."
    return f"{said}; about {more:,.0f} more seasons would part them, if that is the difference."


def _small(table: pd.DataFrame, cheapest: str) -> float:
    """Return a difference that nobody would act on [$]."""
    return SMALL_SHARE * float(table.total_cost[cheapest])


def _bad_years(table: pd.DataFrame, names: tuple[str, ...], cost: xr.DataArray) -> list[str]:
    """Say what a bad year loses, and which option's worst years cost least."""
    seasons, said = cost.sizes["season"], []
    for name in names[:MOST_NAMED] if seasons > 1 else ():
        mean, bad = (float(table[column][name]) for column in ("lost_revenue", BAD))
        ends = band(*(float(table[f"{BAD}_{end}"][name]) for end in ("from", "to")))
        tenth = f" and {money(bad)} or more in the bad one in ten ({ends})"
        said.append(
            f"With {table.label[name]}, late and unfinished work loses {money(mean)} of revenue in "
            f"an average year{tenth if seasons >= TEN_TO_TELL else ''}."
        )
    if len(table) == 1 or seasons < WORST_TENTH:
        return said
    found, options = worst_years(cost.values), [str(name) for name in cost.option.values]
    least = options[found.least]
    if not found.sure:
        said.append("Which option costs least over its worst tenth of years cannot be told.")
    else:
        place, tie = options.index(names[0]), len(names) > 1
        head = "Over the worst tenth of the years of each, "
        other = "" if tie else "too, " if least == names[0] else "though, "
        more = margin(float(found.more[place]), float(found.more_error[place]))
        by = "" if least == names[0] else f", by {more} before {table.label[names[0]]}"
        said.append(f"{head}{other}least cost: {table.label[least]}{by}.")
    return said


def _limits(left_out: str) -> list[str]:
    said = [f"Not counted: {left_out}."] if left_out else []
    return [*said, "Prices, days and yields are those of the farm file."]
