"""The daily water balance of topsoils, compiled; `soil_layer` says in words what it does."""

from __future__ import annotations

import os
from concurrent.futures import ThreadPoolExecutor
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsim.compiled import compiled, inlined

__all__ = ["Forcing", "Layers", "balance", "melted"]

Floats = NDArray[np.float64]

BLOCK = 1000  # seasons a thread takes at a time
SNOWFALL = 1.0  # degC, rain and snow equally frequent: Jennings et al. 2018, Nature Comm. 9:1148
MELT = 3.5  # mm per degC and day, open land: Kuusisto 1980, Nordic Hydrology 11:235-242 (abstract)
FROST = 0.0  # degC of the soil
UNSTRESSED = (
    0.5  # share of the available water that roots take freely: FAO 56, table 22, from memory
)


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


def balance(forcing: Forcing, layers: Layers, first: int) -> tuple[Floats, Floats]:
    """Return the suitable share and the water of each day from `first` on, in threads.

    Shape (season, soil, day). Each season is worked for itself, so that results do not depend on
    the threads.
    """
    seasons, days = forcing.rain.shape
    suitable = np.zeros((seasons, len(layers.drainage), days - first))
    water = np.zeros_like(suitable)
    pool = ThreadPoolExecutor(os.cpu_count() or 1)
    try:
        waiting = []
        for start in range(0, seasons, BLOCK):
            block = slice(start, start + BLOCK)
            part = Forcing(*(values[block] for values in forcing))
            waiting.append(
                pool.submit(_balance, part, layers, first, suitable[block], water[block])
            )
        for job in waiting:
            job.result()
    finally:
        pool.shutdown(cancel_futures=True)  # after Ctrl-C, what has not begun is not done
    return suitable, water


def melted(rain: Floats, temperature: Floats) -> tuple[Floats, Floats]:
    """Return rain and melt water that reach the soil, and the snow left, shape (season, day)."""
    entering, snow = np.zeros_like(rain), np.zeros_like(rain)
    _melt(rain, temperature, entering, snow)
    return entering, snow


@compiled
def _melt(rain: Floats, temperature: Floats, entering: Floats, snow: Floats) -> None:
    """Fill in what reaches the soil and the snow left."""
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


@compiled
def _balance(forcing: Forcing, layers: Layers, first: int, suitable: Floats, water: Floats) -> None:
    """Fill in the suitable share and the water of each day from `first` on."""
    seasons, days = forcing.rain.shape
    for season in range(seasons):
        for soil in range(len(layers.drainage)):
            field_capacity = end = layers.field_capacity[soil]
            air_dry, wilting_point = layers.air_dry[soil], layers.wilting_point[soil]
            slow = field_capacity - air_dry - layers.readily_evaporable[soil]
            stressed = (1 - UNSTRESSED) * (field_capacity - wilting_point)
            saturation, drainage = layers.saturation[soil], layers.drainage[soil]
            warm = max(layers.least_temperature[soil], FROST)
            for day in range(days):
                temperature = forcing.temperature[season, day]
                bare = forcing.snow[season, day] == 0.0
                wet = min(end + forcing.entering[season, day], saturation)
                end = wet
                if temperature >= FROST:
                    end -= max(end - field_capacity, 0.0) * drainage
                    if bare:
                        end -= _evaporated(end - air_dry, slow, forcing.evaporation[season, day])
                        end -= _taken_up(
                            max(end - wilting_point, 0.0), stressed, forcing.uptake[season, day]
                        )
                if day >= first:
                    water[season, soil, day - first] = end
                    if bare and temperature >= warm:
                        limit, rain = layers.rain_limit[soil, day], forcing.rain[season, day]
                        suitable[season, soil, day - first] = max(1 - rain / limit, 0.0) * (
                            _dry_share(wet, end, layers.workable[soil, day])
                        )


@inlined
def _evaporated(left: float, slow: float, demand: float) -> float:
    """Return the water that evaporates in a day [mm]: FAO 56, equations 71, 73 and 74.

    Of the water `left` above air dry, the last `slow` millimetres evaporate slower and slower.
    """
    return min(min(left / slow, 1.0) * demand, left)


@inlined
def _taken_up(left: float, stressed: float, demand: float) -> float:
    """Return the water that roots take in a day [mm]: FAO 56, equation 84.

    Of the water `left` above the wilting point, roots take the last `stressed` millimetres slower
    and slower.
    """
    return min(min(left / stressed, 1.0) * demand, left)


@inlined
def _dry_share(wet: float, end: float, limit: float) -> float:
    """Return the share of a day in which water that falls in a line is below the limit."""
    if wet <= limit:
        return 1.0
    if end >= limit:
        return 0.0
    return (limit - end) / (wet - end)
