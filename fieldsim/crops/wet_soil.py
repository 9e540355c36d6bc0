"""What forced work on soil above its threshold costs in yield: a share, off unless it is set."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.ranges import in_range

__all__ = ["WetSoil", "wet_soil_loss"]


@dataclass(frozen=True)
class WetSoil:
    """Yield lost on land that is worked too wet.

    As it stands nothing is lost: published losses run from 5 to 55 %
    (`published_figures("wet_soil")`), nearly all under heavy axles or in ruts, and no measured
    figure was found for planting or tilling a little too wet.

    Parameters
    ----------
    yield_loss : float
        Share of yield lost where the soil was packed [1], 0 to 1.
    tracked : float
        Share of the worked land's surface that is packed [1], 0 to 1; 1 goes with figures for land
        packed or rutted all over.

    Raises
    ------
    ValueError
        If a share is out of range.
    """

    yield_loss: float = 0.0
    tracked: float = 1.0

    def __post_init__(self) -> None:
        in_range("yield_loss", self.yield_loss, at_least=0.0, at_most=1.0)
        in_range("tracked", self.tracked, at_least=0.0, at_most=1.0)


def wet_soil_loss(wet: WetSoil, worked_wet: ArrayLike) -> NDArray[np.float64]:
    """Return the share of this year's yield lost to work above the soil's threshold.

    Loss x share packed x share of the land worked too wet. Later years are left out, though
    compaction lasts (a heavy pass: 5 to 6 % a year over five years, J. Johnson, USDA-ARS 2009).

    Parameters
    ----------
    wet : WetSoil
    worked_wet : array_like, any shape
        Share of the land that was worked above the threshold [1], 0 to 1.

    Returns
    -------
    ndarray of float64, shape of `worked_wet`
        [1], 0 to 1.

    Raises
    ------
    ValueError
        If a share is out of range.

    Examples
    --------
    >>> wet_soil_loss(WetSoil(yield_loss=0.2, tracked=0.25), [0.0, 0.5, 1.0])
    array([0.   , 0.025, 0.05 ])
    """
    return (
        wet.yield_loss * wet.tracked * in_range("worked_wet", worked_wet, at_least=0.0, at_most=1.0)
    )
