"""Draft, power and fuel against printed worked examples and tables.

Most coefficients of draft and fuel are from memory, so these are what holds them. Nothing was
adjusted to come closer; what falls outside the standard's own range is listed as such. Where a
source does not say so, soil is medium, rows are 30 in apart and a two-wheel-drive tractor works on
firm soil, or on tilled soil where it has been tilled before.
"""

from __future__ import annotations

import pytest

from fieldsim.machines import (
    average_fuel_per_hour,
    draft_coefficients,
    drawbar_power,
    drawbar_pto_ratio,
    equivalent_pto_power,
    field_capacity,
    fuel_per_area,
    fuel_per_hour,
    greatest_speed,
    implement_draft,
    lubricant_cost,
    unusual,
    usual_work,
)
from fieldsim.machines.fuel import FuelEquation
from fieldsim.machines.power import Surface
from fieldsim.quantities import factor

HP = factor("power", "us")  # hp a kW
MPH = factor("speed", "us")  # mph a km/h
FT = factor("width", "us")  # ft a m
ACRES = factor("area", "us")  # acres a ha
LB = 1 / 4.4482216152605e-3  # lb-force a kN
GALLONS = 1 / 3.785411784  # U.S. gal a L
INCH = 0.0254  # m
ROWS_A_FOOT = 12 / 30


def pto_hp(machine: str, mph: float, size: float, inches: float | None, surface: Surface) -> float:
    speed = mph / MPH
    draft = implement_draft(machine, "medium", speed, size, inches and inches * INCH)
    power = equivalent_pto_power(drawbar_power(draft, speed), "two_wheel", surface)
    return float(power) * HP


# Field & Solie (2007), web copy: chisel plow of 45 tools, 15 cm deep, 10 km/h, A 91, B 5.4:
# 68,512.5 N with 0.70 for a medium soil. D497's factor is 0.85, from memory. (The 113 kW printed
# with it are wrong: 68.5 kN at 10 km/h are 190 kW.)
def test_draft_of_a_chisel_plow_of_45_tools() -> None:
    factor_here = draft_coefficients("chisel_plow").texture_factors["medium"]
    draft = float(implement_draft("chisel_plow", "medium", 10, 45, 0.15))
    assert draft * 0.70 / factor_here == pytest.approx(68.5125, rel=1e-9)


# Edwards (May 2007), Matching Tractor Power and Implement Size, Iowa State University Extension
# A3-26: 24-ft tandem disk, 200 lb of draft a foot, 6 mph, firm soil: 115 PTO hp, with a factor of
# 1.5 from drawbar to PTO. That factor holds a margin which the ratios of D497 do not.
def test_a_24_ft_tandem_disk_takes_115_pto_hp() -> None:
    power = drawbar_power(24 * 200 / LB, 6 / MPH)
    assert round(float(power) * HP * 1.5) == 115
    ratio = drawbar_pto_ratio("two_wheel", "firm")
    assert float(power) * HP / ratio == pytest.approx(115, rel=0.08)
    assert 1 / ratio < 1.5


# Same source: draft of 200 lb a foot; 4 in deep, common practice, no source.
def test_a_tandem_disk_pulls_200_lb_a_foot() -> None:
    draft = implement_draft("tandem_disk_secondary", "medium", 6 / MPH, 1 / FT, 4 * INCH)
    assert float(draft) * LB == pytest.approx(200, rel=0.02)


# Licensure problem (Philippines): four rows at 1.70 kN a row and 7.5 km/h: 14.17 kW. Soil and depth
# are not given; 5 cm in a fine soil come close, a medium one to within D497's own 15 %.
def test_a_4_row_cultivator_takes_14_17_kw() -> None:
    assert float(drawbar_power(4 * 1.70, 7.5)) == pytest.approx(14.17, abs=0.005)
    for texture, deviation in (("fine", 0.06), ("medium", 0.15)):
        draft = implement_draft("row_cultivator_c_shank", texture, 7.5, 1, 0.05)  # type: ignore[arg-type]
        assert float(draft) == pytest.approx(1.70, rel=deviation)


# College module: four bottoms of 12 in, 10 in deep, 8 lb a square inch, 3.5 mph: 3,840 lb (and so
# 35.8 hp, worked out here).
def test_a_plow_of_four_12_in_bottoms_pulls_3840_lb() -> None:
    speed = 3.5 / MPH
    draft = float(implement_draft("moldboard_plow", "medium", speed, 4 * 12 * INCH, 10 * INCH))
    assert draft * LB == pytest.approx(3840, rel=0.04)
    assert float(drawbar_power(3840 / LB, speed)) * HP == pytest.approx(35.8, abs=0.05)


# Frisby (1993), University of Missouri Extension G1208: speed [mph] and PTO hp a foot of width, at
# 8 in for plows. Depth of disk and field cultivator (4 in) and row cultivator (2 in), chisels 12 in
# and sweeps 6 in apart: common practice, no source.
G1208_POWER: dict[str, tuple[str, float, float, float | None, Surface, float]] = {
    "moldboard plow": ("moldboard_plow", 4.5, 1 / FT, 8, "firm", 13.5),
    "chisel plow": ("chisel_plow", 5.0, 1, 8, "firm", 9.3),
    "tandem disk on corn stalks": ("tandem_disk_primary", 5.0, 1 / FT, 4, "firm", 3.5),
    "tandem disk on chiseled land": ("tandem_disk_secondary", 5.0, 1 / FT, 4, "tilled", 4.3),
    "tandem disk on plowed land": ("tandem_disk_secondary", 5.0, 1 / FT, 4, "tilled", 5.6),
    "field cultivator": ("field_cultivator_secondary", 5.5, 2, 4, "tilled", 5.2),
    "row crop cultivator": ("row_cultivator_c_shank", 4.5, ROWS_A_FOOT, 2, "tilled", 3.2),
    "rotary hoe": ("rotary_hoe", 7.0, 1 / FT, None, "tilled", 2.3),
    "row planter": (
        "planter_drawn_seed_fertilizer_herbicide",
        *(4.5, ROWS_A_FOOT, None, "tilled", 3.5),
    ),
    "no-till planter": ("planter_no_till", 4.5, ROWS_A_FOOT, None, "firm", 2.0),
}
# Deviation from the printed power, where it is beyond D497's own range for the machine.
BEYOND_RANGE = {
    "tandem disk on plowed land": -0.33,
    "row crop cultivator": -0.23,
    "rotary hoe": -0.50,
    "row planter": -0.29,
    "no-till planter": 0.31,
}


def deviation_from_g1208(operation: str) -> float:
    machine, mph, size, inches, surface, printed = G1208_POWER[operation]
    return pto_hp(machine, mph, size, inches, surface) / printed - 1


@pytest.mark.parametrize("operation", sorted(set(G1208_POWER) - set(BEYOND_RANGE)))
def test_power_of_an_operation_is_within_the_range_of_its_draft(operation: str) -> None:
    plus_minus = draft_coefficients(G1208_POWER[operation][0]).plus_minus
    assert abs(deviation_from_g1208(operation)) <= plus_minus


@pytest.mark.parametrize(("operation", "deviation"), BEYOND_RANGE.items())
def test_operations_whose_power_is_beyond_the_range_of_their_draft(
    operation: str, deviation: float
) -> None:
    assert abs(deviation) > draft_coefficients(G1208_POWER[operation][0]).plus_minus
    assert deviation_from_g1208(operation) == pytest.approx(deviation, abs=0.005)


# Edwards, A3-26, has 1.8 from drawbar to PTO on tilled soil (from memory; 1.5 on firm soil was
# read): with that margin the drafts of these operations are within their range, the rotary hoe's
# is not.
@pytest.mark.parametrize(
    "operation", ["tandem disk on plowed land", "row crop cultivator", "row planter"]
)
def test_a_margin_between_drawbar_and_pto_explains_what_the_ratios_leave_short(
    operation: str,
) -> None:
    margin = 1.8 * drawbar_pto_ratio("two_wheel", "tilled")
    power = margin * (1 + deviation_from_g1208(operation))
    assert abs(power - 1) <= draft_coefficients(G1208_POWER[operation][0]).plus_minus


# Sweeps 9 in apart, common practice as well, take half of the power printed for field cultivators.
def test_a_field_cultivator_with_few_sweeps_is_beyond_its_range() -> None:
    power = pto_hp("field_cultivator_secondary", 5.5, 12 / 9, 4, "tilled")
    assert power / 5.2 - 1 == pytest.approx(-0.47, abs=0.005)


# The same table read the other way: the speed that the printed power holds.
@pytest.mark.parametrize(("operation", "mph"), [("moldboard plow", 4.2), ("chisel plow", 4.9)])
def test_the_printed_power_holds_about_the_printed_speed(operation: str, mph: float) -> None:
    machine, printed_mph, size, inches, surface, hp = G1208_POWER[operation]
    assert inches is not None
    power = hp / HP * drawbar_pto_ratio("two_wheel", surface)
    speed = float(greatest_speed(power, machine, "medium", size, inches * INCH)) * MPH
    assert speed == pytest.approx(mph, abs=0.05)
    assert speed == pytest.approx(printed_mph, rel=0.08)


# Steel in the Field, SARE: row cultivator of six 30-in rows, 50-90 PTO hp, 3-8 mph, 1-2 in deep.
# The tractor has to do for the hardest of it. Rotary hoe of 21 ft, 75-90 PTO hp, 5-15 mph: as
# above, the draft of the rotary hoe comes to less.
def test_power_for_the_hardest_work_of_a_6_row_cultivator() -> None:
    assert 50 <= pto_hp("row_cultivator_c_shank", 8, 6, 2, "tilled") <= 90


def test_power_for_the_fastest_work_of_a_rotary_hoe_is_below_what_is_printed() -> None:
    assert pto_hp("rotary_hoe", 15, 21 / FT, None, "tilled") / 75 - 1 == pytest.approx(
        -0.31, abs=0.005
    )


# The US column of the same table of D497, from memory too: it tells a slip of the pen in one of
# the two from the other, no more: both are rounded to two figures, together up to 4.2 %. lb-force
# a row or foot; with depth also an inch; speed in mph.
@pytest.mark.parametrize(
    ("machine", "constant", "linear", "quadratic"),
    [
        ("planter_mounted_seed_only", 110, 0, 0),
        ("planter_drawn_seed_only", 200, 0, 0),
        ("planter_drawn_seed_fertilizer_herbicide", 350, 0, 0),
        ("planter_no_till", 410, 0, 0),
        ("planter_zone_till", 765, 0, 0),
        ("row_cultivator_s_tine", 80, 6.4, 0),
        ("row_cultivator_c_shank", 148, 11.9, 0),
        ("row_cultivator_no_till", 248, 20.1, 0),
        ("rotary_hoe", 41, 0, 0),
        ("field_cultivator_primary", 26, 2.5, 0),
        ("field_cultivator_secondary", 19, 1.8, 0),
        ("tandem_disk_primary", 53, 4.6, 0),
        ("tandem_disk_secondary", 37, 3.2, 0),
        ("moldboard_plow", 113, 0, 2.3),
        ("chisel_plow", 52, 4.9, 0),
    ],
)
def test_coefficients_in_both_systems_of_units_agree(
    machine: str, constant: float, linear: float, quadratic: float
) -> None:
    row = draft_coefficients(machine)
    size, depth = 1 / FT if row.per == "m" else 1, INCH if row.uses_depth else None
    for mph in (3.0, 6.0, 9.0):
        draft = float(implement_draft(machine, "fine", mph / MPH, size, depth)) * LB
        assert draft == pytest.approx(constant + linear * mph + quadratic * mph**2, rel=0.042)


# Iowa State University Extension A3-29, worked in Growing Produce, part 2: a 105-hp diesel
# tractor at $3.40 a gallon burns 4.62 gal/h, $15.71/h, and lubricants are $2.36/h; 0.060 gal/h
# for each hp with gasoline. University of Illinois (2021): 310 hp, 13.6 gal/h. 0.223 L is 0.0439
# gal a hp.
def test_year_round_fuel_of_tractors() -> None:
    small = float(average_fuel_per_hour(105 / HP)) * GALLONS
    assert small == pytest.approx(4.62, rel=0.002)
    assert small * 3.40 == pytest.approx(15.71, rel=0.002)
    assert float(lubricant_cost(15.71)) == pytest.approx(2.36, abs=0.005)
    assert float(average_fuel_per_hour(310 / HP)) * GALLONS == pytest.approx(13.6, abs=0.05)
    assert float(average_fuel_per_hour(1 / HP, "gasoline")) * GALLONS == pytest.approx(
        0.060, abs=5e-4
    )


# Hoy, Nebraska Tractor Test Laboratory, in Farm Industry News: two 200-hp tractors of 17 and 18
# hp h a gallon burn 11.76 and 11.11 gal/h. Tests are run at the best settings; the equation is
# for the field. That of 2003 speaks of older engines.
@pytest.mark.parametrize("gallons", [11.76, 11.11])
def test_fuel_of_a_200_hp_tractor_at_full_load(gallons: float) -> None:
    power = 200 / HP
    assert 0 < float(fuel_per_hour(power, power)) * GALLONS / gallons - 1 <= 0.13
    older = float(fuel_per_hour(power, power, "d497_4")) * GALLONS / gallons - 1
    assert 0.40 < older < 0.51


# Fuel by operation [gal/acre]: Frisby (1993), G1208, with its speed [mph] and PTO hp a foot; and
# UNL CropWatch. The efficiency is the typical one of D497.7; 65 % for the anhydrous applicator
# (Iowa State University Extension A3-24). Tractors are assumed to be loaded to 60 % in the row
# and not at all elsewhere; at 75 % the greatest deviation from Missouri would be 20 %, at 50 % it
# would be 42 %. Iowa State University Extension A3-27: actual use may differ from tables by 35 %.
FUEL: dict[str, tuple[float, float, str | None, float, float | None]] = {
    "moldboard plow": (4.5, 13.5, "moldboard_plow", 1.68, 2.25),
    "chisel plow": (5.0, 9.3, "chisel_plow", 1.10, 1.05),
    "tandem disk on corn stalks": (5.0, 3.5, "tandem_disk", 0.45, None),
    "tandem disk on chiseled land": (5.0, 4.3, "tandem_disk", 0.55, 0.74),
    "tandem disk on plowed land": (5.0, 5.6, "tandem_disk", 0.65, 0.74),
    "field cultivator": (5.5, 5.2, "field_cultivator", 0.60, 0.74),
    "row crop cultivator": (4.5, 3.2, "row_cultivator", 0.45, 0.43),
    "rolling cultivator": (5.5, 2.5, "row_cultivator", 0.35, None),
    "rotary hoe": (7.0, 2.3, "rotary_hoe", 0.25, None),
    "row planter": (4.5, 3.5, "planter", 0.50, 0.52),
    "no-till planter": (4.5, 2.0, "planter", 0.35, None),
    "anhydrous applicator": (5.0, 5.5, None, 0.65, 0.60),
}
LOAD = 0.60
APPLICATOR_EFFICIENCY = 0.65


def gallons_an_acre(operation: str, equation: FuelEquation) -> float:
    mph, hp, machine, *_ = FUEL[operation]
    efficiency = usual_work(machine).typical_efficiency if machine else APPLICATOR_EFFICIENCY
    in_row, available = hp / HP, hp / HP / LOAD
    if equation == "d497_7":
        fuel = fuel_per_hour(in_row * efficiency, available)
    else:  # goes to 0 without load, so it is taken for the time in the row only
        fuel = fuel_per_hour(in_row, available, equation) * efficiency
    capacity = field_capacity(mph / MPH, 1 / FT, efficiency)
    return float(fuel_per_area(fuel, capacity)) * GALLONS / ACRES


@pytest.mark.parametrize("equation", ["d497_7", "d497_4"])
@pytest.mark.parametrize("operation", FUEL)
def test_fuel_of_an_acre_is_within_35_percent_of_missouri(
    operation: str, equation: FuelEquation
) -> None:
    assert gallons_an_acre(operation, equation) == pytest.approx(FUEL[operation][3], rel=0.35)


@pytest.mark.parametrize("operation", [name for name, row in FUEL.items() if row[4]])
def test_fuel_of_an_acre_is_within_35_percent_of_nebraska(operation: str) -> None:
    gallons, printed = gallons_an_acre(operation, "d497_7"), FUEL[operation][4]
    assert printed is not None
    if operation == "anhydrous applicator":  # Missouri itself prints 8 % more than Nebraska
        assert gallons / printed - 1 == pytest.approx(0.39, abs=0.005)
    else:
        assert gallons == pytest.approx(printed, rel=0.35)


# ISU figures in Farm News, 17 March 2006: a planter with attachments takes a little over 0.5
# gal/acre; at 5 mph (A3-27). From draft to fuel without a printed power, within the draft's own
# 25 %.
def test_fuel_of_an_acre_of_planting_from_draft() -> None:
    mph, efficiency = 5.0, usual_work("planter").typical_efficiency
    planter = "planter_drawn_seed_fertilizer_herbicide"
    hp = pto_hp(planter, mph, ROWS_A_FOOT, None, "tilled")
    fuel = fuel_per_hour(hp / HP * efficiency, hp / HP / LOAD)
    capacity = field_capacity(mph / MPH, 1 / FT, efficiency)
    gallons = float(fuel_per_area(fuel, capacity)) * GALLONS / ACRES
    assert gallons == pytest.approx(0.5, rel=0.25)


# Printed speeds [mph] and efficiencies [%] against the usual ranges: Iowa State University
# Extension A3-24 (plows, spreader), Schnitkey, University of Illinois FEFO 04-05 (2004; planter),
# Potter, AgWeb, 28 April 2016 (mean speed of 1,400 planters), G1208 (other tillage).
@pytest.mark.parametrize(
    ("machine", "mph", "percent"),
    [
        ("moldboard_plow", 5.0, 83),
        ("moldboard_plow", 4.5, 85),
        ("chisel_plow", 5.5, 83),
        ("fertilizer_spreader", 6.0, 68),
        ("planter", 6.0, 70),
        ("planter", 4.95, None),
        ("tandem_disk", 5.0, None),
        ("field_cultivator", 5.5, None),
        ("row_cultivator", 4.5, None),
    ],
)
def test_printed_speeds_and_efficiencies_are_usual(
    machine: str, mph: float, percent: float | None
) -> None:
    efficiency = None if percent is None else percent / 100
    assert unusual(machine, speed=mph / MPH, efficiency=efficiency) == ()


# Two printed figures are outside: A3-24 spreads at 12 mph as well, G1208 hoes at 7 mph.
@pytest.mark.parametrize(
    ("machine", "mph", "side"), [("fertilizer_spreader", 12, "above"), ("rotary_hoe", 7, "below")]
)
def test_printed_speeds_that_are_not_usual(machine: str, mph: float, side: str) -> None:
    (sentence,) = unusual(machine, speed=mph / MPH)
    assert side in sentence
