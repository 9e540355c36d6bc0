"""The engine against a SimPy model of the same farm, season by season."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
import xarray as xr

import fieldsim
from fieldsim import Farm
from tests.published.simpy_farm import Job, OneCrew, Record, jobs_of

SEASONS = 100
HOURS = 10.0  # field hours of a day, for crew and all operations [h]

FOUR_BLOCKS = """\
name = "Four blocks, one crew"
units = "metric"
crop_year = 2026
first_day = "5 Apr"
last_day = "20 Jun"
priority = {priority}

[days]
source = "{source}"
table = "days.csv"

[crew]
operators = 1
hours_per_day = "10 h"
days_off = ["Sunday"]

[money]
wage = "$20/h"
interest = "5 %"

[crops.corn]
yield = "10 t/ha"
price = "$150/t"
yield_by_planting_date = "corn_minnesota_1988_2003"
target_date = "10 May"

[crops.soybeans]
yield = "3.5 t/ha"
price = "$370/t"
yield_by_planting_date = "soybean_minnesota"
target_date = "25 May"

[fields.home]
crop = "corn"
area = "43 ha"

[fields.river]
crop = "soybeans"
area = "71 ha"
distance = "3 km"

[fields.hill]
crop = "{hill}"
area = "58 ha"
distance = "5 km"

[fields.far]
crop = "soybeans"
area = "37 ha"
distance = "9 km"

[operations.till]
kind = "tillage"
earliest = {till_from}
hours_per_day = "10 h"

[operations.plant]
kind = "planting"
follows = "till"
lag = "{lag} days"
earliest = {plant_from}
hours_per_day = "10 h"

[operations.cultivate]
kind = "cultivating"
follows = "plant"
lag = "20 days"
latest_after_planting = {{ corn = "30 days", soybeans = "33 days" }}
hours_per_day = "10 h"

[machines.disk]
operations = ["till"]
width = "5 m"
speed = "9 km/h"
field_efficiency = "80 %"
tractor_power = "80 kW"
road_speed = "20 km/h"
fold_time = "10 min"

[machines.planter]
operations = ["plant"]
rows = 6
row_spacing = "76 cm"
speed = "8 km/h"
field_efficiency = "63 %"
tractor_power = "60 kW"
road_speed = "20 km/h"
fold_time = "15 min"

[machines.cultivator]
operations = ["cultivate"]
rows = 6
row_spacing = "76 cm"
speed = "7 km/h"
field_efficiency = "78 %"
tractor_power = "60 kW"
road_speed = "20 km/h"

[tractors.tractor]
power = "90 kW"

[options.one_of_each]
machines = {{ disk = 1, planter = 1, cultivator = 1 }}
tractors = {{ tractor = 1 }}
"""

WEEKS = """\
week_starting,at_least_90,at_least_50,at_least_20
5 Apr,0.2,2.0,3.8
12 Apr,0.4,2.3,4.1
19 Apr,0.5,2.6,4.4
26 Apr,0.7,2.9,4.7
3 May,0.9,3.2,5.0
10 May,1.0,3.4,5.2
17 May,1.1,3.6,5.3
24 May,1.2,3.8,5.4
31 May,1.4,4.1,5.6
7 Jun,1.5,4.2,5.7
14 Jun,1.7,4.3,5.8
21 Jun,1.8,4.4,5.9
"""
CHAIN = """\
date,suitable_after_suitable,suitable_after_unsuitable
5 Apr,0.60,0.25
20 May,0.75,0.35
"""


@cache
def farm(name: str) -> Farm:
    """A farm whose land is handed on overnight, or one where it is within the day."""
    if name == "overnight, parts of days":
        text = FOUR_BLOCKS.format(
            source="weekly_table",
            priority='["plant", "cultivate", "till"]',
            till_from='{ corn = "6 Apr", soybeans = "15 Apr" }',
            plant_from='{ corn = "18 Apr", soybeans = "1 May" }',
            lag=1,
            hill="corn",
        )
        return fieldsim.parse_farm(text, {"days.csv": WEEKS})
    text = FOUR_BLOCKS.format(
        source="daily_chain",
        priority='["till", "plant", "cultivate"]',
        till_from='{ corn = "14 Apr", soybeans = "25 Apr" }',
        plant_from='{ corn = "14 Apr", soybeans = "25 Apr" }',
        lag=0,
        hill="soybeans",
    )
    return fieldsim.parse_farm(text, {"days.csv": CHAIN})


every_farm = pytest.mark.parametrize(
    "name", ["overnight, parts of days", "within the day, whole days"]
)


@cache
def by_events(name: str) -> list[dict[Job, Record]]:
    """What SimPy makes of each season."""
    this = farm(name)
    suitable = this.day_source.draw(this.season, SEASONS, seed=0)[:, 0]
    sunday = this.season.weekday == 6
    jobs = jobs_of(this, "one_of_each")
    return [OneCrew(jobs, np.where(sunday, 0.0, HOURS * days)).run() for days in suitable]


@cache
def by_days(name: str) -> xr.Dataset:
    """What fieldsim makes of the same seasons."""
    return fieldsim.simulate(farm(name), seasons=SEASONS, seed=0).isel(option=0)


def of_group(season: dict[Job, Record], name: str, operation: str, crop: str) -> dict[Job, Record]:
    fields = farm(name).fields
    return {
        job: record
        for job, record in season.items()
        if job.operation == operation and fields[job.field].crop == crop
    }


def finish_day(records: dict[Job, Record]) -> int:
    days = [record.finish_day(job.area) for job, record in records.items()]
    return -1 if -1 in days else max(days)


@every_farm
def test_every_operation_finishes_on_the_same_day(name: str) -> None:
    dates = by_days(name).finish_date
    first = np.datetime64(farm(name).season.first_day)
    found = np.where(np.isnat(dates), -1, (dates - first) / np.timedelta64(1, "D"))
    for operation in dates.operation.values:
        for crop in dates.crop.values:
            expected = [finish_day(of_group(s, name, operation, crop)) for s in by_events(name)]
            here = found[:, list(dates.operation).index(operation), list(dates.crop).index(crop)]
            np.testing.assert_array_equal(here, expected, err_msg=f"{operation}, {crop}")


@every_farm
def test_areas_and_hours_agree_in_every_season(name: str) -> None:
    outcomes = by_days(name)
    for operation in outcomes.operation.values:
        for crop in outcomes.crop.values:
            groups = [of_group(s, name, operation, crop).values() for s in by_events(name)]
            at = {"operation": operation, "crop": crop}
            done = [sum(sum(record.done.values()) for record in group) for group in groups]
            missed = [sum(record.missed for record in group) for group in groups]
            hours = [sum(record.hours for record in group) for group in groups]
            np.testing.assert_allclose(outcomes.done_area.sel(at), done, atol=1e-6)
            np.testing.assert_allclose(outcomes.missed_area.sel(at), missed, atol=1e-6)
            np.testing.assert_allclose(outcomes.machine_hours.sel(at), hours, atol=1e-6)
            left = float(outcomes.crop_area.sel(crop=crop)) - np.add(done, missed)
            np.testing.assert_allclose(outcomes.unfinished_area.sel(at), left, atol=1e-6)


@every_farm
def test_land_is_done_on_the_same_days_on_every_field(name: str) -> None:
    days = farm(name).season.days
    for number in range(0, SEASONS, 10):
        replayed = fieldsim.replay(farm(name), "one_of_each", number).done_area
        for job, record in by_events(name)[number].items():
            expected = [record.done.get(day, 0.0) for day in range(days)]
            here = replayed.sel(field=job.field, operation=job.operation)
            np.testing.assert_allclose(here, expected, atol=1e-6, err_msg=f"{number}, {job}")


@every_farm
def test_the_seasons_hold_all_that_can_happen(name: str) -> None:
    outcomes = by_days(name)
    for happened in (
        outcomes.finish_date.notnull(),
        outcomes.finish_date.isnull(),
        outcomes.missed_area > 0,
        outcomes.unfinished_area > 0,
    ):
        assert happened.any(dim=("operation", "crop")).sum() >= SEASONS / 20


def test_land_is_handed_on_within_the_day() -> None:
    seasons = 0
    for season in by_events("within the day, whole days"):
        planting = [(job, record) for job, record in season.items() if job.operation == "plant"]
        seasons += any(
            record.done.keys() & season[job.follows].done.keys() for job, record in planting
        )
    assert seasons > SEASONS / 2
