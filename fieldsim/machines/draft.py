"""Draft: the force it takes to pull an implement, by machine, soil texture, speed and depth.

The equation is that of ASABE D497, D = Fi (A + B S + C S^2) W T; its coefficients stand in
``draft_coefficients.csv`` with their source and whether they were read. D497 gives each machine a
range of expected variation, from 15 to 50 %: a draft from here is no better than that.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Literal, cast, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.ranges import in_range
from fieldsim.tables import read_table

__all__ = [
    "DraftCoefficients",
    "Texture",
    "draft_coefficients",
    "draft_machines",
    "draft_polynomial",
    "draft_size",
    "implement_draft",
]

TABLE = "draft_coefficients.csv"
FIGURES = ("A", "B", "C", "fine", "medium", "coarse", "plus_minus")
COLUMNS = ("machine", "per", "depth", *FIGURES, "source", "status")
CM_PER_M = 100.0
N_PER_KN = 1000.0

Texture = Literal["fine", "medium", "coarse"]
Measure = Literal["rows", "tools", "m"]


@dataclass(frozen=True)
class DraftCoefficients:
    """Coefficients of one machine in D = Fi (A + B S + C S^2) W T [N].

    Parameters
    ----------
    machine : str
    per : str
        What W counts: ``"rows"``, ``"tools"`` or ``"m"`` of width.
    uses_depth : bool
        Whether T is the working depth in cm; else it is 1.
    constant, linear, quadratic : float
        A, B and C, for S in km/h [N per unit of W, and per cm where `uses_depth`].
    texture_factors : mapping of str to float
        Fi of ``"fine"`` (clays), ``"medium"`` (loams) and ``"coarse"`` (sands) soil [1].
    plus_minus : float
        Range of expected variation, as a share of the draft [1].
    source, status : str
        Where the row comes from and whether it was read there.
    """

    machine: str
    per: Measure
    uses_depth: bool
    constant: float
    linear: float
    quadratic: float
    texture_factors: Mapping[Texture, float]
    plus_minus: float
    source: str
    status: str


def draft_coefficients(machine: str) -> DraftCoefficients:
    """Return the draft coefficients of a machine.

    Parameters
    ----------
    machine : str
        One of `draft_machines()`.

    Returns
    -------
    DraftCoefficients

    Raises
    ------
    ValueError
        If there is no such machine.

    Notes
    -----
    ASABE D497, table of draft parameters, from memory except A and B of the chisel plow.

    Examples
    --------
    >>> draft_coefficients("moldboard_plow").per
    'm'
    """
    rows = _coefficients()
    if machine not in rows:
        raise ValueError(f"there is no draft of {machine!r}: {', '.join(rows)} are allowed")
    return rows[machine]


def draft_machines() -> tuple[str, ...]:
    """Return the names of the machines whose draft is known."""
    return tuple(_coefficients())


def draft_size(
    machine: str,
    *,
    width: ArrayLike | None = None,
    spacing: ArrayLike | None = None,
    count: ArrayLike | None = None,
) -> NDArray[np.float64]:
    """Return the size of an implement in the measure that its draft goes by.

    Parameters
    ----------
    machine : str
        One of `draft_machines()`.
    width : array_like, optional
        Working width [m], above 0.
    spacing : array_like, optional
        Distance between rows or tools [m], above 0.
    count : array_like, optional
        Number of rows or tools, above 0.

    Returns
    -------
    ndarray of float64
        Rows, tools or metres, shape of the broadcast arguments; rows and tools are not rounded.

    Raises
    ------
    ValueError
        If there is no such machine, an argument is out of its range, or too few or too many are
        given: a machine that goes by rows or tools takes `count`, or `width` and `spacing`; one
        that goes by width takes `width`, or `count` and `spacing`.

    Examples
    --------
    >>> float(draft_size("chisel_plow", width=4.5, spacing=0.3))
    15.0
    >>> float(draft_size("rotary_hoe", width=4.5))
    4.5
    """
    per = draft_coefficients(machine).per
    sizes = {
        name: in_range(name, value, unit, above=0)
        for name, value, unit in (
            ("width", width, "m"),
            ("spacing", spacing, "m"),
            ("count", count, ""),
        )
        if value is not None
    }
    alone, other = ("width", "count") if per == "m" else ("count", "width")
    if set(sizes) == {alone}:
        return sizes[alone]
    if set(sizes) == {other, "spacing"}:
        apart = sizes["spacing"]
        return np.asarray(sizes[other] * apart if per == "m" else sizes[other] / apart)
    given = ", ".join(sizes) or "nothing"
    measure = "metres of width" if per == "m" else per
    raise ValueError(
        f"the draft of {machine} goes by {measure}: {given} is given; "
        f"give {alone}, or {other} and spacing"
    )


def implement_draft(
    machine: str,
    texture: Texture,
    speed: ArrayLike,
    size: ArrayLike,
    depth: ArrayLike | None = None,
) -> NDArray[np.float64]:
    """Return the draft of an implement.

    Parameters
    ----------
    machine : str
        One of `draft_machines()`.
    texture : str
        Of the soil: ``"fine"`` (clays), ``"medium"`` (loams) or ``"coarse"`` (sands).
    speed : array_like
        [km/h], at least 0.
    size : array_like
        Rows, tools or width [m], by the machine, above 0; see `draft_size`.
    depth : array_like, optional
        Working depth [m], above 0; for machines whose draft goes by depth, and only for them.

    Returns
    -------
    ndarray of float64
        [kN], shape of the broadcast arguments.

    Raises
    ------
    ValueError
        If there is no such machine or texture, an argument is out of its range, or a depth is
        missing or given in vain.

    Notes
    -----
    D = Fi (A + B S + C S^2) W T: ASABE D497, as printed by University of Arizona Cooperative
    Extension, Agricultural Machinery Management; after Harrigan & Rotz (1995), Applied Engineering
    in Agriculture 11(6):773-783.

    Examples
    --------
    >>> float(implement_draft("planter_drawn_seed_only", "medium", 9.0, 12))
    10.8
    """
    speeds = in_range("speed", speed, "km/h", at_least=0)
    constant, linear, quadratic = draft_polynomial(machine, texture, size, depth)
    return np.asarray(constant + speeds * (linear + speeds * quadratic))


def draft_polynomial(
    machine: str, texture: Texture, size: ArrayLike, depth: ArrayLike | None = None
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Return the draft of an implement as a polynomial of its speed.

    Parameters
    ----------
    machine, texture, size, depth
        See `implement_draft`.

    Returns
    -------
    tuple of three ndarrays of float64
        Constant [kN], linear [kN/(km/h)] and quadratic [kN/(km/h)^2] terms, each of the shape of
        the broadcast `size` and `depth`.

    Raises
    ------
    ValueError
        As `implement_draft`.

    Examples
    --------
    >>> [round(float(term), 3) for term in draft_polynomial("moldboard_plow", "fine", 1.0, 0.2)]
    [13.04, 0.0, 0.102]
    """
    row = draft_coefficients(machine)
    if texture not in row.texture_factors:
        raise ValueError(f"texture = {texture!r}: {', '.join(row.texture_factors)} are allowed")
    sizes = in_range("size", size, "" if row.per != "m" else "m", above=0)
    if row.uses_depth and depth is None:
        raise ValueError(f"the draft of {machine} goes by depth: give one")
    if depth is not None and not row.uses_depth:
        raise ValueError(f"the draft of {machine} does not go by depth: give none")
    depths = 1.0 if depth is None else in_range("depth", depth, "m", above=0) * CM_PER_M
    scale = np.asarray(row.texture_factors[texture] * sizes * depths / N_PER_KN)
    return row.constant * scale, row.linear * scale, row.quadratic * scale


@cache
def _coefficients() -> dict[str, DraftCoefficients]:
    """Return the coefficients by machine, read at first use."""
    table = read_table(files("fieldsim.machines") / TABLE, COLUMNS, TABLE)
    return {
        cells["machine"]: DraftCoefficients(
            machine=cells["machine"],
            per=cast(Measure, cells["per"]),
            uses_depth=cells["depth"] == "yes",
            constant=float(cells["A"]),
            linear=float(cells["B"]),
            quadratic=float(cells["C"]),
            texture_factors=MappingProxyType(
                {texture: float(cells[texture]) for texture in get_args(Texture)}
            ),
            plus_minus=float(cells["plus_minus"]) / 100.0,
            source=cells["source"],
            status=cells["status"],
        )
        for cells in (row.cells for row in table.rows)
    }
