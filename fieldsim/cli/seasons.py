"""How many seasons a command draws: a number, or as many as it takes."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from fieldsim.errors import Fault, InputError

if TYPE_CHECKING:
    import xarray as xr

    from fieldsim.farm import Farm

__all__ = ["AUTO", "Seasons", "drawn"]

AUTO = "auto"


class Seasons(click.ParamType):  # type: ignore[type-arg]  # generic in the stubs only
    """A whole number, or ``auto``."""

    name = "seasons"

    def get_metavar(self, *_: Any, **__: Any) -> str:
        """Return what stands in the help."""
        return f"N|{AUTO}"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return the number, or ``auto``."""
        if value == AUTO:
            return value
        try:
            return click.INT.convert(value, param, ctx)
        except click.BadParameter:
            self.fail(f"{value!r} is not a valid integer, and not {AUTO}.", param, ctx)


def drawn(
    farm: Farm,
    seasons: int | str,
    seed: int,
    *,
    replicates: int | None = None,
    progress: Callable[[float], None] | None = None,
) -> xr.Dataset:
    """Run a farm through its seasons.

    Parameters
    ----------
    farm : Farm
    seasons : int or "auto"
        ``auto``: as `simulate_enough` finds; the outcomes then hold the attribute `stopping`.
    seed, replicates, progress
        See `simulate`.

    Returns
    -------
    xarray.Dataset

    Raises
    ------
    InputError
        If a number is out of range, or replicates are asked for beside ``auto``.
    """
    from fieldsim.decisions.under_risk.enough import simulate_enough
    from fieldsim.simulation import simulate

    if not isinstance(seasons, str):
        return simulate(farm, seasons, seed, replicates=replicates, progress=progress)
    if replicates is not None:
        problem = "replicates are parts of a number of seasons that is known beforehand"
        fault = Fault("", "--seasons", seasons, problem, "write --seasons 2000, or no --replicates")
        raise InputError([fault])
    return simulate_enough(farm, seed=seed, progress=progress)
