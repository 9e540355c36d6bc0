"""Whole farms by hand: hired machines, mornings, helpers, draft, fuel; and what must hold.

The farm of `tests.farms.HAND_FARM`: 40 ha of corn, $1000/ha; the disk works 2 ha/h, the planter
1 ha/h, one operator 10 h a day. Tillage is done by 4 April; planting begins on Saturday, 11 April,
when the yield has lost 1 % and loses 1 % more each day.
"""

from __future__ import annotations

import numpy as np
import pytest
import xarray as xr
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from fieldsim.errors import InputError
from fieldsim.farm import Farm
from fieldsim.simulation import replay, simulate
from tests.farms import always, hand_farm, work_farm
from tests.test_farm.test_pulling import ON_THE_DRAWBAR, PULLED, held_by
from tests.test_outcomes.test_money import FROM_11_APRIL, causes
from tests.test_outcomes.test_revenue import wet_farm

SUNDAYS = ("\n[money]", 'days_off = ["Sunday"]\n\n[money]')


def hired(
    arrives: str, place: str = "disk = 1, planter = 1, hired = 1"
) -> tuple[tuple[str, str], ...]:
    """Return the changes that let a planter of 2 ha/h be hired at $50/ha."""
    machine = (
        '[machines.hired]\noperations = ["plant"]\nwidth = "5 m"\nspeed = "8 km/h"\n'
        f'field_efficiency = 0.5\ncustom = {{ rate = "$50/ha", arrives_after = "{arrives}" }}\n\n'
    )
    return (
        ("[options.usual]", f"{machine}[options.usual]"),
        ("disk = 1, planter = 1", place),
    )


def planted(farm: Farm) -> dict[int, float]:
    """Return the land planted by the day of April [ha]."""
    done = replay(farm, "usual", 0).done_area.sel(operation="plant").sum("field").values
    return {day: round(float(area), 9) for day, area in enumerate(done, 1) if area}


def outcomes_of(farm: Farm) -> xr.Dataset:
    return simulate(farm, 1).isel(option=0, season=0)


def test_a_hired_planter_comes_days_after_it_is_called_and_helps_the_own_one() -> None:
    farm = hand_farm(FROM_11_APRIL, *hired("2 days"))
    # Called on the 11th, when the operator's hours end with land ready; on the 13th it does in 5 h
    # the 10 ha that the own planter leaves.
    assert planted(farm) == {11: 10.0, 12: 10.0, 13: 20.0}
    outcomes = outcomes_of(farm)
    assert causes(outcomes) == {"planting_date": 10 * 10 + 10 * 20 + 20 * 30}
    assert float(outcomes.hire_cost) == pytest.approx(10 * 50)
    assert outcomes.equipment_area.values == pytest.approx([40, 30, 10])
    assert outcomes.equipment_hours.values == pytest.approx([20, 30, 5])
    assert float(outcomes.machine_hours.sel(operation="plant", crop="corn")) == pytest.approx(35)
    # Its operator is its own: 20 h of disking and 30 of planting are paid.
    assert float(outcomes.labor_cost) == pytest.approx(50 * 20)
    assert float(outcomes.fuel_use.sum()) == 0


def test_a_hired_planter_that_is_named_first_works_first_once_it_is_there() -> None:
    farm = hand_farm(FROM_11_APRIL, *hired("2 days", "disk = 1, hired = 1, planter = 1"))
    assert planted(farm) == {11: 10.0, 12: 10.0, 13: 20.0}
    outcomes = outcomes_of(farm)
    assert float(outcomes.hire_cost) == pytest.approx(20 * 50)
    assert float(outcomes.labor_cost) == pytest.approx((20 + 20) * 20)


@pytest.mark.parametrize(
    ("arrives", "by_day"),
    [
        ("0 days", {11: 30.0, 12: 10.0}),  # 20 ha beside the own 10 on the day it is called
        ("1 day", {11: 10.0, 12: 30.0}),
        ("3 days", {11: 10.0, 12: 10.0, 13: 10.0, 14: 10.0}),  # the own planter is done with it
        ("40 days", {11: 10.0, 12: 10.0, 13: 10.0, 14: 10.0}),
    ],
)
def test_it_is_there_after_as_many_days_as_it_takes(arrives: str, by_day: dict[int, float]) -> None:
    assert planted(hand_farm(FROM_11_APRIL, *hired(arrives))) == by_day


def test_a_planter_that_is_never_called_costs_nothing() -> None:
    small = ('area = "40 ha"', 'area = "10 ha"')
    outcomes = outcomes_of(hand_farm(FROM_11_APRIL, small, *hired("0 days")))
    assert float(outcomes.hire_cost) == 0


def test_days_off_hold_for_hired_machines_too() -> None:
    # The 12th is a Sunday: one that would arrive on it works on the 13th, 20 ha beside the own 10.
    assert planted(hand_farm(FROM_11_APRIL, SUNDAYS, *hired("1 day"))) == {11: 10.0, 13: 30.0}
    # Days till it comes are days of the calendar, and on a Sunday nobody calls.
    on_sunday = (FROM_11_APRIL[0], FROM_11_APRIL[1].replace("11 Apr", "12 Apr"))
    assert planted(hand_farm(on_sunday, SUNDAYS, *hired("1 day"))) == {13: 10.0, 14: 30.0}


def test_a_hired_planter_works_where_the_farm_has_nobody() -> None:
    nobody = ("disk = 1, planter = 1 }", "disk = 1, hired = 1 }\noperators = 0")
    machine = hired("2 days")[0]
    custom = ('width = "5 m"\nspeed = "8 km/h"\nfield_efficiency = 0.5\n\n[machines.planter]',
              'width = "5 m"\nspeed = "8 km/h"\nfield_efficiency = 0.5\n'
              'custom = { rate = "$30/ha" }\n\n[machines.planter]')  # fmt: skip
    farm = hand_farm(FROM_11_APRIL, custom, machine, nobody)
    assert planted(farm) == {13: 20.0, 14: 20.0}
    outcomes = outcomes_of(farm)
    assert float(outcomes.hire_cost) == pytest.approx(40 * 30 + 40 * 50)
    assert float(outcomes.labor_cost) == 0
    with pytest.raises(InputError, match="nobody is there to work"):
        hand_farm(FROM_11_APRIL, machine, nobody)


def test_two_hired_units_do_twice_as_much_and_cost_the_same_an_area() -> None:
    farm = hand_farm(FROM_11_APRIL, *hired("0 days", "disk = 1, hired = 2"))
    assert planted(farm) == {11: 40.0}
    assert float(outcomes_of(farm).hire_cost) == pytest.approx(40 * 50)


PLANTER = 'width = "2.5 m"\n'


def test_daily_service_takes_its_hour_of_every_day() -> None:
    serviced = (PLANTER, f'{PLANTER}daily_service = "1 h"\n')
    farm = hand_farm(FROM_11_APRIL, serviced)
    assert planted(farm) == {11: 9.0, 12: 9.0, 13: 9.0, 14: 9.0, 15: 4.0}
    outcomes = outcomes_of(farm)
    # Five mornings and 40 h; people are paid for both.
    assert float(outcomes.machine_hours.sel(operation="plant", crop="corn")) == pytest.approx(45)
    assert float(outcomes.labor_hours.sel(operation="plant", crop="corn")) == pytest.approx(45)


ROAD = (
    ('area = "40 ha"', 'area = "40 ha"\ndistance = "10 km"'),
    ('width = "5 m"\n', 'width = "5 m"\nroad_speed = "20 km/h"\n'),
)


def test_a_planter_that_comes_home_is_on_the_road_twice_a_day() -> None:
    home = (PLANTER, f'{PLANTER}road_speed = "20 km/h"\ncomes_home = true\n')
    # Half an hour each way: an hour of every day, in which the road of the first day lies.
    assert planted(hand_farm(FROM_11_APRIL, *ROAD, home)) == {
        11: 9.0, 12: 9.0, 13: 9.0, 14: 9.0, 15: 4.0,
    }  # fmt: skip
    stays = (PLANTER, f'{PLANTER}road_speed = "20 km/h"\n')
    # Left in the field, it was on the road once, for half an hour.
    assert planted(hand_farm(FROM_11_APRIL, *ROAD, stays)) == {
        11: 9.5, 12: 10.0, 13: 10.0, 14: 10.0, 15: 0.5,
    }  # fmt: skip


def test_service_and_the_road_home_add_up() -> None:
    both = (
        PLANTER,
        f'{PLANTER}road_speed = "20 km/h"\ncomes_home = true\ndaily_service = "30 min"\n',
    )
    assert planted(hand_farm(FROM_11_APRIL, *ROAD, both)) == {
        11: 8.5, 12: 8.5, 13: 8.5, 14: 8.5, 15: 6.0,
    }  # fmt: skip


def test_who_helps_to_fill_is_paid_for_the_share_of_time_that_filling_takes() -> None:
    filled = (
        'width = "2.5 m"\nspeed = "8 km/h"\nfield_efficiency = 0.5',
        'width = "2.5 m"\nspeed = "8 km/h"\ntime = { turn = "0 s", fills = { seed = '
        '{ hopper = "10 kg", rate = "10 kg/ha", time = "30 min", helpers = 3 } } }',
    )
    rows = ('area = "40 ha"', 'area = "40 ha"\nrow_length = "400 m"')
    above = ("interest", 'labor_above_machine_hours = "10 %"\ninterest')
    outcomes = outcomes_of(hand_farm(FROM_11_APRIL, filled, rows, above))
    # 0.5 h/ha in the row and 0.5 h/ha of filling: 20 of the 40 h of planting with three helpers.
    labor = outcomes.labor_hours.sel(crop="corn")
    assert labor.values == pytest.approx([1.1 * 20, 1.1 * (40 + 3 * 20)])
    assert float(outcomes.labor_cost) == pytest.approx(1.1 * (20 + 100) * 20)


def pulled(lines: str, tractor: str) -> tuple[tuple[str, str], ...]:
    return (
        ('width = "5 m"\n', f'width = "5 m"\n{lines}\n'),
        ("[options.usual]", f"[tractors.one]\n{tractor}\n\n[options.usual]"),
        ("planter = 1 }", "planter = 1 }\ntractors = { one = 1 }"),
    )


def test_a_tractor_that_holds_less_speed_takes_longer() -> None:
    farm = hand_farm(FROM_11_APRIL, *pulled(f"{PULLED}\nallow_slower = true", 'power = "30 kW"'))
    hours = outcomes_of(farm).machine_hours.sel(operation="till", crop="corn")
    # 40 ha at 5 m x speed x 0.5 / 10 (tests/test_farm/test_pulling.py: 4.9 instead of 8 km/h).
    assert held_by(30) == pytest.approx(4.864, abs=0.001)
    assert float(hours) == pytest.approx(40 / (held_by(30) * 5 * 0.5 / 10))


FUEL = ('wage = "$20/h"', 'wage = "$20/h"\nfuel_price = "$0.90/L"')


def test_fuel_is_burnt_by_the_hour_and_paid_with_its_lubricants() -> None:
    outcomes = outcomes_of(hand_farm(FUEL, *pulled(PULLED, 'power = "60 kW"')))
    # 20 h of 0.22 L/kWh x 44.6 kW x 0.5 + 0.096 x 60 L/h (tests/test_work/test_slots.py).
    litres = 20 * (0.22 * ON_THE_DRAWBAR / 0.67 * 0.5 + 0.096 * 60)
    assert outcomes.fuel_use.sel(crop="corn").values == pytest.approx([litres, 0.0])
    assert float(outcomes.fuel_cost) == pytest.approx(litres * 0.90 * 1.15)
    assert "fuel (no" not in outcomes.attrs["not_counted"]


def test_lubricants_may_be_another_share() -> None:
    none = (FUEL[0], f"{FUEL[1]}\nlubricants = 0")
    outcomes = outcomes_of(hand_farm(none, *pulled(PULLED, 'power = "60 kW"')))
    assert float(outcomes.fuel_cost) == pytest.approx(float(outcomes.fuel_use.sum()) * 0.90)


def test_without_a_price_fuel_costs_nothing_and_that_is_said() -> None:
    outcomes = outcomes_of(hand_farm(*pulled(PULLED, 'power = "60 kW"')))
    assert float(outcomes.fuel_cost) == 0
    assert float(outcomes.fuel_use.sum()) > 0
    assert "fuel (no fuel_price)" in outcomes.attrs["not_counted"]


def test_setting_up_burns_fuel_and_takes_one_person() -> None:
    road = ('width = "2.5 m"\n', f'{PLANTER}road_speed = "20 km/h"\n')
    farm = hand_farm(
        FUEL, ROAD[0], road, *pulled(f'road_speed = "20 km/h"\n{PULLED}', 'power = "60 kW"')
    )
    outcomes = outcomes_of(farm)
    hour = 0.22 * ON_THE_DRAWBAR / 0.67 * 0.5 + 0.096 * 60
    assert float(outcomes.fuel_use.sum()) == pytest.approx(20.5 * hour)
    assert float(outcomes.labor_cost) == pytest.approx((20.5 + 40.5) * 20)


def test_a_replay_shows_work_on_days_that_are_too_wet() -> None:
    farm = wet_farm(always(0, 0))
    season = replay(farm, "usual", 0)
    assert not season.suitable_share.any()
    assert planted(farm) == dict.fromkeys(range(11, 21), 4.0)


QUICK = settings(
    max_examples=25, deadline=None, phases=[phase for phase in Phase if phase is not Phase.explain]
)


@QUICK
@given(
    st.integers(0, 5),
    st.floats(5.0, 80.0),
    st.tuples(st.floats(0.0, 1.0), st.floats(0.05, 1.0)),
    st.sampled_from(["0 min", "30 min", "2 h"]),
)
def test_a_hired_machine_delays_nothing_and_is_paid_for_what_it_does(
    arrives: int, area: float, chain: tuple[float, float], service: str
) -> None:
    serviced = (PLANTER, f'{PLANTER}daily_service = "{service}"\n')
    land, days = [("corn", area)], always(*chain)
    alone = simulate(work_farm(land, chain=days, changes=(serviced,)), 6, threads=1)
    custom = hired(f"{arrives} days", "disk = 1, planter = 1, hired = 1")
    farm = work_farm(land, chain=days, changes=(serviced, *custom))
    helped = simulate(farm, 6, threads=1)
    at = {"operation": "plant"}
    assert (helped.done_area.sel(at) >= alone.done_area.sel(at) - 1e-9).all()
    assert (helped.lost_revenue <= alone.lost_revenue + 1e-6).all()
    by_machine = helped.equipment_area.isel(option=0)
    np.testing.assert_allclose(
        helped.hire_cost.isel(option=0), 50 * by_machine.sel(equipment="hired")
    )
    both = by_machine.sel(equipment=["planter", "hired"]).sum("equipment")
    np.testing.assert_allclose(
        both, helped.done_area.isel(option=0).sel(operation="plant").sum("crop"), atol=1e-9
    )
