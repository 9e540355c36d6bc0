"""Seasons of drying, replanting, insurance and wet work, worked out by hand.

The farm of `test_money`: 40 ha of corn of 10 t/ha at $100/t, planted at 10 ha a day from 11 April
on, when the yield has lost 1 % and loses 1 % more each day: 0.99, 0.98, 0.97 and 0.96.
"""

from __future__ import annotations

import numpy as np
import pytest

from fieldsim.crops import loss_after_passes, published_weed_competition
from fieldsim.draws import draw_seasons
from fieldsim.farm import Farm, parse_farm
from fieldsim.simulation import simulate
from tests.farms import HAND_FARM, always, changed, hand_farm
from tests.test_farm.test_late_costs import DRYING, INSURED, crop
from tests.test_outcomes.test_money import FROM_11_APRIL, areas, causes, late, season
from tests.test_outcomes.test_weed_losses import JUNE, PLANTING_DATE, WEEDS, YIELDS, weeding


def test_drying_costs_points_times_wet_grain() -> None:
    outcomes = season(FROM_11_APRIL, crop(DRYING))
    # 0.5 to 2 points above 15.5 %, of 99 to 96 t a day, $2 a point and tonne of wet grain.
    by_hand = sum(
        10 * 2 * points * 10 * y * 84.5 / (84.5 - points)
        for y, points in zip(YIELDS, (0.5, 1.0, 1.5, 2.0), strict=True)
    )
    assert causes(outcomes) == {
        "planting_date": PLANTING_DATE,
        "drying": pytest.approx(by_hand, abs=1e-5),
    }


REPLANTED = (
    'replanting = { probability = 1, land = "25 %", after = "10 days", cost = "$60/ha", '
    'yield_kept = "90 %" }'
)
REPLANTED_LOSS = 0.25 * sum(10 * (y - 0.9 * (y - 0.10)) for y in YIELDS)  # [ha of full yield]


def test_land_planted_again_loses_yield_and_costs_what_planting_costs() -> None:
    outcomes = season(FROM_11_APRIL, crop(REPLANTED))
    # A quarter of the 40 ha ten days later, 10 % below, and 90 % of that.
    assert causes(outcomes) == {
        "planting_date": PLANTING_DATE,
        "replanting": pytest.approx(1000 * REPLANTED_LOSS + 10 * 60),
    }


def test_planting_again_after_a_chill_may_gain_yield() -> None:
    # Full yield begins on 20 April; before it 2 % are lost a day: 11 April 18 %.
    curve = ('full_from = "1 Apr"\nlosses = [{ from = "10 Apr", loss = "1 %/day" }]\n\n'
             "[crops.soybeans]", 'full_from = "20 Apr"\nloss_before = "2 %/day"\n'
             'losses = [{ from = "30 Apr", loss = "1 %/day" }]\n\n[crops.soybeans]')  # fmt: skip
    outcomes = season(FROM_11_APRIL, curve, crop(REPLANTED.replace("90 %", "100 %")))
    # A quarter of the land makes up 18, 16, 14 and 12 % and is planted again for $60/ha.
    assert causes(outcomes) == {
        "planting_date": 6000.0,
        "replanting": pytest.approx(-0.25 * 6000 + 10 * 60),
    }


def test_nothing_is_planted_again_where_it_never_happens() -> None:
    never = REPLANTED.replace("probability = 1", "probability = 0")
    assert causes(season(FROM_11_APRIL, crop(never))) == {"planting_date": PLANTING_DATE}


def test_replanting_happens_in_its_share_of_seasons_and_for_each_crop_on_its_own() -> None:
    for_soybeans = ('price = "$300/t"', f'price = "$300/t"\n{REPLANTED}'.replace("= 1,", "= 0.5,"))
    farm = hand_farm(crop(REPLANTED.replace("= 1,", "= 0.3,")), for_soybeans)
    land = draw_seasons(farm, 4000, 0).replanted
    assert set(np.unique(land)) == {0.0, 0.25}
    corn, soybeans = (land > 0).T
    # Standard errors 0.0072 and 0.0079.
    assert corn.mean() == pytest.approx(0.3, abs=0.03)
    assert soybeans.mean() == pytest.approx(0.5, abs=0.03)
    assert (corn & soybeans).mean() == pytest.approx(0.15, abs=0.025)


def test_the_outcomes_replant_in_the_seasons_that_were_drawn() -> None:
    farm = hand_farm(FROM_11_APRIL, crop(REPLANTED.replace("= 1,", "= 0.3,")))
    lost = simulate(farm, 200).lost_revenue_by_cause.sel(cause="replanting", crop="corn")
    happens = draw_seasons(farm, 200, 0).replanted[:, 0] > 0
    assert ((lost.isel(option=0) > 0).values == happens).all()


def test_insurance_keeps_its_share_by_the_days_on_which_land_is_planted() -> None:
    outcomes = season(('lag = "1 day"', 'lag = "1 day"\nearliest = "24 May"'), crop(INSURED), JUNE)
    # 10 ha each on 24 to 27 May; Nebraska corn is insured in full until the 25th, then 1 % less.
    kept = outcomes.insured_share.sel(crop="corn")
    assert float(kept) == pytest.approx(100 * (1 + 1 + 0.99 + 0.98) / 4)
    assert set(causes(outcomes)) == {"planting_date"}  # the guarantee is no revenue


def test_unplanted_land_earns_the_prevented_payment_where_no_revenue_is_written() -> None:
    insured = INSURED.replace("9 t/ha", "10 t/ha").replace("$120/t", "$100/t")
    rule = late('unplanted_from = "13 Apr"')
    outcomes = season(FROM_11_APRIL, crop(insured), rule)
    # 20 ha are planted. The guarantee is 75 % of $1000/ha; 55 % of it are paid for the other 20 ha.
    assert areas(outcomes) == {"done_area": 20.0, "prevented_area": 20.0}
    assert causes(outcomes) == {"planting_date": 300.0, "unplanted": 20 * (1000 - 0.55 * 750)}
    own = late('unplanted_from = "13 Apr"\nunplanted_revenue = "$0/ha"')
    assert causes(season(FROM_11_APRIL, crop(insured), own))["unplanted"] == 20_000.0


NO_TILLAGE = (
    ('[operations.till]\nkind = "tillage"\nhours_per_day = "10 h"\n\n', ""),
    ('follows = "till"\nlag = "1 day"\n', ""),
    ('[machines.disk]\noperations = ["till"]\nwidth = "5 m"\nspeed = "8 km/h"\n'
     "field_efficiency = 0.5\n\n", ""),
    ('["plant", "till"]', '["plant"]'),
    ("disk = 1, ", ""),
)  # fmt: skip


def wet_farm(chain: str, *changes: tuple[str, str]) -> Farm:
    """Return the farm with nothing to do but planting, from 11 April on where it is too wet."""
    forced = ('hours_per_day = "10 h"\n\n[machines.planter]',
              'hours_per_day = "10 h"\nearliest = "11 Apr"\nwet_from = "11 Apr"\n\n'
              "[machines.planter]")  # fmt: skip
    share = ('table = "days.csv"', 'table = "days.csv"\nwet_share = "40 %"')
    text = changed(*NO_TILLAGE, forced, share, *changes, text=HAND_FARM)
    return parse_farm(text, {"days.csv": chain})


WET_LOSS = crop('wet_soil_loss = "10 %"')


def test_a_late_date_forces_work_on_wet_soil_which_costs_yield() -> None:
    outcomes = simulate(wet_farm(always(0, 0), WET_LOSS), 1).isel(option=0, season=0)
    # No day is suitable. From 11 April on 40 % of ten hours are worked: 4 ha a day for ten days.
    assert str(outcomes.finish_date.sel(operation="plant", crop="corn").values)[:10] == "2026-04-20"
    late_by = sum(4 * 0.01 * day for day in range(1, 11))
    assert causes(outcomes) == {
        "planting_date": pytest.approx(1000 * late_by),
        "wet_soil": pytest.approx(0.10 * 1000 * (40 - late_by)),
    }


def test_days_that_are_suitable_are_not_worked_wet() -> None:
    outcomes = simulate(wet_farm(always(1, 1), WET_LOSS), 1).isel(option=0, season=0)
    assert causes(outcomes) == {"planting_date": PLANTING_DATE}


def test_only_the_land_of_wet_days_pays_for_them() -> None:
    # Suitable to 12 April, and never again.
    turns = "date,suitable_after_suitable,suitable_after_unsuitable\n12 Apr,1,1\n13 Apr,0,0\n"
    outcomes = simulate(wet_farm(turns, WET_LOSS), 1).isel(option=0, season=0)
    # 10 ha each on the 11th and 12th, then 4 ha a day for five days, 3 to 7 % late.
    wet = sum(4 * (1 - 0.01 * day) for day in range(3, 8))
    late_by = 10 * (0.01 + 0.02) + (20 - wet)
    assert causes(outcomes) == {
        "planting_date": pytest.approx(1000 * late_by),
        "wet_soil": pytest.approx(0.10 * 1000 * wet),
    }


def test_without_a_late_date_wet_days_are_not_worked() -> None:
    text = wet_farm(always(0, 0), WET_LOSS).text.replace('wet_from = "11 Apr"\n', "")
    outcomes = simulate(parse_farm(text, {"days.csv": always(0, 0)}), 1)
    assert float(outcomes.done_area.sum()) == 0


def test_each_loss_is_taken_of_what_the_one_before_leaves() -> None:
    farm = wet_farm(always(0, 0), WET_LOSS, crop_more(), JUNE)
    outcomes = simulate(farm, 1).isel(option=0, season=0)
    late_by = sum(4 * 0.01 * day for day in range(1, 11))
    worth = 40 - late_by
    second = worth - 0.25 * sum(4 * (y - 0.9 * (y - 0.1)) for y in np.arange(0.99, 0.895, -0.01))
    dry = second * (1 - 0.10)
    weeded = dry * (1 - 0.5)
    drying = sum(
        4 * 2 * points * 10 * (1 - 0.02 * points) * 84.5 / (84.5 - points)
        for points in np.arange(0.5, 5.25, 0.5)
    )
    assert causes(outcomes) == {
        "planting_date": pytest.approx(1000 * late_by),
        "replanting": pytest.approx(1000 * (worth - second) + 10 * 60),
        "wet_soil": pytest.approx(1000 * (second - dry)),
        "weeds": pytest.approx(1000 * (dry - weeded)),
        # Points by the first planting; of the grain that is harvested.
        "drying": pytest.approx(drying * weeded / worth),
    }


def crop_more() -> tuple[str, str]:
    return 'price = "$100/t"', f'price = "$100/t"\n{WEEDS}\n{DRYING}\n{REPLANTED}'


def test_switched_land_is_weeded_dried_and_planted_again_like_any() -> None:
    soybeans = (
        'price = "$300/t"',
        'price = "$300/t"\nweeds = { table = "soybean_ontario_high", emergence = "5 days" }\n'
        + DRYING.replace("15.5", "13")
        + "\n"
        + REPLANTED,
    )
    outcomes = season(
        FROM_11_APRIL,
        late('switch_to = "soybeans"\nswitch_from = "13 Apr"'),
        soybeans,
        *weeding(("once", "plant", "1 May", 0.75, "")),
    )
    # Soybeans on 13 and 14 April, 97 and 96 % of 3 t/ha at $300/t.
    table = published_weed_competition("soybean_ontario_high")
    worth, earned = 10 * (0.97 + 0.96), 0.0
    second = worth - 0.25 * sum(10 * (y - 0.9 * (y - 0.1)) for y in (0.97, 0.96))
    # Weeded on 1 May, 18 and 17 days after planting: weeds had 13 and 12 days.
    weedy = sum(
        10 * y * loss_after_passes(table, [age], 0.75) for y, age in ((0.97, 13), (0.96, 12))
    )
    kept = second * (1 - weedy / worth)
    dried = sum(
        10 * 2 * points * 3 * y * 84.5 / (84.5 - points) for y, points in ((0.97, 1.5), (0.96, 2.0))
    )
    earned = 900 * kept - dried * kept / worth - 0.25 * 20 * 60
    assert causes(outcomes) == {
        "planting_date": 300.0,
        "switched": pytest.approx(20_000 - earned, abs=1e-5),
    }
    assert float(outcomes.done_area.sel(operation="once", crop="soybeans")) == pytest.approx(20)
    assert float(outcomes.lost_revenue.sel(crop="soybeans")) == 0


def test_switched_land_left_unplanted_is_paid_by_the_insurance_of_its_second_crop() -> None:
    insured = ('price = "$300/t"', 'price = "$300/t"\ninsurance = { published = "iowa_soybean", '
               'coverage = "80 %", yield = "3 t/ha", price = "$300/t" }\n'
               'late = { unplanted_from = "14 Apr" }')  # fmt: skip
    outcomes = season(
        FROM_11_APRIL, late('switch_to = "soybeans"\nswitch_from = "13 Apr"'), insured
    )
    # 10 ha make $900 x 97 %; 10 ha are paid 60 % (soybeans) of 80 % of $900/ha.
    earned = 10 * 900 * 0.97 + 10 * 0.60 * 0.80 * 900
    assert causes(outcomes) == {
        "planting_date": 300.0,
        "switched": pytest.approx(20_000 - earned),
    }
