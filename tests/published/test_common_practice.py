"""Facts of the trade held against the formulas. Common practice, no source, unless marked.

Assumptions made here to compare: 10 h in the field a day; quarter-mile rows; 30 s a turn; 15 min
for 20 acres of seed with six rows; 10 min to fill a 900-lb dry-fertilizer hopper.
"""

from __future__ import annotations

import numpy as np
import pytest

from fieldsim.machines import (
    Fill,
    TimeElements,
    area_per_fill,
    built_efficiency,
    field_capacity,
    planting_pattern,
    time_per_area,
)
from fieldsim.quantities import factor, parse

ACRES = factor("area", "us")
KG_PER_POUND = 0.45359237
HOURS_A_DAY = 10.0
ROW_LENGTH = parse("1320 ft", "length")
TURN = 30 / 3600
FERTILIZER_RATES = [100, 150, 200, 300, 400, 500, 600, 700, 825]  # lb/acre
ROW_SPACINGS = [28, 30, 36, 38, 40]  # in


def width(rows: int, inches: float) -> float:
    return rows * parse(f"{inches} in", "row_spacing")


def acres_a_day(mph: float, inches: float, efficiency: float) -> float:
    capacity = field_capacity(parse(f"{mph} mph", "speed"), width(6, inches), efficiency)
    return float(capacity) * ACRES * HOURS_A_DAY


def hopper_acres(pounds: float, pounds_an_acre: float) -> float:
    """Area of a fill [acres], through the units inside."""
    rate = pounds_an_acre * KG_PER_POUND * ACRES
    return area_per_fill(pounds * KG_PER_POUND, rate) * ACRES


def fertilizer(pounds_an_acre: float, hopper: float = 900.0, minutes: float = 10.0) -> Fill:
    area = hopper_acres(hopper, pounds_an_acre) / ACRES
    return Fill("fertilizer", area, minutes / 60)


def seed(rows: int) -> Fill:
    """Fill of boxes on every row: the more rows, the more land a fill lasts."""
    return Fill("seed", 20 / 6 * rows / ACRES, 15 / 60)


def hours(rows: int, elements: TimeElements, inches: float = 38) -> float:
    """Field time [h/ha] of a planter at drilling speed."""
    speed = planting_pattern("drill").speed
    return time_per_area(speed, width(rows, inches), ROW_LENGTH, elements).total


def time_saved(four: TimeElements, six: TimeElements) -> float:
    """Share of field time that six rows save over four."""
    return 1 - hours(6, six) / hours(4, four)


# Common practice, no source: drilling at 5 mph, six rows, 28 to 40 in apart.
def test_a_six_row_planter_drills_8_to_12_acres_an_hour_between_stops() -> None:
    assert planting_pattern("drill").speed == pytest.approx(parse("5 mph", "speed"))
    capacities = [acres_a_day(5, inches, 1.0) / HOURS_A_DAY for inches in ROW_SPACINGS]
    np.testing.assert_allclose(capacities, [6 * i / 12 * 5 / 8.25 for i in ROW_SPACINGS])
    assert min(capacities) == pytest.approx(8.5, abs=0.05)
    assert max(capacities) == pytest.approx(12.1, abs=0.05)


# Common practice, no source: six rows plant about 75 acres a day. With 60 to 75 % efficiency
# (ASABE D497 from memory: 50-75 %, typically 65 %) and 10 h, 75 acres lie inside the span of row
# spacings, and wide rows at the typical efficiency come within a tenth of them.
def test_six_rows_plant_about_75_acres_a_day() -> None:
    slowest, fastest = acres_a_day(5, 28, 0.60), acres_a_day(5, 40, 0.75)
    assert slowest == pytest.approx(51, abs=0.5)
    assert fastest == pytest.approx(91, abs=0.5)
    assert slowest < 75 < fastest
    for inches in (36, 38, 40):
        assert acres_a_day(5, inches, 0.65) == pytest.approx(75, rel=0.10)


# The same with the efficiency built from stops: seed, and 900 lb of fertilizer at 150 lb/acre.
def test_six_rows_plant_about_75_acres_a_day_with_stops_counted_one_by_one() -> None:
    elements = TimeElements(TURN, fills=(seed(6), fertilizer(150)))
    speed = planting_pattern("drill").speed
    efficiency = built_efficiency(speed, width(6, 38), ROW_LENGTH, elements)
    assert 0.60 < efficiency < 0.65
    assert acres_a_day(5, 38, efficiency) == pytest.approx(75, rel=0.10)


# Common practice, no source: six rows cultivate about 125 acres a day. At 80 % (ASABE D497 from
# memory: typical of row cultivators) and 10 h it takes 6 to 7 mph on wide rows, which is within the
# 3-8 mph of Steel in the Field (SARE) and above the 5 mph typical in D497 (from memory). On narrow
# rows or at 5 mph 125 acres are out of reach in 10 h.
def test_six_rows_cultivate_about_125_acres_a_day_on_wide_rows_at_6_to_7_mph() -> None:
    slowest, fastest = acres_a_day(6, 36, 0.80), acres_a_day(7, 40, 0.80)
    assert slowest == pytest.approx(105, abs=0.5)
    assert fastest == pytest.approx(136, abs=0.5)
    assert slowest < 125 < fastest
    assert acres_a_day(6.5, 40, 0.80) == pytest.approx(125, rel=0.05)
    assert acres_a_day(5, 40, 0.80) < 100
    assert acres_a_day(7, 28, 0.80) < 100


# Common practice, no source: going from four rows to six raises output per worker by half, which is
# one third less time for the same work. It is exact where every element shrinks with width: same
# speed and turn time, a row's share of hopper and the same time a fill.
def test_six_rows_save_one_third_over_four_where_hoppers_grow_with_rows() -> None:
    four, six = (
        TimeElements(
            TURN,
            overlap=0.02,
            adjustment=0.05,
            fills=(seed(rows), fertilizer(300, hopper=150.0 * rows)),
        )
        for rows in (4, 6)
    )
    assert time_saved(four, six) == pytest.approx(1 / 3, abs=1e-12)
    assert hours(4, four) / hours(6, six) == pytest.approx(1.5, abs=1e-12)


# Common practice, no source: a dry-fertilizer hopper of 900 lb, 100 to 825 lb/acre.
def test_a_900_pound_hopper_lasts_9_acres_down_to_about_1() -> None:
    assert hopper_acres(900, 100) == pytest.approx(9.0)
    assert hopper_acres(900, 825) == pytest.approx(900 / 825)


def test_fertilizer_stops_eat_into_the_third_the_more_is_spread() -> None:
    saved = []
    for rate in FERTILIZER_RATES:
        elements = TimeElements(TURN, fills=(fertilizer(rate),))
        saved.append(time_saved(elements, elements))
        # What grows with width still shrinks by a third; the stops of a hopper on the frame stay.
        shrinking = hours(4, TimeElements(TURN))
        stops = 10 / 60 / (900 / rate / ACRES)
        assert saved[-1] == pytest.approx(shrinking / 3 / (shrinking + stops))
    assert (np.diff(saved) < 0).all()
    assert saved[0] == pytest.approx(0.30, abs=0.01)
    assert saved[-1] == pytest.approx(0.17, abs=0.01)


@pytest.mark.parametrize(("minutes", "at_100", "at_825"), [(5, 0.31, 0.22), (15, 0.28, 0.13)])
def test_slower_fills_eat_more_of_the_third(minutes: float, at_100: float, at_825: float) -> None:
    for rate, expected in [(100, at_100), (825, at_825)]:
        elements = TimeElements(TURN, fills=(fertilizer(rate, minutes=minutes),))
        assert time_saved(elements, elements) == pytest.approx(expected, abs=0.01)


def test_filling_every_row_box_by_hand_eats_as_much_as_a_hopper_on_the_frame() -> None:
    four, six = (
        TimeElements(TURN, fills=(fertilizer(300, hopper=150.0 * rows, minutes=2.5 * rows),))
        for rows in (4, 6)
    )
    fixed = TimeElements(TURN, fills=(fertilizer(300, hopper=600.0, minutes=10.0),))
    assert time_saved(four, six) == pytest.approx(time_saved(fixed, fixed))
    assert time_saved(four, six) < 0.30


def test_longer_turns_of_the_wider_planter_eat_into_the_third() -> None:
    saved = [
        time_saved(TimeElements(TURN), TimeElements(TURN * longer))
        for longer in (1.0, 1.25, 1.5, 2.0)
    ]
    assert saved[0] == pytest.approx(1 / 3)
    assert (np.diff(saved) < 0).all()
    # Turns half as long again cost as much a hectare as with four rows: the third is of the rest.
    breakdown = time_per_area(
        planting_pattern("drill").speed, width(4, 38), ROW_LENGTH, TimeElements(TURN)
    )
    assert saved[2] == pytest.approx(breakdown.row / breakdown.total / 3)
    assert saved[2] == pytest.approx(0.285, abs=0.005)
    assert saved[3] > 0.2


def test_field_efficiency_falls_with_every_pound_of_fertilizer() -> None:
    speed = planting_pattern("drill").speed
    shares = [
        built_efficiency(
            speed, width(6, 38), ROW_LENGTH, TimeElements(TURN, fills=(seed(6), fertilizer(rate)))
        )
        for rate in FERTILIZER_RATES
    ]
    assert (np.diff(shares) < 0).all()
    assert shares[0] == pytest.approx(0.66, abs=0.01)
    assert shares[-1] == pytest.approx(0.33, abs=0.01)
