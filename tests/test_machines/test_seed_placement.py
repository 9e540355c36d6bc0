from __future__ import annotations

import pytest

from fieldsim.machines.seed_placement import seed_placement_crops, seed_placement_limit

LB_PER_ACRE = 0.45359237 / 0.40468564224  # kg/ha
INCH = 0.0254


def test_the_limit_of_corn_in_30_inch_rows_is_ten_pounds_an_acre() -> None:
    """10 lb N + K2O per acre in 30-inch rows: common practice, from memory."""
    assert seed_placement_limit("corn", 30 * INCH) == pytest.approx(10 * LB_PER_ACRE)


def test_a_length_of_row_stands_the_same_whatever_its_distance_and_half_on_sand() -> None:
    wide = seed_placement_limit("corn", 0.9)
    assert seed_placement_limit("corn", 0.45) == pytest.approx(2 * wide)
    assert seed_placement_limit("corn", 0.9, coarse=True) == pytest.approx(wide / 2)


def test_nothing_goes_with_the_seed_of_soybeans() -> None:
    assert seed_placement_limit("soybean", 0.762) == 0


def test_other_crops_and_impossible_rows_are_refused() -> None:
    assert seed_placement_crops() == ("corn", "soybean")
    with pytest.raises(ValueError, match="'wheat': corn, soybean are allowed"):
        seed_placement_limit("wheat", 0.2)
    with pytest.raises(ValueError, match="row_spacing"):
        seed_placement_limit("corn", 0.0)
