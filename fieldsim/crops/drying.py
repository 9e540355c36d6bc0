"""What late planting adds to drying: harvest moisture by planting day, and the cost of points."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.ranges import in_range

__all__ = ["HarvestMoisture", "drying_cost", "harvest_moisture", "wet_mass"]


@dataclass(frozen=True)
class HarvestMoisture:
    """Grain moisture at harvest by the day of planting, a straight line from a reference day.

    As it stands no land is dried: sources disagree on whether late planting makes wetter grain at
    all (`published_figures("drying")`: 0.1 point a day in Iowa, none in Minnesota), since hybrids
    are changed and harvest waits.

    Parameters
    ----------
    base : float
        Moisture at which grain is sold and yields are stated [% of wet mass].
    reference_day : float
        Planting up to this day gives grain of the moisture on time [day of a common year].
    points_on_time : float
        Moisture above the base of land planted on time [percentage points], at least 0.
    points_per_day : float
        Moisture added by each day of planting after the reference day [percentage points/day], at
        least 0.

    Raises
    ------
    ValueError
        If a number is out of range.
    """

    base: float
    reference_day: float
    points_on_time: float = 0.0
    points_per_day: float = 0.0

    def __post_init__(self) -> None:
        in_range("base", self.base, "%", at_least=0.0, at_most=99.0)
        in_range("reference_day", self.reference_day)
        in_range("points_on_time", self.points_on_time, "points", at_least=0.0)
        in_range("points_per_day", self.points_per_day, "points/day", at_least=0.0)


def harvest_moisture(moisture: HarvestMoisture, day_of_year: ArrayLike) -> NDArray[np.float64]:
    """Return grain moisture at harvest of land planted on a day.

    Parameters
    ----------
    moisture : HarvestMoisture
    day_of_year : array_like, any shape
        Planting day [day of a common year].

    Returns
    -------
    ndarray of float64, shape of `day_of_year`
        [% of wet mass].

    Raises
    ------
    ValueError
        If a day is not finite.

    Examples
    --------
    >>> late = HarvestMoisture(base=15.5, reference_day=121, points_on_time=4, points_per_day=0.1)
    >>> harvest_moisture(late, [110, 121, 151])
    array([19.5, 19.5, 22.5])
    """
    delay = np.maximum(in_range("day_of_year", day_of_year) - moisture.reference_day, 0.0)
    return moisture.base + moisture.points_on_time + moisture.points_per_day * delay


def wet_mass(mass: ArrayLike, base: ArrayLike, moisture: ArrayLike) -> NDArray[np.float64]:
    """Return the mass of wet grain that holds the dry matter of grain at base moisture.

    The balance of dry matter: wet (100 - moisture) = mass (100 - base).

    Parameters
    ----------
    mass : array_like
        Mass at base moisture [t, or any unit].
    base, moisture : array_like
        [% of wet mass], 0 to 99.

    Returns
    -------
    ndarray of float64, shape of the arguments together
        [unit of `mass`].

    Raises
    ------
    ValueError
        If a mass is below 0 or a moisture out of range.

    Examples
    --------
    >>> wet_mass(56, 15.5, [15.5, 20, 25]).round(2)
    array([56.  , 59.15, 63.09])
    """
    dry = in_range("mass", mass, at_least=0.0) * (
        100.0 - in_range("base", base, "%", at_least=0.0, at_most=99.0)
    )
    return dry / (100.0 - in_range("moisture", moisture, "%", at_least=0.0, at_most=99.0))


def drying_cost(
    moisture: HarvestMoisture, day_of_year: ArrayLike, yield_: ArrayLike, cost: ArrayLike
) -> NDArray[np.float64]:
    """Return what it costs to dry the grain of land planted on a day.

    Points above the base x cost of a point x mass of wet grain. That charges are taken on the mass
    as delivered is common practice, no source; on the mass at base moisture they would be
    lower by the ratio of `wet_mass`, a twentieth at 20 %.

    Parameters
    ----------
    moisture : HarvestMoisture
    day_of_year : array_like
        Planting day [day of a common year].
    yield_ : array_like
        At base moisture [t/ha], at least 0.
    cost : array_like
        Of one percentage point [$/t of wet grain], at least 0.

    Returns
    -------
    ndarray of float64, shape of the last three together
        [$/ha].

    Raises
    ------
    ValueError
        If a number is out of range.

    Examples
    --------
    >>> late = HarvestMoisture(base=15.5, reference_day=121, points_per_day=0.1)
    >>> drying_cost(late, [121, 171], yield_=10.0, cost=1.2).round(2)
    array([ 0.  , 63.77])
    """
    harvested = harvest_moisture(moisture, day_of_year)
    wet = wet_mass(in_range("yield_", yield_, "t/ha", at_least=0.0), moisture.base, harvested)
    return (harvested - moisture.base) * in_range("cost", cost, "$/t", at_least=0.0) * wet
