"""The draws of a farm's source of suitable days, held against what it rests on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from fieldsim.days.records import Records, RecordYears, check_days
from fieldsim.days.weather import SoilWater
from fieldsim.days.weather.past_years import past_years
from fieldsim.errors import Fault, InputError, no_such
from fieldsim.farm import Farm

__all__ = ["SoilCheck", "check_numbers", "check_soils", "replayed"]

BOUNDS = {"seasons": (100, 100_000, 2000), "seed": (0, 2**63 - 1, 0)}  # least, most, usual


@dataclass(frozen=True, eq=False)
class SoilCheck:
    """The draws on one soil.

    Parameters
    ----------
    soil : str
    past : Records or None
        The years that the source rests on, if it does.
    totals : ndarray, shape (season,)
        Suitable days of each season drawn [days].
    rows : DataFrame
        From `check_days`.
    """

    soil: str
    past: Records | None
    totals: NDArray[np.float64]
    rows: pd.DataFrame


def check_numbers(**numbers: int) -> None:
    """Raise unless seasons and seed are within their bounds.

    Raises
    ------
    InputError
        With a fault for each number that is not.
    """
    faults = []
    for name, number in numbers.items():
        least, most, usual = BOUNDS[name]
        if not least <= number <= most:
            problem = f"a whole number from {least} to {most:,} is allowed"
            faults.append(Fault("", f"--{name}", str(number), problem, f"write {usual}"))
    if faults:
        raise InputError(faults)


def check_soils(farm: Farm, seasons: int, seed: int, soil: str | None = None) -> list[SoilCheck]:
    """Draw seasons and hold them against what the source rests on, soil by soil.

    A source that draws from weather is held against the years of its record.

    Parameters
    ----------
    farm : Farm
    seasons, seed : int
    soil : str, optional
        Default: every soil of the source.

    Returns
    -------
    list of SoilCheck

    Raises
    ------
    InputError
        If there is no such soil, or as `check_days`.
    """
    source, season = farm.day_source, farm.season
    if soil is not None and soil not in source.soils:
        raise InputError([no_such("soil", "--soil", soil, source.soils)])
    if isinstance(source, RecordYears) and source.resampling == "replay":
        seasons = min(seasons, len(source.records.years))
    totals = source.draw(season, seasons, seed).sum(axis=-1)
    checks = []
    for place, name in enumerate(source.soils):
        if soil not in (None, name):
            continue
        against = past_years(source, season, name) if isinstance(source, SoilWater) else None
        rows = check_days(source, season, against=against, seasons=seasons, seed=seed, soil=name)
        past = source.records if isinstance(source, RecordYears) else against
        checks.append(SoilCheck(name, past, totals[:, place], rows))
    return checks


def replayed(farm: Farm) -> bool:
    """Say whether each year on record is a season, once: other draws would be the same."""
    source = farm.day_source
    return isinstance(source, RecordYears) and source.resampling == "replay"
