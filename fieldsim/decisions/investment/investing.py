"""Moving from one option to another, over the years owned, with the weather of each year.

All sums are in dollars of today, before income tax, and interest is above inflation. What is paid
and got comes at the end of its year; the machines are bought at the start.
"""

from __future__ import annotations

from importlib.metadata import version
from typing import Any

import numpy as np
import xarray as xr
from numpy.typing import NDArray

from fieldsim.decisions.investment.change import PARTS, Change, change_of_equipment, usual_years
from fieldsim.decisions.investment.discounting import discount_factors, payback_year
from fieldsim.decisions.investment.futures import draw_futures
from fieldsim.decisions.investment.loan import Loan, loan_payments
from fieldsim.decisions.sampling import mean_error, years_error
from fieldsim.errors import Fault, InputError, no_such
from fieldsim.farm import Farm

__all__ = ["invest"]

# What the weather of a year makes differ between options.
WORK = ("lost_revenue", "labor", "fuel", "hire")
BOUNDS = {  # least, most, and what to write
    "years": (1, 60, 10),
    "futures": (1, 100_000, 2000),
    "seed": (0, 2**63 - 1, 0),
    "owned": (0, 60, 5),
}
RATES = (-0.5, 1.0)  # 1/year

Floats = NDArray[np.float64]


def invest(
    farm: Farm,
    outcomes: xr.Dataset,
    from_option: str,
    to_option: str,
    *,
    years: int | None = None,
    futures: int = 2000,
    seed: int = 0,
    loan: Loan | None = None,
    discount_rate: float | None = None,
    trade_in: bool = True,
    owned: int = 0,
) -> xr.Dataset:
    """Follow the cash of moving from one option to another through many futures.

    Each year of a future is one of the simulated seasons, the same for both options. Machines that
    only the new option has are bought at the start, old ones that it does not have are traded in;
    with either option a machine is replaced after the years of the farm file, its repairs go by its
    place in life, and at the end it is worth what it then brings.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
        From `simulate`, of that farm.
    from_option, to_option : str
        Names of options.
    years : int, optional
        To look ahead, 1 to 60; default: for how long the farm file keeps the machines bought, the
        shortest of them.
    futures : int
        How many to draw, 1 to 100,000.
    seed : int
        0 or more.
    loan : Loan, optional
        Default: all is paid in cash. Not longer than `years`.
    discount_rate : float, optional
        Above inflation [1/year], -0.5 to 1; default: the farm's interest.
    trade_in : bool
        Whether old machines that are not kept are traded in; else they bring nothing.
    owned : int
        Since when the old option's machines have been owned [years], 0 to 60: 0 if they are now of
        the age and hours that the farm file gives.

    Returns
    -------
    xarray.Dataset
        - ``cash_flow`` (future, year): what moving brings, below 0: takes [$]; year 0 is the
          start. Loan and payments are in it, the worth of the machines at the end is not;
        - ``plan`` (part, year): the part of it that no weather changes, and ``end_worth`` [$];
        - ``drawn_season`` (future, year): the season of each year, -1 at the start;
        - ``net_present_value`` (future) [$], the worth at the end included;
        - ``payback_year``, ``discounted_payback_year`` (future): the first year from whose end on
          all that was paid has come back without selling, loan aside; nan: not within the years;
        - ``mean_saving``, ``mean_saving_error`` (work): what is saved in an average year [$];
        - where the outcomes have replicates, each future is drawn from one of them, ``replicate``
          (season), and ``net_present_value_years_error`` is what the few years on record leave
          unsure of the mean [$];
        - ``bought``, ``traded`` (equipment): units; ``price``, ``trade_in``: for all of them [$].

        See `investment_table`, `cash_by_year` and `describe_investment` for what it says.

    Raises
    ------
    InputError
        With every fault of the arguments.

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> outcomes = fieldsim.simulate(farm, 200)
    >>> found = invest(farm, outcomes, "six_rows", "eight_rows", futures=100)
    >>> dict(found.cash_flow.sizes)
    {'future': 100, 'year': 13}
    >>> float(found.price.sum())
    64000.0
    """
    rate = farm.money.interest if discount_rate is None else discount_rate
    numbers = {"years": years, "futures": futures, "seed": seed, "owned": owned}
    _check(farm, outcomes, (from_option, to_option), numbers, rate)
    ahead = usual_years(farm, from_option, to_option) if years is None else years
    if loan is not None and loan.years > ahead:
        problem = f"the loan is longer than the {ahead} years that are looked at"
        repair = f"write {ahead} years or fewer, or more years to look at"
        raise InputError([Fault("", "loan.years", str(loan.years), problem, repair)])
    change = change_of_equipment(
        farm, outcomes, from_option, to_option, ahead, owned=owned, trade_in=trade_in
    )
    borrowed = _add_loan(change, loan)
    savings = _savings(outcomes, from_option, to_option)
    replicate = outcomes.replicate.values if "replicate" in outcomes.coords else None
    drawn = draw_futures(outcomes.sizes["season"], ahead, futures, seed, replicate)
    data = _values(change, savings, drawn, rate)
    if replicate is not None:
        data["replicate"] = ("season", replicate)
        unsure = years_error(savings.sum(axis=0), replicate)
        worth = discount_factors(rate, ahead)[1:].sum() * unsure
        data["net_present_value_years_error"] = ((), worth)
    labels = outcomes.option_label
    attrs = {
        "farm": farm.name,
        "from_option": from_option,
        "to_option": to_option,
        "from_label": str(labels.sel(option=from_option).item()),
        "to_label": str(labels.sel(option=to_option).item()),
        "years": ahead,
        "seasons": outcomes.sizes["season"],
        "seed": seed,
        "discount_rate": rate,
        "owned": owned,
        "traded_in": int(trade_in),
        "borrowed": borrowed,
        "loan_rate": 0.0 if loan is None else loan.rate,
        "loan_years": 0 if loan is None else loan.years,
        "inflation": 0.0 if loan is None else loan.inflation,
        "also_other_work": ", ".join(_with_other_work(farm, change)),
        "not_counted": ", ".join(filter(None, [outcomes.attrs["not_counted"], "income tax"])),
        "fieldsim_version": version("fieldsim"),
    }
    return _dataset(data, change, attrs)


def _check(
    farm: Farm,
    outcomes: xr.Dataset,
    options: tuple[str, str],
    numbers: dict[str, int | None],
    rate: float,
) -> None:
    """Raise with every fault of the arguments."""
    faults = []
    known = [str(name) for name in outcomes.option.values]
    for name, option in zip(("from_option", "to_option"), options, strict=True):
        if option not in known:
            faults.append(no_such("option", name, option, known))
    if options[0] == options[1] and options[0] in known:
        problem = "the two options are the same"
        repair = f"options are {', '.join(known)}"
        faults.append(Fault("", "to_option", repr(options[1]), problem, repair))
    if outcomes.attrs["farm_text"] != farm.text:
        problem = "they are those of another farm, or of this one before a change"
        faults.append(Fault("", "outcomes", "", problem, "simulate this farm"))
    for name, value in numbers.items():
        least, most, usual = BOUNDS[name]
        whole = isinstance(value, int | np.integer) and not isinstance(value, bool)
        if value is not None and not (whole and least <= value <= most):
            problem = f"a whole number from {least} to {most:,} is allowed"
            faults.append(Fault("", name, repr(value), problem, f"write {usual}"))
    if not RATES[0] <= rate <= RATES[1]:
        problem = f"a rate from {RATES[0]:g} to {RATES[1]:g} a year is allowed"
        faults.append(Fault("", "discount_rate", repr(rate), problem, "write 0.05"))
    if faults:
        raise InputError(faults)


def _add_loan(change: Change, loan: Loan | None) -> float:
    """Put the loan into the plan; return the sum borrowed [$]."""
    paid = -float(change.plan["purchase"][0] + change.plan["trade_in"][0])
    if loan is None or paid <= 0:
        return 0.0
    borrowed = loan.share * paid
    change.plan["loan"][0] = borrowed
    change.plan["loan"][1 : loan.years + 1] = -loan_payments(borrowed, loan)
    return borrowed


def _with_other_work(farm: Farm, change: Change) -> list[str]:
    """Return the tractors bought that also do other work, which bears no part of their price."""
    tractors = farm.tractors.items()
    return [name for name, part in tractors if name in change.bought and part.other_hours > 0]


def _savings(outcomes: xr.Dataset, from_option: str, to_option: str) -> Floats:
    """Return what moving saves in each season, shape (work, season) [$]."""
    lost = outcomes.lost_revenue.sum("crop")
    costs = [lost, *(outcomes[f"{name}_cost"] for name in WORK[1:])]
    saved = [cost.sel(option=from_option) - cost.sel(option=to_option) for cost in costs]
    return np.stack([values.values for values in saved])


def _values(
    change: Change, savings: Floats, drawn: NDArray[np.int64], rate: float
) -> dict[str, Any]:
    """Return the variables that follow from the plan and from the seasons drawn."""
    of_plan = {name: values for name, values in change.plan.items() if name != "end_worth"}
    cash = np.zeros((drawn.shape[0], drawn.shape[1] + 1)) + sum(of_plan.values())
    cash[:, 1:] += savings.sum(axis=0)[drawn]
    worth = cash @ discount_factors(rate, drawn.shape[1])
    own_money = cash - change.plan["loan"]
    end = change.plan["end_worth"] @ discount_factors(rate, drawn.shape[1])
    season = np.concatenate([np.full((len(drawn), 1), -1), drawn], axis=1)
    return {
        "cash_flow": (("future", "year"), cash),
        "drawn_season": (("future", "year"), season),
        "plan": (("part", "year"), np.stack([change.plan[name] for name in PARTS])),
        "net_present_value": ("future", worth + end),
        "payback_year": ("future", payback_year(own_money)),
        "discounted_payback_year": ("future", payback_year(own_money, rate)),
        "mean_saving": ("work", savings.mean(axis=1)),
        "mean_saving_error": ("work", [mean_error(values) for values in savings]),
    }


def _dataset(data: dict[str, Any], change: Change, attrs: dict[str, Any]) -> xr.Dataset:
    """Return the variables with their coordinates, units and provenance."""
    moved = list(change.bought | change.traded)
    of_equipment: dict[str, dict[str, Any]] = {
        "bought": change.bought,
        "traded": change.traded,
        "price": change.prices,
        "trade_in": change.trade_ins,
    }
    for name, values in of_equipment.items():
        data[name] = ("equipment", np.array([values.get(machine, 0) for machine in moved]))
    futures, years = data["cash_flow"][1].shape
    coords = {
        "future": np.arange(futures),
        "year": np.arange(years),
        "part": list(PARTS),
        "work": list(WORK),
        "equipment": moved,
    }
    found = xr.Dataset(data, coords, attrs)
    for name in data.keys() - {"bought", "traded", "drawn_season", "replicate"}:
        found[name].attrs["units"] = "year" if name.endswith("payback_year") else "$"
    return found
