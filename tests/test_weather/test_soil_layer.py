"""The daily water balance of the topsoil, and the share of a day it carries work."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldsim.days.weather import (
    CropCover,
    MilderRule,
    Weather,
    soil_class,
    soil_classes,
    soil_days,
)
from fieldsim.season import CalendarDay, Season

SPRING = date(2026, 4, 1)
# 100 mm of water at field capacity, 40 mm at the wilting point, 140 mm at saturation.
PLAIN = replace(
    soil_class("loam"),
    field_capacity=0.50,
    wilting_point=0.20,
    saturation=0.70,
    depth=0.20,
    readily_evaporable=30.0,
    drainage=0.5,
    workable=0.95,
    rain_limit=10.0,
    least_temperature=5.0,
)


def run(rain, soils=(PLAIN,), *, mean=15.0, reference=0.0, first_day=SPRING, **options):
    """Run days of one season given by lists; the reference is before the factor of bare soil."""
    rain = np.atleast_2d(np.asarray(rain, dtype=float))
    mean = np.broadcast_to(np.asarray(mean, dtype=float), rain.shape)
    window = Season(first_day, Season(first_day, first_day).date(rain.shape[1] - 1))
    reference = np.broadcast_to(np.asarray(reference, dtype=float) / 1.15, rain.shape)
    return soil_days(Weather(mean + 6, mean - 6, rain), reference, window, soils, **options)


def water(*args, **kwargs):
    return run(*args, **kwargs).water[0, 0].tolist()


def suitable(*args, **kwargs):
    return run(*args, **kwargs).suitable[0, 0].tolist()


def test_excess_over_field_capacity_drains_by_its_share():
    assert water([24.0, 0.0, 0.0]) == pytest.approx([112.0, 106.0, 103.0])


def test_rain_above_saturation_runs_off():
    assert water([500.0, 0.0]) == pytest.approx([120.0, 110.0])


def test_wet_soil_evaporates_what_the_air_takes():
    assert water([0.0] * 3, reference=4.0) == pytest.approx([96.0, 92.0, 88.0])


def test_drying_soil_slows_down_in_the_geometric_steps_of_fao_56():
    # FAO 56, equations 73 and 74: 80 mm can evaporate, 30 mm of them freely; from there on each day
    # takes the same share, 5 / 50, of what is left.
    days = water([0.0] * 30, reference=5.0)
    assert days[:6] == pytest.approx([95.0, 90.0, 85.0, 80.0, 75.0, 70.0])
    assert days[6:] == pytest.approx(20.0 + 50.0 * 0.9 ** np.arange(1, 25))


def test_snow_lies_until_the_degrees_have_melted_it():
    # 10 mm fall at -2 degC; 3.5 mm melt for each degree above 0: 7 mm at 2 degC, then the rest.
    mean = [-2.0, 2.0, 2.0, 2.0]
    cold = replace(PLAIN, least_temperature=-20.0)
    # The soil (mean of the days so far) is frozen on the first day only.
    assert water([10.0, 0.0, 0.0, 0.0], [cold], mean=mean) == pytest.approx(
        [100, 103.5, 103.25, 101.625]
    )


def test_snow_keeps_the_soil_from_drying_and_from_carrying_work():
    cold = replace(PLAIN, least_temperature=-20.0, workable=1.2)
    days = run([60.0] + [0.0] * 3, [cold], mean=[0.5, 1.5, 1.5, 1.5], reference=3.0)
    assert days.suitable[0, 0].tolist() == [0.0, 0.0, 0.0, 0.0]
    # Melt of 1.75, then 5.25 mm a day; half of what is above 100 mm drains.
    assert days.water[0, 0] == pytest.approx([100.875, 103.0625, 104.15625, 104.703125])


def test_frozen_soil_neither_drains_nor_dries_nor_carries_work():
    cold = replace(PLAIN, least_temperature=-20.0, workable=1.2)
    mean = [5.0] + [-6.0] * 3
    days = run([20.0, 0.0, 0.0, 0.0], [cold], mean=mean, reference=2.0)
    assert days.water[0, 0] == pytest.approx([108.0, 108.0, 108.0, 108.0])
    assert days.suitable[0, 0].tolist() == [0.0, 0.0, 0.0, 0.0]


def test_soil_that_dries_past_its_limit_is_suitable_for_the_rest_of_the_day():
    # From 100 mm by 4 mm a day past the 95 mm that carry work: after a quarter of the second day.
    assert suitable([0.0] * 3, reference=4.0) == pytest.approx([0.0, 0.75, 1.0])


def test_rain_takes_its_share_of_the_day_up_to_the_limit():
    dry = replace(PLAIN, workable=1.3)
    assert suitable([0.0, 2.5, 9.9, 10.0, 40.0], [dry]) == pytest.approx(
        [1.0, 0.75, 0.01, 0.0, 0.0]
    )


def test_rain_and_drying_both_take_their_share():
    # 100 mm and 2 mm of rain: 1 mm drains, 7 mm evaporate, 102 to 94 mm pass 95 mm after 7 eighths.
    assert suitable([2.0], reference=7.0) == pytest.approx([0.8 / 8])


def test_cold_soil_carries_no_work():
    dry = replace(PLAIN, workable=1.3)
    mean = [4.0, 4.0, 7.0, 20.0]  # as the mean of the days so far: 4, 4, 5, 8.75
    assert suitable([0.0] * 4, [dry], mean=mean) == [0.0, 0.0, 1.0, 1.0]


def test_a_milder_rule_holds_between_its_days_only():
    rule = MilderRule(CalendarDay(4, 2), CalendarDay(4, 3), workable=1.0, rain_limit=20.0)
    rain = [5.0, 5.0, 5.0, 5.0]
    strict = suitable(rain, reference=20.0)
    mild = suitable(rain, reference=20.0, milder=rule)
    assert mild[0] == strict[0]
    assert mild[3] == strict[3]
    assert mild[1:3] == [0.75, 0.75]
    assert max(strict[1:3]) == 0.5


@pytest.mark.parametrize(
    ("first", "last", "days"),
    [((3, 1), (4, 1), [0]), ((4, 4), (12, 31), [3]), ((1, 1), (3, 1), []), ((5, 1), (6, 1), [])],
)
def test_a_milder_rule_may_reach_beyond_the_window(first, last, days):
    rule = MilderRule(CalendarDay(*first), CalendarDay(*last), workable=1.0, rain_limit=10.0)
    mild = suitable([0.0] * 4, milder=rule)
    assert np.flatnonzero(mild).tolist() == days


def test_a_milder_rule_is_never_stricter_than_the_soils_own():
    rule = MilderRule(CalendarDay(4, 1), CalendarDay(4, 30), workable=0.5, rain_limit=1.0)
    assert suitable([1.0] * 5, reference=6.0, milder=rule) == suitable([1.0] * 5, reference=6.0)


def test_a_closed_crop_takes_its_share_instead_of_evaporation():
    crop = CropCover(CalendarDay(4, 1), CalendarDay(4, 3), uptake=0.5)
    # Evaporation of 5.75 mm and uptake of 2.5 mm at no, half and full cover.
    assert water([0.0] * 3, reference=5.75, crop=crop) == pytest.approx([94.25, 90.125, 87.625])


def test_roots_stop_at_the_wilting_point():
    crop = CropCover(CalendarDay(3, 1), CalendarDay(3, 2), uptake=1.0)
    end = water([0.0] * 200, reference=6.9, crop=crop)[-1]
    assert end == pytest.approx(40.0, abs=1.0)
    assert end > 40.0


def test_residue_slows_evaporation():
    assert water([0.0], reference=6.0, residue_cover=0.5) == pytest.approx([100 - 6.0 * 0.75])


def plain_python(rain, mean, reference, soil):
    """The rules of the module's head once more, one season and soil, without its kernel."""
    capacity, wilting, full = (
        1000 * part * soil.depth
        for part in (soil.field_capacity, soil.wilting_point, soil.saturation)
    )
    dry, stored, snow, shares, waters = wilting / 2, capacity, 0.0, [], []
    for day in range(len(rain)):
        falls = 0.0 if mean[day] <= 1.0 else rain[day]
        snow += rain[day] - falls
        melts = min(snow, max(3.5 * mean[day], 0.0))
        snow -= melts
        before = stored = min(stored + falls + melts, full)
        soil_is = np.mean(mean[max(day - 6, 0) : day + 1])
        if soil_is >= 0:
            if stored > capacity:
                stored = capacity + (stored - capacity) * (1 - soil.drainage)
            if snow == 0:
                lacking = max(capacity - stored, 0.0)
                total = capacity - dry
                slowed = min(1.0, (total - lacking) / (total - soil.readily_evaporable))
                stored = max(stored - slowed * 1.15 * reference[day], dry)
        share = 0.0
        limit = soil.workable * capacity
        if soil_is >= max(soil.least_temperature, 0.0) and snow == 0 and stored < limit:
            share = 1.0 if before <= limit else (limit - stored) / (before - stored)
            share *= max(0.0, 1 - rain[day] / soil.rain_limit)
        shares.append(share)
        waters.append(stored)
    return shares, waters


def test_all_soils_and_seasons_follow_the_rules_written_in_plain_python():
    random = np.random.default_rng(0)
    shape = (4, 240)
    mean = 10 - 14 * np.cos(np.arange(240) / 58) + random.normal(0, 5, shape)
    rain = random.exponential(9.0, shape) * (random.random(shape) < 0.33)
    reference = np.maximum(0.18 * (mean + 5), 0.0)
    soils = [soil_class(name) for name in soil_classes()]
    days = run(rain, soils, mean=mean, reference=1.15 * reference, first_day=date(2025, 12, 1))
    for season in range(4):
        for i, soil in enumerate(soils):
            shares, waters = plain_python(rain[season], mean[season], reference[season], soil)
            assert days.suitable[season, i] == pytest.approx(shares, abs=1e-9)
            assert days.water[season, i] == pytest.approx(waters, abs=1e-9)
    assert 0.2 < days.suitable.mean() < 0.8


def test_days_before_the_first_one_wanted_are_cut_off():
    rain = np.random.default_rng(1).exponential(4.0, (2, 60))
    whole, late = run(rain, reference=4.0), run(rain, reference=4.0, first=45)
    assert late.suitable.tolist() == whole.suitable[:, :, 45:].tolist()
    assert late.water.tolist() == whole.water[:, :, 45:].tolist()


weathers = st.lists(
    st.tuples(st.floats(0, 80), st.floats(-15, 30), st.floats(0, 8)), min_size=1, max_size=40
)


@given(weathers, st.sampled_from(soil_classes()))
@settings(max_examples=60, deadline=None)
def test_water_stays_between_air_dry_and_saturated_and_shares_between_0_and_1(days, name):
    soil = soil_class(name)
    rain, mean, reference = (np.array(part) for part in zip(*days, strict=True))
    result = run(rain, [soil], mean=mean, reference=reference)
    assert result.water.min() >= 500 * soil.wilting_point * soil.depth - 1e-9
    assert result.water.max() <= 1000 * soil.saturation * soil.depth + 1e-9
    assert result.suitable.min() >= 0.0
    assert result.suitable.max() <= 1.0


@given(weathers, st.data())
@settings(max_examples=60, deadline=None)
def test_more_rain_on_a_warm_day_never_makes_a_day_more_suitable(days, data):
    rain, _, reference = (np.array(part) for part in zip(*days, strict=True))
    more = rain.copy()
    more[data.draw(st.integers(0, len(rain) - 1))] += data.draw(st.floats(0.1, 50))
    soils = [soil_class(name) for name in soil_classes()]
    fewer, wetter = (run(r, soils, reference=reference).suitable for r in (rain, more))
    assert (wetter <= fewer + 1e-9).all()


def test_more_drainage_and_lighter_soil_carry_work_on_more_days():
    random = np.random.default_rng(2)
    rain = random.exponential(9.6, (30, 90)) * (random.random((30, 90)) < 0.39)
    soils = [soil_class(name) for name in soil_classes()]
    shares = dict(
        zip(soil_classes(), run(rain, soils, reference=4.0).suitable.mean((0, 2)), strict=True)
    )
    assert shares["clay_loam_untiled"] < shares["clay_loam_tiled"] < shares["silt_loam"]
    assert shares["silt_loam"] < shares["sandy_loam"]
