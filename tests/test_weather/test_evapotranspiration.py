"""Sun and reference evapotranspiration at the edges of their equations."""

import numpy as np
import pytest

from fieldsim.days.weather import (
    daylight_hours,
    extraterrestrial_radiation,
    reference_evapotranspiration,
)

MIDSUMMER, MIDWINTER = 172, 355


def test_the_pole_has_a_day_and_a_night_of_half_a_year():
    for latitude, light, dark in ((80.0, MIDSUMMER, MIDWINTER), (-80.0, MIDWINTER, MIDSUMMER)):
        assert daylight_hours(latitude, [light, dark]).tolist() == [24.0, 0.0]
        assert extraterrestrial_radiation(latitude, light) > 40.0
        assert extraterrestrial_radiation(latitude, dark) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("latitude", [-90.0, 90.0])
def test_the_poles_themselves_have_a_sun(latitude):
    days = np.arange(1, 366)
    radiation = extraterrestrial_radiation(latitude, days)
    assert np.isfinite(radiation).all()
    assert (radiation >= 0).all()
    assert set(daylight_hours(latitude, days).tolist()) <= {0.0, 24.0}


def test_the_equator_has_twelve_hours_all_year():
    assert daylight_hours(0.0, np.arange(1, 366)) == pytest.approx(12.0)


def test_south_has_the_seasons_of_north_half_a_year_later():
    assert daylight_hours(-42.0, MIDWINTER) == pytest.approx(
        daylight_hours(42.0, MIDSUMMER), abs=0.02
    )


def test_days_past_new_year_are_those_of_the_next_year():
    days = np.array([1, 60, 200])
    later = extraterrestrial_radiation(42.0, days + 365)
    assert later == pytest.approx(extraterrestrial_radiation(42.0, days))


def test_latitudes_and_days_are_combined_by_shape():
    assert extraterrestrial_radiation(np.zeros((3, 1)), np.arange(1, 11)).shape == (3, 10)


def test_nothing_evaporates_in_deep_frost_or_without_a_daily_span():
    assert reference_evapotranspiration(-25.0, -35.0, 10.0) == 0.0
    assert reference_evapotranspiration(15.0, 15.0, 40.0) == 0.0
    assert reference_evapotranspiration(-10.0, -16.0, 10.0) > 0.0
