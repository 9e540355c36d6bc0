"""Replanting a lost stand: what it costs on average, and in yield by the date it is done."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.crops.yield_curve import YieldCurve, relative_yield
from fieldsim.ranges import in_range

__all__ = ["Replanting", "expected_replanting_cost", "replanting_loss"]


@dataclass(frozen=True)
class Replanting:
    """The chance of having to plant again, when, and at what price.

    No number is a default: no source was found for how often or how soon land is replanted, and
    `published_figures("replanting")` has the cost of one year and a rule for the yield.

    Parameters
    ----------
    probability : float
        Chance that land is replanted in a season [1], 0 to 1.
    cost : float
        Destroying the stand, planting and seed [$/ha], at least 0.
    delays : tuple of float
        Days from planting to replanting [day], at least 0.
    shares : tuple of float
        Share of replanted land with each delay [1]; they add up to 1.
    yield_kept : float
        Yield of replanted land relative to land planted first on that day [1], 0 to 1.

    Raises
    ------
    ValueError
        If a number is out of range, or delays and shares do not belong together.
    """

    probability: float
    cost: float
    delays: tuple[float, ...]
    shares: tuple[float, ...]
    yield_kept: float

    def __post_init__(self) -> None:
        in_range("probability", self.probability, at_least=0.0, at_most=1.0)
        in_range("cost", self.cost, "$/ha", at_least=0.0)
        in_range("delays", self.delays, "days", at_least=0.0)
        in_range("shares", self.shares, at_least=0.0, at_most=1.0)
        in_range("yield_kept", self.yield_kept, at_least=0.0, at_most=1.0)
        if len(self.delays) != len(self.shares):
            raise ValueError(
                f"{len(self.delays)} delays and {len(self.shares)} shares: one share a delay"
            )
        if not math.isclose(math.fsum(self.shares), 1.0, abs_tol=1e-9):
            raise ValueError(f"shares add up to {math.fsum(self.shares):g}: 1 is allowed")


def replanting_loss(
    curve: YieldCurve, day_of_year: ArrayLike, delay: ArrayLike, yield_kept: ArrayLike
) -> NDArray[np.float64]:
    """Return the relative yield lost where land is replanted, against a stand that lived.

    y(d) - kept x y(d + delay), y being the yield by planting date. It is below 0 where land was
    planted so long before the best date that planting again gains more than `yield_kept` takes.

    Parameters
    ----------
    curve : TableCurve, QuadraticCurve or PlateauCurve
    day_of_year : array_like
        First planting day d [day of a common year].
    delay : array_like
        Days from planting to replanting [day], at least 0.
    yield_kept : array_like
        As in `Replanting` [1], 0 to 1.

    Returns
    -------
    ndarray of float64, shape of the last three together
        [1]

    Raises
    ------
    ValueError
        If a number is out of range.

    Examples
    --------
    >>> from fieldsim.crops import QuadraticCurve
    >>> curve = QuadraticCurve(best_day=120, curvature=1e-4)
    >>> replanting_loss(curve, 120, [0, 30], yield_kept=0.9).round(3)
    array([0.1  , 0.181])
    """
    planted = in_range("day_of_year", day_of_year)
    again = planted + in_range("delay", delay, "days", at_least=0.0)
    kept = in_range("yield_kept", yield_kept, at_least=0.0, at_most=1.0)
    return relative_yield(curve, planted) - kept * relative_yield(curve, again)


def expected_replanting_cost(
    replanting: Replanting,
    curve: YieldCurve,
    day_of_year: ArrayLike,
    yield_: float,
    price: float,
) -> NDArray[np.float64]:
    """Return the mean cost of replanting in a season, by the day of first planting.

    Probability x (cost + yield x price x mean of `replanting_loss` over the delays).

    Parameters
    ----------
    replanting : Replanting
    curve : TableCurve, QuadraticCurve or PlateauCurve
    day_of_year : array_like, any shape
        First planting day [day of a common year].
    yield_ : float
        Yield of land planted on the best date [t/ha], at least 0.
    price : float
        [$/t], at least 0.

    Returns
    -------
    ndarray of float64, shape of `day_of_year`
        [$/ha].

    Raises
    ------
    ValueError
        If a number is out of range.

    Examples
    --------
    >>> from fieldsim.crops import QuadraticCurve
    >>> curve = QuadraticCurve(best_day=120, curvature=1e-4)
    >>> replanting = Replanting(0.05, 120.0, (20.0, 30.0), (0.5, 0.5), yield_kept=0.9)
    >>> expected_replanting_cost(replanting, curve, [120, 130], yield_=10.0, price=150.0).round(2)
    array([17.89, 21.19])
    """
    value = in_range("yield_", yield_, "t/ha", at_least=0.0) * in_range(
        "price", price, "$/t", at_least=0.0
    )
    planted = np.asarray(day_of_year, dtype=np.float64)[..., np.newaxis]
    losses = replanting_loss(curve, planted, replanting.delays, replanting.yield_kept)
    mean = np.asarray(losses @ np.asarray(replanting.shares), dtype=np.float64)
    return replanting.probability * (replanting.cost + value * mean)
