"""One layer of topsoil as a daily water balance, and the share of each day it carries work.

The layer is the evaporating layer of FAO Irrigation and Drainage Paper 56 (Allen et al. 1998,
chapter 7), which loses water between field capacity and half the wilting point to the air, with
the room above field capacity added, which drains. Each day, in this order:

1. Precipitation falls as snow on cold days; lying snow melts by the degree-day. Rain and melt water
   enter the soil up to saturation; the rest runs off.
2. A share of what is above field capacity drains, unless the soil is frozen.
3. Water evaporates, unless the soil is frozen or under snow.

The subsoil gives nothing back and never holds drainage up, and nothing is intercepted: beside a
model of many layers this one is dry too often (`tests/published/test_soil_layer.py` says by how
much). Less drainage and less workable water make a class stricter. Every season begins at field
capacity, so that days before the first one wanted have to be there to forget it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.weather.record import Weather
from fieldsim.days.weather.soil_balance import Forcing, Layers, balance, melted
from fieldsim.days.weather.soil_classes import SoilClass
from fieldsim.days.weather.warmth import soil_temperature
from fieldsim.season import CalendarDay, Season

__all__ = ["CropCover", "MilderRule", "SoilDays", "soil_days"]

Floats = NDArray[np.float64]

BARE_SOIL = 1.15  # evaporation of wet bare soil to reference: FAO 56, annex 7, from memory
MULCH = 0.5  # less evaporation under full residue cover: FAO 56, chapter 10, from memory
YEAR = 365


@dataclass(frozen=True)
class MilderRule:
    """A milder rule between two days of the year, as when late work is done on wetter soil.

    Parameters
    ----------
    first_day, last_day : CalendarDay
        Both included.
    workable : float
        Soils carry work up to at least this share of their water at field capacity [-].
    rain_limit : float
        At least so much rain of the day stops all work [mm].
    """

    first_day: CalendarDay
    last_day: CalendarDay
    workable: float
    rain_limit: float


@dataclass(frozen=True)
class CropCover:
    """A crop that shades the soil and takes water from the layer, growing in a line.

    Parameters
    ----------
    emerges, closes : CalendarDay
        Days on which the crop covers none and all of the ground.
    uptake : float
        Water that a closed crop takes from the layer, relative to the reference
        evapotranspiration [-].
    """

    emerges: CalendarDay
    closes: CalendarDay
    uptake: float


class SoilDays(NamedTuple):
    """Outcome of the water balance.

    Parameters
    ----------
    suitable : ndarray of float64, shape (season, soil, day)
        Share of the day in which the soil carries work [0..1].
    water : ndarray of float64, shape (season, soil, day)
        Water in the layer at the end of the day [mm].
    """

    suitable: Floats
    water: Floats


def soil_days(
    weather: Weather,
    reference: Floats,
    window: Season,
    soils: Sequence[SoilClass],
    *,
    first: int = 0,
    residue_cover: float = 0.0,
    crop: CropCover | None = None,
    milder: MilderRule | None = None,
) -> SoilDays:
    """Run the water balance of soils that see the same weather.

    Parameters
    ----------
    weather : Weather
        Arrays of shape (season, day).
    reference : ndarray of float64, shape (season, day)
        Reference evapotranspiration [mm/day].
    window : Season
        The days of the weather.
    soils : sequence of SoilClass
    first : int
        Index of the first day wanted; the days before it let the soils forget their start.
    residue_cover : float
        Share of the ground under crop residue, which slows evaporation [0..1].
    crop : CropCover, optional
        Default: bare soil.
    milder : MilderRule, optional
        Default: each soil's own rule all year.

    Returns
    -------
    SoilDays
        From the day `first` on.

    Notes
    -----
    A day is suitable while the soil is free of snow, thawed, at least as warm as the soil's least
    temperature, and drier than its workable water. Water falls in a line over the day, from that
    after the rain to that at its end, so a soil that dries past the limit is suitable for the rest
    of the day. Rain takes its share of the day, in a line from none on a dry day to all of it at
    the rain limit (the line: common practice, no source).

    Examples
    --------
    >>> from datetime import date
    >>> from fieldsim.days.weather.soil_classes import soil_class
    >>> window = Season(date(2026, 5, 1), date(2026, 5, 4))
    >>> dry = Weather(np.full((1, 4), 24.0), np.full((1, 4), 12.0), np.zeros((1, 4)))
    >>> days = soil_days(dry, np.full((1, 4), 4.0), window, [soil_class("silt_loam")])
    >>> days.suitable.round(2).tolist(), days.water.round(1).tolist()
    ([[[0.46, 1.0, 1.0, 1.0]]], [[[44.9, 40.3, 35.7, 31.5]]])
    """
    rain = _ready(weather.rain)
    entering, snow = melted(rain, _ready((weather.tmax + weather.tmin) / 2))
    cover = _cover(crop, window)
    bare = BARE_SOIL * (1 - MULCH * residue_cover) * (1 - cover)
    forcing = Forcing(
        entering=entering,
        snow=snow,
        temperature=_ready(soil_temperature(weather.tmax, weather.tmin)),
        rain=rain,
        evaporation=_ready(bare * reference),
        uptake=_ready((crop.uptake if crop else 0.0) * cover * reference),
    )
    return SoilDays(*balance(forcing, _layers(soils, window, milder), first))


def _ready(values: Floats) -> Floats:
    """Return an array of the one kind that the balance is compiled for."""
    return np.require(values, np.float64, ["C", "W"])


def _span(first: CalendarDay, last: CalendarDay, window: Season) -> tuple[int, int]:
    """Return the indices of two days of the year, the last not before the first."""
    start, end = window.index(first), window.index(last)
    return start, end if end >= start else end + YEAR


def _cover(crop: CropCover | None, window: Season) -> Floats:
    """Return the share of the ground that the crop covers, shape (day,)."""
    if crop is None:
        return np.zeros(window.days)
    span = _span(crop.emerges, crop.closes, window)
    return np.interp(np.arange(window.days), span, (0.0, 1.0))


def _layers(soils: Sequence[SoilClass], window: Season, milder: MilderRule | None) -> Layers:
    """Return the soils as waters in the layer [mm] and rules for each day."""

    def of_soils(name: str) -> Floats:
        return np.array([float(getattr(soil, name)) for soil in soils])

    millimetres = 1000 * of_soils("depth")
    field_capacity = of_soils("field_capacity") * millimetres
    wilting_point = of_soils("wilting_point") * millimetres
    workable = np.repeat(of_soils("workable")[:, None], window.days, axis=1)
    rain_limit = np.repeat(of_soils("rain_limit")[:, None], window.days, axis=1)
    if milder is not None:
        start, end = _span(milder.first_day, milder.last_day, window)
        days = slice(max(start, 0), max(end + 1, 0))
        workable[:, days] = np.maximum(workable[:, days], milder.workable)
        rain_limit[:, days] = np.maximum(rain_limit[:, days], milder.rain_limit)
    return Layers(
        saturation=of_soils("saturation") * millimetres,
        field_capacity=field_capacity,
        wilting_point=wilting_point,
        air_dry=0.5 * wilting_point,
        readily_evaporable=of_soils("readily_evaporable"),
        drainage=of_soils("drainage"),
        least_temperature=of_soils("least_temperature"),
        workable=workable * field_capacity[:, None],
        rain_limit=rain_limit,
    )
