"""Where the suitable days come from, in words."""

from __future__ import annotations

from fieldsim.days import DailyChain, DaySource, Given, WeeklyTable
from fieldsim.days.records import RecordYears
from fieldsim.days.weather import SoilWater
from fieldsim.farm import Farm
from fieldsim.plots.words import readable

__all__ = ["source_words", "warm_words"]

RESAMPLING = {
    "years": "whole years, drawn again and again",
    "replay": "the years in order, each once",
}


def source_words(source: DaySource) -> str:
    """Return how a source draws its seasons.

    Parameters
    ----------
    source : DaySource

    Returns
    -------
    str
    """
    match source:
        case WeeklyTable():
            words = (
                "drawn from a weekly table; wet weeks follow wet weeks with a correlation of "
                f"{source.week_correlation:g} from one to the next"
            )
            if source.season_share:
                share = f"{100 * source.season_share:g} %"
                words += f", and {share} of the ups and downs are the whole season's"
            if source.tails == "hold":
                words += "; beyond the outermost columns the days stay as they are there"
            return words + _persistence(source.persistence)
        case DailyChain():
            return "drawn day by day, each by what the day before was"
        case RecordYears():
            years = source.records.years
            blocks = f"blocks of {source.block_weeks} weeks, each from a year drawn anew"
            drawn = RESAMPLING.get(source.resampling, blocks)
            words = f"records of {len(years)} years, {_span(years)}: {drawn}"
            return words + _persistence(source.persistence)
        case SoilWater():
            return _weather_words(source)
        case Given():
            return "given seasons, used as they stand"
    return type(source).__name__


def warm_words(farm: Farm) -> list[tuple[str, str]]:
    """Return when the soil is warm, where work waits for it and the farm has dates for it.

    Parameters
    ----------
    farm : Farm

    Returns
    -------
    list of (str, str)
        No or one row of heading and text.
    """
    warm = farm.warm_dates
    if warm is None:
        return []
    dates = ", ".join(
        f"{day} in {10 * share:g} {'year' if share == 0.1 else 'years'} of 10"
        for share, day in zip(warm.percentiles, warm.dates, strict=True)
    )
    words = f"by {dates}"
    if warm.wetness_correlation:
        words += f"; goes with the wetness of the season, correlation {warm.wetness_correlation:g}"
    return [("soil warm enough to plant", words)]


def _persistence(share: float | None) -> str:
    """Return how often a suitable day follows a suitable one, where it is given."""
    if share is None:
        return ""
    return f"; a suitable day is followed by another {100 * share:g} times in 100"


def _span(years: tuple[int, ...]) -> str:
    return f"{years[0]} to {years[-1]}"


def _weather_words(source: SoilWater) -> str:
    """Return how days are had from weather."""
    record = source.record
    drawn = (
        "whole years of it, drawn again and again"
        if source.weather == "years"
        else "seasons of a weather generator fitted to it"
    )
    soils = ", ".join(readable(soil) for soil in source.soils)
    span = f"{record.first_day.year} to {record.last_day.year}"
    return f"daily weather {span}, {drawn}, through a water balance of the topsoil ({soils})"
