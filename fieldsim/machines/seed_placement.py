"""Fertilizer placed with the seed: how much nitrogen and potash the seed usually stands.

A rule of the trade that says when to ask somebody who knows, and no advice: what is safe depends on
product, placement, moisture and soil. The figures stand in ``seed_placement.csv``.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from fieldsim.quantities import parse, split
from fieldsim.ranges import number_in_range
from fieldsim.tables import read_table

__all__ = ["seed_placement_crops", "seed_placement_limit"]

TABLE = "seed_placement.csv"


def seed_placement_crops() -> tuple[str, ...]:
    """Return the crops for which a usual limit is known."""
    return tuple(_limits())


def seed_placement_limit(crop: str, row_spacing: float, *, coarse: bool = False) -> float:
    """Return the most nitrogen and potash that usually goes with the seed.

    It is an amount for each length of row, so that wider rows stand less on an area.

    Parameters
    ----------
    crop : str
        One of `seed_placement_crops()`.
    row_spacing : float
        [m], above 0.
    coarse : bool
        Whether the soil is sandy.

    Returns
    -------
    float
        N + K2O [kg/ha].

    Raises
    ------
    ValueError
        If there is no such crop, or the spacing is out of its range.

    Notes
    -----
    Common practice, from memory; no published source was read.

    Examples
    --------
    In 30-inch rows 10 lb/acre of corn, in 15-inch rows twice as much.

    >>> round(seed_placement_limit("corn", 0.762), 2), round(seed_placement_limit("corn", 0.381), 2)
    (11.21, 22.42)
    """
    spacing = number_in_range("row_spacing", row_spacing, "m", above=0)
    limits = _limits()
    if crop not in limits:
        raise ValueError(f"there is no usual limit for {crop!r}: {', '.join(limits)} are allowed")
    most, of_spacing, share = limits[crop]
    return most * of_spacing / spacing * (share if coarse else 1.0)


@cache
def _limits() -> dict[str, tuple[float, float, float]]:
    """Return by crop the limit [kg/ha], the row spacing it holds for [m], the share if sandy."""
    columns = ("crop", "most", "row_spacing", "coarse", "source", "checked")
    rows = read_table(files("fieldsim.machines") / TABLE, columns, TABLE).rows
    return {
        row.cells["crop"]: (
            float(split(row.cells["most"]).to("kg/hectare").magnitude),
            parse(row.cells["row_spacing"], "row_spacing"),
            parse(row.cells["coarse"], "share"),
        )
        for row in rows
    }
