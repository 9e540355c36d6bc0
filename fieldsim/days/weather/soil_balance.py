"""The daily water balance of topsoils, compiled; `soil_layer` says in words what it does.

Loading this module loads numba: import it in the function that runs it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple, TypeVar, cast

import numpy as np
from numba import njit
from numpy.typing import NDArray

__all__ = ["Forcing", "Layers", "balance", "melted"]

Floats = NDArray[np.float64]
Function = TypeVar("Function", bound=Callable[..., Any])

SNOWFALL = 1.0  # degC, rain and snow equally frequent: Jennings et al. 2018, Nature Comm. 9:1148
MELT = 3.5  # mm per degC and day, open land: Kuusisto 1980, Nordic Hydrology 11:235-242 (abstract)
FROST = 0.0  # degC of the soil
UNSTRESSED = (
    0.5  # share of the available water that roots take freely: FAO 56, table 22, from memory
)


def _compiled(function: Function) -> Function:
    """Compile for many seasons: cached on disk, without the lock."""
    return cast(Function, njit(cache=True, nogil=True)(function))


class Forcing(NamedTuple):
    """What the weather does to every soil, each of shape (season, day)."""

    entering: Floats  # rain and melt water [mm]
    snow: Floats  # lying at the end of the day [mm]
    temperature: Floats  # of the soil [degC]
    rain: Floats  # precipitation [mm]
    evaporation: Floats  # from wet soil [mm]
    uptake: Floats  # by a crop short of no water [mm]


class Layers(NamedTuple):
    """The soils: waters of shape (soil,) [mm], rules of work of shape (soil, day)."""

    saturation: Floats
    field_capacity: Floats
    wilting_point: Floats
    air_dry: Floats
    readily_evaporable: Floats
    drainage: Floats  # share a day
    least_temperature: Floats  # [degC]
    workable: Floats  # [mm]
    rain_limit: Floats  # [mm]


@_compiled
def melted(rain: Floats, temperature: Floats) -> tuple[Floats, Floats]:
    """Return rain and melt water that reach the soil, and the snow left, shape (season, day)."""
    entering, snow = np.zeros_like(rain), np.zeros_like(rain)
    for season in range(rain.shape[0]):
        lying = 0.0
        for day in range(rain.shape[1]):
            if temperature[season, day] <= SNOWFALL:
                lying += rain[season, day]
            else:
                entering[season, day] = rain[season, day]
            melt = min(lying, MELT * max(temperature[season, day], 0.0))
            lying -= melt
            entering[season, day] += melt
            snow[season, day] = lying
    return entering, snow


@_compiled
def balance(forcing: Forcing, layers: Layers, first: int) -> tuple[Floats, Floats]:
    """Return the suitable share and the water of each day from `first` on."""
    seasons, days = forcing.rain.shape
    suitable = np.zeros((seasons, len(layers.drainage), days - first))
    water = np.zeros_like(suitable)
    for season in range(seasons):
        for soil in range(len(layers.drainage)):
            end = layers.field_capacity[soil]
            for day in range(days):
                wet = min(end + forcing.entering[season, day], layers.saturation[soil])
                end = wet
                if forcing.temperature[season, day] >= FROST:
                    end -= _drained(layers, soil, end)
                    if forcing.snow[season, day] == 0.0:
                        end -= _evaporated(layers, soil, end, forcing.evaporation[season, day])
                        end -= _taken_up(layers, soil, end, forcing.uptake[season, day])
                if day >= first:
                    water[season, soil, day - first] = end
                    if _open(forcing, layers, season, soil, day):
                        limit, rain = layers.rain_limit[soil, day], forcing.rain[season, day]
                        suitable[season, soil, day - first] = max(1 - rain / limit, 0.0) * (
                            _dry_share(wet, end, layers.workable[soil, day])
                        )
    return suitable, water


@_compiled
def _drained(layers: Layers, soil: int, water: float) -> Any:
    """Return the water that drains in a day [mm]."""
    return max(water - layers.field_capacity[soil], 0.0) * layers.drainage[soil]


@_compiled
def _evaporated(layers: Layers, soil: int, water: float, demand: float) -> Any:
    """Return the water that evaporates in a day [mm]: FAO 56, equations 71, 73 and 74."""
    evaporable = layers.field_capacity[soil] - layers.air_dry[soil]
    left = water - layers.air_dry[soil]
    slowed = min(left / (evaporable - layers.readily_evaporable[soil]), 1.0)
    return min(slowed * demand, left)


@_compiled
def _taken_up(layers: Layers, soil: int, water: float, demand: float) -> Any:
    """Return the water that roots take in a day [mm]: FAO 56, equation 84."""
    available = layers.field_capacity[soil] - layers.wilting_point[soil]
    left = max(water - layers.wilting_point[soil], 0.0)
    return min(min(left / ((1 - UNSTRESSED) * available), 1.0) * demand, left)


@_compiled
def _open(forcing: Forcing, layers: Layers, season: int, soil: int, day: int) -> Any:
    """Tell whether the soil is free of snow, thawed and warm."""
    temperature = forcing.temperature[season, day]
    warm = temperature >= layers.least_temperature[soil] and temperature >= FROST
    return warm and forcing.snow[season, day] == 0.0


@_compiled
def _dry_share(wet: float, end: float, limit: float) -> float:
    """Return the share of a day in which water that falls in a line is below the limit."""
    if wet <= limit:
        return 1.0
    if end >= limit:
        return 0.0
    return (limit - end) / (wet - end)
