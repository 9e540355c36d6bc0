"""A farm that gives nearly every figure that a farm file takes, and asks for every caution."""

from __future__ import annotations

from fieldsim.farm import Farm, parse_farm
from tests.farms import SMALL_TABLES

FULL_FARM = """\
name = "Vollernte & Töchter <GmbH>"
units = "metric"
crop_year = 2026
first_day = "1 Apr"
last_day = "31 Jul"
latitude = "48 degrees"
priority = ["plant", "hoe", "till"]

[days]
source = "weekly_table"
table = "days.csv"
week_correlation = 0.3
season_share = 0.2
persistence = 0.75
years = 20
wet_share = "40 %"
[days.warm_soil]
in_1_year_of_10_by = "8 Apr"
in_5_years_of_10_by = "18 Apr"
in_9_years_of_10_by = "30 Apr"
wetness_correlation = 0.3

[crew]
operators = 2
hours_per_day = "13 h"
days_off = ["Sunday"]
[crew.helpers.neighbor]
probability = "40 %"

[money]
wage = "$22/h"
labor_above_machine_hours = "12 %"
interest = "4 %"
taxes_insurance_housing = "1.5 %"
fuel_price = "$1.10/L"
lubricants = "12 %"

[crops.corn]
test_weight = "72 kg/hL"
yield = "10.5 t/ha"
price = "$180/t"
yield_by_planting_date = "corn_minnesota_1988_2003"
target_date = "10 May"
wet_soil_loss = "10 %"
[crops.corn.late]
switch_to = "soybeans"
switch_from = "5 Jun"
[crops.corn.weeds]
table = "corn_ontario_high"
pressure = "35 %"
emergence = "12 days"
[crops.corn.drying]
on_time_until = "15 May"
points_per_day = 0.1
points_on_time = 2.0
base_moisture = 15.0
cost_per_point = "$2.00/t"
[crops.corn.insurance]
published = "iowa_corn"
coverage = "75 %"
yield = "10 t/ha"
price = "$175/t"
[crops.corn.replanting]
probability = "10 %"
land = "20 %"
after = "20 days"
cost = "$150/ha"
yield_kept = "97 %"

[crops.soybeans]
yield = "3.4 t/ha"
price = "$400/t"
yield_by_planting_date = { table = "soybean_yield.csv" }
target_date = "25 May"
[crops.soybeans.late]
unplanted_from = "10 Jul"
unplanted_revenue = "$60/ha"

[fields.home]
crop = "corn"
area = "80 ha"
row_length = "500 m"
texture = "coarse"
gate_width = "4 m"
[fields.river]
crop = "soybeans"
area = "60 ha"
row_length = "800 m"
distance = "5 km"
texture = "fine"

[operations.till]
kind = "tillage"
earliest = "5 Apr"
hours_per_day = "11 h"
after_dark = true
[operations.plant]
kind = "planting"
follows = "till"
lag = "1 day"
earliest = { corn = "18 Apr", soybeans = "1 May" }
needs_warm_soil = true
wet_from = "25 May"
hours_per_day = "10 h"
[operations.hoe]
kind = "cultivating"
follows = "plant"
lag = "24 days"
latest = "25 Jul"
latest_after_planting = { corn = "45 days", soybeans = "50 days" }
weed_control = "70 %"
hours_per_day = "10 h"

[machines.disk]
class = "disk"
operations = ["till"]
width = "6 m"
speed = "9 km/h"
field_efficiency = "80 %"
draft = { machine = "tandem_disk_secondary", depth = "10 cm", surface = "tilled" }
allow_slower = true
road_speed = "25 km/h"
transport_width = "2.9 m"
fold_time = "5 min"
daily_service = "15 min"
comes_home = true
price = "$600,000"
list_price = "$650,000"
age = 4
hours = "700 h"
years = 9
salvage = "25 %"

[machines.planter]
class = "planter"
operations = ["plant"]
rows = 6
row_spacing = "75 cm"
pattern = "drill"
speed = "8 km/h"
tractor_power = "50 kW"
road_speed = "25 km/h"
fold_time = "4 min"
price = "$45,000"
[machines.planter.time]
turn = "25 s"
overlap = "1 %"
adjustment = "5 %"
[machines.planter.time.fills.seed]
hopper = "480,000 seeds"
rate = "80,000 seeds/ha"
time = "12 min"
helpers = 1
[machines.planter.time.fills.starter]
hopper = "600 kg"
rate = "90 kg/ha"
time = "10 min"
placement = "with_seed"
nitrogen_and_potash = "30 %"

[machines.hired_hoe]
operations = ["hoe"]
width = "6 m"
speed = "7 km/h"
field_efficiency = "75 %"
road_speed = "30 km/h"
transport_width = "3 m"
custom = { rate = "$35/ha", arrives_after = "4 days" }

[tractors.large]
power = "120 kW"
drive = "front_wheel_assist"
other_hours = "300 h"
price = "$140,000"
age = 2
years = 11

[options.one]
label = "ein <b>Gespann</b>, mit den Nachbarn geteilt & geliehen"
machines = { disk = 1, planter = 1, hired_hoe = 1 }
tractors = { large = 1 }
[options.two]
machines = { disk = 1, planter = 2, hired_hoe = 1 }
tractors = { large = 2 }
operators = 3
"""


def full_farm(text: str = FULL_FARM) -> Farm:
    """Return the farm, or another text with its tables."""
    return parse_farm(text, SMALL_TABLES)
