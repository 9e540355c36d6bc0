"""What the demo farm's work costs and burns by the acre, against published ranges.

The demo is invented and was not tuned to them: a check of size for all the figures together. Custom
rates hold machine, tractor, fuel and operator, as the costs here do.
"""

from __future__ import annotations

from typing import NamedTuple

import pytest
import xarray as xr

from fieldsim.demo import demo_farm
from fieldsim.simulation import simulate

OPTIONS = ("four_rows", "six_rows", "eight_rows", "two_six_rows")
MACHINES = {
    "till": "disk",
    "plant": "planter",
    "first_cultivation": "cultivator",
    "second_cultivation": "cultivator",
}
DIESEL = 3.40 * 1.15  # $/gal, with lubricants
WAGE = 24.0  # $/h


class Acre(NamedTuple):
    """What an operation takes by the acre: dollars in all, gallons of diesel."""

    cost: float
    fuel: float


@pytest.fixture(scope="module")
def outcomes() -> xr.Dataset:
    return simulate(demo_farm(), 300)


def acre(outcomes: xr.Dataset, option: str, operation: str) -> Acre:
    """Return what an operation takes by the acre.

    Tillage bears the tractor of 130 hp for its hours, the other work the rest of the tractors by
    its hours; an implement's cost is shared by the hours of its operations.
    """
    at = outcomes.sel(option=option)
    work = at[["done_area", "fuel_use", "labor_hours", "machine_hours"]].sum("crop").mean("season")
    hours, mine = work.machine_hours, work.sel(operation=operation)
    owned = at.equipment_cost.sum("cost_part").to_series()
    used = at.equipment_hours.mean("season").to_series()
    till = float(hours.sel(operation="till"))
    disking = owned["tractor_130"] / used["tractor_130"] * till
    if operation == "till":
        tractors = disking
    else:
        both = owned["tractor_130"] + owned["tractor_95"]
        tractors = (both - disking) / (float(hours.sum()) - till) * float(mine.machine_hours)
    names = [name for name in owned.index if name.startswith(MACHINES[operation])]
    implement = owned[names].sum() * float(mine.machine_hours) / used[names].sum()
    running = float(mine.fuel_use) * DIESEL + float(mine.labor_hours) * WAGE
    area = float(mine.done_area)
    return Acre((implement + tractors + running) / area, float(mine.fuel_use) / area)


# Lowest and highest answers to the Iowa Farm Custom Rate Survey of 2014, diesel at $3.25 a gallon,
# as told by Martens (15 April 2014), Custom Rates and Planting Dates, University of Minnesota
# Extension [$/acre]. Later means lie in them: tandem disk $16.20 in 2022 (KIOW, 6 April 2022, after
# Iowa State University Extension). For cultivating between rows no range was found: that of field
# cultivating, the nearest of the survey's operations, stands for it.
CUSTOM = {
    "till": (7.00, 21.00),  # tandem disk
    "plant": (10.00, 27.00),  # planting without attachments
    "first_cultivation": (7.50, 20.00),  # field cultivating
    "second_cultivation": (7.50, 20.00),
}


@pytest.mark.parametrize("option", OPTIONS)
@pytest.mark.parametrize("operation", CUSTOM)
def test_an_acre_costs_about_what_it_is_hired_for(
    outcomes: xr.Dataset, option: str, operation: str
) -> None:
    least, most = CUSTOM[operation]
    assert least <= acre(outcomes, option, operation).cost <= most


# Iowa Farm Custom Rate Survey of 2023, diesel at $3.39 a gallon, all kinds of planters: $12.50 to
# $45 an acre (Plastina (March 2023), Custom rate survey guide released for 2023, Iowa State
# University Extension).
@pytest.mark.parametrize("option", OPTIONS)
def test_planting_costs_about_what_it_was_hired_for_at_the_demos_price_of_diesel(
    outcomes: xr.Dataset, option: str
) -> None:
    assert 12.50 <= acre(outcomes, option, "plant").cost <= 45.00


# Diesel [gal/acre]: lowest and highest of Frisby (1993), University of Missouri Extension G1208,
# and University of Nebraska-Lincoln CropWatch. Actual use may differ from such tables by 35 %
# (Hanna, Iowa State University Extension PM 709).
TABLES = {
    "till": (0.45, 0.74),  # tandem disk: 0.45 corn stalks, 0.65 plowed; 0.74
    "plant": (0.50, 0.52),  # row planter, conventional
    "first_cultivation": (0.43, 0.45),  # row-crop cultivator
    "second_cultivation": (0.43, 0.45),
}
OUTSIDE = {("four_rows", "first_cultivation"), ("four_rows", "second_cultivation")}
INSIDE = [(option, work) for option in OPTIONS for work in TABLES if (option, work) not in OUTSIDE]


@pytest.mark.parametrize(("option", "operation"), INSIDE)
def test_an_acre_burns_the_fuel_of_published_tables_within_their_scatter(
    outcomes: xr.Dataset, option: str, operation: str
) -> None:
    least, most = TABLES[operation]
    assert 0.65 * least <= acre(outcomes, option, operation).fuel <= 1.35 * most


# The four-row cultivator, 45 hp behind a tractor of 95 hp, burns more than the tables with their
# scatter: by D497.7 an engine burns 0.096 L/h for each kW it has, whatever it pulls.
@pytest.mark.parametrize(("option", "operation"), sorted(OUTSIDE))
def test_a_small_tool_behind_a_large_tractor_burns_more_than_the_tables(
    outcomes: xr.Dataset, option: str, operation: str
) -> None:
    assert 1.35 * 0.45 < acre(outcomes, option, operation).fuel < 1.5 * 0.45
