from __future__ import annotations

import pytest

from fieldsim.farm.pulling import working_speed
from fieldsim.work.outfit import block_capacity, block_setup, time_elements
from tests.farms import hand_farm, small_farm

MILE, FOOT, INCH, ACRE = 1.609344, 0.3048, 0.0254, 0.40468564224


def test_capacity_with_a_given_efficiency_is_speed_times_width_times_efficiency() -> None:
    farm = hand_farm()
    # 8 km/h x 5 m x 0.5 / 10 and 8 km/h x 2.5 m x 0.5 / 10
    assert block_capacity(farm.machines["disk"], farm.fields["north"]) == pytest.approx(2.0)
    assert block_capacity(farm.machines["planter"], farm.fields["north"]) == pytest.approx(1.0)


def test_capacity_with_time_elements_is_one_over_the_time_of_a_hectare() -> None:
    farm = small_farm()
    speed, width, row = 5 * MILE, 6 * 30 * INCH, 1300 * FOOT  # 8.047 km/h, 4.572 m, 396.2 m
    used = width * 0.99  # 1 % overlap
    hours = (
        10 / (speed * used)  # along the rows: 0.2746 h/ha
        + (25 / 3600) / (used * row / 10_000)  # a turn for each pass of 0.179 ha: 0.0387 h/ha
        + (12 / 60) / (480_000 / 32_000 * ACRE)  # a fill for 15 acre: 0.0329 h/ha
    )
    assert hours == pytest.approx(0.3462, abs=0.0001)
    capacity = block_capacity(farm.machines["planter"], farm.fields["home"])
    assert capacity == pytest.approx(1 / hours, rel=1e-12)
    elements = time_elements(farm.machines["planter"])
    assert elements is not None
    assert [fill.material for fill in elements.fills] == ["seed"]


def test_longer_rows_give_more_capacity() -> None:
    farm = small_farm()
    planter = farm.machines["planter"]
    assert block_capacity(planter, farm.fields["river"]) > block_capacity(
        planter, farm.fields["home"]
    )


def test_a_machine_without_a_speed_has_that_of_its_pattern() -> None:
    # Common practice, no source: 3.5 mph for check-row planting (planting_patterns.csv).
    farm = small_farm(('pattern = "drill"\nspeed = "5 mph"', 'pattern = "check_row"'))
    assert working_speed(farm.machines["planter"]) == pytest.approx(3.5 * MILE)
    assert working_speed(small_farm().machines["planter"]) == pytest.approx(5 * MILE)


def test_setting_up_is_the_road_the_folding_and_the_pattern() -> None:
    farm = small_farm(
        ('pattern = "drill"', 'pattern = "check_row"\nfold_time = "6 min"'),
        ('road_speed = "14 mph"\nprice = "$29,000"', 'road_speed = "12 mph"\nprice = "$29,000"'),
    )
    planter = farm.machines["planter"]
    # River: 3 miles at 12 mph, folded and unfolded at 6 min each, and the wire of the check rows
    # (common practice, no source: planting_patterns.csv).
    assert block_setup(planter, farm.fields["river"]) == pytest.approx(
        3 / 12 + 2 * 6 / 60 + 30 / 60
    )
    # Home lies at the farmyard: no road, and nothing to fold for.
    assert block_setup(planter, farm.fields["home"]) == pytest.approx(30 / 60)


@pytest.mark.parametrize(("gate", "hours"), [("19 ft", 0.2), ("20 ft", 0.0), ("21 ft", 0.0)])
def test_a_machine_folds_for_a_gate_that_is_narrower_than_it(gate: str, hours: float) -> None:
    farm = small_farm(
        ('width = "20 ft"', 'width = "20 ft"\nfold_time = "6 min"'),
        ('row_length = "1300 ft"', f'row_length = "1300 ft"\ngate_width = "{gate}"'),
    )
    assert block_setup(farm.machines["disk"], farm.fields["home"]) == pytest.approx(hours)
