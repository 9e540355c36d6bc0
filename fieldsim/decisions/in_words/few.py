"""What too few seasons, replicates or years on record leave rough, in the words of every answer."""

from __future__ import annotations

import xarray as xr

from fieldsim.days.records.record import FEW_YEARS
from fieldsim.days.records.resampling import RecordYears
from fieldsim.days.weather.source import SoilWater
from fieldsim.decisions.sampling import few_beyond
from fieldsim.farm import Farm

__all__ = ["FEW_SEASONS", "TEN_TO_TELL", "few_drawn", "few_seasons", "few_years", "years_behind"]

FEW_SEASONS = 300  # the 95 % band of a mean holds less than 94 in 100 with fewer, as measured
TEN_TO_TELL = 20  # seasons, before 1 in 10 is spoken of
FEW_REPLICATES = 20  # common practice, no source
NORMAL_YEARS = 30  # of a climate normal: World Meteorological Organization, No. 1203, from memory


def few_seasons(seasons: int) -> list[str]:
    """Say so where an answer rests on too few seasons to act on.

    Parameters
    ----------
    seasons : int
        Drawn seasons.

    Returns
    -------
    list of str
        One sentence; none from 300 seasons on.

    Examples
    --------
    >>> few_seasons(299), few_seasons(300)
    (['299 seasons are few: run 2,000 or more before you act on this.'], [])
    """
    if seasons >= FEW_SEASONS:
        return []
    drawn = "One season is" if seasons == 1 else f"{seasons} seasons are"
    return [f"{drawn} few: run 2,000 or more before you act on this."]


def few_drawn(outcomes: xr.Dataset) -> list[str]:
    """Say what too few seasons, or too few replicates of the years on record, leave rough.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.

    Returns
    -------
    list of str
        Sentences; none where there are enough.
    """
    seasons = outcomes.sizes["season"]
    said = few_seasons(seasons)
    if seasons >= TEN_TO_TELL and few_beyond(0.1, seasons):
        said.append(
            f"One season in ten is only {seasons // 10} of these: dates and money of the bad one "
            "in ten are rough, and so are chances near 0 or 100 %."
        )
    if "replicate" in outcomes.coords:
        parts = len(set(outcomes.replicate.values.tolist()))
        if parts < FEW_REPLICATES:
            said.append(
                f"{parts} replicates say only roughly what the years on record leave unsure: run "
                f"{FEW_REPLICATES} or more."
            )
    return said


def years_behind(farm: Farm) -> int | None:
    """Return how many years lie behind the suitable days of a farm.

    Parameters
    ----------
    farm : Farm

    Returns
    -------
    int or None
        Of a record; of a weekly table what the farm file says. None: not known.

    Examples
    --------
    >>> import fieldsim
    >>> years_behind(fieldsim.demo_farm())
    30
    """
    source = farm.day_source
    if isinstance(source, RecordYears):
        return len(source.records.years)
    return source.record.years if isinstance(source, SoilWater) else farm.table_years


def few_years(farm: Farm, outcomes: xr.Dataset | None = None) -> list[str]:
    """Say how many years lie behind the days, where no error shows what they leave unsure.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset, optional
        From `simulate`, of that farm. Default: none, for a study that takes no replicates.

    Returns
    -------
    list of str
        What is not counted, and how it can be; none from the 30 years of a climate normal on, with
        replicates, and for a replay, whose seasons are the years themselves.

    Examples
    --------
    >>> import fieldsim
    >>> few_years(fieldsim.demo_farm())
    []
    """
    years, source = years_behind(farm), farm.day_source
    replay = isinstance(source, RecordYears) and source.resampling == "replay"
    counted = outcomes is not None and "replicate" in outcomes.coords
    if years is None or years >= NORMAL_YEARS or replay or counted:
        return []
    how = (
        f"fieldsim run --replicates {FEW_REPLICATES} counts it for what the options cost."
        if outcomes is None
        else f"Count it with --replicates {FEW_REPLICATES}, in Python with "
        f"replicates={FEW_REPLICATES}."
    )
    number = f"Only {years}" if years < FEW_YEARS else f"{years}"
    return [
        f"{number} years lie behind the days of this farm, and how far other years would move "
        f"these figures is not counted in their errors. {how}"
    ]
