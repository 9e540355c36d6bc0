"""The water balance of the topsoil beside FAO 56's own and AquaCrop's, on the same open weather.

Weather: Champion, Nebraska, 1982-2018, daily, with reference evapotranspiration, as it comes with
the package aquacrop. Agreement is measured and stated; nothing was tuned to it.
"""

from dataclasses import replace

import numpy as np
import pandas as pd
import pyfao56
import pytest
from aquacrop.core import AquaCropModel
from aquacrop.entities.crop import Crop
from aquacrop.entities.inititalWaterContent import InitialWaterContent
from aquacrop.entities.soil import Soil
from aquacrop.utils import get_filepath, prepare_weather

from fieldsim.days.weather import Weather, soil_class, soil_days
from fieldsim.days.weather.soil_layer import BARE_SOIL
from fieldsim.season import Season

AQUACROP_BARE_SOIL = 1.10  # evaporation of wet bare soil to reference in AquaCrop
FAO_BARE_SOIL = 1.20  # the same in FAO 56, equation 72, in the wind and air of its definition
SPRING = slice(90, 181)  # days from 1 April to 30 June, counted from 1 January


@pytest.fixture(scope="module")
def champion():
    return prepare_weather(get_filepath("champion_climate.txt")).set_index("Date")


def water(frame, soil, bare_soil):
    """Return the water in our layer, with the evaporation of wet bare soil given [mm]."""
    window = Season(frame.index[0].date(), frame.index[-1].date())
    names = ("MaxTemp", "MinTemp", "Precipitation")
    weather = Weather(*(frame[name].to_numpy()[None] for name in names))
    reference = frame["ReferenceET"].to_numpy()[None] * bare_soil / BARE_SOIL
    return soil_days(weather, reference, window, [soil]).water[0, 0]


def depletion_of_pyfao56(frame, soil):
    """Return the water evaporated from bare soil and not yet replaced, by pyfao56 [mm]."""
    weather = pyfao56.Weather()
    weather.rfcrp, weather.wndht = "S", 2.0
    days = {"Rain": frame["Precipitation"], "ETref": frame["ReferenceET"]}
    weather.wdata = pd.DataFrame({**days, "Wndsp": 2.0, "RHmin": 45.0})
    weather.wdata.index = frame.index.strftime("%Y-%j")
    bare = pyfao56.Parameters(
        Kcbini=0.0,
        Kcbmid=1e-9,
        Kcbend=1e-9,
        Lini=400,
        thetaFC=soil.field_capacity,
        thetaWP=soil.wilting_point,
        Ze=soil.depth,
        REW=soil.readily_evaporable,
    )
    model = pyfao56.Model(*frame.index[[0, -1]].strftime("%Y-%j"), bare, weather)
    model.run()
    return model.odata["De"].to_numpy(dtype=float)


def water_of_aquacrop(frame, texture, depth):
    """Return the water in the top of bare soil by AquaCrop, depth from 0.1 to 0.2 m [mm]."""
    model = AquaCropModel(
        f"{frame.index[0]:%Y/%m/%d}",
        f"{frame.index[-1]:%Y/%m/%d}",
        frame.assign(Date=frame.index),
        # With the default, adj_cn=1, aquacrop 3.1 writes to an array that pandas 3 has locked.
        Soil(texture, adj_cn=0),
        Crop("Maize", planting_date="07/01"),  # after the days that are compared
        InitialWaterContent(value=["FC"]),
        off_season=True,
    )
    model.run_model(till_termination=True)
    content = model._outputs.water_storage[["th1", "th2"]].to_numpy()
    return 1000 * (content @ [0.1, depth - 0.1])


def test_soil_that_dries_after_one_rain_follows_the_equations_of_fao_56(champion):
    # pyfao56 begins with dry soil; 60 mm on the first day fill it, and our layer begins full on the
    # second. Equations 71 to 74 and 77 then have the same numbers in both.
    days = champion.loc["2002-05-01":"2002-07-30"].assign(Precipitation=0.0)
    days.loc["2002-05-01", "Precipitation"] = 60.0
    soil = soil_class("silt_loam")
    own = 1000 * soil.field_capacity * soil.depth - water(days.iloc[1:], soil, FAO_BARE_SOIL)
    assert own == pytest.approx(depletion_of_pyfao56(days, soil)[1:], abs=1e-3)
    assert own[-1] > 35.0  # of 39.75 mm


@pytest.mark.parametrize("year", [1993, 2002, 2009])
def test_soil_under_rain_follows_pyfao56_but_for_the_hour_of_the_rain(champion, year):
    # pyfao56 slows evaporation by the depletion before the day's rain, ours by that after it (FAO
    # 56 allows for rain early in the day). Measured after the first rain that fills the soil:
    # correlation 0.97-0.99, ours drier by 1.1-1.6 mm, the same side of 95 % of field capacity on
    # 97-99 % of the days. All water above field capacity drains in a day, as in FAO 56.
    days = champion.loc[f"{year}-04-01" : f"{year}-09-30"]
    soil = replace(soil_class("silt_loam"), drainage=1.0, depth=0.10)
    capacity = 1000 * soil.field_capacity * soil.depth
    theirs = depletion_of_pyfao56(days, soil)
    filled = int(np.argmax(theirs < 1.0))
    theirs, own = theirs[filled:], capacity - water(days, soil, FAO_BARE_SOIL)[filled:]
    assert np.corrcoef(own, theirs)[0, 1] > 0.96
    assert 0.0 < (own - theirs).mean() < 2.0
    assert ((own > 0.05 * capacity) == (theirs > 0.05 * capacity)).mean() > 0.97


def test_heavy_soil_agrees_with_aquacrop_on_which_days_are_dry(champion):
    # AquaCrop has twelve compartments, of which the deeper ones hold drainage up and share in the
    # evaporation; ours is one layer, and drier. Champion's rain (414 mm a year) is doubled to that
    # of the Corn Belt. Measured, clay loam, 0.15 m, April to June of three years: correlation 0.96,
    # ours drier by 7 mm; below 90 % of field capacity on 78 % of the days, AquaCrop on 66 %, both
    # on the same side of it on 88 %. Ours errs towards days that carry work.
    soil = soil_class("clay_loam_tiled")
    own, theirs = [], []
    for year in (1993, 1996, 2009):
        days = champion.loc[f"{year}-01-01" : f"{year}-12-30"]
        days = days.assign(Precipitation=2 * days["Precipitation"])
        theirs.append(water_of_aquacrop(days, "ClayLoam", soil.depth)[SPRING])
        own.append(water(days, soil, AQUACROP_BARE_SOIL)[SPRING])
    own, theirs = np.concatenate(own), np.concatenate(theirs)
    assert np.corrcoef(own, theirs)[0, 1] > 0.94
    limit = 1000 * soil.workable * soil.field_capacity * soil.depth
    assert ((own < limit) == (theirs < limit)).mean() > 0.85
    assert 0.0 < (own < limit).mean() - (theirs < limit).mean() < 0.15
