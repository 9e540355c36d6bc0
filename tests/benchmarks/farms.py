"""The farm of the benchmarks: the demo farm with one crew, 8 fields, 4 operations, 12 options.

And the same with 50 options, as a study may ask for.
"""

from __future__ import annotations

import re
from functools import cache
from itertools import product

from fieldsim import Farm, parse_farm
from fieldsim.demo import demo_folder
from fieldsim.farm import changed

WIDE_DISK = """
[machines.wide_disk]
operations = ["till"]
width = "26 ft"
speed = "5.5 mph"
field_efficiency = "80 %"
tractor_power = "125 hp"
road_speed = "15 mph"
fold_time = "7 min"
price = "$43,000"
"""
OPTION = """
[options.{disk}_{planter}_{cultivator}]
machines = {{ {disk} = 1, planter_{planter}_rows = 1, cultivator_{cultivator}_rows = 1 }}
tractors = {{ tractor_130 = 1 }}
"""
OUTFITS = list(product(("disk", "wide_disk"), (4, 6, 8), (6, 8)))
WIDTHS = ("14 ft", "18 ft", "22 ft", "26 ft", "30 ft")  # of a disk
PLANTERS = ((4, "5 mph"), (6, "5 mph"), (6, "6 mph"), (8, "5 mph"), (8, "6 mph"))


@cache
def one_crew() -> Farm:
    """One operator, one tractor and one machine of each kind in each of 12 options.

    All work has 10 h a day, so that a SimPy model of one crew can tell the same.
    """
    return _parse(_text())


@cache
def one_crew_without_extras() -> Farm:
    """The same without what a bare loop leaves out: lags, land that expires, setting up."""
    text = re.sub(r'^lag = "[^"]*"', 'lag = "0 days"', _text(), flags=re.MULTILINE)
    text = re.sub(r"^(latest_after_planting|fold_time|distance) = .*\n", "", text, flags=re.M)
    return _parse(text)


@cache
def fifty_options() -> Farm:
    """The farm of one crew with 5 disks, 5 planters and 2 cultivators in 50 options."""
    disk = {
        "class": "disk",
        "operations": ["till"],
        "speed": "5.5 mph",
        "field_efficiency": "80 %",
        "tractor_power": "125 hp",
        "road_speed": "15 mph",
        "price": "$34,000",
    }
    planter = {
        "class": "planter",
        "operations": ["plant"],
        "row_spacing": "30 in",
        "field_efficiency": "66 %",
        "tractor_power": "90 hp",
        "road_speed": "14 mph",
        "price": "$29,000",
    }
    disks = {f"disk_{k}": disk | {"width": width} for k, width in enumerate(WIDTHS)}
    planters = {
        f"planter_{k}": planter | {"rows": rows, "speed": speed}
        for k, (rows, speed) in enumerate(PLANTERS)
    }
    machines = {f"machines.{name}": entries for name, entries in (disks | planters).items()}
    cultivators = ("cultivator_6_rows", "cultivator_8_rows")
    options = {
        f"{d}_{p}_{c}": {"machines": {d: 1, p: 1, c: 1}, "tractors": {"tractor_130": 1}}
        for d, p, c in product(disks, planters, cultivators)
    }
    farm = changed(one_crew(), machines | {"options": options})
    assert len(farm.options) == 50
    return farm


def _text() -> str:
    text = (demo_folder() / "farm.toml").read_text(encoding="utf-8").split("[options.")[0]
    text = re.sub(r"\[crew\.helpers\.\w+\]\n[^\[]*", "", text)
    text = re.sub(r"^operators = \d+", "operators = 1", text, flags=re.MULTILINE)
    text = re.sub(r'^hours_per_day = "[^"]*"', 'hours_per_day = "10 h"', text, flags=re.MULTILINE)
    options = (OPTION.format(disk=d, planter=p, cultivator=c) for d, p, c in OUTFITS)
    return text + WIDE_DISK + "".join(options)


def _parse(text: str) -> Farm:
    days = "suitable_days.csv"
    farm = parse_farm(text, {days: (demo_folder() / days).read_text(encoding="utf-8")})
    assert (len(farm.fields), len(farm.operations), len(farm.options)) == (8, 4, 12)
    assert farm.crew.operators == 1
    assert not farm.crew.helpers
    return farm
