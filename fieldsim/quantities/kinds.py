"""The kinds of quantity: the unit inside, the units that people see, and units of the trade."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["DEFINITIONS", "KINDS", "UNIT_SYSTEMS", "Kind", "UnitSystem"]

UnitSystem = Literal["us", "metric"]
UNIT_SYSTEMS: tuple[UnitSystem, ...] = ("us", "metric")

# The acre is 43,560 square feet of the international foot: the U.S. survey foot was retired at the
# end of 2022 (NIST, Federal Register 85 FR 62698, 5 October 2020).
DEFINITIONS = (
    "acre = 43560 * foot ** 2 = ac",
    "dollar = [currency]",
    "seed = count = seeds",
    "degC_day = [growing_degrees] = degC_days",
    "degF_day = 5 / 9 * degC_day = degF_days",
)


@dataclass(frozen=True)
class Kind:
    """One kind of quantity: the unit inside, the units people see, and an example of each.

    Parameters
    ----------
    internal, us, metric : str
        Units, as pint names them.
    example : str
        A right example, for error messages.
    """

    internal: str
    us: str
    metric: str
    example: str


KINDS = {
    "area": Kind("ha", "acre", "ha", '"80 acre" or "32 ha"'),
    "length": Kind("m", "ft", "m", '"1300 ft" or "400 m"'),
    "width": Kind("m", "ft", "m", '"30 ft" or "9 m"'),
    "row_spacing": Kind("m", "in", "cm", '"30 in" or "75 cm"'),
    "distance": Kind("km", "mile", "km", '"2 mile" or "3 km"'),
    "speed": Kind("km/h", "mph", "km/h", '"5 mph" or "8 km/h"'),
    "time": Kind("h", "h", "h", '"10 h" or "20 min"'),
    "days": Kind("day", "day", "day", '"3 days"'),
    "growing_degrees": Kind("degC_day", "degF_day", "degC_day", '"240 degF days"'),
    "latitude": Kind("degree", "degree", "degree", '"42 degrees"'),
    "rain": Kind("mm", "in", "mm", '"0.4 in" or "10 mm"'),
    "depth": Kind("m", "in", "cm", '"4 in" or "10 cm"'),
    "share": Kind("dimensionless", "%", "%", '"65 %"'),
    "rate": Kind("1/year", "%/year", "%/year", '"6 %/year"'),
    "loss_rate": Kind("1/day", "%/day", "%/day", '"0.7 %/day"'),
    "power": Kind("kW", "hp", "kW", '"120 hp" or "90 kW"'),
    "fuel": Kind("L", "gal", "L", '"120 gal" or "450 L"'),
    "fuel_price": Kind("dollar/L", "dollar/gal", "dollar/L", '"$3.40/gal" or "$0.90/L"'),
    "money": Kind("dollar", "dollar", "dollar", '"$42,000"'),
    "wage": Kind("dollar/h", "dollar/h", "dollar/h", '"$25/h"'),
    "money_per_area": Kind("dollar/ha", "dollar/acre", "dollar/ha", '"$120/acre"'),
    "test_weight": Kind("t/m**3", "lb/bu", "kg/hL", '"56 lb/bu"'),
    "yield": Kind("t/ha", "bu/acre", "t/ha", '"180 bu/acre" or "11 t/ha"'),
    "price": Kind("dollar/t", "dollar/bu", "dollar/t", '"$4.50/bu" or "$177/t"'),
    "field_capacity": Kind("ha/h", "acre/h", "ha/h", '"12 acre/h"'),
}
