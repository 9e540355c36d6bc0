"""Where a machine's hours go, held against sums worked by hand and against the plan itself."""

from __future__ import annotations

import pandas as pd
import pytest

import fieldsim
from fieldsim.farm import Farm, parse_farm
from fieldsim.quantities import factor
from fieldsim.work.plan import make_plan
from fieldsim.work.tasks import tasks_of
from fieldsim.work.time_use import day_use, time_use
from tests.farms import HAND_FARM, HAND_TABLES, changed


def planter(units: int = 1, more: str = "") -> Farm:
    """40 ha of 500 m rows; 5 m wide at 10 km/h: 5 ha/h in the row; 0.25 ha a pass."""
    text = changed(
        ('width = "5 m"', 'width = "5 m"\nroad_speed = "20 km/h"'),
        ('width = "2.5 m"\nspeed = "8 km/h"\nfield_efficiency = 0.5\n', f"""\
width = "5 m"
speed = "10 km/h"
road_speed = "20 km/h"
{more}
[machines.planter.time]
turn = "36 s"
adjustment = "10 %"
[machines.planter.time.fills.seed]
hopper = "300 kg"
rate = "60 kg/ha"
time = "15 min"
"""),
        ('area = "40 ha"', 'area = "40 ha"\nrow_length = "500 m"\ndistance = "4 km"'),
        ("planter = 1 }", f"planter = {units} }}"),
        text=HAND_FARM,
    )  # fmt: skip
    return parse_farm(text, HAND_TABLES)


def of(table: pd.DataFrame, machine: str, column: str) -> dict[str, float]:
    rows = table[table.machine == machine]
    return dict(zip(rows.element, rows[column].round(9), strict=True))


def test_hours_of_a_hectare_are_those_worked_by_hand() -> None:
    """Row 1/5 h; a turn of 0.01 h for 0.25 ha; 10 % of the row; 0.25 h of filling for 5 ha."""
    table = time_use(planter(more='daily_service = "30 min"\ncomes_home = true'))
    hours = of(table, "planter", "hours")
    assert hours == {
        "row": 0.2, "turn": 0.04, "fill": 0.05, "adjustment": 0.02,
        "setup": 0.2, "morning": 0.9,  # 4 km at 20 km/h; half an hour, and 8 km of road
    }  # fmt: skip
    shares = of(table[table.per == "area"], "planter", "share")
    assert shares["row"] == pytest.approx(0.2 / 0.31)
    assert sum(shares.values()) == pytest.approx(1, abs=1e-8)
    assert table[table.per != "area"].share.isna().all()
    assert table[table.element == "fill"].material.to_list() == ["seed"]


def test_a_given_efficiency_tells_the_row_from_all_stops_together() -> None:
    hours = of(time_use(planter()), "disk", "hours")
    assert hours == {"row": 0.25, "stops": 0.25, "setup": 0.2, "morning": 0.0}


def test_the_day_of_a_machine_is_its_field_hours_its_road_and_its_mornings() -> None:
    """40 ha x 0.31 h + 0.2 h = 12.6 h; of a day of 10 h 1 h is spent before work."""
    shares = of(day_use(planter(more='daily_service = "1 h"')), "planter", "share")
    assert shares["morning"] == pytest.approx(0.1)
    assert shares["setup"] == pytest.approx(0.9 * 0.2 / 12.6)
    assert shares["fill"] == pytest.approx(0.9 * 40 * 0.05 / 12.6)
    assert sum(shares.values()) == pytest.approx(1, abs=1e-8)


def test_each_of_two_units_sets_up() -> None:
    shares = of(day_use(planter(units=2)), "planter", "share")
    assert shares["setup"] == pytest.approx(0.4 / 12.8)


def test_a_day_spent_on_service_alone_leaves_nothing_for_the_field() -> None:
    shares = of(day_use(planter(more='daily_service = "20 h"')), "planter", "share")
    assert shares["morning"] == 1
    assert sum(shares.values()) == 1


def test_hours_are_those_that_the_plan_works_with() -> None:
    farm = fieldsim.demo_farm()
    table = time_use(farm)
    acres = factor("area", farm.units)
    tasks = tasks_of(farm)
    plan = make_plan(farm, tasks, "two_six_rows")
    rows = table[(table.option == "two_six_rows") & (table.machine == "planter_6_rows")]
    for t, task in enumerate(tasks):
        if task.group.operation == "plant":
            at = rows[rows.field == task.field]
            hours = at[at.per == "area"].hours.sum() * acres
            assert 1 / hours == pytest.approx(float(plan.slots["capacity"][t, 0]))
            setup = at[at.element == "setup"].hours.item()
            assert setup == pytest.approx(float(plan.slots["setup"][t, 0]))


def test_a_machine_that_a_tractor_holds_back_works_at_the_speed_it_can_hold() -> None:
    farm = fieldsim.demo_farm()
    draft = {"machine": "tandem_disk_secondary", "depth": "6 in"}
    heavy = {"machines.disk.draft": draft, "machines.disk.allow_slower": True}
    document = fieldsim.changed(farm, heavy | {"machines.disk.width": "40 ft"})
    bare = document.text.replace('tractor_power = "110 hp"\n', "")
    slow = parse_farm(bare, farm.tables)
    at = time_use(slow)
    row = at[(at.machine == "disk") & (at.element == "row")].hours.iloc[0]
    for option in slow.options:
        plan = make_plan(slow, tasks_of(slow), option)
        hours = 0.8 / float(plan.slots["capacity"][0, 0]) / factor("area", "us")
        rows = at[(at.option == option) & (at.machine == "disk") & (at.element == "row")]
        assert rows.hours.iloc[0] == pytest.approx(hours)
    assert row > 1.2 * 8.25 / (40 * 5.5)  # hours of an acre at its own speed (ASABE EP496)
