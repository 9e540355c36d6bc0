from __future__ import annotations

import numpy as np
import pytest

from fieldsim.crops import WetSoil, wet_soil_loss


def test_nothing_is_lost_unless_it_is_asked_for() -> None:
    np.testing.assert_array_equal(wet_soil_loss(WetSoil(), [0.0, 0.4, 1.0]), 0.0)


def test_loss_is_in_proportion_to_land_surface_and_figure() -> None:
    packed = wet_soil_loss(WetSoil(yield_loss=0.14), [0.0, 0.5, 1.0])
    np.testing.assert_allclose(packed, [0, 0.07, 0.14])
    np.testing.assert_allclose(wet_soil_loss(WetSoil(0.14, tracked=0.5), [0, 0.5, 1]), packed / 2)


@pytest.mark.parametrize(("yield_loss", "tracked"), [(1.1, 1.0), (-0.1, 1.0), (0.1, 2.0)])
def test_shares_that_cannot_be_are_refused(yield_loss: float, tracked: float) -> None:
    with pytest.raises(ValueError, match="a number from 0 to 1 is allowed"):
        WetSoil(yield_loss, tracked)


def test_a_share_of_land_out_of_range_is_refused() -> None:
    with pytest.raises(ValueError, match=r"worked_wet = 1.2"):
        wet_soil_loss(WetSoil(0.1), 1.2)
