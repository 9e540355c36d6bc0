"""Crop insurance by the day of planting: the guarantee of late land and of land left unplanted.

The policy and the dates of the county and year decide. Nothing here is used unless it is asked for,
and no premium, indemnity or option of a policy is worked out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.crops.published_figures import published_figure
from fieldsim.quantities import factor
from fieldsim.ranges import in_range

__all__ = [
    "InsuranceRules",
    "insured_share",
    "least_prevented_area",
    "prevented_planting_payment",
    "revenue_guarantee",
]


@dataclass(frozen=True)
class InsuranceRules:
    """What the guarantee of a crop is by the day of planting.

    Parameters
    ----------
    final_day : float
        Last day of planting with the full guarantee [day of a common year].
    late_days : float
        Length of the late planting period after it [day], at least 0.
    daily_cut : float
        Share of the guarantee lost for each day of the late period [1/day], 0 to 1.
    share_after : float
        Share of the guarantee of land planted after the late period [1], 0 to 1.
    prevented_share : float
        Share of the guarantee paid for land that could not be planted [1], 0 to 1.

    Raises
    ------
    ValueError
        If a number is out of range, or the cuts of the late period exceed the guarantee.
    """

    final_day: float
    late_days: float
    daily_cut: float
    share_after: float
    prevented_share: float

    def __post_init__(self) -> None:
        in_range("final_day", self.final_day)
        in_range("late_days", self.late_days, "days", at_least=0.0)
        for name in ("daily_cut", "share_after", "prevented_share"):
            in_range(name, getattr(self, name), at_least=0.0, at_most=1.0)
        in_range("daily_cut x late_days", self.daily_cut * self.late_days, at_most=1.0)


def revenue_guarantee(
    coverage: ArrayLike, yield_: ArrayLike, price: ArrayLike
) -> NDArray[np.float64]:
    """Return the guarantee of land planted on time: coverage x yield x price.

    Parameters
    ----------
    coverage : array_like
        Level of coverage [1], 0 to 1.
    yield_ : array_like
        Yield of the land's history [t/ha], at least 0.
    price : array_like
        Projected price [$/t], at least 0.

    Returns
    -------
    ndarray of float64, shape of the arguments together
        [$/ha].

    Raises
    ------
    ValueError
        If a number is out of range.

    Examples
    --------
    >>> revenue_guarantee(0.8, 10.0, [150.0, 180.0])
    array([1200., 1440.])
    """
    insured = in_range("yield_", yield_, "t/ha", at_least=0.0)
    value = insured * in_range("price", price, "$/t", at_least=0.0)
    return in_range("coverage", coverage, at_least=0.0, at_most=1.0) * value


def insured_share(rules: InsuranceRules, day_of_year: ArrayLike) -> NDArray[np.float64]:
    """Return the share of the guarantee that land keeps by its planting day.

    Parameters
    ----------
    rules : InsuranceRules
    day_of_year : array_like, any shape
        Planting day [day of a common year].

    Returns
    -------
    ndarray of float64, shape of `day_of_year`
        [1], 0 to 1.

    Raises
    ------
    ValueError
        If a day is not finite.

    Examples
    --------
    >>> from fieldsim.crops import published_insurance
    >>> insured_share(published_insurance("iowa_corn"), [151, 152, 176, 177])
    array([1.  , 0.99, 0.75, 0.55])
    """
    late = np.maximum(in_range("day_of_year", day_of_year) - rules.final_day, 0.0)
    return np.where(late > rules.late_days, rules.share_after, 1.0 - rules.daily_cut * late)


def prevented_planting_payment(rules: InsuranceRules, guarantee: ArrayLike) -> NDArray[np.float64]:
    """Return what is paid for land that weather kept from being planted.

    Parameters
    ----------
    rules : InsuranceRules
    guarantee : array_like
        `revenue_guarantee` of the land [$/ha], at least 0.

    Returns
    -------
    ndarray of float64, shape of `guarantee`
        [$/ha].

    Raises
    ------
    ValueError
        If a guarantee is below 0.

    Examples
    --------
    >>> from fieldsim.crops import published_insurance
    >>> prevented_planting_payment(published_insurance("iowa_soybean"), [1000.0])
    array([600.])
    """
    return rules.prevented_share * in_range("guarantee", guarantee, "$/ha", at_least=0.0)


def least_prevented_area(unit_area: ArrayLike) -> NDArray[np.float64]:
    """Return the area that must stay unplanted before any is paid for: 20 acres or 20 %.

    The smaller of the two of `published_figures("insurance")` (Iowa State University Extension 2018
    and 2019).

    Parameters
    ----------
    unit_area : array_like, any shape
        Area of the insured unit [ha], at least 0.

    Returns
    -------
    ndarray of float64, shape of `unit_area`
        [ha].

    Raises
    ------
    ValueError
        If an area is below 0.

    Examples
    --------
    >>> least_prevented_area([10.0, 400.0]).round(2)
    array([2.  , 8.09])
    """
    area = published_figure("insurance", "prevented_least_area").low / factor("area", "us")
    share = published_figure("insurance", "prevented_least_share").low / 100
    return np.minimum(area, share * in_range("unit_area", unit_area, "ha", at_least=0.0))
