"""What weeds take on the farm of `test_money`, by the days on which they are removed.

40 ha of corn of 10 t/ha at $100/t, planted at 10 ha a day from 11 April on, when the yield has lost
1 % and loses 1 % more each day: 0.99, 0.98, 0.97 and 0.96.
"""

from __future__ import annotations

import pytest

from fieldsim.crops import loss_after_passes, published_weed_competition
from tests.test_farm.test_late_costs import crop
from tests.test_outcomes.test_money import FROM_11_APRIL, causes, season

YIELDS = (0.99, 0.98, 0.97, 0.96)
PLANTING_DATE = 10 * 1000 * (0.01 + 0.02 + 0.03 + 0.04)
HIGH = published_weed_competition("corn_ontario_high")
WEEDS = 'weeds = { table = "corn_ontario_high", emergence = "5 days" }'
JUNE = ('last_day = "30 Apr"', 'last_day = "30 Jun"')


def weeding(*operations: tuple[str, str, str, float, str]) -> tuple[tuple[str, str], ...]:
    """Return the changes that add weeding: name, what it follows, earliest, control, more lines.

    Its tool works 4 ha/h: all 40 ha in a day.
    """
    sections, names = "", [name for name, *_ in operations]
    for name, follows, earliest, control, more in operations:
        sections += (
            f'[operations.{name}]\nkind = "cultivating"\nfollows = "{follows}"\n'
            f'earliest = "{earliest}"\nweed_control = {control}\nhours_per_day = "10 h"\n{more}\n\n'
        )
    tool = (
        f'[machines.tool]\noperations = {names}\nwidth = "10 m"\nspeed = "8 km/h"\n'
        "field_efficiency = 0.5\n\n"
    ).replace("'", '"')
    order = ", ".join(f'"{name}"' for name in names)
    return (
        ("[machines.disk]", f"{sections}{tool}[machines.disk]"),
        ("planter = 1 }", "planter = 1, tool = 1 }"),
        ('["plant", "till"]', f'["plant", {order}, "till"]'),
        JUNE,
    )


def lost_to_weeds(*passes: float, control: float | list[float] = 0.75) -> float:
    """Return what weeds take of the land planted on four days, weeded on these days [$].

    `passes`: days from 11 April on; land planted n days later is n days younger then.
    """
    lost = [
        loss_after_passes(HIGH, [day - n - 5 for day in passes], control)
        for n in range(len(YIELDS))
    ]
    return sum(10 * 1000 * y * share for y, share in zip(YIELDS, lost, strict=True))


def test_weeds_that_are_never_removed_take_their_share_of_what_late_planting_leaves() -> None:
    outcomes = season(FROM_11_APRIL, crop(WEEDS), JUNE)
    # Half of the yield in a season (the table's last row): 390 t of 400 t, $19,500.
    assert lost_to_weeds() == pytest.approx(0.5 * 10 * 1000 * 3.90)
    assert causes(outcomes) == {"planting_date": PLANTING_DATE, "weeds": 19_500.0}


def test_weeds_removed_once_cost_what_they_had_taken_and_what_was_left_of_them() -> None:
    outcomes = season(FROM_11_APRIL, crop(WEEDS), *weeding(("once", "plant", "1 May", 0.75, "")))
    # On 1 May the land is 20, 19, 18 and 17 days old, and weeds came on the fifth. By the 13th day,
    # that of the land of 13 April, they took a third of the way from 5 % (day 11) to 10 % (day 17).
    taken = 0.05 + (0.10 - 0.05) / 3
    assert loss_after_passes(HIGH, [13], 0.75) == pytest.approx(taken + 0.25 * (0.5 - taken))
    assert causes(outcomes)["weeds"] == pytest.approx(lost_to_weeds(20), abs=1e-5)


def test_weeds_removed_twice_lose_what_the_first_pass_left() -> None:
    outcomes = season(
        FROM_11_APRIL,
        crop(WEEDS),
        *weeding(("first", "plant", "1 May", 0.75, ""), ("second", "first", "9 May", 0.75, "")),
    )
    assert causes(outcomes)["weeds"] == pytest.approx(lost_to_weeds(20, 28), abs=1e-5)
    assert lost_to_weeds(20, 28) < lost_to_weeds(20)


def test_two_ways_of_weeding_that_both_follow_planting_both_count() -> None:
    outcomes = season(
        FROM_11_APRIL,
        crop(WEEDS),
        *weeding(("hoe", "plant", "26 Apr", 0.5, ""), ("cultivate", "plant", "1 May", 0.75, "")),
    )
    assert causes(outcomes)["weeds"] == pytest.approx(
        lost_to_weeds(15, 20, control=[0.5, 0.75]), abs=1e-5
    )


def test_the_pass_that_comes_first_finds_all_weeds_whatever_its_place_in_the_file() -> None:
    outcomes = season(
        FROM_11_APRIL,
        crop(WEEDS),
        *weeding(("late", "plant", "1 May", 0.75, ""), ("early", "plant", "26 Apr", 0.5, "")),
    )
    assert causes(outcomes)["weeds"] == pytest.approx(
        lost_to_weeds(15, 20, control=[0.5, 0.75]), abs=1e-5
    )


def test_land_that_a_pass_misses_keeps_its_weeds() -> None:
    too_tall = 'latest_after_planting = "18 days"'
    outcomes = season(
        FROM_11_APRIL, crop(WEEDS), *weeding(("once", "plant", "1 May", 0.75, too_tall))
    )
    # On 1 May the land of 11 and 12 April is 20 and 19 days old, too old by two days and one.
    missed = outcomes.missed_area.sel(operation="once", crop="corn")
    assert float(missed) == pytest.approx(20.0)
    weeded = [loss_after_passes(HIGH, [day - 5], 0.75) for day in (18, 17)]
    shares = (0.5, 0.5, *weeded)
    lost = sum(10_000 * y * share for y, share in zip(YIELDS, shares, strict=True))
    assert causes(outcomes)["weeds"] == pytest.approx(lost, abs=1e-5)


def test_the_pressure_of_weeds_scales_their_loss() -> None:
    pass_ = weeding(("once", "plant", "1 May", 0.75, ""))
    full = season(FROM_11_APRIL, crop(WEEDS), *pass_)
    pressed = crop(WEEDS.replace(" }", ', pressure = "40 %" }'))
    less = season(FROM_11_APRIL, pressed, *pass_)
    assert causes(less)["weeds"] == pytest.approx(0.4 * causes(full)["weeds"], abs=1e-4)


def test_a_pass_that_kills_nothing_and_one_before_the_weeds_are_up() -> None:
    nothing = season(FROM_11_APRIL, crop(WEEDS), *weeding(("once", "plant", "1 May", 0.0, "")))
    assert causes(nothing)["weeds"] == pytest.approx(lost_to_weeds(), abs=1e-5)
    # Counted as on the day of emergence, the earliest in the table: it saves all that it kills.
    early = season(FROM_11_APRIL, crop(WEEDS), *weeding(("once", "plant", "15 Apr", 0.75, "")))
    assert causes(early)["weeds"] == pytest.approx(0.25 * lost_to_weeds(), abs=1e-5)
