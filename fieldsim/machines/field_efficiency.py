"""Usual speeds and field efficiencies of machines, for telling whether a figure is a likely one."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from fieldsim.ranges import number_in_range
from fieldsim.tables import read_table

__all__ = ["UsualWork", "unusual", "usual_work", "usual_work_machines"]

TABLE = "field_efficiencies.csv"


@dataclass(frozen=True)
class UsualWork:
    """How a kind of machine usually works.

    Parameters
    ----------
    machine : str
    efficiency : tuple of float
        Least and most field efficiency [1].
    typical_efficiency : float
        [1].
    speed : tuple of float
        Least and most speed [km/h].
    typical_speed : float
        [km/h].
    source, status : str
        Where the row comes from and whether it was read there.
    """

    machine: str
    efficiency: tuple[float, float]
    typical_efficiency: float
    speed: tuple[float, float]
    typical_speed: float
    source: str
    status: str


def usual_work(machine: str) -> UsualWork:
    """Return the usual speed and field efficiency of a kind of machine.

    Parameters
    ----------
    machine : str
        One of `usual_work_machines()`.

    Returns
    -------
    UsualWork

    Raises
    ------
    ValueError
        If there is no such machine.

    Notes
    -----
    ASABE D497.7 (2011), table of field efficiency and speed, from memory.

    Examples
    --------
    >>> usual_work("planter").efficiency
    (0.5, 0.75)
    """
    rows = _usual_work()
    if machine not in rows:
        raise ValueError(f"there is no usual work of {machine!r}: {', '.join(rows)} are allowed")
    return rows[machine]


def usual_work_machines() -> tuple[str, ...]:
    """Return the kinds of machine whose usual work is known."""
    return tuple(_usual_work())


def unusual(
    machine: str, *, speed: float | None = None, efficiency: float | None = None
) -> tuple[str, ...]:
    """Say what about a machine's speed and field efficiency is out of the usual.

    Parameters
    ----------
    machine : str
        One of `usual_work_machines()`.
    speed : float, optional
        [km/h], above 0.
    efficiency : float, optional
        [1], above 0, at most 1.

    Returns
    -------
    tuple of str
        One sentence for each figure out of its usual range, none where all is usual.

    Raises
    ------
    ValueError
        If there is no such machine or an argument is out of its range.

    Examples
    --------
    >>> unusual("planter", speed=8.0, efficiency=0.9)
    ('an efficiency of 90 % is above the 50 to 75 % usual for a planter',)
    """
    usual = usual_work(machine)
    name = machine.replace("_", " ")
    found = []
    if speed is not None:
        value = number_in_range("speed", speed, "km/h", above=0)
        least, most = usual.speed
        if not least <= value <= most:
            side = "below" if value < least else "above"
            found.append(
                f"a speed of {value:.3g} km/h is {side} "
                f"the {least:g} to {most:g} km/h usual for a {name}"
            )
    if efficiency is not None:
        value = number_in_range("efficiency", efficiency, above=0, at_most=1)
        least, most = usual.efficiency
        if not least <= value <= most:
            side = "below" if value < least else "above"
            found.append(
                f"an efficiency of {100 * value:.3g} % is {side} "
                f"the {100 * least:g} to {100 * most:g} % usual for a {name}"
            )
    return tuple(found)


@cache
def _usual_work() -> dict[str, UsualWork]:
    """Return usual work by machine, read at first use."""
    sides = ("least", "most", "typical")
    numbers = [f"{quantity}_{side}" for quantity in ("efficiency", "speed") for side in sides]
    columns = ("machine", *numbers, "source", "status")
    table = read_table(files("fieldsim.machines") / TABLE, columns, TABLE)
    rows = {}
    for cells in (row.cells for row in table.rows):
        efficiency = [float(cells[f"efficiency_{side}"]) / 100.0 for side in sides]
        speed = [float(cells[f"speed_{side}"]) for side in sides]
        rows[cells["machine"]] = UsualWork(
            machine=cells["machine"],
            efficiency=(efficiency[0], efficiency[1]),
            typical_efficiency=efficiency[2],
            speed=(speed[0], speed[1]),
            typical_speed=speed[2],
            source=cells["source"],
            status=cells["status"],
        )
    return rows
