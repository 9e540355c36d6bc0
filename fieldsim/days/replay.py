"""Given seasons of suitable days, used as they stand."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.contract import check_draw
from fieldsim.errors import Fault, InputError
from fieldsim.randomness import Seasons
from fieldsim.season import Season

__all__ = ["Given"]

FILE = "given seasons"


@dataclass(frozen=True, eq=False)
class Given:
    """Seasons of suitable days that are given, not drawn: records, or cases worked by hand.

    Parameters
    ----------
    suitable : ndarray, shape (season, soil, day)
        Share of each day's field hours in which the soil carries fieldwork [0..1].
    soils : tuple of str
        Names along the soil axis.

    Raises
    ------
    ValueError
        If the array does not keep to the contract of a draw.

    Examples
    --------
    >>> from datetime import date
    >>> two_dry_years = Given(np.ones((2, 1, 30)))
    >>> april = Season(date(2026, 4, 1), date(2026, 4, 30))
    >>> two_dry_years.draw(april, seasons=1, seed=0).shape
    (1, 1, 30)
    """

    suitable: NDArray[np.float64]
    soils: tuple[str, ...] = ("any",)

    def __post_init__(self) -> None:
        check_draw(self.suitable, self.soils)

    def draw(self, season: Season, seasons: Seasons, seed: int) -> NDArray[np.float64]:  # noqa: ARG002
        """Return the given seasons that are asked for; see `DaySource.draw`.

        The seed changes nothing.

        Raises
        ------
        InputError
            If more seasons are asked for than are given, or `season` has another number of days.
        """
        given, _, days = self.suitable.shape
        faults = []
        wanted = seasons if isinstance(seasons, range) else range(seasons)
        if wanted.stop > given:
            problem, repair = f"{given} seasons are given", f"ask for {given} or fewer"
            faults.append(Fault(FILE, "seasons", str(wanted.stop), problem, repair))
        if season.days != days:
            problem = f"the given seasons have {days} days"
            repair = "give the season the same first and last day"
            faults.append(Fault(FILE, "days of the season", str(season.days), problem, repair))
        if faults:
            raise InputError(faults)
        return np.array(self.suitable[wanted.start : wanted.stop], dtype=np.float64)
