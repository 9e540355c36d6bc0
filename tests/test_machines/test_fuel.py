from __future__ import annotations

from typing import get_args

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim.machines import (
    average_fuel_per_hour,
    fuel_per_area,
    fuel_per_hour,
    lubricant_cost,
    specific_consumption,
)
from fieldsim.machines.fuel import FuelEquation

EQUATIONS = st.sampled_from(get_args(FuelEquation))


# Worked out by hand from the equations.
@pytest.mark.parametrize(
    ("equation", "load", "expected"),
    [
        ("d497_7", 0.2, 0.70),
        ("d497_7", 0.4, 0.46),
        ("d497_7", 0.6, 0.38),
        ("d497_7", 0.8, 0.34),
        ("d497_7", 1.0, 0.316),
        ("d497_4", 0.2, 0.803),
        ("d497_4", 0.4, 0.574),
        ("d497_4", 0.6, 0.456),
        ("d497_4", 0.8, 0.413),
        ("d497_4", 1.0, 0.423),
    ],
)
def test_specific_consumption_is_what_the_equation_gives_by_hand(
    equation: FuelEquation, load: float, expected: float
) -> None:
    assert specific_consumption(load, equation) == pytest.approx(expected, abs=6e-4)


@given(load=st.floats(0.01, 1), available=st.floats(1, 500), equation=EQUATIONS)
def test_fuel_an_hour_is_specific_consumption_times_power(
    load: float, available: float, equation: FuelEquation
) -> None:
    power = load * available
    fuel = fuel_per_hour(power, available, equation)
    assert fuel == pytest.approx(float(specific_consumption(load, equation)) * power)


@given(used=st.lists(st.floats(0, 100), min_size=2, max_size=6))
def test_mean_power_gives_mean_consumption(used: list[float]) -> None:
    fuel = fuel_per_hour(used, 100.0)
    assert fuel_per_hour(np.mean(used), 100.0) == pytest.approx(fuel.mean())


def test_a_larger_tractor_burns_more_at_the_same_work() -> None:
    for equation in get_args(FuelEquation):
        assert np.all(np.diff(fuel_per_hour(50.0, [50.0, 75.0, 150.0], equation)) > 0)


def test_the_equation_of_2011_burns_less_than_that_of_2003_at_every_load_of_work() -> None:
    loads = np.linspace(0.15, 1, 86)
    assert np.all(specific_consumption(loads) < specific_consumption(loads, "d497_4"))


def test_the_year_round_average_goes_by_the_tractor_and_gasoline_burns_more() -> None:
    np.testing.assert_allclose(average_fuel_per_hour([0, 50, 100]), [0, 11.15, 22.3])
    assert average_fuel_per_hour(100, "gasoline") == pytest.approx(30.5)


# The two figures are independent of each other; a load where they meet below full load shows that
# they speak of the same engines.
def test_the_year_round_average_is_the_consumption_at_about_half_load() -> None:
    assert fuel_per_hour(50.0, 100.0) < average_fuel_per_hour(100.0) < fuel_per_hour(65.0, 100.0)


def test_fuel_of_a_hectare_falls_with_capacity_and_lubricants_go_with_cost() -> None:
    np.testing.assert_allclose(fuel_per_area([10.0, 20.0], 2.5), [4.0, 8.0])
    np.testing.assert_allclose(lubricant_cost([0.0, 100.0]), [0.0, 15.0])


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: specific_consumption(0), r"load = 0: a number above 0 and of at most 1"),
        (lambda: specific_consumption(1.1), r"load = 1.1"),
        (lambda: specific_consumption(0.5, "d497_9"), r"equation = 'd497_9': d497_7, d497_4 are"),  # type: ignore[arg-type]
        (lambda: fuel_per_hour(-1, 100), r"pto_power = -1 kW"),
        (lambda: fuel_per_hour(1, 0), r"available = 0 kW"),
        (lambda: fuel_per_hour(120, 100), r"pto_power / available = 1.2: a number from 0 to 1"),
        (lambda: average_fuel_per_hour(-1), r"pto_power = -1 kW"),
        (lambda: average_fuel_per_hour(1, "coal"), r"fuel = 'coal': diesel, gasoline are"),  # type: ignore[arg-type]
        (lambda: fuel_per_area(-1, 2), r"fuel = -1 L/h"),
        (lambda: fuel_per_area(1, 0), r"capacity = 0 ha/h"),
        (lambda: lubricant_cost(-1), r"fuel_cost = -1 \$"),
    ],
)
def test_what_fuel_cannot_be_worked_out_of_is_named(make: object, message: str) -> None:
    assert callable(make)
    with pytest.raises(ValueError, match=message):
        make()
