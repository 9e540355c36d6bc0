"""What the years of a weather record were like on the soils of a source."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from fieldsim.days.weather import SoilWater, WeatherRecord
from fieldsim.days.weather.past_years import past_years
from fieldsim.errors import InputError
from fieldsim.season import Season
from tests.test_weather.test_weather_source import CLASSES, SEASON, invented_record


def test_past_years_are_the_seasons_that_whole_years_are_drawn_from() -> None:
    source = SoilWater(invented_record(), CLASSES)
    for place, soil in enumerate(source.soils):
        years = past_years(source, SEASON, soil)
        assert years.years == tuple(range(2002, 2013))  # 2001 lacks the days before its season
        drawn = {tuple(season) for season in source.draw(SEASON, 500, seed=0)[:, place]}
        assert drawn == {tuple(season) for season in years.days}


def test_they_are_the_same_whether_seasons_are_drawn_from_years_or_a_generator() -> None:
    source = SoilWater(invented_record(), CLASSES, "generator")
    own = past_years(replace(source, weather="years"), SEASON, "heavy")
    assert np.array_equal(past_years(source, SEASON, "heavy").days, own.days)


def test_a_year_with_a_gap_before_its_season_is_left_out() -> None:
    record = invented_record()
    rain = record.rain.copy()
    rain[(date(2005, 1, 20) - record.first_day) // timedelta(days=1)] = np.nan
    gap = WeatherRecord(record.first_day, record.tmax, record.tmin, rain, record.latitude)
    years = past_years(SoilWater(gap, CLASSES), SEASON, "light").years
    assert years == (2002, 2003, 2004, *range(2006, 2013))


def test_a_season_over_new_year_is_named_after_its_first_day() -> None:
    winter = Season(date(2026, 11, 1), date(2027, 2, 10))
    years = past_years(SoilWater(invented_record(), CLASSES), winter, "light")
    assert years.years == tuple(range(2001, 2012))
    assert str(years.starts[0, 0]) == "2001-11-01"


def test_a_soil_that_is_not_there_and_a_single_year_are_refused() -> None:
    with pytest.raises(ValueError, match="choose one of light, heavy"):
        past_years(SoilWater(invented_record(), CLASSES), SEASON, "peat")
    with pytest.raises(InputError, match="1 complete years of weather; 2 are the least"):
        past_years(SoilWater(invented_record(2), CLASSES), SEASON, "light")
