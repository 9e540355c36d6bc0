"""What one more is worth: by hand where every day can be counted, and against brute force."""

from __future__ import annotations

import numpy as np
import pytest
import xarray as xr

import fieldsim
from fieldsim.decisions.sensitivity.added_days import with_a_day_more
from fieldsim.decisions.sensitivity.marginal import _clean, _worth, worth_of_one_more
from fieldsim.draws import draw_seasons
from fieldsim.errors import InputError
from fieldsim.farm import Farm, parse_farm
from tests.farms import (
    HAND_FARM,
    HAND_TABLES,
    SMALL_FARM,
    SMALL_TABLES,
    always,
    changed,
    hand_farm,
    work_farm,
)

# The hand-worked farm with planting alone: 1 ha/h, 10 h a day, from the first day of April.
ALONE = (
    ('\n[operations.till]\nkind = "tillage"\nhours_per_day = "10 h"\n', ""),
    ('follows = "till"\nlag = "1 day"\n', ""),
    ('["plant", "till"]', '["plant"]'),
    ('\n[machines.disk]\noperations = ["till"]\nwidth = "5 m"\nspeed = "8 km/h"\n'
     "field_efficiency = 0.5\n", ""),
    ("{ disk = 1, planter = 1 }", "{ planter = 1 }"),
    ('full_from = "1 Apr"\nlosses = [{ from = "10 Apr", loss = "1 %/day" }]\n\n[crops.soybeans]',
     'full_from = "1 Apr"\nlosses = [{ from = "1 Apr", loss = "1 %/day" }]\n\n[crops.soybeans]'),
)  # fmt: skip


def planting_farm(chain: str = always(1.0, 1.0), *more: tuple[str, str]) -> Farm:
    """40 ha of corn at 10 t/ha and $100/t, 10 ha a day; each day after 1 April costs 1 %."""
    return parse_farm(changed(*ALONE, *more, text=HAND_FARM), {"days.csv": chain})


def worth(farm: Farm, what: str, seasons: int = 5) -> tuple[float, float]:
    table = worth_of_one_more(farm, seasons=seasons).set_index("one_more")
    return float(table.worth[what]), float(table.worth_error[what])


def test_a_faster_planter_is_worth_the_loss_it_avoids() -> None:
    # At 8 km/h, 10 ha a day are planted on days 0, 1, 2 and 3: $1,000/ha, 1 % a day, (0 + 1 + 2 +
    # 3) x 10 ha x $10 = $600 lost. At 9 km/h, 11.25 ha a day: 0, 11.25, 22.5 and 3 x 6.25 ha-days,
    # $525; and 40 h of wages at $20/h fall to 40 x 8/9 h.
    saved, error = worth(planting_farm(), "km/h of planting")
    assert saved == pytest.approx(600 - 525 + 800 / 9)
    assert error == pytest.approx(0, abs=1e-9)


def test_an_hour_a_day_is_worth_the_loss_it_avoids() -> None:
    # 11 ha a day: 0, 11, 22 and 3 x 7 ha-days, $540. The hours of wages stay the same.
    assert worth(planting_farm(), "working hour a day")[0] == pytest.approx(600 - 540)


def test_an_operator_is_worth_nothing_where_machines_are_short_and_much_where_hands_are() -> None:
    assert worth(planting_farm(), "operator")[0] == pytest.approx(0)
    two = planting_farm(always(1.0, 1.0), ("{ planter = 1 }", "{ planter = 2 }"))
    # 20 ha a day: 20 ha-days, $200.
    assert worth(two, "operator")[0] == pytest.approx(600 - 200)


def test_a_day_is_worth_what_all_land_after_it_gains() -> None:
    # Only every second day is suitable, beginning with the first or the second: planting on 0, 2,
    # 4 and 6 loses $1,200. A lost day made suitable before the last of them saves a day and more.
    farm = planting_farm(always(0.0, 1.0))
    draws = draw_seasons(farm, 400, 0)
    cost = fieldsim.simulate(farm, 400).lost_revenue.sum("crop").isel(option=0).values
    assert set(np.round(cost, 6)) == {1200.0, 1600.0}
    saved = []
    for day in range(30):  # each lost day of each season made suitable, by brute force
        suitable = draws.suitable.copy()
        suitable[:, :, day] = 1.0
        more = fieldsim.simulate(farm, 400, draws=draws._replace(suitable=suitable))
        saved.append(cost - more.lost_revenue.sum("crop").isel(option=0).values)
    lost = draws.suitable[:, 0] == 0
    expected = float((np.array(saved).T * lost).sum(axis=1).mean() / lost.sum(axis=1).mean())
    found, error = worth(farm, "suitable day in April", seasons=400)
    assert abs(found - expected) < 4 * error
    assert error < 0.15 * expected


def test_a_day_more_makes_one_lost_working_day_suitable_in_each_season() -> None:
    sundays = "operators = 1", 'operators = 1\ndays_off = ["Sunday"]'
    farm = work_farm([("corn", 30.0)], chain=always(0.6, 0.4), changes=(sundays,))
    draws = draw_seasons(farm, 300, 0)
    window = np.arange(30) < 15
    more, added = with_a_day_more(farm, draws, window, 0, "early")
    gained = (more.suitable - draws.suitable)[:, 0]
    assert gained.sum(axis=1) == pytest.approx(added)
    working = farm.season.weekday != 6
    had = (draws.suitable[:, 0] == 1)[:, window & working].all(axis=1)
    np.testing.assert_array_equal(added == 0, had)
    assert (gained[:, ~(window & working)] == 0).all()
    assert ((gained == 0) | (gained == 1)).all()
    for name in ("hands", "degrees", "warm_day", "replanted"):
        np.testing.assert_array_equal(getattr(more, name), getattr(draws, name))


def test_days_that_were_suitable_in_part_count_in_part() -> None:
    farm = planting_farm()
    half = np.full((200, 1, 30), 0.5)
    draws = draw_seasons(farm, 200, 0)._replace(suitable=half)
    more, added = with_a_day_more(farm, draws, np.arange(30) < 4, 3, "start")
    assert (added == 0.5).all()
    days = (more.suitable[:, 0] == 1).sum(axis=0)
    assert days[:4].sum() == 200
    assert (days[:4] > 30).all()  # 50 expected, standard deviation 6


def test_a_season_without_lost_days_gains_nothing_and_none_is_to_be_had() -> None:
    table = worth_of_one_more(planting_farm(), seasons=3).set_index("one_more")
    assert np.isnan(table.worth["suitable day in April"])
    assert table.cannot_tell_apart["suitable day in April"]


def test_rounding_is_no_worth() -> None:
    cost = np.full(4, 50_000.0)
    found = _worth(_clean(np.array([1e-11, -2e-11, 0.0, 1e-11]), cost), 1.0)
    assert found == {"worth": 0.0, "worth_error": 0.0, "cannot_tell_apart": True}
    assert _clean(np.array([0.01, -0.5, 0.0, 3.0]), cost).tolist() == [0.01, -0.5, 0.0, 3.0]


def test_every_option_and_every_month_has_a_row() -> None:
    table = worth_of_one_more(fieldsim.demo_farm(), seasons=100)
    assert table.option.unique().tolist() == list(fieldsim.demo_farm().options)
    months = [f"suitable day in {month}" for month in ("April", "May", "June", "July")]
    assert table[table.option == "six_rows"].one_more.tolist() == [
        *months,
        *("suitable day in planting time", "operator", "working hour a day", "mph of planting"),
    ]
    by_option = table[table.one_more == "working hour a day"].set_index("option").worth
    assert by_option["four_rows"] > by_option["eight_rows"] > 0
    alone = worth_of_one_more(fieldsim.demo_farm(), "six_rows", seasons=100)
    same = table[table.option == "six_rows"].reset_index(drop=True)
    assert alone.worth.to_numpy() == pytest.approx(same.worth.to_numpy())


def test_a_day_of_24_hours_has_no_room_for_one_more() -> None:
    day = 'operators = 1\nhours_per_day = "10 h"', 'operators = 1\nhours_per_day = "24 h"'
    rows = worth_of_one_more(hand_farm(day), seasons=2).one_more.tolist()
    assert "working hour a day" not in rows
    assert "operator" in rows


def test_an_option_that_there_is_not_is_told() -> None:
    with pytest.raises(InputError, match="options are usual"):
        worth_of_one_more(hand_farm(), "none")


def test_seasons_that_are_handed_in_are_worked_as_drawn_ones() -> None:
    farm = parse_farm(SMALL_FARM, SMALL_TABLES)
    drawn, given = (
        fieldsim.simulate(farm, 40, 3, draws=draws) for draws in (None, draw_seasons(farm, 40, 3))
    )
    assert given.attrs.pop("draws") == "given"
    xr.testing.assert_identical(given, drawn)


def test_seasons_of_another_farm_or_number_are_refused() -> None:
    draws = draw_seasons(parse_farm(HAND_FARM, HAND_TABLES), 30, 0)
    with pytest.raises(InputError) as caught:
        fieldsim.simulate(parse_farm(SMALL_FARM, SMALL_TABLES), 40, draws=draws)
    fields = [fault.field for fault in caught.value.faults]
    assert fields == [f"draws.{name}" for name in draws._fields]
