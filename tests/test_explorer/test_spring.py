"""The spring game: nothing decided is the engine's own season; the past stays as it was."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest
import xarray as xr

import fieldsim
from fieldsim.errors import InputError
from fieldsim.explorer import (
    Decisions,
    Spring,
    account,
    best_with_hindsight,
    deal,
    debrief,
    decide,
    lost_by_dates,
    play_out,
    reveal,
    standing,
)
from fieldsim.explorer.spring import switchable, weeks_of
from fieldsim.farm import Farm
from tests.farms import hand_farm, small_farm

DEMO = fieldsim.demo_farm()
LOSS = small_farm(('priority = ["plant", "cultivate", "till"]', 'priority = "loss"'))
# Both crops on the hand farm take the same work, and soybeans may be planted later.
TWO_CROPS = (
    ('price = "$300/t"\ntarget_date = "20 Apr"', 'price = "$300/t"\ntarget_date = "25 Apr"'),
    ('kind = "planting"', 'kind = "planting"\nearliest = "10 Apr"'),
)
CULTIVATING = """
[operations.cultivate]
kind = "cultivating"
follows = "plant"
lag = "3 days"
hours_per_day = "10 h"

[machines.cultivator]
operations = ["cultivate"]
width = "5 m"
speed = "8 km/h"
field_efficiency = 0.5

"""


def played(spring: Spring, *weeks: Decisions, to_the_end: bool = False) -> Spring:
    for week in weeks:
        spring = decide(spring, week)
    while to_the_end and len(spring.weeks) < weeks_of(spring.ground.farm):
        spring = decide(spring, Decisions())
    return spring


def land(season: xr.Dataset, operation: str) -> Any:
    return season.done_area.sel(operation=operation).sum("field").values


@pytest.mark.parametrize("farm", [DEMO, small_farm(), LOSS, hand_farm()], ids=lambda f: f.name)
@pytest.mark.parametrize("seed", [0, 7])
def test_with_nothing_decided_the_season_is_the_engines_own(farm: Farm, seed: int) -> None:
    outcomes = fieldsim.simulate(farm, 1, seed)
    for option in farm.options:
        spring = deal(farm, option, seed)
        assert play_out(spring).identical(fieldsim.replay(farm, option, 0, seed=seed))
        end = account(played(spring, to_the_end=True))
        expected = outcomes.sel(option=option)
        assert end.lost == pytest.approx(float(expected.lost_revenue.sum()))
        costs = fieldsim.compare(outcomes).total_cost[option]
        assert end.total == pytest.approx(costs)
        assert end.waiting == 0


def test_the_same_seed_deals_the_same_spring_and_another_another() -> None:
    one, same, other = (deal(DEMO, "six_rows", seed) for seed in (7, 7, 8))
    assert play_out(one).identical(play_out(same))
    assert not play_out(one).equals(play_out(other))
    assert standing(played(one, Decisions(1))) == standing(played(same, Decisions(1)))


@pytest.mark.parametrize(
    "decisions",
    [
        Decisions(helpers=2),
        Decisions(extra_hours=3),
        Decisions(first="tillage"),
        Decisions(first="cultivating"),
        Decisions(switch=("north_bench", "long_quarter")),
    ],
    ids=str,
)
@pytest.mark.parametrize("week", [4, 6])
def test_the_days_before_a_decision_stay_as_they_were(decisions: Decisions, week: int) -> None:
    for seed in range(4):
        before = played(deal(DEMO, "four_rows", seed), *[Decisions(extra_hours=1)] * week)
        after = decide(before, decisions)
        days = slice(0, 7 * week)
        old, new = play_out(before).isel(day=days), play_out(after).isel(day=days)
        assert old.equals(new)


def test_a_switch_under_priority_by_loss_leaves_the_past_alone() -> None:
    for seed in range(6):
        before = played(deal(LOSS, "one_outfit", seed), *[Decisions()] * 6)
        after = decide(before, Decisions(switch=("home",)))
        old, new = play_out(before), play_out(after)
        assert old.isel(day=slice(0, 42)).equals(new.isel(day=slice(0, 42)))


def test_longer_hours_never_lose_planted_land() -> None:
    weeks = weeks_of(DEMO)
    gained = 0.0
    for seed in range(4):
        for extra in (1.0, 3.0):
            spring = deal(DEMO, "four_rows", seed)
            usual = np.cumsum(land(play_out(spring), "plant"))
            longer = played(spring, *[Decisions(extra_hours=extra)] * weeks)
            more = np.cumsum(land(play_out(longer), "plant"))
            assert (more >= usual - 1e-6).all()
            gained += float((more - usual).sum())
    assert gained > 0


def test_longer_hours_bring_the_land_worked_out_by_hand() -> None:
    # Tilling 2 ha/h and planting 1 ha/h: 12 hours till 24 ha on the first day, plant 12 on each of
    # the next two, till the last 16 on the fourth and plant them on the fifth and sixth.
    season = play_out(played(deal(hand_farm(), "usual"), Decisions(extra_hours=2.0)))
    assert land(season, "till")[:7] == pytest.approx([24, 0, 0, 16, 0, 0, 0])
    assert land(season, "plant")[:7] == pytest.approx([0, 12, 12, 0, 12, 4, 0])


def test_a_helper_works_and_is_paid_as_worked_out_by_hand() -> None:
    # One operator tills 20 ha, plants them on two days, tills 20 and plants again: six days. With a
    # helper the second half is tilled while the first is planted: five.
    usual = deal(hand_farm(), "usual")
    helped = played(usual, Decisions(helpers=1))
    assert land(play_out(usual), "plant")[:7] == pytest.approx([0, 10, 10, 0, 10, 10, 0])
    assert land(play_out(helped), "plant")[:7] == pytest.approx([0, 10, 10, 10, 10, 0, 0])
    # 7 days of 10 h at $20, less the 10 h in which the helper tills, which are paid as labor.
    assert account(helped).waiting == pytest.approx(20 * (70 - 10))
    assert "waiting: $1,200" in standing(helped)["said"]
    labor = [account(spring).outcomes.labor_cost.item() for spring in (usual, helped)]
    assert labor == pytest.approx([20 * 60, 20 * 60])


def test_switched_land_earns_what_is_worked_out_by_hand() -> None:
    # All 40 ha are switched before planting begins on 10 April: 10 ha a day at 100, 99, 98 and 97 %
    # of 3 t/ha at $300/t, where corn on its best date would have brought 10 t/ha at $100/t.
    spring = played(deal(hand_farm(*TWO_CROPS), "usual"), Decisions(), Decisions(switch=("north",)))
    end = account(spring)
    assert end.lost == pytest.approx(40 * 1000 - 900 * 10 * (1 + 0.99 + 0.98 + 0.97))
    by_cause = end.outcomes.lost_revenue_by_cause.sum(["option", "season", "crop"])
    assert float(by_cause.sel(cause="switched")) == pytest.approx(end.lost)
    assert end.outcomes.done_area.sel(operation="plant", crop="soybeans").item() == pytest.approx(
        40
    )


def test_money_so_far_is_that_worked_out_by_hand() -> None:
    # Planting on the 10th to the 13th costs 0 to 3 % of $1,000/ha on 10 ha each.
    spring = played(deal(hand_farm(*TWO_CROPS), "usual"), to_the_end=True)
    assert lost_by_dates(spring, 0) == pytest.approx(0)
    assert lost_by_dates(spring, 1) == pytest.approx(10_000 * (0.00 + 0.01 + 0.02 + 0.03))
    late = hand_farm(('kind = "planting"', 'kind = "planting"\nearliest = "20 Apr"'))
    # By the 14th nothing is planted, and planting on the 15th, the best day left, costs 5 %.
    unplanted = played(deal(late, "usual"), to_the_end=True)
    assert lost_by_dates(unplanted, 1) == pytest.approx(40_000 * 0.05)


@pytest.mark.parametrize("seed", range(5))
def test_money_so_far_ends_in_the_account_and_never_falls(seed: int) -> None:
    farm = small_farm()  # its land is switched on 1 June and left on 10 July; it knows no weeds
    spring = played(deal(farm, "one_outfit", seed), to_the_end=True)
    by_week = [lost_by_dates(spring, week) for week in range(len(spring.weeks))]
    assert by_week[-1] == pytest.approx(account(spring).lost)
    assert (np.diff(by_week) >= -1e-6).all()


def test_cultivating_goes_ahead_of_planting_as_worked_out_by_hand() -> None:
    # One operator: 20 ha are tilled on the first day, planted on two; the rest is tilled on day 4.
    # On the fifth and sixth what was planted on the second and third may be cultivated, 10 ha in
    # 5 hours: by the file it waits for planting, else planting gets the 5 hours that are left.
    farm = hand_farm(
        ('priority = ["plant", "till"]', 'priority = ["plant", "cultivate", "till"]'),
        ("[machines.disk]", CULTIVATING + "[machines.disk]"),
        ("planter = 1 }", "planter = 1, cultivator = 1 }"),
    )
    spring = deal(farm, "usual")
    usual, first = play_out(spring), play_out(decide(spring, Decisions(first="cultivating")))
    assert land(usual, "plant")[:7] == pytest.approx([0, 10, 10, 0, 10, 10, 0])
    assert land(usual, "cultivate")[:7] == pytest.approx([0, 0, 0, 0, 0, 0, 20])
    assert land(first, "plant")[:7] == pytest.approx([0, 10, 10, 0, 5, 5, 10])
    assert land(first, "cultivate")[:7] == pytest.approx([0, 0, 0, 0, 10, 10, 0])


def test_what_stands_tells_nothing_of_the_days_to_come() -> None:
    spring = played(deal(DEMO, "six_rows", 7), *[Decisions()] * 5)
    found = standing(spring)
    assert (found["week"], found["weeks"], found["name"]) == (5, 18, "6 May to 12 May")
    assert len(found["suitable"]) == 35
    assert all(day < 35 for field in found["fields"] for day, _, _ in field["days"])
    season = play_out(spring).isel(day=slice(0, 35))
    for field in found["fields"]:
        done = season.done_area.sel(field=field["name"]).sum("day").values
        number, label = field["area"].split()
        assert label == "acres"
        np.testing.assert_allclose(np.array(field["done"]) * float(number), done, atol=0.1)
    assert re.search(r"(till|plant) corn \d+ acres[,;.]", found["said"])


@pytest.mark.parametrize(
    ("decisions", "name"),
    [
        (Decisions(helpers=99), "helpers"),
        (Decisions(helpers=1.5), "helpers"),  # type: ignore[arg-type]
        (Decisions(extra_hours=14), "extra_hours"),
        (Decisions(extra_hours=-1), "extra_hours"),
        (Decisions(first="harvest"), "first"),
        (Decisions(switch=("home_south",)), "switch"),
        (Decisions(switch=("moon",)), "switch"),
        (Decisions(switch=("home_80", "home_80")), "switch"),
    ],
)
def test_what_cannot_be_decided_is_named(decisions: Decisions, name: str) -> None:
    with pytest.raises(InputError) as caught:
        decide(deal(DEMO, "six_rows"), decisions)
    assert {fault.field for fault in caught.value.faults} == {name}


def test_land_is_switched_once_and_not_after_its_planting_is_closed() -> None:
    spring = deal(small_farm(), "one_outfit")
    assert switchable(spring) == {"home": "soybeans"}
    assert switchable(decide(spring, Decisions(switch=("home",)))) == {}
    assert switchable(played(spring, *[Decisions()] * 9)) == {}  # 3 June: switched by the file


def test_a_season_ends_and_wrong_deals_are_named() -> None:
    with pytest.raises(InputError, match="the season is over"):
        decide(played(deal(DEMO, "six_rows"), to_the_end=True), Decisions())
    with pytest.raises(InputError, match="no such option"):
        deal(DEMO, "ten_rows")
    with pytest.raises(InputError, match="seed"):
        deal(DEMO, "six_rows", -1)


def test_hindsight_is_never_dearer_and_what_it_says_can_be_played() -> None:
    farm = hand_farm(*TWO_CROPS)
    spring = played(deal(farm, "usual"), Decisions(helpers=2), Decisions(extra_hours=4))
    best = best_with_hindsight(spring)
    assert best.tried > 30
    # Planting begins on the 10th whatever is done, and longer days save some of its loss.
    assert best.total < account(deal(farm, "usual")).total
    hours = farm.crew.hours_per_day
    assert all(hours + week.extra_hours <= 12 for week in best.spring.weeks)
    assert best.total <= account(spring).total + 1e-6
    assert account(best.spring).total == pytest.approx(best.total)
    again = played(deal(farm, "usual"), *best.spring.weeks)
    assert account(again).total == pytest.approx(best.total)


def test_the_end_stands_beside_every_option_on_the_same_season() -> None:
    two = (
        "[options.usual]",
        "[options.other]\nmachines = { disk = 2, planter = 1 }\n\n[options.usual]",
    )
    farm = hand_farm(two)
    found = debrief(deal(farm, "usual", 5))
    rows = {row["label"]: row for row in found["rows"]}
    costs = fieldsim.compare(fieldsim.simulate(farm, 1, 5)).total_cost
    assert rows["other"]["total"] == pytest.approx(costs["other"])
    assert rows["your spring"]["total"] == pytest.approx(costs["usual"])
    assert rows[f"best of {found['tried']} plans tried with hindsight"]["kind"] == "hindsight"
    assert rows["usual"]["planted"] == {"corn": "6 Apr"}


def test_the_leader_sees_the_days_that_the_room_will_have() -> None:
    spring = deal(DEMO, "six_rows", 7)
    weeks = reveal(spring)
    share = play_out(spring).suitable_share.values[0]
    assert [week["days"] for week in weeks] == pytest.approx(
        [share[7 * w : 7 * w + 7].sum() for w in range(18)]
    )
    assert all(low <= middle <= high for low, middle, high in (week["usual"] for week in weeks))
