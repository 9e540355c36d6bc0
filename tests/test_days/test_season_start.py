"""When the soil is warm, drawn from dates."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np
import pytest
from scipy.special import ndtr

from fieldsim.days import DailyChain, WarmDates, drawn_warm_days
from fieldsim.randomness import Seasons, count_of, stream
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


def test_dates_between_and_beyond_the_percentiles_are_on_straight_lines() -> None:
    dates = (CalendarDay(4, 11), CalendarDay(4, 21), CalendarDay(5, 11))
    warm = WarmDates((0.25, 0.5, 0.75), dates)
    shares = ndtr(stream(0, "days.warm").standard_normal(1000))
    # 10 days a quarter up to the median, then 20: from 1 April to 31 May.
    expected = np.where(shares < 0.5, 40 * shares, 20 + 80 * (shares - 0.5))
    found = drawn_warm_days(warm, DAYS, SPRING, 1000, 0)
    np.testing.assert_array_equal(found, np.rint(expected))


def test_the_wettest_and_the_driest_spring_are_half_a_pilot_season_from_the_ends() -> None:
    # Of 2,000 pilot seasons: the shares 1/4000 and 3999/4000 of the years.
    rare = WarmDates((0.001, 0.002), (CalendarDay(4, 21), CalendarDay(5, 11)), 1.0)
    often = WarmDates((0.998, 0.999), (CalendarDay(4, 21), CalendarDay(5, 11)), 1.0)
    driest, wettest = (
        drawn_warm_days(warm, Known(suitable), SPRING, 1, 0)[0]
        for warm, suitable in ((rare, 1.0), (often, 0.0))
    )
    assert driest == 20 - round(20 * 0.75)
    assert wettest == 40 + round(20 * 0.75)


@dataclass(frozen=True)
class Known:
    """A pilot of seasons with one to two days in all, then one season of the given share."""

    suitable: float
    soils = ("any",)

    def draw(self, season: Season, seasons: Seasons, seed: int) -> np.ndarray:  # noqa: ARG002
        if seasons == 1:
            return np.full((1, 1, season.days), self.suitable)
        shares = np.zeros((count_of(seasons), 1, season.days))
        shares[:, 0, 0] = 1.0
        shares[:, 0, 1] = np.linspace(0.0, 1.0, len(shares))
        return shares


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
