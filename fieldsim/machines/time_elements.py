"""Field efficiency built from time elements: rows, headland turns, stops to fill, adjustment.

Konaka (Farm mechanization planning, lecture notes, ch. 4.2, eq. 4.8-4.10) takes the field time as
the sum of working, turning, adjusting, refilling and other times, and capacity as area over that
sum. Lal (1983, Pesquisa Agropecuaria Brasileira 18(6):649-656) writes field efficiency as
To / (Te + Th + Ta): theoretical time over effective time (To over the share of width in use) plus
losses not proportional and proportional to area. Neither gives the elements for a pass of given
length; those below are worked out here, per hectare:

- row time 10 / (speed x width x (1 - overlap));
- one turn for each pass, which covers width x (1 - overlap) x row length;
- adjustment, a share of row time;
- for each material, the time of a fill over the area that a fill lasts.

All are long-run means: the last pass and the last fill of a field are not rounded up. Materials are
filled one after another. Daily service, travel and repairs are not in it (travel and folding: see
`block_setup_time`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from fieldsim.machines.capacity import theoretical_capacity
from fieldsim.ranges import number_in_range

__all__ = [
    "Fill",
    "TimeBreakdown",
    "TimeElements",
    "area_per_fill",
    "block_setup_time",
    "built_efficiency",
    "time_per_area",
]

M2_PER_HA = 10_000.0


@dataclass(frozen=True)
class Fill:
    """Stops to fill one material.

    Parameters
    ----------
    material : str
        Such as ``"seed"``.
    area_per_fill : float
        Land that one fill lasts [ha], above 0; see `area_per_fill`.
    time : float
        Time of one fill, drive to the headland and back included [h], at least 0.

    Raises
    ------
    ValueError
        If a number is out of its range.
    """

    material: str
    area_per_fill: float
    time: float

    def __post_init__(self) -> None:
        number_in_range("area_per_fill", self.area_per_fill, "ha", above=0)
        number_in_range("time", self.time, "h", at_least=0)


@dataclass(frozen=True)
class TimeElements:
    """What keeps a machine from working its full width all the time.

    Parameters
    ----------
    turn : float
        Time of one headland turn [h], at least 0.
    overlap : float
        Share of the width worked twice [1], at least 0, below 1.
    adjustment : float
        In-field adjustment, cleaning and minor stops as a share of row time [1], at least 0.
    fills : tuple of Fill
        One a material.

    Raises
    ------
    ValueError
        If a number is out of its range or a material is given twice.
    """

    turn: float
    overlap: float = 0.0
    adjustment: float = 0.0
    fills: tuple[Fill, ...] = ()

    def __post_init__(self) -> None:
        number_in_range("turn", self.turn, "h", at_least=0)
        number_in_range("overlap", self.overlap, at_least=0, below=1)
        number_in_range("adjustment", self.adjustment, at_least=0)
        materials = [fill.material for fill in self.fills]
        for material in materials:
            if materials.count(material) > 1:
                raise ValueError(f"fills = {material!r} twice: one fill a material is allowed")


@dataclass(frozen=True)
class TimeBreakdown:
    """Where the field time of a hectare goes.

    Parameters
    ----------
    row, turn, adjustment : float
        [h/ha].
    fills : mapping of str to float
        By material [h/ha].
    """

    row: float
    turn: float
    adjustment: float
    fills: Mapping[str, float]

    @property
    def total(self) -> float:
        """All of it [h/ha]."""
        return math.fsum((self.row, self.turn, self.adjustment, *self.fills.values()))


def time_per_area(
    speed: float, width: float, row_length: float, elements: TimeElements
) -> TimeBreakdown:
    """Return the field time of a hectare, element by element.

    Parameters
    ----------
    speed : float
        Speed in the row [km/h], above 0.
    width : float
        Working width [m], above 0.
    row_length : float
        Length of a pass [m], above 0.
    elements : TimeElements

    Returns
    -------
    TimeBreakdown
        [h/ha].

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    Sum of elements: Konaka, ch. 4.2, eq. 4.8-4.10; the elements are worked out in this module's
    own docstring.

    Examples
    --------
    >>> elements = TimeElements(turn=0.01, fills=(Fill("seed", area_per_fill=5.0, time=0.1),))
    >>> time_per_area(10.0, 5.0, 500.0, elements)
    TimeBreakdown(row=0.2, turn=0.04, adjustment=0.0, fills={'seed': 0.02})
    """
    length = number_in_range("row_length", row_length, "m", above=0)
    share_of_width = 1.0 - elements.overlap
    row = 1.0 / (float(theoretical_capacity(speed, width)) * share_of_width)
    pass_area = width * share_of_width * length / M2_PER_HA
    return TimeBreakdown(
        row=row,
        turn=elements.turn / pass_area,
        adjustment=elements.adjustment * row,
        fills={fill.material: fill.time / fill.area_per_fill for fill in elements.fills},
    )


def built_efficiency(
    speed: float, width: float, row_length: float, elements: TimeElements
) -> float:
    """Return the field efficiency that the time elements amount to.

    Parameters
    ----------
    speed, width, row_length, elements
        See `time_per_area`.

    Returns
    -------
    float
        Theoretical time over field time [1], above 0, at most 1.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    Lal (1983), Ro = To / (Te + Th + Ta).

    Examples
    --------
    >>> built_efficiency(10.0, 5.0, 400.0, TimeElements(turn=0.01))
    0.8
    """
    theoretical_time = 1.0 / float(theoretical_capacity(speed, width))
    return theoretical_time / time_per_area(speed, width, row_length, elements).total


def area_per_fill(hopper: float, rate: float) -> float:
    """Return the area that one fill lasts.

    Parameters
    ----------
    hopper : float
        What the hopper, tank or all boxes together hold [kg, L or seeds], above 0.
    rate : float
        What goes on a hectare [the same unit/ha], above 0.

    Returns
    -------
    float
        [ha].

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Examples
    --------
    >>> area_per_fill(400.0, 160.0)
    2.5
    """
    return number_in_range("hopper", hopper, above=0) / number_in_range("rate", rate, above=0)


def block_setup_time(
    distance: float, road_speed: float, fold_time: float, folds: bool, pattern_setup: float
) -> float:
    """Return the hours spent once on a block before work begins there.

    Parameters
    ----------
    distance : float
        Road to the block, one way [km], at least 0.
    road_speed : float
        [km/h], above 0.
    fold_time : float
        Time to fold the machine once; unfolding takes as long [h], at least 0.
    folds : bool
        Whether the machine must be folded to get there.
    pattern_setup : float
        Set-up of the planting pattern, once a field [h], at least 0; see `PlantingPattern`.

    Returns
    -------
    float
        [h].

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Examples
    --------
    >>> block_setup_time(5.0, 20.0, 0.1, True, 0.5)
    0.95
    """
    travel = number_in_range("distance", distance, "km", at_least=0) / number_in_range(
        "road_speed", road_speed, "km/h", above=0
    )
    fold = number_in_range("fold_time", fold_time, "h", at_least=0)
    setup = number_in_range("pattern_setup", pattern_setup, "h", at_least=0)
    return travel + (2.0 * fold if folds else 0.0) + setup
