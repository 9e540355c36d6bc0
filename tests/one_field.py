"""A farm of one field and one operation, as text: planting only, 8 ha/h, 10 h a day."""

from __future__ import annotations

CAPACITY = 8.0  # field capacity [ha/h]: 10 km/h x 10 m x 80 % / 10 (ASABE EP496, D497)
HOURS = 10.0  # field hours of a suitable day [h]
AREA_A_DAY = CAPACITY * HOURS  # [ha]
YIELD = 10.0  # [t/ha]
PRICE = 150.0  # [$/t]


def one_field(
    *,
    area: float,
    curve: str,
    earliest: str,
    first_day: str = "1 Apr",
    last_day: str = "31 May",
    days_off: tuple[str, ...] = (),
) -> str:
    """Return the farm's text; its suitable days come from a chain in `days.csv`.

    Parameters
    ----------
    area : float
        Of the field [ha].
    curve : str
        TOML value of `yield_by_planting_date`.
    earliest, first_day, last_day : str
        Days of the calendar: of planting, and of the season.
    days_off : tuple of str
        Weekdays.
    """
    return f"""\
name = "One field"
units = "metric"
crop_year = 2026
first_day = "{first_day}"
last_day = "{last_day}"
priority = ["plant"]

[days]
source = "daily_chain"
table = "days.csv"

[crew]
operators = 1
hours_per_day = "{HOURS} h"
days_off = {list(days_off)}

[money]
wage = "$20/h"
interest = "5 %"

[crops.corn]
yield = "{YIELD} t/ha"
price = "${PRICE}/t"
yield_by_planting_date = {curve}
target_date = "10 May"

[fields.home]
crop = "corn"
area = "{area} ha"

[operations.plant]
kind = "planting"
earliest = "{earliest}"
hours_per_day = "{HOURS} h"

[machines.planter]
operations = ["plant"]
width = "10 m"
speed = "10 km/h"
field_efficiency = "80 %"

[options.one_planter]
machines = {{ planter = 1 }}
"""
