"""How large a machine must be to finish by a date, and how much land it covers: from the days.

Only the days count here: no other work competes for them, and the land is ready when they begin.
`sized_capacity` asks the simulation, where both count.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Unpack

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from fieldsim.days import DaySource
from fieldsim.decisions.sampling import quantile, share_error
from fieldsim.decisions.sizing.window_hours import Drawn, quantity, window_hours
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm
from fieldsim.machines.capacity import KM_H_M_PER_HA_H, required_capacity
from fieldsim.quantities import UnitSystem, factor, unit
from fieldsim.ranges import in_range

__all__ = [
    "CERTAINTY",
    "check_certainty",
    "coverable_area",
    "needed_capacity",
    "rows_needed",
]

CERTAINTY = (0.5, 0.8, 0.9, 0.95)  # shares of seasons that are asked for if nothing is said
MOST_OUTFITS = 100
WHISKER = 1e-9  # of a row: 6.0000000001 rows are 6


def needed_capacity(
    days: Farm | DaySource,
    area: str,
    first: str,
    last: str,
    hours_per_day: str,
    certainty: Sequence[float] = CERTAINTY,
    *,
    outfits: int = 1,
    units: UnitSystem | None = None,
    **drawn: Unpack[Drawn],
) -> pd.DataFrame:
    """Return the field capacity of an outfit that does an area between two dates.

    Parameters
    ----------
    days : Farm or DaySource
    area : str
        As ``"600 acre"``; count the land once for each pass over it.
    first, last, hours_per_day, **drawn
        See `window_hours`.
    certainty : sequence of float
        Shares of seasons in which the work is to be finished [0..1].
    outfits : int
        Equal outfits that work side by side.
    units : "us" or "metric", optional
        Of the table; default: the farm's, else "us".

    Returns
    -------
    pandas.DataFrame
        A row for each certainty: `suitable_days`, which that share of seasons has at least [days of
        full hours]; `capacity` of each outfit and its 95 % Monte Carlo band, `capacity_from` to
        `capacity_to` (inf: no capacity is enough); `area_per_day` of all outfits;
        `certainty_error`, the standard error of the share. ``attrs["units"]`` holds the units.

    Raises
    ------
    InputError
        With every fault of the arguments, and as the draw.

    Notes
    -----
    C = A / (days x hours) in each season, and its quantile over the seasons: Edwards (2014),
    Fieldwork Days in Iowa, Iowa State University Extension A3-25, which takes the days had in half
    or in 8 of 10 years.

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> table = needed_capacity(farm, "462 acre", "18 Apr", "10 May", "10 h", seasons=500)
    >>> table.capacity.round(1).tolist()
    [5.2, 8.1, 10.8, 16.8]
    """
    units = _units(days, units)
    faults: list[Fault] = []
    land = quantity(area, "area", "area", faults)
    check_certainty(certainty, faults)
    _check_outfits(outfits, faults)
    hours, full = _hours_of(days, first, last, hours_per_day, drawn, faults)
    capacity = np.full(len(hours), np.inf)
    worked = hours > 0
    capacity[worked] = required_capacity(land / outfits, hours[worked] / full, full)
    rows = []
    for share in certainty:
        found = quantile(capacity, share)
        rows.append(
            {
                "certainty": share,
                "certainty_error": share_error(share, len(hours)),
                "suitable_days": land / outfits / full / found.value,
                "capacity": found.value,
                "capacity_from": found.low,
                "capacity_to": found.high,
                "area_per_day": found.value * outfits * full,
            }
        )
    return _in_units(pd.DataFrame(rows), units)


def coverable_area(
    days: Farm | DaySource,
    capacity: str,
    first: str,
    last: str,
    hours_per_day: str,
    certainty: Sequence[float] = CERTAINTY,
    *,
    outfits: int = 1,
    units: UnitSystem | None = None,
    **drawn: Unpack[Drawn],
) -> pd.DataFrame:
    """Return the area that outfits of a field capacity do between two dates.

    Parameters
    ----------
    days, first, last, hours_per_day, certainty, outfits, units, **drawn
        See `needed_capacity`, whose inverse this is on the same seasons.
    capacity : str
        Of each outfit, as ``"12 acre/h"``.

    Returns
    -------
    pandas.DataFrame
        A row for each certainty: `suitable_days`, `area` of all outfits and its 95 % Monte Carlo
        band, `area_from` to `area_to`; `certainty_error`.

    Raises
    ------
    InputError
        With every fault of the arguments, and as the draw.

    Examples
    --------
    >>> import fieldsim
    >>> table = coverable_area(fieldsim.demo_farm(), "6 acre/h", "18 Apr", "10 May", "10 h")
    >>> bool(table.area.is_monotonic_decreasing)
    True
    """
    units = _units(days, units)
    faults: list[Fault] = []
    rate = quantity(capacity, "field_capacity", "capacity", faults)
    check_certainty(certainty, faults)
    _check_outfits(outfits, faults)
    hours, full = _hours_of(days, first, last, hours_per_day, drawn, faults)
    rows = []
    for share in certainty:
        # The area that this share of the seasons reaches is the quantile from above.
        found = quantile(-hours * rate * outfits, share)
        rows.append(
            {
                "certainty": share,
                "certainty_error": share_error(share, len(hours)),
                "suitable_days": -found.value / (rate * outfits * full),
                "area": -found.value,
                "area_from": -found.high,
                "area_to": -found.low,
            }
        )
    return _in_units(pd.DataFrame(rows), units)


def rows_needed(
    capacity: ArrayLike, speed: ArrayLike, efficiency: ArrayLike, row_spacing: ArrayLike
) -> NDArray[np.float64]:
    """Return the whole rows of a planter or cultivator that reach a field capacity.

    Parameters
    ----------
    capacity : array_like
        [ha/h], at least 0; inf needs inf rows.
    speed : array_like
        [km/h], above 0.
    efficiency : array_like
        Field efficiency [1], above 0, at most 1.
    row_spacing : array_like
        [m], above 0.

    Returns
    -------
    ndarray of float64, shape of the broadcast arguments

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    The width of Ca = v w e / 10 (Srivastava, Goering, Rohrbach & Buckmaster 2006, Engineering
    Principles of Agricultural Machines, 2nd ed., ASABE, eq. 15.1), in rows, rounded up.

    Examples
    --------
    >>> float(rows_needed(2.0, speed=8.0, efficiency=0.65, row_spacing=0.762))
    6.0
    """
    wanted = np.asarray(capacity, dtype=np.float64)
    if not (wanted >= 0).all():
        raise ValueError("capacity: numbers of at least 0 ha/h are allowed")
    capacity_of_row = (
        in_range("speed", speed, "km/h", above=0)
        * in_range("efficiency", efficiency, above=0, at_most=1)
        * in_range("row_spacing", row_spacing, "m", above=0)
        / KM_H_M_PER_HA_H
    )
    return np.asarray(np.ceil(wanted / capacity_of_row - WHISKER))


def check_certainty(certainty: Sequence[float], faults: list[Fault]) -> None:
    """Note shares of seasons that are not between 0 and 1.

    Parameters
    ----------
    certainty : sequence of float
    faults : list of Fault
        To which faults are added.
    """
    if not len(certainty):
        faults.append(Fault("", "certainty", "", "at least one share is needed", "write [0.9]"))
    for share in certainty:
        if not 0 < share < 1:
            problem = "a share of seasons between 0 and 1 is allowed"
            faults.append(Fault("", "certainty", f"{share:g}", problem, "write 0.9 for 90 %"))


def _check_outfits(outfits: int, faults: list[Fault]) -> None:
    if not 1 <= outfits <= MOST_OUTFITS:
        problem = f"a whole number from 1 to {MOST_OUTFITS} is allowed"
        faults.append(Fault("", "outfits", str(outfits), problem, "write 1"))


def _hours_of(
    days: Farm | DaySource,
    first: str,
    last: str,
    hours_per_day: str,
    drawn: Drawn,
    faults: list[Fault],
) -> tuple[NDArray[np.float64], float]:
    """Return the hours of the window in each season and of a full day [h]; raise every fault."""
    try:
        hours = window_hours(days, first, last, hours_per_day, **drawn)
    except InputError as error:
        raise InputError([*faults, *error.faults]) from None
    if faults:
        raise InputError(faults)
    return hours, quantity(hours_per_day, "time", "hours_per_day", faults)


def _units(days: Farm | DaySource, units: UnitSystem | None) -> UnitSystem:
    if units is not None:
        return units
    return days.units if isinstance(days, Farm) else "us"


def _in_units(table: pd.DataFrame, units: UnitSystem) -> pd.DataFrame:
    """Return a table with its areas and capacities in the units that people see."""
    kinds = {"area": "area", "capacity": "field_capacity"}
    for column in table.columns:
        kind = kinds.get(column.split("_")[0])
        if kind is not None:
            table[column] *= factor(kind, units)
    table.attrs = {"units": {name: unit(kind, units) for name, kind in kinds.items()}}
    return table
