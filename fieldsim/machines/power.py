"""Power: what an implement takes at the drawbar and the PTO, and how fast a tractor can pull it.

Power alone is looked at: whether a tractor is heavy enough for the pull, and whether the work is
still good at the speed that its power allows, is not.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.machines.draft import Texture, draft_polynomial
from fieldsim.ranges import in_range
from fieldsim.tables import read_table

__all__ = [
    "Drive",
    "Surface",
    "available_drawbar_power",
    "drawbar_power",
    "drawbar_pto_ratio",
    "equivalent_pto_power",
    "greatest_speed",
    "pto_power_of_engine",
]

TABLE = "traction.csv"
KN_KM_H_PER_KW = 3.6  # 1 kN x 1 m/s is 1 kW; 1 m/s is 3.6 km/h
NEWTON_STEPS = 8  # from at most three times the power sought; 6 reach the last digit

Drive = Literal["two_wheel", "front_wheel_assist", "four_wheel", "tracks"]
Surface = Literal["concrete", "firm", "tilled", "soft"]


def drawbar_power(draft: ArrayLike, speed: ArrayLike) -> NDArray[np.float64]:
    """Return the power it takes to pull.

    Parameters
    ----------
    draft : array_like
        [kN], at least 0.
    speed : array_like
        [km/h], at least 0.

    Returns
    -------
    ndarray of float64
        [kW], shape of the broadcast arguments.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    P = D S / 3.6: ASABE EP496, in University of Arizona Cooperative Extension, Agricultural
    Machinery Management.

    Examples
    --------
    >>> float(drawbar_power(18.0, 8.0))
    40.0
    """
    drafts = in_range("draft", draft, "kN", at_least=0)
    speeds = in_range("speed", speed, "km/h", at_least=0)
    return np.asarray(drafts * speeds / KN_KM_H_PER_KW)


def drawbar_pto_ratio(drive: Drive, surface: Surface) -> float:
    """Return the share of a tractor's PTO power that it can put on the drawbar.

    Parameters
    ----------
    drive : str
        ``"two_wheel"``, ``"front_wheel_assist"``, ``"four_wheel"`` or ``"tracks"``.
    surface : str
        ``"concrete"``, ``"firm"`` (untilled soil), ``"tilled"`` or ``"soft"`` (or sandy).

    Returns
    -------
    float
        [1].

    Raises
    ------
    ValueError
        If there is no such drive or surface.

    Notes
    -----
    University of Arizona Cooperative Extension, Agricultural Machinery Management, which reprints
    the figure of ASAE D497; in ``traction.csv``.

    Examples
    --------
    >>> drawbar_pto_ratio("two_wheel", "firm")
    0.72
    """
    ratios = _shares("drawbar_over_pto")
    if (drive, surface) not in ratios:
        drives, surfaces = (", ".join(dict.fromkeys(names)) for names in zip(*ratios, strict=True))
        raise ValueError(
            f"drive = {drive!r}, surface = {surface!r}: the drives {drives} "
            f"and the surfaces {surfaces} are allowed"
        )
    return ratios[drive, surface]


def pto_power_of_engine(engine_power: ArrayLike) -> NDArray[np.float64]:
    """Return the PTO power of a tractor of which only the engine's power is known.

    Parameters
    ----------
    engine_power : array_like
        At the flywheel [kW], at least 0.

    Returns
    -------
    ndarray of float64
        [kW], shape of the argument.

    Raises
    ------
    ValueError
        If the argument is out of its range.

    Notes
    -----
    0.9 of flywheel power: University of Arizona Cooperative Extension, Agricultural Machinery
    Management.

    Examples
    --------
    >>> float(pto_power_of_engine(100.0))
    90.0
    """
    engine = in_range("engine_power", engine_power, "kW", at_least=0)
    return np.asarray(engine * _shares("pto_over_flywheel")["any", "any"])


def equivalent_pto_power(
    drawbar: ArrayLike, drive: Drive, surface: Surface, *, pto_driven: ArrayLike = 0.0
) -> NDArray[np.float64]:
    """Return the PTO power that a tractor needs for a job.

    Parameters
    ----------
    drawbar : array_like
        Drawbar power [kW], at least 0; see `drawbar_power`.
    drive, surface : str
        See `drawbar_pto_ratio`.
    pto_driven : array_like
        What the implement takes besides, by PTO shaft or hydraulics [kW], at least 0.

    Returns
    -------
    ndarray of float64
        [kW], shape of the broadcast arguments.

    Raises
    ------
    ValueError
        If there is no such drive or surface or an argument is out of its range.

    Notes
    -----
    The sum of drawbar power over the ratio of the tractor, and PTO power: ASABE EP496, total power.

    Examples
    --------
    >>> float(equivalent_pto_power(36.0, "two_wheel", "firm", pto_driven=5.0))
    55.0
    """
    pulled = in_range("drawbar", drawbar, "kW", at_least=0)
    driven = in_range("pto_driven", pto_driven, "kW", at_least=0)
    return np.asarray(pulled / drawbar_pto_ratio(drive, surface) + driven)


def available_drawbar_power(
    pto_power: ArrayLike,
    drive: Drive,
    surface: Surface,
    *,
    pto_driven: ArrayLike = 0.0,
    reserve: ArrayLike = 0.0,
) -> NDArray[np.float64]:
    """Return the power that a tractor has left for pulling.

    Parameters
    ----------
    pto_power : array_like
        Greatest PTO power of the tractor [kW], at least 0.
    drive, surface : str
        See `drawbar_pto_ratio`.
    pto_driven : array_like
        What the implement takes by PTO shaft or hydraulics [kW], at least 0.
    reserve : array_like
        Share of the PTO power held back for slopes and hard spots [1], at least 0, below 1.

    Returns
    -------
    ndarray of float64
        [kW], shape of the broadcast arguments; 0 where the implement's own drive takes it all.

    Raises
    ------
    ValueError
        If there is no such drive or surface or an argument is out of its range.

    Notes
    -----
    `equivalent_pto_power` solved for drawbar power.

    Examples
    --------
    >>> float(available_drawbar_power(100.0, "two_wheel", "firm", pto_driven=5.0, reserve=0.2))
    54.0
    """
    power = in_range("pto_power", pto_power, "kW", at_least=0)
    driven = in_range("pto_driven", pto_driven, "kW", at_least=0)
    held = in_range("reserve", reserve, at_least=0, below=1)
    left = np.maximum(power * (1.0 - held) - driven, 0.0)
    return np.asarray(left * drawbar_pto_ratio(drive, surface))


def greatest_speed(
    drawbar: ArrayLike,
    machine: str,
    texture: Texture,
    size: ArrayLike,
    depth: ArrayLike | None = None,
) -> NDArray[np.float64]:
    """Return the speed at which an implement takes all the drawbar power there is.

    Parameters
    ----------
    drawbar : array_like
        Drawbar power at hand [kW], at least 0; see `available_drawbar_power`.
    machine, texture, size, depth
        See `implement_draft`.

    Returns
    -------
    ndarray of float64
        [km/h], shape of the broadcast arguments; 0 where there is no power.

    Raises
    ------
    ValueError
        As `implement_draft`, or if there is less than no power.

    Notes
    -----
    The one positive root of S D(S) = 3.6 P, by Newton's method. S D(S) rises and bends upward, so
    from above the root it comes down to it and never past it. Each term alone is at most the whole,
    which gives the start.

    Examples
    --------
    >>> float(greatest_speed(27.0, "planter_drawn_seed_only", "medium", 12))
    9.0
    """
    power = in_range("drawbar", drawbar, "kW", at_least=0) * KN_KM_H_PER_KW
    constant, linear, quadratic = draft_polynomial(machine, texture, size, depth)
    with np.errstate(divide="ignore", invalid="ignore"):  # terms that are 0 set no bound
        bounds = (power / constant, np.sqrt(power / linear), np.cbrt(power / quadratic))
    speed = np.fmin(np.fmin(bounds[0], bounds[1]), bounds[2])
    for _ in range(NEWTON_STEPS):
        excess = speed * (constant + speed * (linear + speed * quadratic)) - power
        speed = speed - excess / (constant + speed * (2.0 * linear + speed * 3.0 * quadratic))
    return np.asarray(speed)


@cache
def _shares(quantity: str) -> dict[tuple[str, str], float]:
    """Return one quantity of the table by drive and surface, read at first use."""
    columns = ("quantity", "drive", "surface", "value", "source", "status")
    table = read_table(files("fieldsim.machines") / TABLE, columns, TABLE)
    return {
        (row.cells["drive"], row.cells["surface"]): float(row.cells["value"])
        for row in table.rows
        if row.cells["quantity"] == quantity
    }
