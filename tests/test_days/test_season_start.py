"""When the soil is warm, drawn from dates."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from fieldsim.days import DailyChain, WarmDates, drawn_warm_days
from fieldsim.season import CalendarDay, Season

SPRING = Season(date(2026, 4, 1), date(2026, 7, 31))
DATES = (CalendarDay(4, 11), CalendarDay(4, 21), CalendarDay(5, 6))
SHARES = (0.1, 0.5, 0.9)
DAYS = DailyChain((CalendarDay(4, 1),), (0.8,), (0.3,))
MANY = 20_000


def drawn(correlation: float = 0.0, seasons: int = MANY, seed: int = 0) -> np.ndarray:
    return drawn_warm_days(WarmDates(SHARES, DATES, correlation), DAYS, SPRING, seasons, seed)


@pytest.mark.parametrize("correlation", [0.0, 0.4, -1.0])
def test_dates_are_had_in_their_shares_of_years(correlation: float) -> None:
    days = drawn(correlation)
    for share, day in zip(SHARES, DATES, strict=True):
        # by the end of that day; half a day is the rounding to whole days
        low, high = (float((days <= SPRING.index(day) + half).mean()) for half in (-1, 0))
        band = 4 * np.sqrt(share * (1 - share) / MANY) + 0.02 * abs(correlation)
        assert low - band <= share <= high + band


def test_wet_springs_get_warm_late_as_far_as_the_correlation_says() -> None:
    wetness = -DAYS.draw(SPRING, MANY, 0).sum(axis=(1, 2))
    correlations = [np.corrcoef(drawn(rho), wetness)[0, 1] for rho in (-0.6, 0.0, 0.3, 0.6)]
    np.testing.assert_allclose(correlations, [-0.6, 0.0, 0.3, 0.6], atol=0.03)


def test_a_full_correlation_leaves_nothing_to_chance() -> None:
    wetness = -DAYS.draw(SPRING, 500, 0).sum(axis=(1, 2))
    in_order = drawn(1.0, 500)[np.argsort(wetness, kind="stable")]
    assert (np.diff(in_order) >= 0).all()


def test_the_first_seasons_of_a_long_draw_are_those_of_a_short_one() -> None:
    np.testing.assert_array_equal(drawn(0.4, 50), drawn(0.4, 500)[:50])
    assert (drawn(0.4, 50, seed=1) != drawn(0.4, 50)).any()


def test_dates_stay_in_the_season() -> None:
    early = WarmDates((0.1, 0.9), (CalendarDay(4, 1), CalendarDay(7, 31)))
    days = drawn_warm_days(early, DAYS, SPRING, 2000, 0)
    assert days.min() == 0
    assert days.max() == SPRING.days


@pytest.mark.parametrize(
    ("shares", "dates", "correlation"),
    [
        ((0.5,), DATES[:1], 0.0),
        ((0.5, 0.5), DATES[:2], 0.0),
        ((0.0, 0.5), DATES[:2], 0.0),
        ((0.1, 0.5), DATES, 0.0),
        (SHARES, DATES, 1.5),
    ],
)
def test_wrong_dates_are_refused(
    shares: tuple[float, ...], dates: tuple[CalendarDay, ...], correlation: float
) -> None:
    with pytest.raises(ValueError, match=r"allowed|two or more"):
        WarmDates(shares, dates, correlation)
