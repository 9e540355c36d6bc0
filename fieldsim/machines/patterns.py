"""Planting patterns: how kernels are laid in the row, which sets speed and time before planting."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from fieldsim.quantities import parse
from fieldsim.tables import read_table

__all__ = ["PlantingPattern", "planting_pattern", "planting_patterns"]

TABLE = "planting_patterns.csv"


@dataclass(frozen=True)
class PlantingPattern:
    """One way of laying kernels in the row.

    Parameters
    ----------
    name : str
        ``"check_row"`` (hills in line both ways, tripped by a wire), ``"hill_drop"`` (kernels in
        bunches) or ``"drill"`` (kernels one by one).
    speed : float
        Speed in the row where the machine gives none [km/h].
    setup : float
        Time once a field before planting begins [h].
    source : str
        Where the numbers come from.
    checked : bool
        Whether they were read in a published source.
    """

    name: str
    speed: float
    setup: float
    source: str
    checked: bool


def planting_pattern(name: str) -> PlantingPattern:
    """Return a planting pattern by its name.

    Parameters
    ----------
    name : str
        One of `planting_patterns()`.

    Returns
    -------
    PlantingPattern

    Raises
    ------
    ValueError
        If there is no such pattern.

    Notes
    -----
    The numbers are common practice without a source, in ``planting_patterns.csv``.

    Examples
    --------
    >>> round(planting_pattern("drill").speed, 2)
    8.05
    """
    patterns = _patterns()
    if name not in patterns:
        names = ", ".join(patterns)
        raise ValueError(f"there is no planting pattern {name!r}: {names} are allowed")
    return patterns[name]


def planting_patterns() -> tuple[str, ...]:
    """Return the names of the planting patterns."""
    return tuple(_patterns())


@cache
def _patterns() -> dict[str, PlantingPattern]:
    """Return the patterns by name, read at first use."""
    columns = ("name", "speed", "setup", "source", "checked")
    table = read_table(files("fieldsim.machines") / TABLE, columns, TABLE)
    return {
        row.cells["name"]: PlantingPattern(
            name=row.cells["name"],
            speed=parse(row.cells["speed"], "speed"),
            setup=parse(row.cells["setup"], "time"),
            source=row.cells["source"],
            checked=row.cells["checked"] == "yes",
        )
        for row in table.rows
    }
