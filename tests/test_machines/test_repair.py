from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from fieldsim.machines import (
    accumulated_repair_share,
    machine_class,
    machine_classes,
    mean_yearly_repairs,
    repair_cost,
    yearly_repairs,
)

CLASSES = st.sampled_from(machine_classes())
HOURS = st.floats(0, 10_000)
TRACTOR = machine_class("tractor_medium")


def test_equation_of_a_chisel_plow_by_hand() -> None:
    share = accumulated_repair_share(machine_class("chisel_plow"), 2_000)
    assert share.shape == ()
    assert float(share) == pytest.approx(0.28 * 2**1.4)


@given(name=CLASSES, start=HOURS, middle=HOURS, end=HOURS)
def test_repairs_of_two_stretches_add_up(
    name: str, start: float, middle: float, end: float
) -> None:
    start, middle, end = sorted((start, middle, end))
    kind = machine_class(name)
    parts = repair_cost(50_000, kind, [start, middle], [middle, end])
    assert parts.sum() == pytest.approx(float(repair_cost(50_000, kind, start, end)), abs=1e-3)
    assert (parts >= 0).all()


def test_repairs_of_a_stretch_are_the_integral_of_the_cost_of_an_hour() -> None:
    kind = machine_class("row_cultivator")

    def cost_of_an_hour(hours: float) -> float:
        return 20_000 * kind.rf1 * kind.rf2 / 1_000 * (hours / 1_000) ** (kind.rf2 - 1)

    expected, _ = quad(cost_of_an_hour, 300, 900)
    assert float(repair_cost(20_000, kind, 300, 900)) == pytest.approx(expected)


@given(name=CLASSES, hours=HOURS, use=st.floats(1, 600), years=st.integers(1, 30))
def test_years_of_repairs_add_up_to_the_stretch_and_average_to_the_mean(
    name: str, hours: float, use: float, years: int
) -> None:
    kind = machine_class(name)
    each = yearly_repairs(50_000, kind, hours, use, years)
    assert each.shape == (years,)
    end = hours + use * years
    assert each.sum() == pytest.approx(float(repair_cost(50_000, kind, hours, end)), rel=1e-9)
    mean = float(mean_yearly_repairs(50_000, kind, hours, use, years))
    assert each.mean() == pytest.approx(mean, rel=1e-9)


@pytest.mark.parametrize("name", machine_classes())
def test_repairs_grow_from_year_to_year(name: str) -> None:
    each = yearly_repairs(50_000, machine_class(name), 0, 100, 12)
    assert (np.diff(each) > 0).all()


def test_a_used_tractor_needs_more_repairs_than_a_new_one_for_the_same_work() -> None:
    # With RF2 = 2 the cost of an hour grows in a straight line: hours 4,000 to 6,000 lie around
    # 5,000, and 0 to 2,000 around 1,000, so the used one costs five times as much.
    used, new = mean_yearly_repairs(80_000, TRACTOR, [4_000, 0], 400, 5)
    assert used == pytest.approx(5 * new)


def test_a_machine_that_stands_still_needs_no_repairs() -> None:
    np.testing.assert_array_equal(yearly_repairs(80_000, TRACTOR, 3_000, 0, 4), 0.0)


def test_repairs_broadcast_over_machines_of_a_class() -> None:
    cost = mean_yearly_repairs(np.array([[50_000], [80_000]]), TRACTOR, 0, [200, 400, 600], 10)
    assert cost.shape == (2, 3)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: accumulated_repair_share(TRACTOR, -1), r"hours = -1 h"),
        (lambda: repair_cost(-1, TRACTOR, 0, 1), r"list_price = -1 \$"),
        (lambda: repair_cost(1, TRACTOR, 5, 2), r"end - start = -3 h: .* at least 0 h"),
        (lambda: repair_cost(1, TRACTOR, -1, 2), r"start = -1 h"),
        (lambda: mean_yearly_repairs(1, TRACTOR, 0, 100, 0), r"years = 0 years"),
        (lambda: mean_yearly_repairs(1, TRACTOR, 0, -1, 1), r"yearly_hours = -1 h/year"),
        (lambda: yearly_repairs(1, TRACTOR, 0, 100, 0), r"years = 0 years"),
        (lambda: yearly_repairs(1, TRACTOR, 0, 100, 2.5), r"years = 2.5 years: whole years"),
        (lambda: yearly_repairs(1, TRACTOR, -1, 100, 2), r"hours = -1 h"),
    ],
)
def test_repairs_out_of_range_are_named(make: object, message: str) -> None:
    assert callable(make)
    with pytest.raises(ValueError, match=message):
        make()
