"""What an owned machine costs a year, by part: capital, taxes with insurance and housing, repairs.

Fuel, lubricants and labor are not in it. With a real interest rate all sums stay in the dollars of
the prices given.
"""

from __future__ import annotations

from dataclasses import dataclass

from fieldsim.machines.classes import MachineClass
from fieldsim.machines.cost import LONGEST_LIFE, LOWEST_RATE, capital_recovery
from fieldsim.machines.remaining_value import (
    HOURS_OF_A_YEAR,
    mean_yearly_hours,
    remaining_share,
)
from fieldsim.machines.repair import mean_yearly_repairs
from fieldsim.ranges import number_in_range

__all__ = [
    "MachineCost",
    "OwnedMachine",
    "cost_per_area",
    "cost_per_hour",
    "machine_cost",
    "trade_in_value",
]


@dataclass(frozen=True)
class OwnedMachine:
    """A machine that is bought, kept for some years and sold or traded.

    Parameters
    ----------
    machine_class : MachineClass
        How it loses value and what repairs it needs; see `machine_class`.
    list_price : float
        Current list price of a new machine of the same size and kind [$], at least 0. Repairs and
        remaining value follow it, also for a machine bought used.
    purchase_price : float
        Price paid [$], at least 0.
    yearly_hours : float
        Use in all work, this and other [h/year], 0 to 8784.
    years : float
        Years owned [years], above 0, at most 100.
    interest : float
        Real where costs are in the dollars of purchase [1/year], -0.5 to 1.
    taxes_insurance_housing : float
        Yearly share of the purchase price [1/year], 0 to 1.
    age, hours : float
        Age [years] and use since new [h] when bought, at least 0; 0 for a new machine.
    salvage : float, optional
        Value when it is sold or traded [$], at least 0; default: the remaining value of its class
        at that age and use.

    Raises
    ------
    ValueError
        If a number is out of its range.
    """

    machine_class: MachineClass
    list_price: float
    purchase_price: float
    yearly_hours: float
    years: float
    interest: float
    taxes_insurance_housing: float
    age: float = 0.0
    hours: float = 0.0
    salvage: float | None = None

    def __post_init__(self) -> None:
        number_in_range("list_price", self.list_price, "$", at_least=0)
        number_in_range("purchase_price", self.purchase_price, "$", at_least=0)
        hours = self.yearly_hours
        number_in_range("yearly_hours", hours, "h/year", at_least=0, at_most=HOURS_OF_A_YEAR)
        number_in_range("years", self.years, "years", above=0, at_most=LONGEST_LIFE)
        number_in_range("interest", self.interest, "1/year", at_least=LOWEST_RATE, at_most=1)
        share = self.taxes_insurance_housing
        number_in_range("taxes_insurance_housing", share, "1/year", at_least=0, at_most=1)
        number_in_range("age", self.age, "years", at_least=0)
        number_in_range("hours", self.hours, "h", at_least=0)
        if self.salvage is not None:
            number_in_range("salvage", self.salvage, "$", at_least=0)


@dataclass(frozen=True)
class MachineCost:
    """The cost of an owned machine by part, all in one unit: [$/year], [$/ha] or [$/h].

    Parameters
    ----------
    capital_recovery : float
        Depreciation and interest; below 0 where it is sold for more than it cost.
    taxes_insurance_housing : float
    repairs : float
    """

    capital_recovery: float
    taxes_insurance_housing: float
    repairs: float

    @property
    def total(self) -> float:
        """All of it, in the unit of its parts."""
        return self.capital_recovery + self.taxes_insurance_housing + self.repairs


def trade_in_value(machine: OwnedMachine) -> float:
    """Return what a machine is worth when it is sold or traded, after the years owned.

    Parameters
    ----------
    machine : OwnedMachine

    Returns
    -------
    float
        [$]: the salvage value if one is given, else the remaining value at the age and mean use it
        then has.

    Examples
    --------
    A medium tractor bought at 5 years and 3,000 h, kept 10 years at 300 h: 15 years, 400 h a year.

    >>> from fieldsim.machines import machine_class
    >>> tractor = OwnedMachine(machine_class("tractor_medium"), 90_000, 40_000, 300, 10, 0.05, 0.01,
    ...                        age=5, hours=3_000)
    >>> round(trade_in_value(tractor))
    26118
    """
    if machine.salvage is not None:
        return machine.salvage
    use = mean_yearly_hours(machine.age, machine.hours, machine.years, machine.yearly_hours)
    age = machine.age + machine.years
    return machine.list_price * float(remaining_share(machine.machine_class, age, use))


def machine_cost(machine: OwnedMachine, share_of_hours: float = 1.0) -> MachineCost:
    """Return what a machine costs a year, by part, averaged over the years owned.

    Parameters
    ----------
    machine : OwnedMachine
    share_of_hours : float
        Share of the machine's yearly hours that this work takes [1], 0 to 1: a tractor that also
        does other work is charged in this proportion.

    Returns
    -------
    MachineCost
        [$/year].

    Raises
    ------
    ValueError
        If the share is out of its range.

    Notes
    -----
    Capital recovery of `capital_recovery`; taxes, insurance and housing as in `ownership_cost`;
    repairs of `mean_yearly_repairs`. Sharing a tractor's cost among the work it does by hours:
    Edwards, Estimating Farm Machinery Costs, Iowa State University Extension PM 710 (A3-29) (from
    memory).

    Examples
    --------
    >>> from fieldsim.machines import machine_class
    >>> planter = OwnedMachine(machine_class("planter"), 60_000, 52_000, 80, 10, 0.05, 0.01)
    >>> cost = machine_cost(planter)
    >>> [round(part) for part in (cost.capital_recovery, cost.repairs, cost.total)]
    [4816, 1202, 6538]
    """
    share = number_in_range("share_of_hours", share_of_hours, at_least=0, at_most=1)
    capital = capital_recovery(
        machine.purchase_price, trade_in_value(machine), machine.interest, machine.years
    )
    standing = machine.taxes_insurance_housing * machine.purchase_price
    repairs = mean_yearly_repairs(
        machine.list_price,
        machine.machine_class,
        machine.hours,
        machine.yearly_hours,
        machine.years,
    )
    return MachineCost(share * capital, share * standing, share * float(repairs))


def cost_per_area(cost: MachineCost, area: float) -> MachineCost:
    """Return a yearly cost for each hectare.

    Parameters
    ----------
    cost : MachineCost
        [$/year].
    area : float
        Land worked in the year; count it once for each pass, or once in all, as the answer is
        meant [ha/year], above 0: the cost of a hectare is not defined where none is worked.

    Returns
    -------
    MachineCost
        [$/ha].

    Raises
    ------
    ValueError
        If the area is out of its range.

    Examples
    --------
    >>> cost_per_area(MachineCost(4_000, 500, 1_500), 200).total
    30.0
    """
    land = number_in_range("area", area, "ha/year", above=0)
    return _divided(cost, land)


def cost_per_hour(cost: MachineCost, hours: float) -> MachineCost:
    """Return a yearly cost for each machine hour.

    Parameters
    ----------
    cost : MachineCost
        [$/year].
    hours : float
        Hours of the work that bears the cost: yearly hours, times the share of them where a share
        was charged [h/year], above 0: the cost of an hour is not defined where none is worked.

    Returns
    -------
    MachineCost
        [$/h].

    Raises
    ------
    ValueError
        If the hours are out of their range.

    Examples
    --------
    >>> cost_per_hour(MachineCost(4_000, 500, 1_500), 80).total
    75.0
    """
    worked = number_in_range("hours", hours, "h/year", above=0)
    return _divided(cost, worked)


def _divided(cost: MachineCost, amount: float) -> MachineCost:
    """Return each part of a cost for each unit of an amount."""
    return MachineCost(
        cost.capital_recovery / amount,
        cost.taxes_insurance_housing / amount,
        cost.repairs / amount,
    )
