"""The simulated cost of delay against the closed form of the machinery-management textbooks.

Timeliness cost W = K A^2 Y V / (Z G C p) a year: ASABE EP496, Agricultural Machinery Management;
Hunt (2001), Farm Power and Machinery Management; Srivastava et al. (2006), Engineering Principles
of Agricultural Machines, 2nd ed. (form from memory, confirmed by its derivation: the work takes
A / (C G p) days; the mean delay is half of them where it starts at the best date, Z = 2, and a
quarter where it is spread evenly around it, Z = 4; each day of delay costs K A Y V).

The closed form lets work and loss flow through the day; the simulation counts whole days, so that
all land of a day has the loss of that day. With n days of work this shortens the mean delay by half
a day where work starts at the best date: an error of 1/n, gone in the limit of many days.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

import fieldsim
from fieldsim.days import DailyChain, Given
from fieldsim.season import CalendarDay
from tests.one_field import CAPACITY, HOURS, PRICE, YIELD, one_field

K = 0.002  # share of crop value lost for each day of delay [1/day]
SHARE = 0.6  # suitable share of every day
DAYS_OF_WORK = [10, 20, 40, 80, 160]
ANY_CHAIN = "date,suitable_after_suitable,suitable_after_unsuitable\n1 Apr,0.5,0.5\n"


def closed_form(area: float, share: float, spread: int) -> float:
    """W [$/year]."""
    return K * area**2 * YIELD * PRICE / (spread * HOURS * CAPACITY * share)


def farm_that_starts(first: str, best: str, area: float, before: float = 0.0) -> fieldsim.Farm:
    """A farm whose planting starts on the day `first` and loses K a day from the day `best` on."""
    plateau = f'full_from = "{best}", loss_before = "{100 * before} %/day"'
    losses = f'losses = [{{ from = "{best}", loss = "{100 * K} %/day" }}]'
    text = one_field(
        area=area,
        curve=f"{{ plateau = {{ {plateau}, {losses} }} }}",
        earliest=first,
        first_day="1 Apr",
        last_day="31 Dec",
    )
    return fieldsim.parse_farm(text, {"days.csv": ANY_CHAIN})


def mean_loss(farm: fieldsim.Farm, share: float) -> float:
    """Loss [$] when every day is suitable for the same share of its hours."""
    days = Given(np.full((1, 1, farm.season.days), share))
    outcomes = fieldsim.simulate(replace(farm, day_source=days), seasons=1)
    assert float(outcomes.unfinished_area.sum()) == 0
    return float(outcomes.lost_revenue.sum())


def error_from_the_best_date(days_of_work: int) -> float:
    """Relative error of the closed form's limit when work starts at the best date."""
    area = days_of_work * HOURS * CAPACITY * SHARE
    loss = mean_loss(farm_that_starts("10 Apr", "10 Apr", area), SHARE)
    return 1 - loss / closed_form(area, SHARE, spread=2)


def test_error_of_work_that_starts_at_the_best_date_falls_as_one_over_its_days() -> None:
    errors = [error_from_the_best_date(n) for n in DAYS_OF_WORK]
    assert errors == pytest.approx([1 / n for n in DAYS_OF_WORK], rel=1e-6)
    assert errors[-1] < 0.01


def test_half_a_day_of_delay_is_all_that_parts_simulation_and_closed_form() -> None:
    # Also where the work ends within a day: the piece of the last day is planted that day.
    for days_of_work in (10.0, 40.0, 40.5, 160.25):
        area = days_of_work * HOURS * CAPACITY * SHARE
        loss = mean_loss(farm_that_starts("10 Apr", "10 Apr", area), SHARE)
        with_half_a_day = loss + 0.5 * K * area * YIELD * PRICE
        tolerance = 0.25 / days_of_work**2  # of a last day that is worked in part
        assert with_half_a_day == pytest.approx(closed_form(area, SHARE, 2), rel=tolerance + 1e-9)


def test_work_spread_evenly_around_the_best_date_costs_half_as_much() -> None:
    # 2 n + 1 days around 10 July. Delays of whole days average n (n + 1) / (2 n + 1), a quarter of
    # the span but for 1 / (2 n + 1)^2.
    errors = []
    for n in (5, 10, 20, 40, 80):
        area = (2 * n + 1) * HOURS * CAPACITY * SHARE
        first = CalendarDay(7, 10).day_of_year - n
        start = np.datetime64("2026-01-01") + first - 1
        farm = farm_that_starts(f"{start.item():%-d %b}", "10 Jul", area, before=K)
        errors.append(1 - mean_loss(farm, SHARE) / closed_form(area, SHARE, spread=4))
    assert errors == pytest.approx([1 / (2 * n + 1) ** 2 for n in (5, 10, 20, 40, 80)], rel=1e-6)


def test_loss_on_days_that_are_suitable_by_chance_agrees_in_the_mean() -> None:
    # Whole days, each suitable with chance p: the k-th suitable day is the k/p-th on average, and
    # comes k/p - 1 days after the best date. The mean delay of n days' work is then
    # (n + 1) / (2 p) - 1, the closed form's n / (2 p) but for a share of (1 - 2 p) / n.
    p, seasons = 0.7, 4000
    for n in (10, 40, 100):
        area = n * HOURS * CAPACITY
        chain = DailyChain((CalendarDay(4, 1),), (p,), (p,))
        farm = replace(farm_that_starts("10 Apr", "10 Apr", area), day_source=chain)
        losses = fieldsim.simulate(farm, seasons).lost_revenue.squeeze().to_numpy()
        expected = closed_form(area, p, spread=2) * (1 + (1 - 2 * p) / n)
        error = losses.std() / np.sqrt(seasons)
        assert error < 0.01 * expected
        assert losses.mean() == pytest.approx(expected, abs=4 * error)
