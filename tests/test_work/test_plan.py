from __future__ import annotations

import numpy as np

from fieldsim.days.weather import daylight_hours
from fieldsim.farm import Farm
from fieldsim.season import CalendarDay, parse_calendar_day
from fieldsim.work.arrays import MISSED, PREVENTED, SWITCHED, Plan
from fieldsim.work.plan import make_plan
from fieldsim.work.tasks import tasks_of
from tests.farms import hand_farm, small_farm
from tests.test_farm.test_day_sources import on_weather

SWITCH = '\n[crops.corn.late]\nswitch_to = "soybeans"\nswitch_from = "15 Apr"\n\n[crops.soybeans]'
SOUTH = '[fields.south]\ncrop = "soybeans"\narea = "30 ha"\n\n[operations.till]'


def plan_of(farm: Farm, option: str = "") -> Plan:
    return make_plan(farm, tasks_of(farm), option or next(iter(farm.options)))


def closings(farm: Farm) -> dict[tuple[str, str], tuple[int, int]]:
    """Return the closing day and code of each task, by operation and crop."""
    plan = plan_of(farm)
    return {
        (task.group.operation, task.group.crop): (int(row["close_day"]), int(row["close_as"]))
        for task, row in zip(tasks_of(farm), plan.tasks, strict=True)
    }


def day(text: str, farm: Farm) -> int:
    return farm.season.index(parse_calendar_day(text))


def test_a_task_has_the_numbers_of_its_block_and_operation() -> None:
    farm = small_farm()
    plan = plan_of(farm)
    area = {"home": 200 * 0.40468564224, "river": 150 * 0.40468564224}
    expected = [area[task.field] for task in tasks_of(farm)]
    np.testing.assert_allclose(plan.tasks["area"], expected, rtol=1e-12)
    assert plan.tasks["lag"].tolist() == [0, 1, 24, 1, 24, 0, 1, 24]
    assert plan.tasks["longest_wait"].tolist() == [-1, -1, 45, -1, 50, -1, -1, 50]
    earliest = [4, 17, 0, 30, 0, 4, 30, 0]  # 5 Apr, 18 Apr, any day, 1 May
    assert plan.tasks["earliest"].tolist() == earliest
    assert plan.tasks["soil"].tolist() == [0] * 8


def test_hours_are_those_of_the_operation_and_none_on_days_off() -> None:
    farm = small_farm()
    plan = plan_of(farm)
    sundays = [d for d in range(farm.season.days) if farm.season.date(d).weekday() == 6]
    assert farm.season.date(sundays[0]).isoformat() == "2026-04-05"
    working = np.ones(farm.season.days)
    working[sundays] = 0.0
    for place, hours in enumerate([11, 10, 10, 10, 10, 11, 10, 10]):
        np.testing.assert_array_equal(plan.days["hours"][:, place], hours * working)
    np.testing.assert_array_equal(plan.operator_hours, 12 * working)
    np.testing.assert_array_equal(plan.tractor_hours, 11 * working)


def test_the_outfit_is_that_of_the_option_with_the_weakest_tractors_first() -> None:
    farm = small_farm()
    plan = plan_of(farm, "two_planters")
    horsepower = 550 * 0.3048 * 0.45359237 * 9.80665 / 1000  # kW, by definition; from memory
    assert plan.resources["units"].tolist() == [0, 1, 2, 1, 2, 1]
    np.testing.assert_allclose(
        plan.resources["power"] / horsepower, [0, 95, 130, 110, 70, 60], rtol=1e-9
    )
    # Places among the resources: operators, two types of tractors, then disk, planter, cultivator.
    assert plan.slots["machine"][:, 0].tolist() == [3, 4, 5, 4, 5, 3, 4, 5]


def test_a_task_has_every_machine_of_the_option_that_can_do_it() -> None:
    farm = hand_farm(
        ("[options.usual]", '[machines.chisel]\noperations = ["till"]\nwidth = "10 m"\n'
         'speed = "8 km/h"\nfield_efficiency = 0.5\n\n[options.usual]'),
        ("{ disk = 1, planter = 1 }", "{ chisel = 2, planter = 1, disk = 1 }"),
    )  # fmt: skip
    plan = plan_of(farm)
    assert plan.resources["units"].tolist() == [0, 2, 1, 1]
    assert plan.slots["machine"].tolist() == [[1, 3], [2, -1]]
    np.testing.assert_allclose(plan.slots["capacity"][0], [4.0, 2.0])


def test_only_planting_has_weight_and_it_is_the_yield_curve() -> None:
    farm = hand_farm()
    plan = plan_of(farm)
    assert (plan.days["weight"][:, 0] == 0).all()
    full = [1.0] * 10  # to 10 April
    falling = [1 - 0.01 * late for late in range(1, 21)]
    np.testing.assert_allclose(plan.days["weight"][:, 1], full + falling, rtol=1e-12)


def test_work_is_served_in_the_order_of_the_list_and_fields_in_that_of_the_file() -> None:
    plan = plan_of(hand_farm(("[operations.till]", SOUTH)))
    # Tasks: till north, plant north, till south, plant south; planting comes first in the list.
    assert (plan.order == [1, 3, 0, 2]).all()


def test_work_is_served_by_what_an_hour_of_waiting_costs() -> None:
    farm = hand_farm(("[operations.till]", SOUTH), ('["plant", "till"]', '"loss"'))
    plan = plan_of(farm)
    # Until 9 April nothing is lost by a day's delay: planting comes ahead of tillage. From the
    # 10th on a day costs 1 % of $1000/ha on corn and of $900/ha on soybeans. The planter works
    # 1 ha/h, which makes $10/h and $9/h; the disk works 2 ha/h of the same land, $20/h and $18/h.
    till_corn, plant_corn, till_soybeans, plant_soybeans = range(4)
    calm, losing = plan.order[:9], plan.order[9:29]
    assert (calm == [plant_corn, plant_soybeans, till_corn, till_soybeans]).all()
    assert (losing == [till_corn, till_soybeans, plant_corn, plant_soybeans]).all()
    # There is no day after the last: nothing is lost by waiting for it.
    assert plan.order[29].tolist() == calm[0].tolist()


def test_a_slow_machine_loses_less_by_an_hour_of_waiting() -> None:
    farm = hand_farm(
        ("[operations.till]", SOUTH),
        ('["plant", "till"]', '"loss"'),
        ('width = "5 m"', 'width = "2 m"'),
    )
    # The disk now works 0.8 ha/h: $8/h and $7.2/h.
    assert plan_of(farm).order[10].tolist() == [1, 3, 0, 2]


def test_nothing_closes_without_a_reason() -> None:
    farm = hand_farm()
    assert set(closings(farm).values()) == {(farm.season.days, MISSED)}


def test_the_latest_day_closes_an_operation_on_the_day_after_it() -> None:
    farm = hand_farm(('lag = "1 day"', 'lag = "1 day"\nlatest = "20 Apr"'))
    closed = (day("21 Apr", farm), MISSED)
    # Tilling land that will not be planted is no use: tillage stops with planting.
    assert closings(farm) == {("till", "corn"): closed, ("plant", "corn"): closed}


def test_tillage_has_a_latest_day_of_its_own() -> None:
    farm = hand_farm(('kind = "tillage"', 'kind = "tillage"\nlatest = "10 Apr"'))
    assert closings(farm) == {
        ("till", "corn"): (day("11 Apr", farm), MISSED),
        ("plant", "corn"): (farm.season.days, MISSED),
    }


def test_the_latest_day_of_the_season_closes_nothing() -> None:
    farm = hand_farm(('lag = "1 day"', 'lag = "1 day"\nlatest = "30 Apr"'))
    assert set(closings(farm).values()) == {(farm.season.days, MISSED)}


def test_land_is_switched_on_the_day_itself_and_tillage_goes_on_for_the_other_crop() -> None:
    farm = hand_farm(("\n[crops.soybeans]", SWITCH))
    assert closings(farm) == {
        ("till", "corn"): (farm.season.days, MISSED),
        ("plant", "corn"): (day("15 Apr", farm), SWITCHED),
        ("plant", "soybeans"): (farm.season.days, MISSED),
    }


def test_land_is_left_unplanted_on_the_day_itself_and_tillage_stops() -> None:
    late = '\n[crops.corn.late]\nunplanted_from = "20 Apr"\n\n[crops.soybeans]'
    farm = hand_farm(("\n[crops.soybeans]", late))
    closed = (day("20 Apr", farm), PREVENTED)
    assert closings(farm) == {("till", "corn"): closed, ("plant", "corn"): closed}


def test_a_twin_is_left_unplanted_by_the_rule_of_its_own_crop() -> None:
    farm = hand_farm(
        ("\n[crops.soybeans]", SWITCH),
        ("[fields.north]", '[crops.soybeans.late]\nunplanted_from = "25 Apr"\n\n[fields.north]'),
    )
    prevented = (day("25 Apr", farm), PREVENTED)
    assert closings(farm) == {
        ("till", "corn"): prevented,
        ("plant", "corn"): (day("15 Apr", farm), SWITCHED),
        ("plant", "soybeans"): prevented,
    }


def test_a_twin_whose_time_was_over_before_the_switch_closes_with_the_switch() -> None:
    farm = hand_farm(
        ("\n[crops.soybeans]", SWITCH),
        ("[fields.north]", '[crops.soybeans.late]\nunplanted_from = "10 Apr"\n\n[fields.north]'),
    )
    assert closings(farm)["plant", "soybeans"] == (day("15 Apr", farm), PREVENTED)


def test_land_left_on_the_last_planting_day_is_switched_on_the_next() -> None:
    farm = hand_farm(
        ("\n[crops.soybeans]", SWITCH),
        ('lag = "1 day"', 'lag = "1 day"\nlatest = { corn = "14 Apr" }'),
    )
    assert closings(farm)["plant", "corn"] == (day("15 Apr", farm), SWITCHED)


def test_calendar_days_are_places_in_the_season() -> None:
    farm = small_farm()
    assert day("18 Apr", farm) == farm.season.index(CalendarDay(4, 18)) == 17


def test_daylight_bounds_the_hours_of_work_that_is_not_done_after_dark() -> None:
    def hours(*changes: tuple[str, str]) -> np.ndarray:
        return plan_of(
            hand_farm(('"10 h"\n\n[machines.disk]', '"16 h"\n\n[machines.disk]'), *changes)
        ).days["hours"][:, 1]

    place = ('units = "metric"', 'units = "metric"\nlatitude = "42 degrees"')
    dark = ('follows = "till"', 'follows = "till"\nafter_dark = true')
    farm = hand_farm(place)
    light = daylight_hours(42.0, farm.season.day_of_year)
    assert 12 < light.min() < light.max() < 14
    np.testing.assert_array_equal(hours(), 16.0)
    np.testing.assert_array_equal(hours(place), light)
    np.testing.assert_array_equal(hours(place, dark), 16.0)
    np.testing.assert_array_equal(
        plan_of(farm).days["hours"][:, 0], 10.0
    )  # the day is longer than that


def test_growing_degrees_stand_beside_days() -> None:
    farm = on_weather(
        ('lag = "24 days"', 'lag = "300 degC days"'),
        (
            '{ corn = "45 days", soybeans = "50 days" }',
            '{ corn = "600 degC days", soybeans = "50 days" }',
        ),
        ('kind = "planting"', 'kind = "planting"\nneeds_warm_soil = true'),
    )
    tasks = plan_of(farm).tasks
    assert tasks["lag"].tolist() == [0, 1, 0, 1, 0, 0, 1, 0]
    assert tasks["lag_degrees"].tolist() == [0, 0, 300, 0, 300, 0, 0, 300]
    assert tasks["longest_wait"].tolist() == [-1, -1, -1, -1, 50, -1, -1, 50]
    assert tasks["longest_wait_degrees"].tolist() == [-1, -1, 600, -1, -1, -1, -1, -1]
    assert tasks["needs_warmth"].tolist() == [0, 1, 0, 1, 0, 0, 1, 0]
