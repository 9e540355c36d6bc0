"""A weather source as it might be, had other years been recorded."""

from __future__ import annotations

from dataclasses import replace

from fieldsim.days.weather.source import SoilWater
from fieldsim.errors import Fault, InputError

__all__ = ["resampled_weather"]


def resampled_weather(source: SoilWater, replicate: int, seed: int) -> SoilWater:
    """Return a source as it might be, had other years been recorded.

    Its seasons are drawn from a bootstrap sample of the record's years: as many years, drawn with
    replacement (Efron 1982, The jackknife, the bootstrap and other resampling plans).

    Parameters
    ----------
    source : SoilWater
    replicate : int
        Number of the replicate, 0 or more.
    seed : int
        0 or more; stream "days.weather.bootstrap.<replicate>".

    Returns
    -------
    SoilWater

    Raises
    ------
    InputError
        If the source draws from a generator, which hides the years it was fitted to.
    """
    if source.weather != "years":
        problem = "a generator does not tell how little its years of record say"
        repair = 'write weather = "years"'
        raise InputError([Fault("", "days.weather", source.weather, problem, repair)])
    return replace(source, years_sample=(seed, replicate))
