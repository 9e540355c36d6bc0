from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim.machines import (
    Fill,
    TimeElements,
    area_per_fill,
    block_setup_time,
    built_efficiency,
    field_capacity,
    time_per_area,
)
from fieldsim.quantities import factor, parse

SEED = Fill("seed", area_per_fill=16.0, time=0.25)
NPK = Fill("fertilizer", area_per_fill=4.0, time=0.2)
ELEMENTS = st.builds(
    TimeElements,
    turn=st.floats(0, 0.1),
    overlap=st.floats(0, 0.3),
    adjustment=st.floats(0, 1),
    fills=st.lists(
        st.builds(
            Fill,
            st.sampled_from(["seed", "fertilizer", "insecticide"]),
            st.floats(0.1, 50),
            st.floats(0, 1),
        ),
        max_size=3,
        unique_by=lambda fill: fill.material,
    ).map(tuple),
)
SIZES = st.tuples(st.floats(2, 15), st.floats(2, 30), st.floats(50, 2000))


def test_each_element_has_its_time() -> None:
    elements = TimeElements(turn=0.01, overlap=0.2, adjustment=0.1, fills=(SEED, NPK))
    breakdown = time_per_area(10.0, 5.0, 500.0, elements)
    assert breakdown.row == pytest.approx(0.25)  # 1 / (10 x 5 x 0.8 / 10)
    assert breakdown.turn == pytest.approx(0.05)  # 0.01 h for 4 m x 500 m = 0.2 ha
    assert breakdown.adjustment == pytest.approx(0.025)
    assert breakdown.fills == pytest.approx({"seed": 0.25 / 16, "fertilizer": 0.05})
    assert breakdown.total == pytest.approx(0.25 + 0.05 + 0.025 + 0.25 / 16 + 0.05)


def test_a_field_of_whole_passes_and_fills_takes_the_time_added_up_stop_by_stop() -> None:
    speed, width, row_length, passes = 8.0, 4.0, 400.0, 100
    elements = TimeElements(turn=0.008, fills=(SEED, NPK))
    hours = 0.0
    for worked in range(1, passes + 1):
        hours += row_length / 1000 / speed + 0.008
        hours += 0.25 * (worked % 100 == 0) + 0.2 * (worked % 25 == 0)  # 0.16 ha a pass
    area = passes * width * row_length / 10_000
    assert time_per_area(speed, width, row_length, elements).total * area == pytest.approx(hours)
    efficiency = built_efficiency(speed, width, row_length, elements)
    assert area / float(field_capacity(speed, width, efficiency)) == pytest.approx(hours)


def test_a_machine_that_never_stops_has_efficiency_1() -> None:
    assert built_efficiency(8.0, 4.0, 400.0, TimeElements(turn=0.0)) == pytest.approx(1.0)


def test_overlap_alone_takes_its_share_of_efficiency() -> None:
    assert built_efficiency(8.0, 4.0, 400.0, TimeElements(0.0, overlap=0.1)) == pytest.approx(0.9)


@given(elements=ELEMENTS, sizes=SIZES)
def test_efficiency_lies_in_0_to_1_and_no_stop_raises_it(
    elements: TimeElements, sizes: tuple[float, float, float]
) -> None:
    efficiency = built_efficiency(*sizes, elements)
    assert 0 < efficiency <= 1 + 1e-12
    without_turns = TimeElements(0.0, elements.overlap, elements.adjustment, elements.fills)
    without_fills = TimeElements(elements.turn, elements.overlap, elements.adjustment)
    assert built_efficiency(*sizes, without_turns) >= efficiency
    assert built_efficiency(*sizes, without_fills) >= efficiency * (1 - 1e-12)


@given(elements=ELEMENTS, sizes=SIZES)
def test_longer_rows_shorten_turning_alone(
    elements: TimeElements, sizes: tuple[float, float, float]
) -> None:
    speed, width, row_length = sizes
    short = time_per_area(speed, width, row_length, elements)
    long = time_per_area(speed, width, 2 * row_length, elements)
    assert long.turn == pytest.approx(short.turn / 2)
    assert (long.row, long.adjustment, long.fills) == (short.row, short.adjustment, short.fills)


def test_faster_driving_lowers_efficiency_because_stops_stay_as_long() -> None:
    elements = TimeElements(turn=0.008, fills=(SEED,))
    slow, fast = (built_efficiency(speed, 4.0, 400.0, elements) for speed in (6.0, 9.0))
    assert fast < slow
    assert 9.0 * fast > 6.0 * slow


# Synthetic example of the time elements (inputs chosen for this project, not published): 30-in
# rows, 5.5 mph, 30 s a turn, 15 min a fill, 20, 40, 53 and 80 acres a fill with 6 to 24 rows.
@pytest.mark.parametrize(("feet", "percent"), [(660, 67), (1320, 76), (2640, 82)])
def test_twelve_rows_build_the_efficiencies_worked_out_by_hand(feet: int, percent: int) -> None:
    elements = TimeElements(30 / 3600, fills=(Fill("seed", parse("40 acre", "area"), 0.25),))
    efficiency = built_efficiency(
        parse("5.5 mph", "speed"),
        12 * parse("30 in", "row_spacing"),
        parse(f"{feet} ft", "length"),
        elements,
    )
    assert round(100 * efficiency) == percent


@pytest.mark.parametrize(
    ("rows", "acres_a_fill", "acres_an_hour"),
    [(6, 20, 7.64), (12, 40, 15.29), (16, 160 / 3, 20.38), (24, 80, 30.57)],
)
def test_capacity_grows_with_rows_where_fills_do(
    rows: int, acres_a_fill: float, acres_an_hour: float
) -> None:
    speed, width = parse("5.5 mph", "speed"), rows * parse("30 in", "row_spacing")
    fills = (Fill("seed", parse(f"{acres_a_fill:.9f} acre", "area"), 0.25),)
    elements = TimeElements(30 / 3600, fills=fills)
    efficiency = built_efficiency(speed, width, parse("1320 ft", "length"), elements)
    capacity = float(field_capacity(speed, width, efficiency)) * factor("field_capacity", "us")
    assert capacity == pytest.approx(acres_an_hour, abs=0.006)


def test_a_fill_lasts_hopper_over_rate() -> None:
    assert area_per_fill(80_000 * 12, 80_000) == 12.0


def test_setting_up_a_block_adds_travel_folding_twice_and_pattern() -> None:
    assert block_setup_time(4.0, 20.0, 0.1, False, 0.0) == pytest.approx(0.2)
    assert block_setup_time(4.0, 20.0, 0.1, True, 0.0) == pytest.approx(0.4)
    assert block_setup_time(4.0, 20.0, 0.1, True, 0.5) == pytest.approx(0.9)
    assert block_setup_time(0.0, 20.0, 0.1, False, 0.0) == 0.0


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Fill("seed", 0.0, 0.1), r"area_per_fill = 0 ha: a number above 0 ha is allowed"),
        (lambda: Fill("seed", 1.0, -0.1), r"time = -0.1 h: a number of at least 0 h is allowed"),
        (lambda: TimeElements(-1.0), r"turn = -1 h"),
        (lambda: TimeElements(0.0, overlap=1.0), r"overlap = 1: .*at least 0 and below 1"),
        (lambda: TimeElements(0.0, adjustment=float("nan")), r"adjustment = nan"),
        (lambda: TimeElements(0.0, fills=(SEED, SEED)), r"fills = 'seed' twice: one fill a mat"),
        (lambda: time_per_area(8, 4, 0, TimeElements(0.0)), r"row_length = 0 m"),
        (lambda: time_per_area(0, 4, 9, TimeElements(0.0)), r"speed = 0 km/h"),
        (lambda: area_per_fill(0, 100), r"hopper = 0: a number above 0 is allowed"),
        (lambda: area_per_fill(100, 0), r"rate = 0: a number above 0 is allowed"),
        (lambda: block_setup_time(-1, 20, 0, False, 0), r"distance = -1 km"),
        (lambda: block_setup_time(1, 0, 0, False, 0), r"road_speed = 0 km/h"),
        (lambda: block_setup_time(1, 20, -1, False, 0), r"fold_time = -1 h"),
        (lambda: block_setup_time(1, 20, 0, False, -1), r"pattern_setup = -1 h"),
    ],
)
def test_numbers_out_of_range_are_named(make: object, message: str) -> None:
    assert callable(make)
    with pytest.raises(ValueError, match=message):
        make()
