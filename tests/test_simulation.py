from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import xarray as xr
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from fieldsim import running
from fieldsim.demo import demo_farm
from fieldsim.draws import hands_at_work
from fieldsim.errors import InputError
from fieldsim.farm import Farm, parse_farm
from fieldsim.simulation import replay, simulate
from tests.farms import (
    ALWAYS,
    HAND_FARM,
    HAND_TABLES,
    SMALL_FARM,
    SMALL_TABLES,
    always,
    changed,
    hand_farm,
    small_farm,
    work_farm,
)

ONE, TWO = SMALL_FARM[SMALL_FARM.index("[options.one_outfit]") :].split("\n\n")
HEAD = SMALL_FARM[: SMALL_FARM.index("[options.one_outfit]")]
THREE = TWO.replace("two_planters", "two_and_three").replace("operators = 2", "operators = 3")


def with_options(*options: str) -> Farm:
    return parse_farm(HEAD + "\n\n".join(options), SMALL_TABLES)


def numbers(outcomes: xr.Dataset) -> xr.Dataset:
    """Return outcomes without the attributes that tell of the farm as written."""
    return outcomes.drop_attrs(deep=False)


@pytest.mark.parametrize(
    "options", [(ONE,), (TWO,), (TWO, ONE), (ONE, TWO, THREE), (THREE, TWO, ONE)], ids=len
)
def test_other_options_change_no_numbers_of_an_option(options: tuple[str, ...]) -> None:
    both = numbers(simulate(with_options(ONE, TWO), 60))
    other = numbers(simulate(with_options(*options), 60))
    shared = [name for name in both.option.values if name in other.option.values]
    xr.testing.assert_identical(other.sel(option=shared), both.sel(option=shared))


def test_the_first_seasons_of_a_long_run_are_those_of_a_short_one() -> None:
    short, long = (numbers(simulate(small_farm(), seasons)) for seasons in (100, 1000))
    # What equipment costs goes by the mean use of all seasons.
    means = [name for name in short.data_vars if "season" not in short[name].dims]
    xr.testing.assert_identical(
        long.isel(season=slice(100)).drop_vars(means), short.drop_vars(means)
    )
    for name in means:
        xr.testing.assert_allclose(long[name], short[name], rtol=0.05)


def test_a_seed_gives_the_same_seasons_each_time_and_0_is_a_seed() -> None:
    farm = small_farm()
    xr.testing.assert_identical(simulate(farm, 50, 0), simulate(farm, 50))
    xr.testing.assert_identical(simulate(farm, 50, 7), simulate(farm, 50, 7))
    for other in (1, 2**63 - 1):
        assert not (
            simulate(farm, 50, 0).lost_revenue == simulate(farm, 50, other).lost_revenue
        ).all()


def test_outcomes_do_not_depend_on_the_number_of_threads() -> None:
    one, two = (simulate(small_farm(), 1100, threads=threads) for threads in (1, 2))
    xr.testing.assert_identical(one, two)


def test_a_season_far_into_a_run_is_that_of_its_replay() -> None:
    farm = small_farm(("operators = 1\n", "operators = 0\n"))  # so that days hang on the helper
    simulated = simulate(farm, 1100).sel(option="one_outfit")
    for number in (499, 500, 1020, 1099):
        done = replay(farm, "one_outfit", number).done_area.sum("field")
        season = simulated.sel(season=number)
        np.testing.assert_allclose(done.sum("day"), season.done_area.sum("crop"), rtol=1e-9)
        if season.finish_date.notnull().all():
            last = [done.day.values[worked][-1] for worked in done.values > 0]
            assert season.finish_date.max("crop").values.tolist() == np.array(last).tolist()
        assert season.finish_date.sel(operation="till").notnull().any()


def test_progress_is_told_up_to_the_end() -> None:
    told: list[float] = []
    simulate(small_farm(), 1100, progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0
    assert len(told) == 4  # two options in blocks of 1,000 seasons


@pytest.mark.parametrize("block", [1, 7, 64])
def test_results_do_not_depend_on_the_block_of_seasons(
    block: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    expected = simulate(small_farm(), 64)
    monkeypatch.setattr(running, "BLOCK", block)
    xr.testing.assert_identical(simulate(small_farm(), 64, threads=3), expected)


@pytest.mark.parametrize(
    ("arguments", "names"),
    [
        ({"seasons": 0}, ["seasons"]),
        ({"seasons": -5}, ["seasons"]),
        ({"seasons": 1.5}, ["seasons"]),
        ({"seasons": True}, ["seasons"]),
        ({"seasons": 1_000_001}, ["seasons"]),
        ({"seed": -1}, ["seed"]),
        ({"seed": 0.5}, ["seed"]),
        ({"seed": None}, ["seed"]),
        ({"seasons": 0, "seed": -1}, ["seasons", "seed"]),
    ],
)
def test_a_number_of_seasons_or_a_seed_out_of_range_is_refused(
    arguments: dict[str, Any], names: list[str]
) -> None:
    with pytest.raises(InputError) as caught:
        simulate(hand_farm(), **arguments)
    assert [fault.field for fault in caught.value.faults] == names
    for fault in caught.value.faults:
        assert fault.value == repr(arguments[fault.field])
        assert "a whole number from" in fault.problem
        assert fault.repair.startswith("write ")


def with_helper(probability: str, operators: int = 1) -> Farm:
    helper = f'[crew.helpers.ann]\nprobability = "{probability}"\n\n[money]'
    changes = ("[money]", helper), ("operators = 1", f"operators = {operators}")
    return parse_farm(changed(*changes, text=HAND_FARM), HAND_TABLES)


def test_a_helper_who_never_comes_is_nobody_and_one_who_always_comes_an_operator() -> None:
    assert (hands_at_work(with_helper("0 %"), 40, 0) == 0).all()
    assert (hands_at_work(with_helper("100 %"), 40, 0) == 1).all()
    two_units = ("{ disk = 1, planter = 1 }", "{ disk = 2, planter = 2 }")
    alone, second = hand_farm(two_units), hand_farm(two_units, ("operators = 1", "operators = 2"))
    for probability, farm in (("0 %", alone), ("100 %", second)):
        text = with_helper(probability).text.replace(*two_units)
        helped = numbers(simulate(parse_farm(text, HAND_TABLES), 5))
        xr.testing.assert_identical(helped, numbers(simulate(farm, 5)))
    assert not (simulate(alone, 1).finish_date == simulate(second, 1).finish_date).all()


def test_a_helper_comes_on_his_share_of_days() -> None:
    hands = hands_at_work(with_helper("40 %"), 2000, 0)
    # Of 60,000 days the share has a standard error of 0.002.
    assert hands.mean() == pytest.approx(0.4, abs=0.01)
    assert hands.shape == (2000, 30)


def test_helpers_come_each_on_days_of_their_own() -> None:
    one = with_helper("40 %")
    text = one.text.replace("[money]", "[crew.helpers.ben]\nprobability = 0.5\n\n[money]")
    both = hands_at_work(parse_farm(text, HAND_TABLES), 2000, 0)
    ann = hands_at_work(one, 2000, 0)
    ben = both - ann
    assert set(np.unique(ben)) == {0.0, 1.0}
    assert abs(np.corrcoef(ann.ravel(), ben.ravel())[0, 1]) < 0.02


def test_more_probable_help_takes_no_day_away() -> None:
    few, many = (hands_at_work(with_helper(p), 200, 0) for p in ("30 %", "60 %"))
    assert (many >= few).all()


def test_a_small_run_of_the_demo_farm_is_sound() -> None:
    outcomes = simulate(demo_farm(), 100)
    mean = outcomes.lost_revenue.sum("crop").mean("season")
    assert float(mean.sel(option="two_six_rows")) < float(mean.sel(option="four_rows"))


def test_fields_may_stand_in_any_order_where_they_are_alike() -> None:
    # The same rate of work on every field and no road: what is done in a day does not depend on
    # which field comes first.
    fields = [("corn", 30.0), ("corn", 12.0), ("corn", 25.0)]
    chain = always(0.7, 0.3)
    one = simulate(work_farm(fields, chain=chain), 30)
    other = simulate(work_farm(fields[::-1], chain=chain), 30)
    for name in ("done_area", "unfinished_area", "machine_hours", "lost_revenue"):
        np.testing.assert_allclose(one[name], other[name], rtol=1e-9, atol=1e-9)
    xr.testing.assert_equal(one.finish_date, other.finish_date)


def test_names_of_fields_and_options_change_no_numbers() -> None:
    renamed = SMALL_FARM.replace("fields.home", "fields.yard").replace("one_outfit", "usual")
    outcomes = numbers(simulate(parse_farm(renamed, SMALL_TABLES), 30))
    usual = numbers(simulate(small_farm(), 30)).isel(option=0, drop=True)
    xr.testing.assert_identical(
        outcomes.isel(option=0, drop=True).drop_vars("option_label", errors="ignore"),
        usual.drop_vars("option_label", errors="ignore"),
    )


QUICK = settings(
    max_examples=40, deadline=None, phases=[phase for phase in Phase if phase is not Phase.explain]
)
AREAS = st.floats(0.5, 90.0)
FIELDS = st.lists(st.tuples(st.sampled_from(["corn", "soybeans"]), AREAS), min_size=1, max_size=3)
CHAINS = st.tuples(st.floats(0.0, 1.0), st.floats(0.05, 1.0)).map(lambda pair: always(*pair))
LATE = (
    "\n[crops.soybeans]",
    '\n[crops.corn.late]\nswitch_to = "soybeans"\nswitch_from = "14 Apr"\n\n[crops.soybeans]',
)
PREVENTED = (
    "[operations.till]",
    '[crops.soybeans.late]\nunplanted_from = "24 Apr"\nunplanted_revenue = "$50/ha"\n\n'
    "[operations.till]",
)
CULTIVATING = (
    "[machines.disk]",
    '[operations.cultivate]\nkind = "cultivating"\nfollows = "plant"\nhours_per_day = "10 h"\n'
    'lag = "3 days"\nlatest_after_planting = "6 days"\n\n[machines.disk]',
)
CULTIVATOR = ('operations = ["plant"]', 'operations = ["plant", "cultivate"]')
LATEST = ('follows = "till"', 'follows = "till"\nlatest = "26 Apr"')
LOSS = ('["plant", "till"]', '"loss"')
LIST = ('["plant", "till"]', '["cultivate", "plant", "till"]')
RULES = st.tuples(
    st.sampled_from([(LATE,), (LATE, PREVENTED), (PREVENTED,), (LATEST,), ()]),
    st.sampled_from(
        [(CULTIVATING, CULTIVATOR, LOSS), (CULTIVATING, CULTIVATOR, LIST), (LOSS,), ()]
    ),
).map(lambda rules: rules[0] + rules[1])
PEOPLE = st.integers(1, 3)
UNITS = st.tuples(st.integers(1, 3), st.integers(1, 3))
BECAME = ("done_area", "unfinished_area", "missed_area", "switched_area", "prevented_area")


@QUICK
@given(FIELDS, UNITS, PEOPLE, CHAINS, RULES)
def test_all_land_is_accounted_for_once(
    fields: list[tuple[str, float]],
    units: tuple[int, int],
    people: int,
    chain: str,
    rules: tuple[tuple[str, str], ...],
) -> None:
    farm = work_farm(fields, units=units, operators=people, chain=chain, changes=rules)
    outcomes = simulate(farm, 8, threads=1).isel(option=0)
    parts = sum(outcomes[name] for name in BECAME)
    for name in BECAME:
        assert (outcomes[name] >= -1e-9).all(), name
    switched = outcomes.switched_area.sel(operation="plant")
    both = {"corn", "soybeans"} <= set(outcomes.crop.values)
    for crop in outcomes.crop.values:
        land = float(outcomes.crop_area.sel(crop=crop))
        for operation in outcomes.operation.values:
            came: Any = 0.0
            if both and crop == "soybeans" and operation != "till":
                came = switched.sel(crop="corn")
            np.testing.assert_allclose(
                parts.sel(crop=crop, operation=operation), land + came, rtol=1e-9, atol=1e-9
            )
    by_cause = outcomes.lost_revenue_by_cause
    np.testing.assert_allclose(by_cause.sum("cause"), outcomes.lost_revenue, atol=1e-6)
    assert (by_cause.sel(cause=["planting_date", "unplanted"]) >= -1e-6).all()


@QUICK
@given(FIELDS, UNITS, PEOPLE, CHAINS, RULES)
def test_no_land_is_worked_ahead_of_the_operation_before_or_of_the_lag(
    fields: list[tuple[str, float]],
    units: tuple[int, int],
    people: int,
    chain: str,
    rules: tuple[tuple[str, str], ...],
) -> None:
    farm = work_farm(fields, units=units, operators=people, chain=chain, changes=rules)
    season = replay(farm, "usual", 1)
    settled = (season.done_area + season.missed_area).cumsum("day")
    done = season.done_area.cumsum("day")
    lags = {"plant": ("till", 1), "cultivate": ("plant", 3)}
    for operation, (before, lag) in lags.items():
        if operation in season.operation.values:
            ready = done.sel(operation=before).shift(day=lag, fill_value=0.0)
            assert (done.sel(operation=operation) <= ready + 1e-6).all()
    areas = [area for _, area in fields]
    assert (settled.isel(day=-1) <= np.array(areas)[:, None] + 1e-6).all()
    assert ((season.done_area > 0) <= (season.suitable_share.max("soil") > 0)).all()


def one_operation(area: float, units: int, people: int, chain: str, *more: tuple[str, str]) -> Farm:
    """Return a farm on which there is nothing to do but planting."""
    tillage = '[operations.till]\nkind = "tillage"\nhours_per_day = "10 h"\n\n'
    disk = HAND_FARM[HAND_FARM.index("[machines.disk]") : HAND_FARM.index("[machines.planter]")]
    changes = (
        (tillage, ""),
        ('follows = "till"\nlag = "1 day"\n', ""),
        (disk, ""),
        ('["plant", "till"]', '["plant"]'),
        ("disk = 1, ", ""),
        *more,
    )
    return work_farm(
        [("corn", area)], units=(1, units), operators=people, chain=chain, changes=changes
    )


def finish(farm: Farm, seasons: int = 12) -> np.ndarray[Any, np.dtype[np.int64]]:
    """Return the finish days of planting, a day beyond all others where it is not finished."""
    dates = simulate(farm, seasons, threads=1).finish_date.isel(option=0).sel(operation="plant")
    return np.where(dates.isnull(), np.iinfo(np.int64).max, dates.values.astype(np.int64)).ravel()


@QUICK
@given(AREAS, st.integers(1, 3), PEOPLE, CHAINS)
def test_more_people_more_machines_and_less_land_delay_no_single_operation(
    area: float, units: int, people: int, chain: str
) -> None:
    usual = finish(one_operation(area, units, people, chain))
    assert (finish(one_operation(area, units, people + 1, chain)) <= usual).all()
    assert (finish(one_operation(area, units + 1, people, chain)) <= usual).all()
    assert (finish(one_operation(area / 2, units, people, chain)) <= usual).all()


ROAD = ('width = "2.5 m"', 'width = "2.5 m"\nfold_time = "15 min"\nroad_speed = "20 km/h"')


@QUICK
@given(FIELDS, UNITS, PEOPLE, CHAINS, RULES)
def test_twice_the_land_with_twice_the_units_and_people_takes_the_same_days(
    fields: list[tuple[str, float]],
    units: tuple[int, int],
    people: int,
    chain: str,
    rules: tuple[tuple[str, str], ...],
) -> None:
    once = work_farm(fields, units=units, operators=people, chain=chain, changes=(*rules, ROAD))
    double = work_farm(
        [(crop, 2 * area) for crop, area in fields],
        units=(2 * units[0], 2 * units[1]),
        operators=2 * people,
        chain=chain,
        changes=(*rules, ROAD),
    )
    small, large = (simulate(farm, 8, threads=1) for farm in (once, double))
    xr.testing.assert_equal(small.finish_date, large.finish_date)
    np.testing.assert_allclose(2 * small.done_area, large.done_area, rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(2 * small.lost_revenue, large.lost_revenue, rtol=1e-9, atol=1e-6)


def test_a_season_in_which_no_day_is_suitable_does_nothing() -> None:
    outcomes = simulate(work_farm([("corn", 10.0)], chain=always(0.0, 0.0)), 3)
    assert (outcomes.done_area == 0).all()
    assert (outcomes.machine_hours == 0).all()
    assert outcomes.finish_date.isnull().all()
    assert (outcomes.lost_revenue == outcomes.potential_revenue).all()


def test_a_season_of_suitable_days_does_not_depend_on_the_seed() -> None:
    farm = parse_farm(HAND_FARM, {"days.csv": ALWAYS})
    xr.testing.assert_identical(numbers(simulate(farm, 3, 0)), numbers(simulate(farm, 3, 99)))


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"threads": 0}, "threads = 0: a whole number from 1 to 1,024 is allowed; write 2"),
        ({"threads": -1}, "threads = -1"),
        ({"seed": -3}, "seed = -3: .* write 0$"),
        ({"seasons": 2.5}, "seasons = 2.5: .* write 2000$"),
    ],
)
def test_numbers_out_of_bounds_are_told_with_what_to_write(words, said):
    with pytest.raises(InputError, match=said):
        simulate(small_farm(), **words)


def test_a_replay_names_the_season_that_there_is_not():
    with pytest.raises(InputError, match=r"^season = -1: .* write 0$"):
        replay(demo_farm(), "six_rows", -1)
