"""Weather of a place, and the days on which its soils carry work."""

from fieldsim.days.weather.evapotranspiration import (
    daylight_hours,
    extraterrestrial_radiation,
    inverse_relative_distance,
    reference_evapotranspiration,
    solar_declination,
    sunset_hour_angle,
)
from fieldsim.days.weather.growing_degrees import (
    celsius_degree_days,
    growing_degrees,
    growing_degrees_since_start,
)
from fieldsim.days.weather.record import Weather, WeatherRecord, Windows, windows
from fieldsim.days.weather.record_files import parse_weather, read_weather
from fieldsim.days.weather.resampled import resampled_weather
from fieldsim.days.weather.soil_classes import (
    SoilClass,
    SoilFigure,
    soil_class,
    soil_classes,
    soil_figures,
)
from fieldsim.days.weather.soil_layer import CropCover, MilderRule, SoilDays, soil_days
from fieldsim.days.weather.source import (
    SoilWater,
    degree_days,
    drawn_weather,
    warm_days,
)
from fieldsim.days.weather.warmth import soil_temperature, warm_day

__all__ = [
    "CropCover",
    "MilderRule",
    "SoilClass",
    "SoilDays",
    "SoilFigure",
    "SoilWater",
    "Weather",
    "WeatherRecord",
    "Windows",
    "celsius_degree_days",
    "daylight_hours",
    "degree_days",
    "drawn_weather",
    "extraterrestrial_radiation",
    "growing_degrees",
    "growing_degrees_since_start",
    "inverse_relative_distance",
    "parse_weather",
    "read_weather",
    "reference_evapotranspiration",
    "resampled_weather",
    "soil_class",
    "soil_classes",
    "soil_days",
    "soil_figures",
    "soil_temperature",
    "solar_declination",
    "sunset_hour_angle",
    "warm_day",
    "warm_days",
    "windows",
]
