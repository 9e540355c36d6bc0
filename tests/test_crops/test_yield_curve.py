from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim.crops import (
    PlateauCurve,
    QuadraticCurve,
    TableCurve,
    YieldCurve,
    quadratic_yield,
    relative_yield,
    table_yield,
)

TABLE = TableCurve((110.0, 120.0, 140.0, 150.0), (0.9, 1.0, 0.8, 0.6), "made up", "this test")
QUADRATIC = QuadraticCurve(best_day=118.0, curvature=2e-4)
PLATEAU = PlateauCurve(100.0, 0.002, ((130.0, 0.005), (150.0, 0.012), (170.0, 0.002)))
CURVES = [TABLE, QUADRATIC, PLATEAU]
FINITE_DAYS = st.floats(-1000, 2000)


@st.composite
def curves(draw: st.DrawFn) -> YieldCurve:
    kind = draw(st.sampled_from(["table", "quadratic", "plateau"]))
    slope = st.floats(0, 0.1)
    if kind == "quadratic":
        return QuadraticCurve(draw(st.floats(60, 200)), draw(st.floats(0, 0.01)))
    days = sorted(draw(st.lists(st.integers(60, 400), min_size=2, max_size=6, unique=True)))
    if kind == "table":
        shares = draw(st.lists(st.floats(0.01, 1), min_size=len(days), max_size=len(days)))
        return TableCurve(tuple(map(float, days)), tuple(shares))
    return PlateauCurve(days[0], draw(slope), tuple((day, draw(slope)) for day in days[1:]))


@given(curve=curves(), days=st.lists(FINITE_DAYS, min_size=1, max_size=20))
def test_relative_yield_lies_in_0_to_1_for_every_curve_and_day(
    curve: YieldCurve, days: list[float]
) -> None:
    shares = relative_yield(curve, days)
    assert shares.shape == (len(days),)
    assert shares.dtype == np.float64
    assert ((shares >= 0) & (shares <= 1)).all()


@pytest.mark.parametrize("curve", CURVES)
def test_best_yield_is_1(curve: YieldCurve) -> None:
    assert relative_yield(curve, np.arange(80, 200)).max() == 1.0


@pytest.mark.parametrize("curve", CURVES)
def test_shape_of_the_days_is_kept(curve: YieldCurve) -> None:
    days = np.array([[100, 110, 120], [130, 140, 150]])
    shares = relative_yield(curve, days)
    assert shares.shape == (2, 3)
    single = relative_yield(curve, 140)
    assert isinstance(single, np.ndarray)
    assert single.shape == ()
    assert single == shares[1, 1]


@pytest.mark.parametrize("curve", CURVES)
def test_yield_falls_to_0_and_stays_there_when_planting_is_late_enough(curve: YieldCurve) -> None:
    shares = relative_yield(curve, np.arange(150, 700))
    assert (np.diff(shares) <= 0).all()
    assert shares[-1] == 0.0


@pytest.mark.parametrize("day", [float("nan"), float("inf")])
@pytest.mark.parametrize("curve", CURVES)
def test_days_that_are_no_number_are_refused(curve: YieldCurve, day: float) -> None:
    with pytest.raises(ValueError, match="day_of_year: only finite numbers are allowed"):
        relative_yield(curve, [120, day])


def test_something_else_is_not_a_yield_curve() -> None:
    with pytest.raises(TypeError, match="str is not a yield curve"):
        relative_yield("corn", 120)  # type: ignore[arg-type]


def test_a_table_gives_its_points_and_straight_lines_between_them() -> None:
    np.testing.assert_allclose(relative_yield(TABLE, TABLE.days), TABLE.relative)
    np.testing.assert_allclose(relative_yield(TABLE, [115, 125, 130]), [0.95, 0.95, 0.9])


def test_a_table_holds_its_first_value_and_goes_on_down_after_its_last() -> None:
    np.testing.assert_allclose(relative_yield(TABLE, [1, 109]), 0.9)
    np.testing.assert_allclose(
        relative_yield(TABLE, [151, 160, 170, 180, 181]), [0.58, 0.4, 0.2, 0, 0]
    )


def test_a_table_that_ends_rising_or_level_holds_its_last_value() -> None:
    assert table_yield(300, [110, 120, 130], [1.0, 0.8, 0.9]) == pytest.approx(0.9)
    assert table_yield(300, [110, 120, 130], [1.0, 0.8, 0.8]) == pytest.approx(0.8)
    assert table_yield(125, [110, 120, 130], [1.0, 0.8, 0.9]) == pytest.approx(0.85)


def test_a_table_is_taken_relative_to_its_own_best() -> None:
    halved = TableCurve(TABLE.days, tuple(share / 2 for share in TABLE.relative))
    days = np.arange(90, 200)
    np.testing.assert_allclose(relative_yield(halved, days), relative_yield(TABLE, days))


def test_a_quadratic_loses_as_much_before_as_after_its_best_day() -> None:
    offsets = np.arange(0, 90)
    early, late = (relative_yield(QUADRATIC, 118 + sign * offsets) for sign in (-1, 1))
    np.testing.assert_allclose(early, late)
    assert late[10] == pytest.approx(0.98)
    assert quadratic_yield(118 + 71, 118, 2e-4) == 0.0


def test_a_plateau_changes_slope_at_each_of_its_days() -> None:
    shares = relative_yield(PLATEAU, [50, 100, 115, 130, 131, 150, 151, 170, 171])
    expected = [0.9, 1, 1, 1, 0.995, 0.9, 0.888, 0.66, 0.658]
    np.testing.assert_allclose(shares, expected)


def test_a_plateau_of_one_day_is_a_peak() -> None:
    peak = PlateauCurve(120.0, 0.01, ((120.0, 0.02),))
    np.testing.assert_allclose(relative_yield(peak, [119, 120, 121]), [0.99, 1.0, 0.98])


def test_a_table_may_end_in_a_whole_loss() -> None:
    np.testing.assert_array_equal(
        relative_yield(TableCurve((1.0, 3.0), (1.0, 0.0)), [2, 3]), [0.5, 0]
    )


def test_curves_in_a_season_over_new_year_count_on_past_365() -> None:
    southern = TableCurve((350.0, 380.0), (1.0, 0.7))
    np.testing.assert_allclose(relative_yield(southern, [365, 366, 15]), [0.85, 0.84, 1.0])


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: TableCurve((1.0,), (1.0,)), r"1 days and 1 relative yields: at least two days"),
        (lambda: TableCurve((1.0, 2.0), (1.0,)), r"2 days and 1 relative yields"),
        (lambda: TableCurve((2.0, 2.0), (1.0, 0.9)), r"days = 2 after 2: rising days are"),
        (lambda: TableCurve((1.0, float("nan")), (1.0, 0.9)), r"days = nan: a finite number"),
        (lambda: TableCurve((1.0, 2.0), (100.0, 90.0)), r"relative = \(100.0, 90.0\): numbers"),
        (lambda: TableCurve((1.0, 2.0), (1.0, -1e-9)), r"from 0 to 1, one above 0"),
        (lambda: TableCurve((1.0, 2.0), (1.0 + 1e-9, 0.5)), r"from 0 to 1, one above 0"),
        (lambda: TableCurve((1.0, 2.0), (0.0, 0.0)), r"from 0 to 1, one above 0"),
        (lambda: TableCurve((1.0, 2.0), (float("nan"), 0.5)), r"relative = \(nan, 0.5\)"),
        (lambda: QuadraticCurve(float("inf"), 1e-4), r"best_day = inf: a finite number"),
        (lambda: QuadraticCurve(120.0, -1e-4), r"curvature = -0.0001: a loss of at least 0"),
        (lambda: PlateauCurve(100.0, 0.0, ()), r"slopes = \(\): at least one"),
        (lambda: PlateauCurve(100.0, -0.1, ((110.0, 0.1),)), r"slope_before = -0.1"),
        (lambda: PlateauCurve(100.0, 0.0, ((110.0, -0.1),)), r"slopes = -0.1: a loss of at"),
        (lambda: PlateauCurve(100.0, 0.0, ((90.0, 0.1),)), r"slopes = 90 at first: .*\(100\)"),
        (lambda: PlateauCurve(100.0, 0.0, ((90.0, 0.1), (110.0, 0.2))), r"slopes = 90 at first"),
        (lambda: PlateauCurve(100.0, 0.0, ((120.0, 0.1), (120.0, 0.2))), r"120 after 120"),
    ],
)
def test_curves_that_break_their_rules_are_refused(make: object, message: str) -> None:
    assert callable(make)
    with pytest.raises(ValueError, match=message):
        make()
