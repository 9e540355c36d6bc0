from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim.machines import field_capacity, least_cost_width, timeliness_cost

# Synthetic farm (chosen for this project, not published): 12 rows of 30 in at 9 km/h and 65 %.
CROP = {"yield_": 10.0, "price": 150.0, "coefficient": 0.007, "hours": 12.0, "suitable_share": 0.5}
MACHINE = {
    "speed": 9.0,
    "efficiency": 0.65,
    "ownership_share": 0.15,
    "price_per_width": 9_000.0,
    "labor": 20.0,
    "tractor": 40.0,
}


def delayed_loss(area: float, capacity: float, ahead: float) -> float:
    """Loss [$] added up over slivers of land, a share `ahead` of the work before the best day."""
    elapsed = area / (capacity * CROP["hours"] * CROP["suitable_share"])
    worked_at = (np.arange(100_000) + 0.5) / 100_000 * elapsed
    delay = np.abs(worked_at - ahead * elapsed)
    return float(CROP["coefficient"] * delay.mean() * area * CROP["yield_"] * CROP["price"])


def test_timeliness_of_the_synthetic_farm() -> None:
    capacity = field_capacity(9.0, 12 * 0.762, 0.65)
    assert float(capacity) == pytest.approx(5.349, abs=5e-4)
    assert 200 / (float(capacity) * 12 * 0.5) == pytest.approx(6.231, abs=5e-4)
    cost = timeliness_cost(area=200.0, capacity=capacity, spread=2, **CROP)
    assert float(cost) == pytest.approx(6_543, abs=0.5)


@pytest.mark.parametrize(("spread", "ahead"), [(2, 0.0), (2, 1.0), (4, 0.5)])
@pytest.mark.parametrize(("area", "capacity"), [(200.0, 5.349), (90.0, 2.0)])
def test_closed_form_equals_the_delay_added_up_over_the_land(
    spread: int, ahead: float, area: float, capacity: float
) -> None:
    cost = timeliness_cost(area=area, capacity=capacity, spread=spread, **CROP)
    assert float(cost) == pytest.approx(delayed_loss(area, capacity, ahead), rel=1e-6)


@pytest.mark.parametrize(
    ("area", "width", "without_loss"), [(100, 4.32, 2.76), (200, 7.71, 3.90), (400, 14.41, 5.51)]
)
def test_least_cost_width_of_the_synthetic_farm(
    area: float, width: float, without_loss: float
) -> None:
    arguments: dict[str, Any] = {**CROP, **MACHINE, "spread": 2}
    assert float(least_cost_width(area=area, **arguments)) == pytest.approx(width, abs=0.005)
    arguments["coefficient"] = 0.0
    assert float(least_cost_width(area=area, **arguments)) == pytest.approx(without_loss, abs=0.005)


def yearly_cost(width: np.ndarray, area: float, spread: int) -> np.ndarray:
    """Ownership, hours and delay of a machine of each width [$/year], written out."""
    capacity = width * MACHINE["speed"] * MACHINE["efficiency"] / 10
    hours = area / capacity
    elapsed = hours / (CROP["hours"] * CROP["suitable_share"])
    value = area * CROP["yield_"] * CROP["price"]
    return (
        MACHINE["ownership_share"] * MACHINE["price_per_width"] * width
        + (MACHINE["labor"] + MACHINE["tractor"]) * hours
        + CROP["coefficient"] * elapsed / spread * value
    )


@pytest.mark.parametrize("area", [100.0, 200.0, 400.0])
@pytest.mark.parametrize("spread", [2, 4])
def test_no_width_on_a_fine_grid_costs_less(area: float, spread: int) -> None:
    grid = np.arange(0.5, 40.0, 0.001)
    best = grid[np.argmin(yearly_cost(grid, area, spread))]
    width = least_cost_width(area=area, spread=spread, **CROP, **MACHINE)
    assert float(width) == pytest.approx(best, abs=0.001)


def test_width_grows_with_the_root_of_area_without_loss_and_with_area_where_loss_rules() -> None:
    areas = np.array([100.0, 400.0])
    no_loss = {**CROP, **MACHINE, "spread": 2, "coefficient": 0.0}
    small, large = least_cost_width(area=areas, **no_loss)
    assert large / small == pytest.approx(2.0)
    all_loss = {**CROP, **MACHINE, "spread": 2, "labor": 0.0, "tractor": 0.0}
    small, large = least_cost_width(area=areas, **all_loss)
    assert large / small == pytest.approx(4.0)


@given(area=st.floats(1, 1e4), capacity=st.floats(0.1, 50))
def test_loss_grows_with_the_square_of_area_and_halves_with_double_capacity(
    area: float, capacity: float
) -> None:
    once = timeliness_cost(area=area, capacity=capacity, spread=2, **CROP)
    assert timeliness_cost(area=2 * area, capacity=capacity, spread=2, **CROP) == pytest.approx(
        4 * once
    )
    assert timeliness_cost(area=area, capacity=2 * capacity, spread=2, **CROP) == pytest.approx(
        once / 2
    )


def test_capacities_of_several_machines_give_as_many_losses() -> None:
    losses = timeliness_cost(area=200.0, capacity=[2.0, 4.0, 8.0], spread=4, **CROP)
    assert losses.shape == (3,)
    assert losses.dtype == np.float64
    assert timeliness_cost(area=200.0, capacity=2.0, spread=4, **CROP).shape == ()


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"spread": 3}, r"spread = 3: 2 \(work starts or ends at the best date\) or 4"),
        ({"area": -1.0}, r"area = -1 ha"),
        ({"yield_": -1.0}, r"yield_ = -1 t/ha"),
        ({"price": -1.0}, r"price = -1 \$/t"),
        ({"coefficient": -0.1}, r"coefficient = -0.1 1/day"),
        ({"capacity": 0.0}, r"capacity = 0 ha/h"),
        ({"hours": 30.0}, r"hours = 30 h/day"),
        ({"suitable_share": 50.0}, r"suitable_share = 50: .*above 0 and of at most 1"),
    ],
)
def test_timeliness_out_of_range_is_named(change: dict[str, float], message: str) -> None:
    arguments: dict[str, Any] = {**CROP, "area": 100.0, "capacity": 5.0, "spread": 2, **change}
    with pytest.raises(ValueError, match=message):
        timeliness_cost(**arguments)


@pytest.mark.parametrize(
    "name",
    [
        *("area", "speed", "efficiency", "ownership_share", "price_per_width"),
        *("labor", "tractor", "coefficient"),
    ],
)
def test_least_cost_width_out_of_range_is_named(name: str) -> None:
    arguments: dict[str, Any] = {**CROP, **MACHINE, "area": 100.0, "spread": 2, name: -1.0}
    with pytest.raises(ValueError, match=f"{name} = -1"):
        least_cost_width(**arguments)
