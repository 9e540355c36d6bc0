from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim.machines import field_capacity, required_capacity, theoretical_capacity

SPEEDS = st.floats(0.1, 50)
WIDTHS = st.floats(0.1, 50)
SHARES = st.floats(0.01, 1)


def test_capacity_of_numbers_is_a_float64_array_without_axes() -> None:
    capacity = field_capacity(8, 9, 0.65)
    assert isinstance(capacity, np.ndarray)
    assert capacity.dtype == np.float64
    assert capacity.shape == ()
    assert float(capacity) == pytest.approx(4.68)


def test_capacities_broadcast_speed_against_width() -> None:
    capacity = field_capacity(np.array([[6.0], [8.0]]), [4.5, 9.0, 18.0], 0.5)
    assert capacity.shape == (2, 3)
    np.testing.assert_allclose(capacity[1], [1.8, 3.6, 7.2])


@given(speed=SPEEDS, width=WIDTHS, efficiency=SHARES)
def test_field_capacity_is_the_efficiency_of_theoretical_capacity(
    speed: float, width: float, efficiency: float
) -> None:
    theoretical = theoretical_capacity(speed, width)
    assert field_capacity(speed, width, efficiency) == pytest.approx(efficiency * theoretical)
    assert field_capacity(speed, width, 1) == theoretical


@given(speed=SPEEDS, width=WIDTHS, efficiency=SHARES, days=st.floats(0.5, 60))
def test_required_capacity_undoes_the_area_that_a_capacity_covers(
    speed: float, width: float, efficiency: float, days: float
) -> None:
    capacity = field_capacity(speed, width, efficiency)
    area = capacity * days * 10
    assert required_capacity(area, days, 10) == pytest.approx(capacity)


def test_no_land_needs_no_capacity() -> None:
    assert required_capacity(0, 5, 10) == 0


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((0, 9, 0.6), r"speed = 0 km/h: a number above 0 km/h is allowed"),
        ((8, -9, 0.6), r"width = -9 m: a number above 0 m is allowed"),
        ((8, 9, 0), r"efficiency = 0: a number above 0 and of at most 1 is allowed"),
        ((8, 9, 65), r"efficiency = 65: a number above 0 and of at most 1 is allowed"),
        ((float("nan"), 9, 0.6), r"speed = nan km/h"),
        ((8, float("inf"), 0.6), r"width = inf m"),
        (([8, 9, -1, -2], 9, 0.6), r"speed = -1 km/h"),
    ],
)
def test_capacity_out_of_range_says_which_argument_and_what_is_allowed(
    arguments: tuple[float, float, float], message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        field_capacity(*arguments)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((-1, 5, 10), r"area = -1 ha: a number of at least 0 ha is allowed"),
        ((100, 0, 10), r"suitable_days = 0 days: a number above 0 days is allowed"),
        ((100, 5, 25), r"hours = 25 h/day: a number above 0 h/day and of at most 24 h/day"),
    ],
)
def test_required_capacity_out_of_range_says_so(
    arguments: tuple[float, float, float], message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        required_capacity(*arguments)
