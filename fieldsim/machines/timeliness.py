"""What delay costs in the closed form, and the width at which a machine's costs are least.

The closed form assumes work that starts on a given day and goes on without a break, days suitable
in a steady share, and a loss that grows by the same amount every day; it does not stop at the
value of the crop. The simulation needs none of these; here they give answers to hold it against.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.machines.capacity import KM_H_M_PER_HA_H
from fieldsim.ranges import in_range

__all__ = ["least_cost_width", "timeliness_cost"]

SPREADS = (2, 4)


def _spread(spread: int) -> float:
    """Return Z, held to the two values that it can have."""
    if spread not in SPREADS:
        raise ValueError(
            f"spread = {spread}: 2 (work starts or ends at the best date) or "
            "4 (it is spread evenly on both sides of it) is allowed"
        )
    return float(spread)


def timeliness_cost(
    area: ArrayLike,
    yield_: ArrayLike,
    price: ArrayLike,
    coefficient: ArrayLike,
    capacity: ArrayLike,
    hours: ArrayLike,
    suitable_share: ArrayLike,
    spread: int,
) -> NDArray[np.float64]:
    """Return the yearly loss from work that takes time.

    Parameters
    ----------
    area : array_like
        [ha], at least 0.
    yield_ : array_like
        Yield of land worked on the best date [t/ha], at least 0.
    price : array_like
        [$/t], at least 0.
    coefficient : array_like
        Share of crop value lost for each day away from the best date [1/day], at least 0.
    capacity : array_like
        Field capacity [ha/h], above 0.
    hours : array_like
        Hours in the field on a suitable day [h/day], above 0, at most 24.
    suitable_share : array_like
        Share of days that are suitable [1], above 0, at most 1.
    spread : int
        2 where work starts or ends at the best date, 4 where it is spread evenly around it.

    Returns
    -------
    ndarray of float64
        [$/year], shape of the broadcast arguments.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    W = K A^2 Y V / (Z G C p): ASABE EP496, Agricultural Machinery Management (form from memory);
    Hunt (2001), Farm Power and Machinery Management. The elapsed days are A / (C G p) and the mean
    delay is half of them (Z = 2) or a quarter (Z = 4).

    Examples
    --------
    >>> float(timeliness_cost(100, 10, 150, 0.01, 5, 10, 0.5, spread=2))
    3000.0
    """
    land = in_range("area", area, "ha", at_least=0)
    crop_value = in_range("yield_", yield_, "t/ha", at_least=0) * in_range(
        "price", price, "$/t", at_least=0
    )
    loss = in_range("coefficient", coefficient, "1/day", at_least=0)
    area_per_day = (
        in_range("capacity", capacity, "ha/h", above=0)
        * in_range("hours", hours, "h/day", above=0, at_most=24)
        * in_range("suitable_share", suitable_share, above=0, at_most=1)
    )
    return np.asarray(loss * land**2 * crop_value / (_spread(spread) * area_per_day))


def least_cost_width(
    *,
    area: ArrayLike,
    yield_: ArrayLike,
    price: ArrayLike,
    coefficient: ArrayLike,
    speed: ArrayLike,
    efficiency: ArrayLike,
    hours: ArrayLike,
    suitable_share: ArrayLike,
    spread: int,
    ownership_share: ArrayLike,
    price_per_width: ArrayLike,
    labor: ArrayLike,
    tractor: ArrayLike,
) -> NDArray[np.float64]:
    """Return the working width at which ownership, labor, tractor and timeliness cost least.

    Parameters
    ----------
    area, yield_, price, coefficient, hours, suitable_share, spread
        See `timeliness_cost`; `area` above 0.
    speed : array_like
        Speed in the row [km/h], above 0.
    efficiency : array_like
        Field efficiency [1], above 0, at most 1.
    ownership_share : array_like
        Yearly ownership cost as a share of the machine's price [1/year], above 0.
    price_per_width : array_like
        Price of the machine for each metre of width [$/m], above 0.
    labor, tractor : array_like
        Cost of an hour of the operator and of the tractor [$/h], at least 0.

    Returns
    -------
    ndarray of float64
        [m], shape of the broadcast arguments.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    w = sqrt(10 A / (f p S e) (L + T + K A Y V / (Z G p))): Hunt, Farm Power and Machinery
    Management (form from memory; it is where the derivative of the yearly cost
    f p w + A / C (L + T) + W(C), with C = S w e / 10 and W that of `timeliness_cost`, is 0).
    Repairs and fuel in proportion to width drop out of it.

    Examples
    --------
    >>> float(least_cost_width(area=200, yield_=10, price=150, coefficient=0.007, speed=9,
    ...     efficiency=0.65, hours=12, suitable_share=0.5, spread=2, ownership_share=0.15,
    ...     price_per_width=9_000, labor=20, tractor=40).round(2))
    7.71
    """
    land = in_range("area", area, "ha", above=0)
    # The timeliness cost of an hour's delay: that of a capacity of A ha/h, for which A/C is 1 h.
    delay = timeliness_cost(land, yield_, price, coefficient, land, hours, suitable_share, spread)
    hourly = (
        in_range("labor", labor, "$/h", at_least=0)
        + in_range("tractor", tractor, "$/h", at_least=0)
        + delay
    )
    yearly_per_width = in_range("ownership_share", ownership_share, "1/year", above=0) * in_range(
        "price_per_width", price_per_width, "$/m", above=0
    )
    capacity_per_width = (
        in_range("speed", speed, "km/h", above=0)
        * in_range("efficiency", efficiency, above=0, at_most=1)
        / KM_H_M_PER_HA_H
    )
    return np.asarray(np.sqrt(land * hourly / (yearly_per_width * capacity_per_width)))
