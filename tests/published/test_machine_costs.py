"""Remaining value, repairs and yearly cost of machines against printed tables and examples.

The coefficients of ASABE D497.7 are from memory; the printed figures here are what they are held
to. Row cultivator, planter and grain drill have no printed repair figure of their own: for them
stands only the total of the standard's own table, which is from memory too.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from fieldsim.machines import (
    OwnedMachine,
    accumulated_repair_share,
    cost_per_hour,
    custom_hire_cost,
    labor_cost,
    machine_class,
    machine_cost,
    mean_yearly_repairs,
    remaining_share,
    repair_cost,
    tractor_class,
    trade_in_value,
)
from fieldsim.quantities import parse

HALF_A_PERCENT = 0.005 + 1e-9  # of figures printed in whole percent; ties go either way

# Edwards, Estimating Farm Machinery Costs, Iowa State University Extension PM 710 (A3-29), table 3
# (its source: ASAE 1996): accumulated repairs in percent of new list price by hours of use.
TRACTOR_HOURS = range(1_000, 10_001, 1_000)
TOOL_HOURS = range(200, 2_001, 200)
PM_710_REPAIRS = {
    "tractor_large": dict(zip(TRACTOR_HOURS, [1, 3, 6, 11, 18, 25, 34, 45, 57, 70], strict=True)),
    "tractor_4wd": dict(zip(TRACTOR_HOURS, [0, 1, 3, 5, 8, 11, 15, 19, 24, 30], strict=True)),
    "moldboard_plow": dict(zip(TOOL_HOURS, [2, 6, 12, 19, 29, 40, 53, 68, 84, 101], strict=True)),
    "disk": dict(zip(TOOL_HOURS, [1, 4, 8, 12, 18, 25, 32, 40, 49, 58], strict=True)),
    "chisel_plow": dict(zip(TOOL_HOURS, [3, 8, 14, 20, 28, 36, 45, 54, 64], strict=False)),
}


@pytest.mark.parametrize(
    ("name", "hours", "percent"),
    [(name, h, value) for name, row in PM_710_REPAIRS.items() for h, value in row.items()],
)
def test_iowa_state_table_of_repairs(name: str, hours: int, percent: int) -> None:
    share = float(accumulated_repair_share(machine_class(name), hours))
    assert share == pytest.approx(percent / 100, abs=HALF_A_PERCENT)


# The same table: repairs between two points of life are the difference of two cells.
@pytest.mark.parametrize(
    ("name", "start", "end"),
    [("tractor_large", 2_000, 6_000), ("tractor_4wd", 3_000, 8_000), ("disk", 400, 1_200)],
)
def test_repairs_of_a_used_machine_are_the_difference_of_two_printed_cells(
    name: str, start: int, end: int
) -> None:
    printed = (PM_710_REPAIRS[name][end] - PM_710_REPAIRS[name][start]) / 100
    cost = float(repair_cost(100_000, machine_class(name), start, end))
    assert cost == pytest.approx(100_000 * printed, abs=2 * 100_000 * HALF_A_PERCENT)


# How Much Will That Tractor Cost? Part 2, Growing Produce, after Iowa State University Extension
# A3-29: list price $80,000, 15 years of 400 h: 25 % or $20,000, which is $3.33 an hour.
def test_repairs_of_a_tractor_over_15_years_of_400_hours() -> None:
    yearly = float(mean_yearly_repairs(80_000, tractor_class(78), 0, 400, 15))
    assert yearly * 15 == pytest.approx(20_000, abs=80_000 * HALF_A_PERCENT)
    assert yearly / 400 == pytest.approx(3.33, abs=80_000 * HALF_A_PERCENT / 6_000)


# ASABE D497.7 (2011), repair factors: life [h] and total repairs in percent of list price over it.
# Life and total are from memory, as the factors are.
LIFETIME_REPAIRS = {
    "tractor_small": (12_000, 100),
    "tractor_4wd": (16_000, 80),
    "moldboard_plow": (2_000, 100),
    "disk": (2_000, 60),
    "chisel_plow": (2_000, 75),
    "field_cultivator": (2_000, 70),
    "rotary_hoe": (2_000, 60),
    "row_cultivator": (2_000, 80),
    "planter": (1_500, 75),
    "grain_drill": (1_500, 75),
}


@pytest.mark.parametrize(("name", "row"), LIFETIME_REPAIRS.items())
def test_remembered_factors_give_the_remembered_total_of_a_life(
    name: str, row: tuple[int, int]
) -> None:
    life, percent = row
    assert machine_class(name).life == life
    share = float(accumulated_repair_share(machine_class(name), life))
    assert share == pytest.approx(percent / 100, abs=0.035)


# Zapata-Hernandez et al. (2024), OCL 31, article 10, table 1, after Srivastava et al. (2006),
# Engineering Principles of Agricultural Machines: repairs of tillage tools that last 2,000 h and
# more come to 58-74 % of price.
@pytest.mark.parametrize("name", ["disk", "chisel_plow", "field_cultivator", "rotary_hoe"])
def test_lifetime_repairs_of_tillage_tools_lie_in_the_printed_range(name: str) -> None:
    assert 0.575 <= float(accumulated_repair_share(machine_class(name), 2_000)) <= 0.745


# Edwards, PM 710 (A3-29), table 1a: remaining value in percent of list price of tractors below 80
# and from 80 to 149 hp, by hours a year, at 1, 5, 10, 15 and 20 years. The table rounds some of its
# cells down: the greatest deviation is 0.63 points.
AGES = (1, 5, 10, 15, 20)
PM_710_VALUES = {
    ("tractor_small", 200): (65, 48, 36, 29, 23),
    ("tractor_small", 400): (60, 43, 32, 25, 20),
    ("tractor_small", 600): (56, 40, 30, 23, 18),
    ("tractor_medium", 200): (69, 50, 38, 30, 24),
    ("tractor_medium", 400): (68, 49, 37, 29, 23),
}


@pytest.mark.parametrize(
    ("name", "hours", "age", "percent"),
    [
        (name, hours, age, percent)
        for (name, hours), row in PM_710_VALUES.items()
        for age, percent in zip(AGES, row, strict=True)
    ],
)
def test_iowa_state_table_of_remaining_values(
    name: str, hours: int, age: int, percent: int
) -> None:
    share = float(remaining_share(machine_class(name), age, hours))
    assert share == pytest.approx(percent / 100, abs=0.0064)


def test_most_cells_of_the_table_are_the_equation_rounded() -> None:
    off = [
        abs(float(remaining_share(machine_class(name), age, hours)) - percent / 100)
        for (name, hours), row in PM_710_VALUES.items()
        for age, percent in zip(AGES, row, strict=True)
    ]
    assert sum(deviation <= HALF_A_PERCENT for deviation in off) >= 22  # of 25


def tractor(
    power: str, list_price: float, purchase: float, hours: float, years: int
) -> OwnedMachine:
    kind = tractor_class(parse(power, "power"))
    return OwnedMachine(kind, list_price, purchase, hours, years, 0.05, 0.01)


# First and second row: the tractor of 180 PTO hp in an older edition of PM 710 and in those of
# about 2009-2015. Third row: a payments company's article that cites the same table.
@pytest.mark.parametrize(
    ("machine", "percent"),
    [
        (tractor("180 hp", 110_000, 93_500, 400, 15), 23),
        (tractor("180 hp", 150_000, 130_000, 400, 15), 23),
        (tractor("180 hp", 150_000, 150_000, 600, 12), 27),
    ],
)
def test_salvage_values_of_the_iowa_state_tractors(machine: OwnedMachine, percent: int) -> None:
    assert trade_in_value(machine) == pytest.approx(
        machine.list_price * percent / 100, abs=machine.list_price * HALF_A_PERCENT
    )


# University of Illinois, Machinery Cost Estimates: Tractors (May 2008): salvage is 36 % of list
# price after 10 years of 300 h, one figure for tractors of all sizes.
def test_illinois_salvage_value_lies_among_the_classes_of_tractors() -> None:
    names = ("tractor_small", "tractor_medium", "tractor_large")
    shares = [float(remaining_share(machine_class(name), 10, 300)) for name in names]
    assert min(shares) <= 0.36 <= max(shares)
    assert shares == pytest.approx([0.36] * 3, abs=0.04)


# Zapata-Hernandez et al. (2024), table 1, after Iowa State University: salvage values of tillage
# tools are 17-44 %, ages not given; PM 710 keeps such machines 10 to 12 years.
@pytest.mark.parametrize(
    "name",
    ["row_cultivator", "rotary_hoe", "field_cultivator", "disk", "chisel_plow", "moldboard_plow"],
)
def test_values_of_tillage_tools_after_10_to_12_years_lie_in_the_printed_range(name: str) -> None:
    for share in remaining_share(machine_class(name), [10, 12], 50):
        assert 0.17 <= share <= 0.44


# Schnitkey (2003), FEFO 03-11, University of Illinois: splitting the rows of an 8-row planter costs
# $12,200 of new investment and raises the cost of planting 400 acres of soybeans from $8.10 to
# $11.80 an acre; new equipment kept ten years. Purchase at 85 % of list price, 7 % interest and 1 %
# for insurance and housing are the conventions of the university's estimates of May 2008, and
# 10.18 acres an hour (6 mph, 70 %) those of Schnitkey (2004), FEFO 04-05: the sum is a check of
# size, not of digits. Repairs are a twentieth of it, so it says little about the repair factors.
def test_cost_of_split_rows_is_near_the_illinois_estimate() -> None:
    rows = OwnedMachine(
        machine_class("planter"), 12_200 / 0.85, 12_200, 400 / 10.18, 10, 0.07, 0.01
    )
    printed = (11.80 - 8.10) * 400
    assert machine_cost(rows).total == pytest.approx(printed, rel=0.05)


# Lattz & Schnitkey (2021), farmdoc daily, University of Illinois: a tractor of 310 PTO hp, list
# price $410,256 (2019) and $447,479 (2021), bought at 85 % of it, interest 5.5 and 4.5 %: overhead
# $122.90 and $126.10 an hour. Ten years of 300 h, salvage 36 % and 1 % for insurance and housing
# are the conventions of May 2008, which may have changed, and interest there runs on each year's
# remaining value: a check of size. The sums here are 11 and 10 % above.
@pytest.mark.parametrize(
    ("list_price", "interest", "printed"), [(410_256, 0.055, 122.90), (447_479, 0.045, 126.10)]
)
def test_overhead_of_an_hour_is_near_the_illinois_estimate(
    list_price: float, interest: float, printed: float
) -> None:
    machine = replace(
        tractor("310 hp", list_price, 0.85 * list_price, 300, 10),
        interest=interest,
        salvage=0.36 * list_price,
    )
    an_hour = cost_per_hour(machine_cost(machine), 300).total
    assert an_hour == pytest.approx(printed, rel=0.12)


# University of Illinois tractor cost table (undated): $/h in all, overhead and fuel; what is left
# is labor at $13.50 an hour and 10 % above tractor hours.
@pytest.mark.parametrize(
    ("total", "overhead", "fuel"),
    [
        (33.55, 14.00, 4.70),
        (44.15, 21.70, 7.60),
        (55.25, 30.30, 10.10),
        (72.55, 44.00, 13.70),
        (84.65, 52.80, 17.00),
        (90.15, 56.90, 18.40),
        (91.55, 53.50, 23.20),
    ],
)
def test_labor_of_a_tractor_hour_is_what_overhead_and_fuel_leave(
    total: float, overhead: float, fuel: float
) -> None:
    assert float(labor_cost(1, 13.50, 0.10)) == pytest.approx(total - overhead - fuel, abs=0.005)


# Iowa Farm Custom Rate Survey [$/acre]. 2014: averages as told by Martens (15 April 2014), Custom
# Rates and Planting Dates, University of Minnesota Extension; 2019: MinnStar Bank, Selected 2019
# Farm Custom Rates. The cost of 600 acres in US units must come out of hectares and $/ha.
@pytest.mark.parametrize(
    ("rate", "printed"),
    [
        ("$17.85/acre", 17.85),  # 2014, planting without attachments
        ("$13.80/acre", 13.80),  # 2014, field cultivating
        ("$14.20/acre", 14.20),  # 2014, tandem disk
        ("$20.40/acre", 20.40),  # 2019, planter without attachments
        ("$16.00/acre", 16.00),  # 2019, field cultivator
    ],
)
def test_iowa_custom_rates_by_the_acre(rate: str, printed: float) -> None:
    cost = custom_hire_cost(parse("600 acre", "area"), parse(rate, "money_per_area"))
    assert float(cost) == pytest.approx(600 * printed)


# The lowest and highest answers to the 2014 survey for planting without attachments were $10 and
# $27 an acre, machine, tractor, fuel at $3.25 a gallon and operator together. What the outfit and
# its operator cost to buy and hire is assumed: a check of size.
def test_owning_and_running_a_planting_outfit_costs_about_what_it_is_hired_for() -> None:
    acres, hours = 1_000, 1_000 / 10.18
    planter = OwnedMachine(machine_class("planter"), 60_000, 52_000, hours, 10, 0.05, 0.01)
    pulled_by = tractor("140 hp", 130_000, 115_000, 400, 12)
    running = hours * 0.044 * 140 * 3.25 * 1.15 + float(labor_cost(hours, 18, 0.15))
    owned = machine_cost(planter).total + machine_cost(pulled_by, hours / 400).total
    assert 10 <= (owned + running) / acres <= 27
