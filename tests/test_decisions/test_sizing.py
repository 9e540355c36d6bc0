"""Capacity for a certainty: from the days, from runs, and that the two agree where they must."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pandas as pd
import pytest

import fieldsim
from fieldsim.days import Given
from fieldsim.days.weather import daylight_hours
from fieldsim.decisions.sizing.by_days import coverable_area, needed_capacity, rows_needed
from fieldsim.decisions.sizing.by_runs import sized_area, sized_capacity
from fieldsim.decisions.sizing.curves import capacity_tradeoff, certainty_curves
from fieldsim.decisions.sizing.search import largest_allowed, searched
from fieldsim.decisions.sizing.window_hours import window_hours
from fieldsim.decisions.sizing.work_done import resized, work_capacity
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm, changed, parse_farm
from fieldsim.season import Season
from tests.farms import always, hand_farm, small_farm
from tests.one_field import CAPACITY, HOURS, one_field

MAY = Season(date(2026, 5, 1), date(2026, 5, 10))
# Ten seasons of ten days, of which 1, 2, ... 10 are suitable.
TEN = Given(np.tri(10, 10).reshape(10, 1, 10))
CURVE = '{ plateau = { full_from = "1 Apr", losses = [{ from = "1 May", loss = "1 %/day" }] } }'


@pytest.fixture(scope="module")
def one() -> Farm:
    """One field, one operation, no set-up, no lag: 480 ha at 8 ha/h and 10 h a day."""
    text = one_field(area=480, curve=CURVE, earliest="10 Apr", days_off=("Sunday",))
    return parse_farm(text, {"days.csv": always(0.8, 0.3)})


def metric(table: pd.DataFrame, column: str) -> list[float]:
    return [float(value) for value in table[column]]


def ten_seasons(certainty: list[float], **more: object) -> pd.DataFrame:
    return needed_capacity(
        TEN, "100 ha", "1 May", "10 May", "10 h", certainty,
        season=MAY, units="metric", seasons=10, **more,
    )  # fmt: skip


def test_capacity_is_that_of_the_season_that_the_certainty_leaves() -> None:
    # 100 ha in d days of 10 h take 10 / d ha/h; in 8 of 10 seasons there are 3 days or more.
    table = ten_seasons([0.1, 0.5, 0.8, 0.95])
    assert metric(table, "suitable_days") == pytest.approx([10, 6, 3, 1])
    assert metric(table, "capacity") == pytest.approx([1, 10 / 6, 10 / 3, 10])
    assert metric(table, "area_per_day") == pytest.approx([10, 100 / 6, 100 / 3, 100])
    assert (table.capacity_from <= table.capacity).all()
    assert (table.capacity <= table.capacity_to).all()
    assert table.attrs["units"] == {"area": "ha", "capacity": "ha/h"}


def test_outfits_share_the_area_and_long_days_shorten_the_work() -> None:
    once = ten_seasons([0.5, 0.9])
    twice = ten_seasons([0.5, 0.9], outfits=2)
    assert metric(twice, "capacity") == pytest.approx(once.capacity / 2)
    assert metric(twice, "area_per_day") == pytest.approx(once.area_per_day)
    assert metric(twice, "suitable_days") == pytest.approx(once.suitable_days)


def test_a_season_without_a_day_takes_more_than_any_machine() -> None:
    none = Given(np.zeros((4, 1, 10)))
    table = needed_capacity(none, "5 ha", "1 May", "9 May", "9 h", season=MAY, seasons=4)
    assert np.isinf(table.capacity).all()
    assert (table.suitable_days == 0).all()


def test_area_covered_is_the_inverse_of_the_capacity_needed(one: Farm) -> None:
    window = ("15 Apr", "9 May", "11 h")
    certainty = [0.2, 0.5, 0.8, 0.9, 0.95]
    needed = needed_capacity(one, "333 ha", *window, certainty, outfits=2, seasons=300)
    for row in needed.to_dict("records"):
        capacity = f"{row['capacity']!r} ha/h"
        share = [row["certainty"]]
        back = coverable_area(one, capacity, *window, share, outfits=2, seasons=300)
        assert back.area[0] == pytest.approx(333, rel=1e-9)
        assert back.suitable_days[0] == pytest.approx(row["suitable_days"])
        assert back.area_from[0] <= 333 <= back.area_to[0]


def test_the_band_holds_the_truth_in_19_of_20_draws() -> None:
    # Days each suitable with chance 1/2, of 40 in all: the median number is 20, exactly between
    # 19.5 and 20.5, so that the true capacity for 50 % is that of 20 days.
    farm = parse_farm(
        one_field(area=480, curve=CURVE, earliest="10 Apr"), {"days.csv": always(0.5, 0.5)}
    )
    held = 0
    for seed in range(200):
        table = needed_capacity(
            farm, "160 ha", "1 Apr", "10 May", "8 h", [0.5], seasons=101, seed=seed
        )
        held += table.capacity_from[0] <= 1.0 <= table.capacity_to[0]
    assert held >= 180  # 190 expected; 200 draws have a standard error of 3


def test_days_off_and_daylight_bound_the_hours_of_a_farm() -> None:
    def hours(*changes: tuple[str, str], **more: bool) -> float:
        farm = replace(small_farm(*changes), day_source=Given(np.ones((1, 1, 122))))
        return float(window_hours(farm, "1 Apr", "14 Apr", "16 h", seasons=1, **more)[0])

    no_days_off = ('days_off = ["Sunday"]', "days_off = []")
    north = ('units = "us"', 'units = "us"\nlatitude = "42 degrees"')
    assert hours() == pytest.approx(12 * 16)
    assert hours(no_days_off) == pytest.approx(14 * 16)
    by_day = daylight_hours(42.0, np.arange(91, 105))
    assert hours(no_days_off, north) == pytest.approx(by_day.sum())
    assert hours(no_days_off, north, after_dark=True) == pytest.approx(14 * 16)


def test_faults_are_told_all_at_once() -> None:
    with pytest.raises(InputError) as caught:
        needed_capacity(
            small_farm(), "0 acre", "20 May", "1 May", "25 h", [0.5, 1.0],
            outfits=0, soil="bog", seasons=0, seed=-1,
        )  # fmt: skip
    assert [str(fault) for fault in caught.value.faults] == [
        'area = 0 acre: must be above 0; write "80 acre" or "32 ha"',
        "certainty = 1: a share of seasons between 0 and 1 is allowed; write 0.9 for 90 %",
        "outfits = 0: a whole number from 1 to 100 is allowed; write 1",
        "last = 1 May: comes before the first, 20 May; swap the two",
        'hours_per_day = 25 h: a day has 24 h; write "10 h"',
        "soil = 'bog': there is no such soil; soils are any",
        "seasons = 0: a whole number of at least 1 is allowed; write seasons=2000",
        "seed = -1: a whole number of at least 0 is allowed; write seed=0",
    ]


@pytest.mark.parametrize(
    ("first", "said"),
    [
        ("1 Sep", "first = 1 Sep: lies outside the season, 1 Apr to 31 Jul; write a day within it"),
        ("Mai 1", "first = Mai 1: no month is called 'Mai'; write a day, as \"1 Apr\""),
    ],
)
def test_days_that_are_none_of_the_season_are_told(first: str, said: str) -> None:
    with pytest.raises(InputError, match=f"^{said.replace('(', '.')}$"):
        window_hours(small_farm(), first, "1 May", "10 h", seasons=2)


def test_a_source_alone_needs_its_season() -> None:
    with pytest.raises(InputError, match="season: a day source needs one; give a Season"):
        window_hours(TEN, "1 May", "2 May", "10 h", seasons=2)


def test_rows_are_whole_and_reach_the_capacity() -> None:
    # A row of 0.5 m at 10 km/h and 80 % does 0.4 ha/h.
    found = rows_needed([0.0, 0.4, 0.41, 2.4, np.inf], 10.0, 0.8, 0.5)
    assert found.tolist() == [0.0, 1.0, 2.0, 6.0, np.inf]
    with pytest.raises(ValueError, match="capacity: numbers of at least 0"):
        rows_needed(-1.0, 10.0, 0.8, 0.5)
    with pytest.raises(ValueError, match=r"efficiency = 1\.2"):
        rows_needed(1.0, 10.0, 1.2, 0.5)


def test_runs_and_days_agree_for_one_operation_without_setup_or_lag(one: Farm) -> None:
    certainty = [0.3, 0.5, 0.8, 0.9, 0.95]
    days = needed_capacity(one, "480 ha", "10 Apr", "8 May", f"{HOURS} h", certainty, seasons=200)
    runs = sized_capacity(
        one, "one_planter", "plant", "8 May", certainty=certainty, tolerance=1e-5, seasons=200
    )
    for column in ("capacity", "capacity_from", "capacity_to"):
        ratio = runs[column] / days[column]
        assert (ratio >= 1 - 1e-9).all()
        assert (ratio <= 1 + 1e-5).all()
    assert metric(runs, "factor") == pytest.approx(runs.capacity / CAPACITY)
    assert runs.attrs["capacity_now"] == pytest.approx(CAPACITY)
    now = (window_hours(one, "10 Apr", "8 May", f"{HOURS} h", seasons=200) * CAPACITY >= 480).mean()
    assert runs.attrs["share_now"] == pytest.approx(now)


def test_area_by_runs_agrees_with_the_days_too(one: Farm) -> None:
    certainty = [0.5, 0.8, 0.9]
    window = ("10 Apr", "8 May", f"{HOURS} h")
    days = coverable_area(one, f"{CAPACITY} ha/h", *window, certainty, seasons=200)
    runs = sized_area(
        one, "one_planter", "plant", "8 May", certainty=certainty, tolerance=1e-5, seasons=200
    )
    for column in ("area", "area_from", "area_to"):
        assert metric(runs, column) == pytest.approx(metric(days, column), rel=1.1e-5)
    assert runs.attrs["area_now"] == pytest.approx(480)


def test_speed_and_width_do_the_same_where_efficiency_is_given(one: Farm) -> None:
    wide, fast = (
        sized_capacity(
            one, "one_planter", "plant", "8 May", certainty=[0.8], scale=scale, seasons=60
        )
        for scale in ("width", "speed")
    )
    assert wide.factor[0] == pytest.approx(fast.factor[0], rel=1e-9)


def corn_finished(farm: Farm, size: float) -> np.ndarray:
    """Dates of 100 seasons with wider planters."""
    wide = changed(farm, resized(farm, "two_planters", "plant", size))
    dates = fieldsim.simulate(wide, 100).finish_date
    return dates.sel(option="two_planters", operation="plant", crop="corn").values


def test_the_share_at_the_factor_found_is_the_certainty_and_below_it_is_not() -> None:
    farm, certainty = small_farm(), [0.5, 0.8]
    found = sized_capacity(farm, "two_planters", "plant", "25 May", "corn", certainty, seasons=100)
    for share, size in zip(certainty, found.factor, strict=True):
        below, at = (
            float((corn_finished(farm, f) <= np.datetime64("2026-05-25")).mean())
            for f in (0.995 * size, size)
        )
        assert below < share <= at


def test_work_ahead_can_keep_any_planter_from_being_enough() -> None:
    farm = hand_farm(("operators = 1", "operators = 2"))
    # The disk does 20 ha a day: 40 ha by 2 April, planted from the 2nd on.
    table = sized_capacity(farm, "usual", "plant", "2 Apr", certainty=[0.5], seasons=2)
    assert np.isinf(table.factor[0])
    assert table.note[0] == "not reached with 8 times the width"
    assert table.attrs["share_now"] == 0
    enough = sized_capacity(farm, "usual", "plant", "3 Apr", certainty=[0.5], seasons=2)
    assert enough.factor[0] == pytest.approx(2, rel=0.002)  # 40 ha in the two days of 10 h


def test_what_the_farm_does_not_allow_ends_the_search() -> None:
    draft = (
        'tractor_power = "70 hp"',
        'draft = { machine = "planter_drawn_seed_only" }',
    )
    farm = small_farm(draft)
    table = sized_capacity(
        farm, "one_outfit", "plant", "25 Apr", "corn", [0.9], scale="speed", seasons=20
    )
    assert "times the speed: " in table.note[0]
    assert np.isinf(table.factor[0])

    def make(size: float) -> Farm:
        if size > 3:
            raise InputError([Fault("", "", "", "too wide", "")])
        return farm

    assert largest_allowed(make, 2.0) == (2.0, "")
    largest, why = largest_allowed(make, 8.0)
    assert 2.9 < largest <= 3.0
    assert why == "too wide"


def test_a_factor_at_the_lower_bound_says_that_less_would_do(one: Farm) -> None:
    table = sized_capacity(
        one, "one_planter", "plant", "30 May", certainty=[0.5], bounds=(0.9, 2.0), seasons=20
    )
    assert table.factor[0] == 0.9
    assert table.note[0] == "0.9 times it or less would do"


def test_the_search_finds_every_step_and_its_band() -> None:
    steps = np.linspace(0.5, 2.0, 101)
    found = searched(lambda f: int((steps <= f).sum()), (0.1, 8.0), [0.5, 0.9], 101, 1e-9)
    assert metric(found, "factor") == pytest.approx([steps[50], steps[90]], rel=1e-8)
    assert (found.factor_from < found.factor).all()
    assert (found.factor < found.factor_to).all()


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"option": "three"}, "option = 'three': there is no such option; options are one_planter"),
        ({"operation": "mow"}, "operation = 'mow': there is no such operation; operations are"),
        ({"crop": "rye"}, "crop = rye: plant is not done on it; write one of corn"),
        ({"by": "1 Dec"}, "by = 1 Dec: lies outside the season, 1 Apr to 31 May"),
        ({"bounds": (2.0, 1.0)}, "bounds = .2.0, 1.0.: two rising factors above 0 are allowed"),
        ({"tolerance": 0.0}, "tolerance = 0: a number between 0 and 1 is allowed"),
        ({"certainty": []}, "certainty: at least one share is needed"),
    ],
)
def test_wrong_questions_are_told(one: Farm, asked: dict, said: str) -> None:
    usual = {"option": "one_planter", "operation": "plant", "by": "8 May", "seasons": 5}
    with pytest.raises(InputError, match=f"^{said}"):
        sized_capacity(one, **(usual | asked))


def test_capacity_of_several_units_and_fields_is_land_over_time() -> None:
    farm = hand_farm()
    assert work_capacity(farm, "usual", "plant") == pytest.approx(1.0)
    twice = changed(farm, {"options.usual.machines": {"disk": 1, "planter": 2}})
    assert work_capacity(twice, "usual", "plant") == pytest.approx(2.0)


def test_tradeoffs_name_what_differs_and_are_those_of_each_alone(one: Farm) -> None:
    table = capacity_tradeoff(
        one, "300 ha", ["10 Apr", "20 Apr"], "8 May", ["9 h", "12 h"], [0.5, 0.9],
        outfits=[1, 2], seasons=50,
    )  # fmt: skip
    assert len(table) == 16
    assert table.label[0] == "9 h a day, 1 outfit, from 10 Apr"
    alone = needed_capacity(one, "300 ha", "20 Apr", "8 May", "12 h", [0.9], outfits=2, seasons=50)
    row = table[table.label == "12 h a day, 2 outfits, from 20 Apr"].iloc[1]
    assert row.capacity == alone.capacity[0]
    assert (table.outfits == 2).sum() == 8
    only = capacity_tradeoff(one, "300 ha", "10 Apr", "8 May", "9 h", [0.5], seasons=5)
    assert only.label.tolist() == ["9 h a day"]


def test_curves_of_certainty_pass_through_the_sizes_found(one: Farm) -> None:
    found = sized_capacity(
        one, "one_planter", "plant", "8 May", certainty=[0.5, 0.9], tolerance=1e-4, seasons=100
    )
    sizes = [part * size for size in found.factor for part in (0.999, 1.0)]
    curves = certainty_curves(one, "one_planter", "plant", "8 May", sizes=sizes, seasons=100)
    at = curves.set_index("factor").certainty
    assert list(at.index) == sorted([1.0, *sizes])
    for share, size in zip(found.certainty, found.factor, strict=True):
        assert at[0.999 * size] < share  # several seasons may need the same factor
        assert at[size] >= share
    assert at[1.0] == found.attrs["share_now"]


def test_longer_days_an_operator_and_an_early_start_move_the_curves_by_runs() -> None:
    farm = changed(hand_farm(), {"options.usual.machines": {"disk": 2, "planter": 2}})
    changes = {
        "as it is": {},
        "longer": {"crew.hours_per_day": "14 h", "operations.*.hours_per_day": "14 h"},
        "hands": {"crew.operators": 4},
        "late": {"operations.till.earliest": "4 Apr"},
    }
    chain = parse_farm(farm.text, {"days.csv": always(0.7, 0.3)})
    curves = certainty_curves(
        chain, "usual", "plant", "12 Apr", sizes=[0.7], changes=changes, seasons=200
    )
    share = curves[curves.factor == 1].set_index("label").certainty
    assert share["longer"] > share["as it is"] + 0.05
    assert share["hands"] > share["as it is"] + 0.05
    assert share["late"] < share["as it is"] - 0.05
    assert (curves.certainty_error > 0).all()
    with pytest.raises(InputError, match="sizes = 0: numbers above 0 are allowed"):
        certainty_curves(chain, "usual", "plant", "12 Apr", sizes=[0])
