"""What every source of suitable days offers: seasons of shares of a day, drawn from one seed."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from fieldsim.randomness import Seasons
from fieldsim.season import Season

__all__ = ["DaySource", "check_draw"]


class DaySource(Hashable, Protocol):
    """A frozen object that draws seasons of suitable days.

    The first seasons of a long draw are those of a short one, and every random quantity has a named
    stream of its own ("days.weeks", "days.layout", "days.chain"), drawn as one array.
    """

    @property
    def soils(self) -> tuple[str, ...]:
        """Names along the soil axis; ``("any",)`` where soils do not differ."""

    def draw(self, season: Season, seasons: Seasons, seed: int) -> NDArray[np.float64]:
        """Draw seasons.

        Parameters
        ----------
        season : Season
            The days of one crop year.
        seasons : int or range
            How many seasons to draw from the first on, or which.
        seed : int
            0 or more; 0 is a seed like any other.

        Returns
        -------
        ndarray of float64, shape (season, soil, day)
            Share of each day's field hours in which the soil carries fieldwork [0..1].
        """


def check_draw(suitable: NDArray[np.float64], soils: Sequence[str]) -> None:
    """Hold an array against the contract of a draw.

    Parameters
    ----------
    suitable : ndarray, shape (season, soil, day)
        Shares of a day [0..1].
    soils : sequence of str
        Names along the soil axis.

    Raises
    ------
    ValueError
        If the array has other axes, another number of soils, or a share outside 0 to 1; the
        message names the first such place.

    Examples
    --------
    >>> check_draw(np.full((10, 1, 122), 0.5), ("any",))
    """
    if suitable.ndim != 3 or suitable.shape[1] != len(soils):
        raise ValueError(
            f"suitable days have the shape {suitable.shape}; "
            f"the axes are season, soil ({len(soils)}: {', '.join(soils)}) and day"
        )
    wrong = np.argwhere(~((suitable >= 0.0) & (suitable <= 1.0)))
    if len(wrong):
        season, soil, day = (int(i) for i in wrong[0])
        raise ValueError(
            f"suitable[{season}, {soil}, {day}] = {suitable[season, soil, day]}: "
            "a share of a day is within 0 and 1"
        )
