"""Weeds and insurance rules against their publications and each other.

The tables are typed here a second time. Checks by other studies hold only where they are said to;
where a study contradicts the tables, the test says so and by how much.
"""

from __future__ import annotations

import numpy as np
import pytest

from fieldsim.crops import (
    insured_share,
    loss_after_passes,
    prevented_planting_payment,
    published_figure,
    published_insurance,
    published_weed_competition,
    published_weed_competitions,
    revenue_guarantee,
    weed_loss,
)
from fieldsim.quantities import factor, parse
from fieldsim.season import parse_calendar_day

ACRES = factor("area", "us")  # in a hectare
TEST_WEIGHT = parse("56 lb/bu", "test_weight")

# Soltani, Shropshire & Sikkema (2022), Weed Technology 36(2), doi 10.1017/wet.2022.10 (corn), and
# Weed Technology 36 (soybean), abstracts; Ontario 2017-2019. Loss [%] by day after emergence on
# which weeds were removed.
REMOVED = {
    "corn_ontario_low": {14: 1, 20: 2.5, 27: 5, 44: 10},
    "corn_ontario_high": {5: 1, 7: 2.5, 11: 5, 17: 10, 25: 25, 59: 50},
    "soybean_ontario_low": {24: 2.5, 30: 5, 37: 10, 53: 25},
    "soybean_ontario_high": {8: 2.5, 10: 5, 14: 10, 23: 25},
}
# The same abstract, corn: weed height [cm] when each loss was reached.
HEIGHTS = {
    "low": ([1, 4, 11, 53], [1, 2.5, 5, 10]),
    "high": ([3, 5, 7, 11, 27], [1, 2.5, 5, 10, 25]),
}


def percent(name: str, days_after_emergence: float) -> float:
    return 100 * float(weed_loss(published_weed_competition(name), days_after_emergence))


def day(date: str) -> int:
    return parse_calendar_day(date).day_of_year


def day_of_loss(name: str, loss: float) -> float:
    """Day after emergence on which weeds have cost a loss [%]."""
    days = np.arange(0, 120, 0.01)
    losses = 100 * weed_loss(published_weed_competition(name), days)
    return float(np.interp(loss, losses, days))


def day_of_height(density: str, height: float) -> float:
    """Day after emergence on which weeds in corn have a height [cm]."""
    heights, losses = HEIGHTS[density]
    return day_of_loss(f"corn_ontario_{density}", float(np.interp(height, heights, losses)))


def test_every_shipped_table_is_typed_here() -> None:
    assert sorted(REMOVED) == sorted(published_weed_competitions())


@pytest.mark.parametrize(
    ("name", "removed", "loss"),
    [(name, at, loss) for name, points in REMOVED.items() for at, loss in points.items()],
)
def test_every_published_loss_comes_back(name: str, removed: int, loss: float) -> None:
    assert percent(name, removed) == pytest.approx(loss)


# Soltani et al. (2016), Weed Technology 30: about 50 % of corn yield; Soltani et al. (2017), Weed
# Technology 31: 52.1 % of soybean yield, where weeds are never removed.
@pytest.mark.parametrize(
    ("name", "loss"),
    [("corn_ontario_high", 50), ("soybean_ontario_low", 52.1), ("soybean_ontario_high", 52.1)],
)
def test_weeds_left_all_season_take_the_published_share(name: str, loss: float) -> None:
    assert percent(name, np.inf) == pytest.approx(loss)


# The mean of 50 % contradicts Ontario's corn of low density, where a loss of 25 % was beyond what
# the trials showed: the table keeps to its own trials, and comes up to them only in late season.
def test_corn_of_low_weed_density_stays_within_what_its_trials_showed() -> None:
    assert percent("corn_ontario_low", np.inf) == pytest.approx(25)
    assert percent("corn_ontario_low", 90) < 25


# The same abstract, corn: weeds must be controlled by 7 cm, 11 days after emergence, to avoid a
# loss of more than 5 %.
def test_height_and_days_of_the_ontario_abstract_go_together() -> None:
    assert day_of_height("high", 7) == pytest.approx(11, abs=0.1)


# Gower et al. (2003), Weed Technology 17, 35 sites of the north-central states in 1998-1999, one
# glyphosate spray: % of weed-free corn yield by weed height [cm].
GOWER = {5: 93, 10: 94, 15: 93, 23: 91, 30: 79}


@pytest.mark.parametrize("height", [10, 15, 23, 30])
def test_north_central_corn_lies_between_ontarios_low_and_high_density(height: int) -> None:
    low, high = (
        percent(f"corn_ontario_{density}", day_of_height(density, height))
        for density in ("low", "high")
    )
    assert low < 100 - GOWER[height] < high


# At 5 cm it does not: 7 % was lost, as weeds came up after so early a spray and stayed. The tables
# hold for weeds kept off from their removal on.
def test_the_earliest_spray_of_the_north_central_trials_lost_more_than_the_tables_have() -> None:
    assert 100 - GOWER[5] == 7
    assert percent("corn_ontario_high", day_of_height("high", 5)) == pytest.approx(2.5, abs=0.1)


# Gunsolus, University of Minnesota: weeds left after 10 cm (4 in) in corn of V3-V4 take
# 12-13 bu/acre in the first week, 27-29 by the second, 3 bu/acre a day. Its corn yield is not told:
# 150 bu/acre is assumed here.
def test_first_and_second_week_past_4_inch_weeds_lie_between_low_and_high_density() -> None:
    lost = {}
    for density in ("low", "high"):
        name, start = f"corn_ontario_{density}", day_of_height(density, 10)
        lost[density] = [1.5 * (percent(name, start + n) - percent(name, start)) for n in (7, 14)]
    assert lost["low"][0] < 12 < 13 < lost["high"][0]
    assert lost["low"][1] < 27 < 29 < lost["high"][1]


# The same figures contradict each other: 12-13 and 27-29 bu/acre are 1.7 to 2.1 a day, not 3. At
# 150 bu/acre 3 a day is 2 %, a little more than even high density takes at its fastest.
def test_3_bushels_a_day_is_more_than_the_tables_and_its_own_weekly_figures_have() -> None:
    fastest = (percent("corn_ontario_high", 25) - percent("corn_ontario_high", 17)) / 8
    assert fastest == pytest.approx(1.875)
    assert 29 / 14 < 1.5 * fastest < 3


# P. Sikkema, University of Guelph, in Country Guide: delay of the spray in corn costs 0.5 bu/acre a
# day in older trials, about 1 in newer ones, up to 3.5 where weeds are thick. 180 bu/acre assumed.
def test_daily_loss_of_the_tables_spans_that_of_earlier_ontario_trials() -> None:
    low = 1.8 * (percent("corn_ontario_low", 44) - percent("corn_ontario_low", 14)) / 30
    high = 1.8 * (percent("corn_ontario_high", 25) - percent("corn_ontario_high", 17)) / 8
    assert low == pytest.approx(0.5, abs=0.1)
    assert low < 1.0 < high
    assert high == pytest.approx(3.5, abs=0.2)


# Evans, Knezevic, Lindquist et al. (2003), Nebraska 1999-2000: the critical period of dryland corn
# begins (5 % loss) 8, 10, 15 and 20 days after emergence with 0, 55, 110 and 210 lb/acre of
# nitrogen. Fed corn lies between the tables; hungry corn suffers up to 3 days before the worse one.
@pytest.mark.parametrize(("nitrogen", "begins"), [(110, 15), (210, 20)])
def test_critical_period_of_fed_corn_begins_between_the_tables(nitrogen: int, begins: int) -> None:
    high, low = (day_of_loss(f"corn_ontario_{d}", 5) for d in ("high", "low"))
    assert high < begins < low, f"{nitrogen} lb/acre"


@pytest.mark.parametrize(("nitrogen", "begins"), [(0, 8), (55, 10)])
def test_critical_period_of_hungry_corn_begins_before_both(nitrogen: int, begins: int) -> None:
    assert 0 < day_of_loss("corn_ontario_high", 5) - begins <= 3.01, f"{nitrogen} lb/acre"


# Knezevic, Evans & Mainz (2003), Weed Technology 17:666-673, Nebraska 1999-2001: the critical
# period of soybean begins 9 (rows of 30 in) to 19 (7.5 in) days after emergence.
def test_critical_period_of_soybean_begins_at_or_past_high_density() -> None:
    high, low = (day_of_loss(f"soybean_ontario_{d}", 5) for d in ("high", "low"))
    assert high < 19 < low
    assert high == pytest.approx(9, abs=1.01)


# Knezevic, University of Nebraska: waiting past the start costs 2 % a leaf stage. In the abstract
# corn goes from 5 to 10 % in four stages (V7-V11) at low density, in one (V3-V4) at high.
def test_2_percent_a_leaf_stage_lies_between_low_and_high_density() -> None:
    low = (percent("corn_ontario_low", 44) - percent("corn_ontario_low", 27)) / (11 - 7)
    high = (percent("corn_ontario_high", 17) - percent("corn_ontario_high", 11)) / (4 - 3)
    assert low < 2 < high


# B. Hartzler, Iowa State University, 2009: northern Iowa in 2008 lost 10 % as early as V2. High
# density in Ontario comes to V2 on day 7 and to that loss ten days later: worse land than either
# table exists.
def test_northern_iowa_in_2008_lost_by_v2_what_high_density_in_ontario_loses_10_days_later() -> (
    None
):
    assert percent("corn_ontario_high", 7) < 10
    assert day_of_loss("corn_ontario_high", 10) - 7 == pytest.approx(10, abs=0.1)


# Iowa State University ICM (17 May 2004): a cultivation removes 70-80 % of weeds between rows; ICM
# (24 May 1999): 50-60 % in the end, 70-90 % right after. Forcella (2000): two hoeings about 50 %.
@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("cultivation_between_rows", 70, 80),
        ("cultivation", 50, 60),
        ("cultivation_at_once", 70, 90),
        ("two_hoeings", 50, 50),
    ],
)
def test_control_of_passes_is_as_published(name: str, low: float, high: float) -> None:
    assert published_figure("weed_control", name)[1:4] == (low, high, "%")


# Mohler, Frisch & Mt. Pleasant (1997): the best mechanical program (hoeings and cultivations)
# yields about as much as herbicide. Two hoeings (50 % together) at emergence and 4 days later, and
# three cultivations of 70 % from 12 days on come within 4 % of weed-free corn at low density. At
# high density the model leaves 7 %: it has no program that equals herbicide on such land.
def test_a_full_mechanical_program_costs_little_where_weeds_are_few() -> None:
    hoeing = 1 - 0.5**0.5
    controls = [hoeing, hoeing, 0.7, 0.7, 0.7]
    low, high = (
        loss_after_passes(
            published_weed_competition(f"corn_ontario_{density}"), [0, 4, 12, 20, 28], controls
        )
        for density in ("low", "high")
    )
    assert low < 0.04
    assert 0.04 < high < 0.08


# Final dates and late periods (USDA Risk Management Agency as printed by Iowa State University
# Extension 2018; Minnesota farm radio 2019; KPC News, Indiana, 2019; Bluffton Icon and Ohio State
# University Extension, Ohio, 2019; Nebraska, farm press): last full day, last day of the period.
@pytest.mark.parametrize(
    ("name", "final", "last"),
    [
        ("iowa_corn", "31 May", "25 Jun"),
        ("iowa_soybean", "15 Jun", "10 Jul"),
        ("minnesota_south_corn", "31 May", "25 Jun"),
        ("minnesota_south_soybean", "10 Jun", "5 Jul"),
        ("wisconsin_corn", "31 May", "25 Jun"),
        ("wisconsin_south_soybean", "15 Jun", "10 Jul"),
        ("indiana_corn", "5 Jun", "25 Jun"),
        ("ohio_corn", "5 Jun", "25 Jun"),
        ("ohio_soybean", "20 Jun", "15 Jul"),
        ("nebraska_corn", "25 May", "14 Jun"),
        ("nebraska_soybean", "10 Jun", "5 Jul"),
    ],
)
def test_the_guarantee_falls_1_percent_a_day_through_the_late_period(
    name: str, final: str, last: str
) -> None:
    rules = published_insurance(name)
    days = np.arange(day(final), day(last) + 1)
    np.testing.assert_allclose(insured_share(rules, days), 1 - 0.01 * (days - day(final)))
    after = 0.55 if name.endswith("corn") else 0.60
    assert insured_share(rules, day(last) + 1) == pytest.approx(after)


# DTN, 31 May 2024: after the late period an 80 % policy of corn covers 44 %.
def test_an_80_percent_policy_covers_44_percent_after_the_late_period() -> None:
    share = insured_share(published_insurance("iowa_corn"), day("26 Jun"))
    assert revenue_guarantee(0.80, 1.0, 1.0) * share == pytest.approx(0.44)


# E. Lentz, Ohio State University Extension, in The Courier, 4 June 2019: 80 % x 170 bu/acre x $4 x
# 55 % = $299 an acre for corn prevented from planting.
def test_prevented_planting_pays_299_dollars_an_acre_in_the_example_of_ohio() -> None:
    guarantee = revenue_guarantee(
        0.80,
        parse("170 bu/acre", "yield", test_weight=TEST_WEIGHT),
        parse("$4/bu", "price", test_weight=TEST_WEIGHT),
    )
    paid = prevented_planting_payment(published_insurance("ohio_corn"), guarantee)
    assert paid / ACRES == pytest.approx(299, abs=0.5)


# S. Johnson, Iowa State University Extension, April 2018: 55 % of the guarantee for corn, 60 % for
# soybean. The 60 % for corn of before 2018 (LaBarge, Ohio State University Extension, 2010) no
# longer hold.
def test_prevented_planting_shares_are_those_of_2018() -> None:
    assert published_insurance("iowa_corn").prevented_share == 0.55
    assert published_insurance("iowa_soybean").prevented_share == 0.60
    assert published_figure("insurance", "corn_prevented_before_2018").low == 60
