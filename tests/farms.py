"""Small farms for the tests: their text, their tables, and ways to change one line."""

from __future__ import annotations

import pytest

from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm, parse_farm

SMALL_FARM = """\
name = "Small farm"
units = "us"
crop_year = 2026
first_day = "1 Apr"
last_day = "31 Jul"
priority = ["plant", "cultivate", "till"]

[days]
source = "weekly_table"
table = "days.csv"
week_correlation = 0.3

[crew]
operators = 1
hours_per_day = "12 h"
days_off = ["Sunday"]

[crew.helpers.neighbor]
probability = "40 %"

[money]
wage = "$20/h"
labor_above_machine_hours = "10 %"
interest = "5 %"

[crops.corn]
test_weight = "56 lb/bu"
yield = "180 bu/acre"
price = "$4.50/bu"
yield_by_planting_date = "corn_minnesota_1988_2003"
target_date = "10 May"

[crops.corn.late]
switch_to = "soybeans"
switch_from = "1 Jun"

[crops.soybeans]
test_weight = "60 lb/bu"
yield = "50 bu/acre"
price = "$10.00/bu"
yield_by_planting_date = { table = "soybean_yield.csv" }
target_date = "25 May"

[crops.soybeans.late]
unplanted_from = "10 Jul"
unplanted_revenue = "$60/acre"

[fields.home]
crop = "corn"
area = "200 acre"
row_length = "1300 ft"

[fields.river]
crop = "soybeans"
area = "150 acre"
row_length = "2600 ft"
distance = "3 mile"

[operations.till]
kind = "tillage"
earliest = "5 Apr"
hours_per_day = "11 h"

[operations.plant]
kind = "planting"
follows = "till"
lag = "1 day"
earliest = { corn = "18 Apr", soybeans = "1 May" }
hours_per_day = "10 h"

[operations.cultivate]
kind = "cultivating"
follows = "plant"
lag = "24 days"
latest_after_planting = { corn = "45 days", soybeans = "50 days" }
hours_per_day = "10 h"

[machines.disk]
operations = ["till"]
width = "20 ft"
speed = "5.5 mph"
field_efficiency = "80 %"
tractor_power = "110 hp"
road_speed = "15 mph"
price = "$30,000"

[machines.planter]
operations = ["plant"]
rows = 6
row_spacing = "30 in"
pattern = "drill"
speed = "5 mph"
tractor_power = "70 hp"
road_speed = "14 mph"
price = "$29,000"

[machines.planter.time]
turn = "25 s"
overlap = "1 %"

[machines.planter.time.fills.seed]
hopper = "480,000 seeds"
rate = "32,000 seeds/acre"
time = "12 min"

[machines.cultivator]
operations = ["cultivate"]
width = "15 ft"
speed = "5 mph"
field_efficiency = 0.8
tractor_power = "60 hp"
road_speed = "14 mph"
price = "$9,500"

[tractors.large]
power = "130 hp"
price = "$98,000"

[tractors.small]
power = "95 hp"
price = "$66,000"

[options.one_outfit]
machines = { disk = 1, planter = 1, cultivator = 1 }
tractors = { large = 1, small = 1 }

[options.two_planters]
machines = { disk = 1, planter = 2, cultivator = 1 }
tractors = { large = 2, small = 1 }
operators = 2
"""

WEEKS = """\
week_starting,at_least_80,at_least_50,at_least_20
1 Apr,0.5,1.5,3.0
8 Apr,0.7,1.7,3.2
15 Apr,0.9,2.0,3.4
22 Apr,1.1,2.2,3.6
29 Apr,1.3,2.4,3.8
6 May,1.5,2.7,4.0
13 May,1.7,2.9,4.2
20 May,1.9,3.1,4.4
27 May,2.1,3.4,4.6
3 Jun,2.4,3.6,4.9
10 Jun,2.6,3.9,5.1
17 Jun,2.8,4.1,5.3
24 Jun,3.0,4.3,5.5
1 Jul,3.2,4.6,5.7
8 Jul,3.4,4.8,5.9
15 Jul,3.6,5.0,6.1
22 Jul,3.8,5.3,6.3
29 Jul,4.0,5.5,6.5
"""

SOYBEAN_YIELD = """\
planted,percent_of_maximum
1 May,100
1 Jun,80
1 Jul,50
"""

SMALL_TABLES = {"days.csv": WEEKS, "soybean_yield.csv": SOYBEAN_YIELD}

# Every day of it is suitable, so that a season can be worked out by hand.
ALWAYS = "date,suitable_after_suitable,suitable_after_unsuitable\n1 Apr,1,1\n"

# Numbers to reckon with: the disk works 2 ha/h and the planter 1 ha/h; the operator's day has
# 10 hours; planting from 11 April on loses 1 % of the yield a day.
HAND_FARM = """\
name = "Farm to work out by hand"
units = "metric"
crop_year = 2026
first_day = "1 Apr"
last_day = "30 Apr"
priority = ["plant", "till"]

[days]
source = "daily_chain"
table = "days.csv"

[crew]
operators = 1
hours_per_day = "10 h"

[money]
wage = "$20/h"
interest = "0 %"

[crops.corn]
yield = "10 t/ha"
price = "$100/t"
target_date = "20 Apr"
[crops.corn.yield_by_planting_date.plateau]
full_from = "1 Apr"
losses = [{ from = "10 Apr", loss = "1 %/day" }]

[crops.soybeans]
yield = "3 t/ha"
price = "$300/t"
target_date = "20 Apr"
[crops.soybeans.yield_by_planting_date.plateau]
full_from = "1 Apr"
losses = [{ from = "10 Apr", loss = "1 %/day" }]

[fields.north]
crop = "corn"
area = "40 ha"

[operations.till]
kind = "tillage"
hours_per_day = "10 h"

[operations.plant]
kind = "planting"
follows = "till"
lag = "1 day"
hours_per_day = "10 h"

[machines.disk]
operations = ["till"]
width = "5 m"
speed = "8 km/h"
field_efficiency = 0.5

[machines.planter]
operations = ["plant"]
width = "2.5 m"
speed = "8 km/h"
field_efficiency = 0.5

[options.usual]
machines = { disk = 1, planter = 1 }
"""
HAND_TABLES = {"days.csv": ALWAYS}


def changed(*changes: tuple[str, str], text: str = SMALL_FARM) -> str:
    """Return the text with each first string, which stands in it once, replaced by its second."""
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the text"
        text = text.replace(old, new)
    return text


def small_farm(*changes: tuple[str, str]) -> Farm:
    """Return the small farm with changes."""
    return parse_farm(changed(*changes), SMALL_TABLES)


def hand_farm(*changes: tuple[str, str]) -> Farm:
    """Return the farm to work out by hand, with changes."""
    return parse_farm(changed(*changes, text=HAND_FARM), HAND_TABLES)


def faults_of(text: str, tables: dict[str, str] = SMALL_TABLES) -> tuple[Fault, ...]:
    """Return the faults of a farm's text."""
    with pytest.raises(InputError) as caught:
        parse_farm(text, tables, "farm.toml")
    return caught.value.faults


def messages(*changes: tuple[str, str], tables: dict[str, str] = SMALL_TABLES) -> list[str]:
    """Return the messages on the small farm with changes."""
    return [str(fault) for fault in faults_of(changed(*changes), tables)]


def always(after_suitable: float, after_unsuitable: float) -> str:
    """Return the table of a chain with the same probabilities all season."""
    return ALWAYS.replace("1,1\n", f"{after_suitable:.4f},{after_unsuitable:.4f}\n")


def work_farm(
    fields: list[tuple[str, float]],
    *,
    units: tuple[int, int] = (1, 1),
    operators: int = 1,
    chain: str = ALWAYS,
    changes: tuple[tuple[str, str], ...] = (),
) -> Farm:
    """Return the hand-worked farm with fields of (crop, ha), its machines and people counted."""
    land = "\n".join(
        f'[fields.f{number}]\ncrop = "{crop}"\narea = "{area!r} ha"\n'
        for number, (crop, area) in enumerate(fields)
    )
    text = changed(
        ('[fields.north]\ncrop = "corn"\narea = "40 ha"\n', land),
        ("{ disk = 1, planter = 1 }", f"{{ disk = {units[0]}, planter = {units[1]} }}"),
        ("operators = 1", f"operators = {operators}"),
        *changes,
        text=HAND_FARM,
    )
    return parse_farm(text, {"days.csv": chain})
