"""Suitable days over all the land of a farm."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fieldsim.farm import Farm

__all__ = ["fit_share"]


def fit_share(farm: Farm, suitable: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the suitable share of each day, the mean over the farm's land.

    Parameters
    ----------
    farm : Farm
    suitable : ndarray, shape (..., soil, day)
        0..1.

    Returns
    -------
    ndarray, shape (..., day)
        0..1.
    """
    soils = list(farm.day_source.soils)
    land = np.zeros(len(soils))
    for field in farm.fields.values():
        land[soils.index(field.soil) if field.soil in soils else 0] += field.area
    share: NDArray[np.float64] = np.einsum("...ld,l->...d", suitable, land / land.sum())
    return share
