from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from fieldsim.plots.labels import _rising, spread


@given(st.lists(st.floats(0, 1), min_size=1, max_size=12), st.floats(0, 0.5))
def test_places_keep_their_order_and_distance_and_stay_inside(heights: list, gap: float) -> None:
    places = spread(sorted(heights), gap)
    allowed = min(gap, 1 / max(1, len(heights) - 1))
    assert np.all(np.diff(places) >= allowed - 1e-9)
    assert places[0] >= -1e-9
    assert places[-1] <= 1 + 1e-9


def test_places_far_enough_apart_are_left_where_they_are() -> None:
    assert spread([0.1, 0.5, 0.9], 0.2) == pytest.approx([0.1, 0.5, 0.9])


def test_places_at_the_top_are_pushed_down_and_no_others() -> None:
    assert spread([0.3, 1.0, 1.0, 1.0], 0.1) == pytest.approx([0.3, 0.8, 0.9, 1.0])


@given(st.lists(st.floats(-2, 2), min_size=1, max_size=12))
def test_the_nearest_rising_numbers_are_those_of_scipy(wanted: list) -> None:
    numbers = np.array(wanted)
    assert _rising(numbers) == pytest.approx(isotonic_regression(numbers).x, abs=1e-12)
