"""Drawn seasons with one more suitable day in a part of the season."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fieldsim.draws import Draws
from fieldsim.farm import Farm
from fieldsim.randomness import stream
from fieldsim.season import WEEKDAYS

__all__ = ["with_a_day_more"]

Floats = NDArray[np.float64]


def with_a_day_more(
    farm: Farm, draws: Draws, window: NDArray[np.bool_], seed: int, name: str
) -> tuple[Draws, Floats]:
    """Make one day suitable from morning to night in each season, on every soil.

    The day is drawn among the working days of the window; a day's chance goes by the share of it
    that is not suitable, in the mean over the land. Its temperatures stay what they are.

    Parameters
    ----------
    farm : Farm
    draws : Draws
    window : ndarray of bool, shape (day,)
        Days of the season from which it is drawn.
    seed : int
    name : str
        Of the window: each draws from a stream of its own.

    Returns
    -------
    Draws
        Those given, with the day added; the others stay as they are.
    ndarray of float64, shape (season,)
        Suitable days that came to it [days], in the mean over the land: 1 where the day was lost
        altogether, 0 where every day of the window was suitable.
    """
    off = np.isin(farm.season.weekday, [WEEKDAYS.index(day) for day in farm.crew.days_off])
    lacking = np.where(window & ~off, 1 - _on_the_land(farm, draws.suitable), 0.0)
    total = lacking.sum(axis=1)
    seasons = np.arange(len(total))
    chance = stream(seed, f"marginal.{name}").random(len(total)) * total
    day = (lacking.cumsum(axis=1) <= chance[:, None]).sum(axis=1).clip(max=lacking.shape[1] - 1)
    added = lacking[seasons, day]
    suitable = draws.suitable.copy()
    suitable[seasons[added > 0], :, day[added > 0]] = 1.0
    return draws._replace(suitable=suitable), added


def _on_the_land(farm: Farm, suitable: Floats) -> Floats:
    """Return the suitable share of each day in the mean over the land, shape (season, day)."""
    soils = farm.day_source.soils
    area = np.zeros(len(soils))
    for field in farm.fields.values():
        area[soils.index(field.soil) if field.soil in soils else 0] += field.area
    shares: Floats = np.einsum("nsd,s->nd", suitable, area / area.sum())
    return shares
