"""The small farm of the tests with every section that a farm may have, in one text."""

from __future__ import annotations

from fieldsim.farm import Farm, parse_farm
from tests.farms import SMALL_FARM, SMALL_TABLES, changed

LATE_SECTIONS = """\
[crops.corn.weeds]
table = "corn_ontario_low"
pressure = "60 %"
emergence = "12 days"

[crops.corn.drying]
on_time_until = "5 May"
points_per_day = 0.1
points_on_time = 3
cost_per_point = "$0.045/bu"

[crops.corn.insurance]
published = "iowa_corn"
coverage = "75 %"
yield = "180 bu/acre"
price = "$4.50/bu"

[crops.corn.replanting]
probability = "40 %"
land = "30 %"
after = "20 days"
cost = "$60/acre"
yield_kept = "90 %"

[crops.soybeans.weeds]
table = "soybean_ontario_high"

[crops.soybeans.replanting]
probability = "30 %"
land = "20 %"
after = "15 days"
cost = "$60/acre"

[crops.corn.late]"""

HIRED = """\
[machines.hired_planter]
operations = ["plant"]
rows = 12
row_spacing = "30 in"
speed = "5 mph"
field_efficiency = "65 %"
transport_width = "11 ft"
road_speed = "14 mph"
custom = { rate = "$60/acre", arrives_after = "3 days" }

[tractors.large]"""

WHOLE_FARM = changed(
    ("week_correlation = 0.3", "week_correlation = 0.3\nwet_share = 0.4"),
    ('wage = "$20/h"', 'wage = "$20/h"\nfuel_price = "$3.40/gal"\nlubricants = "10 %"'),
    ('price = "$4.50/bu"', 'price = "$4.50/bu"\nwet_soil_loss = "12 %"'),
    ("[crops.corn.late]", LATE_SECTIONS),
    ("[crops.soybeans.late]", '[crops.soybeans.late]\nswitch_to = "corn"\nswitch_from = "2 Jul"'),
    ('area = "150 acre"', 'area = "300 acre"'),
    ('area = "200 acre"', 'area = "600 acre"\ngate_width = "12 ft"\ntexture = "fine"'),
    ('lag = "1 day"', 'lag = "1 day"\nwet_from = { corn = "12 May", soybeans = "28 May" }'),
    ('lag = "24 days"', 'lag = "24 days"\nweed_control = "75 %"'),
    (
        'tractor_power = "110 hp"',
        'draft = { machine = "tandem_disk_primary", depth = "5 in" }\nallow_slower = true\n'
        'fold_time = "6 min"\nclass = "disk"\nage = 4\nhours = "700 h"\nlist_price = "$52,000"',
    ),
    (
        'pattern = "drill"',
        'pattern = "drill"\nclass = "planter"\nfold_time = "5 min"\ndaily_service = "30 min"\n'
        'comes_home = true\nsalvage = "30 %"',
    ),
    ('time = "12 min"', 'time = "12 min"\nhelpers = 1\nplacement = "with_seed"'),
    ('width = "15 ft"', 'width = "15 ft"\nclass = "row_cultivator"\ntransport_width = "11 ft"'),
    ('power = "130 hp"', 'power = "130 hp"\ndrive = "front_wheel_assist"\nother_hours = "250 h"'),
    ("[tractors.large]", HIRED),
    ("planter = 2, cultivator = 1 }", "planter = 1, hired_planter = 1, cultivator = 1 }"),
    text=SMALL_FARM,
)


def whole_farm(*changes: tuple[str, str]) -> Farm:
    """Return the farm with every section, with changes."""
    return parse_farm(changed(*changes, text=WHOLE_FARM), SMALL_TABLES)
