"""Lost revenue of land whose totals are given, and the check that all of it adds up."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from fieldsim.errors import FieldsimError
from fieldsim.outcomes.revenue import check_balance, lost_revenue
from fieldsim.variables import CAUSES
from fieldsim.work.arrays import new_totals
from fieldsim.work.tasks import Group
from tests.farms import hand_farm

FARM = hand_farm()  # corn of 10 t/ha at $100/t
GROUPS = (Group("till", "corn"), Group("plant", "corn"))
CROPS = tuple(FARM.crops)
AGAIN = np.zeros((2, len(CROPS)))
POTENTIAL = 40 * 1000.0


def totals(**planting: float) -> NDArray[Any]:
    """Return totals of two seasons in which 40 ha are tilled; planting as given, in the second."""
    total = new_totals(2, 2)
    for name in ("area", "done"):
        total[name] = 40.0
    total["weighted"][:, 1] = 40.0
    for name, land in planting.items():
        total[name][1, 1] = land
    return total


def lost(total: NDArray[Any]) -> NDArray[np.float64]:
    return lost_revenue(FARM, GROUPS, total, CROPS, AGAIN)


def check(total: NDArray[Any], loss: NDArray[np.float64]) -> None:
    check_balance(FARM, GROUPS, total, loss, POTENTIAL, AGAIN)


def test_land_left_missed_and_prevented_is_lost_in_full() -> None:
    total = totals(done=25.0, weighted=25.0, left=8.0, missed=4.0, prevented=3.0)
    loss = lost(total)
    unplanted = loss[:, CROPS.index("corn"), CAUSES.index("unplanted")]
    assert unplanted == pytest.approx([0, (8 + 4 + 3) * 1000])
    assert loss.sum() == pytest.approx(unplanted.sum())
    check(total, loss)


def test_land_that_comes_to_nothing_is_told_though_the_revenue_is_right() -> None:
    total = totals()
    total["done"][1, 0] = 40.0 - 1e-6
    with pytest.raises(FieldsimError, match="does not add up"):
        check(total, lost(total))


@pytest.mark.parametrize("money", [1e-3, -1e-3])
def test_a_loss_that_is_off_is_told_though_all_land_is_there(money: float) -> None:
    total = totals(done=20.0, weighted=20.0, left=20.0)
    loss = lost(total)
    check(total, loss)
    loss[1, 0, 0] += money
    with pytest.raises(FieldsimError, match="does not add up"):
        check(total, loss)
    loss[1, 0, 0] -= money * (1 - 1e-3)  # what rounding may leave of $60,000
    check(total, loss)
