"""Sizing against a published worked example, and against closed forms where they hold."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from scipy.optimize import minimize_scalar

from fieldsim.days import Given
from fieldsim.decisions.break_even.cost_curves import cost_curve
from fieldsim.decisions.sizing.by_days import coverable_area, needed_capacity
from fieldsim.decisions.studied_figures import StudiedFigure
from fieldsim.farm import Farm, parse_farm
from fieldsim.machines import capital_recovery_factor, least_cost_width, timeliness_cost
from fieldsim.season import Season
from tests.one_field import HOURS, PRICE, YIELD, one_field
from tests.test_cli import call

# Edwards (October 2014), Fieldwork Days in Iowa, Iowa State University Extension, Ag Decision Maker
# A3-25, worked example: 1,600 acres of corn in northwest Iowa from 30 April to 13 May, in which the
# median years have 4.0 + 4.3 = 8.3 suitable days: 192.8 acres a day, and at 14 hours a day
# 13.8 acres an hour.
ACRES, DAYS, HOURS_A_DAY = "1600 acre", (4.0, 4.3), "14 h"
ACRES_A_DAY, ACRES_AN_HOUR = 192.8, 13.8
WINDOW = Season(date(2026, 4, 30), date(2026, 5, 13))


def test_the_worked_example_of_iowa_comes_out_of_its_days() -> None:
    even = Given(np.repeat(DAYS, 7).reshape(1, 1, 14) / 7)
    table = needed_capacity(
        even, ACRES, "30 Apr", "13 May", HOURS_A_DAY, [0.5], season=WINDOW, seasons=1
    )
    assert table.suitable_days[0] == pytest.approx(8.3)
    assert round(table.area_per_day[0], 1) == ACRES_A_DAY
    assert round(table.capacity[0], 1) == ACRES_AN_HOUR
    back = coverable_area(
        even, f"{ACRES_AN_HOUR} acre/h", "30 Apr", "13 May", HOURS_A_DAY, [0.5],
        season=WINDOW, seasons=1,
    )  # fmt: skip
    assert back.area[0] == pytest.approx(1600, rel=0.05 / ACRES_AN_HOUR)


# Three years on record with the medians of the example. The rest of the farm is invented.
RECORDS = "year,week_ending,days\n" + "".join(
    f"{year},{year}-05-06,{DAYS[0]}\n{year},{year}-05-13,{DAYS[1]}\n" for year in (2011, 2016, 2022)
)
IOWA = """\
name = "Invented farm with the days of a worked example"
units = "us"
crop_year = 2026
first_day = "30 Apr"
last_day = "13 May"
priority = ["plant"]
[days]
source = "records"
table = "days.csv"
resampling = "replay"
[crew]
operators = 1
hours_per_day = "14 h"
[money]
wage = "$20/h"
interest = "5 %"
[crops.corn]
test_weight = "56 lb/bu"
yield = "180 bu/acre"
price = "$4.50/bu"
yield_by_planting_date = "corn_minnesota_1988_2003"
target_date = "13 May"
[fields.all]
crop = "corn"
area = "1600 acre"
[operations.plant]
kind = "planting"
hours_per_day = "14 h"
[machines.planter]
operations = ["plant"]
rows = 12
row_spacing = "30 in"
speed = "5 mph"
field_efficiency = "65 %"
[options.one_planter]
machines = { planter = 1 }
"""


def test_the_command_gives_the_worked_example_by_days_and_by_runs(tmp_path: Path) -> None:
    (tmp_path / "farm.toml").write_text(IOWA)
    (tmp_path / "days.csv").write_text(RECORDS)
    out = tmp_path / "out"
    result = call("size", tmp_path / "farm.toml", "--certainty", "50", "--seasons", 3, "--out", out)
    assert result.exit_code == 0, result.output
    days = pd.read_csv(out / "size_days.csv").iloc[0]
    assert round(days.area_per_day, 1) == ACRES_A_DAY
    assert round(days.capacity, 1) == ACRES_AN_HOUR
    assert " 8.3 " in result.output
    assert f" {ACRES_AN_HOUR} (" in result.output
    assert f" {ACRES_A_DAY} " in result.output
    runs = pd.read_csv(out / "size_options.csv").iloc[0]
    assert runs.capacity == pytest.approx(days.capacity, rel=0.02)  # what the search leaves
    assert runs.capacity >= days.capacity
    # 12 rows of 30 in at 5 mph and 65 % are 11.8 acres an hour: 14 rows for the example's 13.8.
    assert days.rows == 14


# Where its assumptions hold: work starts at the best date and goes on, every day is suitable for
# the same share of its hours, the price of the machine goes by its width, and an hour of work costs
# the operator. K, the share and the prices are chosen for the test.
K, SHARE, WAGE, PRICE_PER_WIDTH, YEARS, INTEREST = 0.002, 0.6, 20.0, 4_000.0, 12, 0.05
WIDE = StudiedFigure("width", ("machines.planter.width", "machines.planter.price"))
SPEED, EFFICIENCY, WIDTH = 10.0, 0.8, 10.0


def closed_form_farm(area: float) -> Farm:
    losses = f'losses = [{{ from = "10 Apr", loss = "{100 * K} %/day" }}]'
    curve = f'{{ plateau = {{ full_from = "10 Apr", {losses} }} }}'
    text = one_field(area=area, curve=curve, earliest="10 Apr", last_day="31 Dec").replace(
        'width = "10 m"', f'width = "10 m"\nprice = "${PRICE_PER_WIDTH * WIDTH:.0f}"'
    )
    chain = "date,suitable_after_suitable,suitable_after_unsuitable\n1 Apr,0.5,0.5\n"
    farm = parse_farm(text, {"days.csv": chain})
    return replace(farm, day_source=Given(np.full((2, 1, farm.season.days), SHARE)))


@pytest.mark.parametrize("area", [900.0, 1900.0])
def test_width_of_least_cost_is_that_of_the_closed_form(area: float) -> None:
    # Hunt, Farm Power and Machinery Management, with the timeliness cost of ASABE EP496 (forms from
    # memory, held to their derivation in tests/test_machines and tests/published). Days that are
    # worked in part leave the simulated cost up to a / 8 days' loss above that of work that flows,
    # which moves the flat bottom of the cost by at most about 1 % here.
    farm = closed_form_farm(area)
    expected = float(
        least_cost_width(
            area=area, yield_=YIELD, price=PRICE, coefficient=K, speed=SPEED,
            efficiency=EFFICIENCY, hours=HOURS, suitable_share=SHARE, spread=2,
            ownership_share=float(capital_recovery_factor(INTEREST, YEARS)),
            price_per_width=PRICE_PER_WIDTH, labor=WAGE, tractor=0.0,
        )
    )  # fmt: skip
    around = np.linspace(0.6, 1.4, 33) * expected / WIDTH
    cost = cost_curve(farm, WIDE, around.tolist(), seasons=2).total_cost.squeeze().values
    # The bottom of the sweep, smoothed over its days worked in part by a fitted a w + b / w + c.
    a, b, c = np.linalg.lstsq(
        np.column_stack([around, 1 / around, np.ones_like(around)]), cost, rcond=None
    )[0]
    bottom = minimize_scalar(
        lambda w: a * w + b / w + c, bounds=(around[0], around[-1]), method="bounded"
    ).x
    assert bottom * WIDTH == pytest.approx(expected, rel=0.005)
    assert around[cost.argmin()] * WIDTH == pytest.approx(expected, rel=0.05)


def test_the_sweep_costs_what_the_closed_form_says_at_every_width() -> None:
    # All land of a day has the loss of that day: half a day's loss less than work that flows, and
    # up to an eighth of a day's land more where the last day is worked in part.
    area = 1900.0
    farm = closed_form_farm(area)
    for factor in (0.8, 1.0, 1.7, 2.5):
        capacity = SPEED * WIDTH * factor * EFFICIENCY / 10
        delay = float(timeliness_cost(area, YIELD, PRICE, K, capacity, HOURS, SHARE, spread=2))
        own = PRICE_PER_WIDTH * WIDTH * factor * float(capital_recovery_factor(INTEREST, YEARS))
        flowing = own + area / capacity * WAGE + delay - 0.5 * K * area * YIELD * PRICE
        [cost] = cost_curve(farm, WIDE, [factor, 3.0], seasons=2).total_cost.values[:, 0]
        day = capacity * HOURS * SHARE
        assert -1e-6 <= cost - flowing <= day / 8 * K * YIELD * PRICE + 1e-6
