"""Everything random of a run, drawn before any option is looked at."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsim.days import DaySource, WeeklyTable, drawn_warm_days
from fieldsim.days.records import RecordYears, resampled
from fieldsim.days.weather import SoilWater, degree_days, resampled_weather, warm_days
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm
from fieldsim.randomness import Seasons, by_season, count_of, stream

__all__ = ["Draws", "draw_seasons", "hands_at_work", "replicate_of"]


class Draws(NamedTuple):
    """What a run draws, season by season; every option faces the same.

    Parameters
    ----------
    suitable : ndarray of float64, shape (season, soil, day)
        Suitable share of each day, 0..1.
    hands : ndarray of float64, shape (season, day)
        Part-time helpers at work.
    degrees : ndarray of float64, shape (season, day)
        Growing degrees from the first day to the end of each [degC day]; 0 without temperatures.
    warm_day : ndarray of int64, shape (season,)
        First day on which the soil is warm; 0 where the farm does not say.
    replanted : ndarray of float64, shape (season, crop)
        Share of each crop's land that is planted again [0..1], crops in the order of the farm.
    """

    suitable: NDArray[np.float64]
    hands: NDArray[np.float64]
    degrees: NDArray[np.float64]
    warm_day: NDArray[np.int64]
    replanted: NDArray[np.float64]

    def part(self, seasons: slice) -> Draws:
        """Return the draws of some of the seasons."""
        return Draws(*(values[seasons] for values in self))  # type: ignore[arg-type]


def draw_seasons(farm: Farm, seasons: Seasons, seed: int, replicates: int | None = None) -> Draws:
    """Draw the seasons of a run.

    Parameters
    ----------
    farm : Farm
    seasons : int or range
        How many seasons, or which.
    seed : int
    replicates : int, optional
        Draw the seasons in as many equal parts, each from the day source as it might be, had other
        years been recorded: what little a few years tell is then part of the draw.

    Returns
    -------
    Draws

    Raises
    ------
    InputError
        If replicates are asked for and it is not known how many years lie behind the source.
    """
    hands, replanted = hands_at_work(farm, seasons, seed), _replanted(farm, seasons, seed)
    if replicates is None:
        suitable, degrees, warm = _weather(farm, farm.day_source, seasons, seed)
        return Draws(suitable, hands, degrees, warm, replanted)
    counts = np.bincount(replicate_of(count_of(seasons), replicates), minlength=replicates)
    parts = []
    for number, count in enumerate(counts):
        own_seed = int(stream(seed, f"replicate.{number}").integers(2**63))
        parts.append(_weather(farm, _replicate(farm, number, seed), int(count), own_seed))
    return Draws(
        np.concatenate([suitable for suitable, _, _ in parts]),
        hands,
        np.concatenate([degrees for _, degrees, _ in parts]),
        np.concatenate([warm_day for _, _, warm_day in parts]),
        replanted,
    )


def replicate_of(seasons: int, replicates: int) -> NDArray[np.int64]:
    """Return the replicate that each season is drawn from, shape (season,), not falling."""
    return np.arange(seasons) * replicates // seasons


def hands_at_work(farm: Farm, seasons: Seasons, seed: int) -> NDArray[np.float64]:
    """Draw on which days the part-time helpers turn up.

    Parameters
    ----------
    farm : Farm
    seasons : int or range
    seed : int

    Returns
    -------
    ndarray of float64, shape (season, day)
        Helpers at work beside the own operators.
    """
    days = farm.season.days
    hands = np.zeros((count_of(seasons), days))
    for name, helper in farm.crew.helpers.items():
        uniforms = by_season(
            seed, f"crew.helpers.{name}", seasons, lambda random, n: random.random((n, days))
        )
        hands += uniforms < helper.probability
    return hands


def _replanted(farm: Farm, seasons: Seasons, seed: int) -> NDArray[np.float64]:
    """Draw the seasons in which land of a crop is planted again, shape (season, crop)."""
    land = np.zeros((count_of(seasons), len(farm.crops)))
    for place, (name, crop) in enumerate(farm.crops.items()):
        part = crop.replanting
        if part is not None:
            uniforms = by_season(
                seed, f"crops.{name}.replanting", seasons, lambda random, n: random.random(n)
            )
            land[:, place] = part.land * (uniforms < part.probability)
    return land


def _weather(
    farm: Farm, source: DaySource, seasons: Seasons, seed: int
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.int64]]:
    """Return suitable days, growing degrees and warm days of one source."""
    season = farm.season
    suitable = source.draw(season, seasons, seed)
    if isinstance(source, SoilWater):
        degrees = degree_days(source, season, seasons, seed)
        return suitable, degrees, warm_days(source, season, seasons, seed)
    degrees, warm = (
        np.zeros((count_of(seasons), season.days)),
        np.zeros(count_of(seasons), np.int64),
    )
    if farm.warm_dates is not None:
        warm = drawn_warm_days(farm.warm_dates, source, season, seasons, seed)
    return suitable, degrees, warm


def _replicate(farm: Farm, replicate: int, seed: int) -> DaySource:
    """Return the farm's day source as it might be, had other years been recorded."""
    source = farm.day_source
    if isinstance(source, RecordYears):
        return resampled(source, replicate, seed)
    if isinstance(source, SoilWater):
        return resampled_weather(source, replicate, seed)
    if isinstance(source, WeeklyTable) and farm.table_years is not None:
        return resampled(source, replicate, seed, years=farm.table_years)
    problem = "it is not known how many years lie behind the days of this farm"
    repair = "write years = 30 in [days] of a weekly table, or use records or weather"
    raise InputError([Fault("", "days.years", "", problem, repair)])
