"""What holds for the farm with every section: options, units, replay, and faults of any kind."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import numpy as np
import pytest
import xarray as xr
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldsim.errors import InputError
from fieldsim.farm import Farm, parse_farm
from fieldsim.simulation import replay, simulate
from tests.farms import SMALL_TABLES
from tests.test_farm.test_many_faults import FAST, JUNK, as_toml, mutate, places
from tests.test_farm.test_units import ACRE, BUSHEL_OF, in_metric_units
from tests.whole_farm import WHOLE_FARM, whole_farm

WHOLE_OPTIONS = WHOLE_FARM[WHOLE_FARM.index("[options.one_outfit]") :].split("\n\n")


def whole(text: str = WHOLE_FARM) -> Farm:
    return parse_farm(text, SMALL_TABLES)


def test_the_farm_with_every_section_uses_every_section() -> None:
    outcomes = simulate(whole(), 60)
    lost = outcomes.lost_revenue_by_cause.sum(["season", "crop"])
    assert (
        lost.sel(cause=["planting_date", "weeds", "drying", "replanting", "wet_soil"]) != 0
    ).all()
    assert float(outcomes.hire_cost.sel(option="two_planters").mean()) > 0
    assert float(outcomes.hire_cost.sel(option="one_outfit").mean()) == 0
    for name in ("fuel_cost", "repair_cost", "ownership_cost", "labor_cost"):
        assert (outcomes[name] > 0).all(), name
    assert outcomes.attrs["not_counted"] == ""


def test_the_order_of_options_changes_nothing() -> None:
    head = WHOLE_FARM[: WHOLE_FARM.index("[options.one_outfit]")]
    turned = whole(head + "\n\n".join([*WHOLE_OPTIONS[::-1], ""]))
    one, other = (simulate(farm, 60).drop_attrs(deep=False) for farm in (whole(), turned))
    assert list(other.option.values) == list(one.option.values)[::-1]
    xr.testing.assert_identical(other.sel(option=one.option.values), one)


def test_an_option_alone_has_the_outcomes_it_has_beside_others() -> None:
    head = WHOLE_FARM[: WHOLE_FARM.index("[options.one_outfit]")]
    both = simulate(whole(), 60).drop_attrs(deep=False)
    for part in WHOLE_OPTIONS:
        alone = simulate(whole(f"{head}{part}\n"), 60).drop_attrs(deep=False)
        beside = both.sel(option=alone.option.values, equipment=alone.equipment.values)
        xr.testing.assert_identical(alone, beside)


@pytest.mark.parametrize("option", ["one_outfit", "two_planters"])
def test_a_season_with_hired_machines_and_wet_work_is_that_of_its_replay(option: str) -> None:
    farm = whole()
    outcomes = simulate(farm, 12).sel(option=option)
    for number in range(12):
        done = replay(farm, option, number).done_area.sum(["field", "day"])
        of_season = outcomes.done_area.sel(season=number).sum("crop")
        np.testing.assert_allclose(done, of_season, rtol=1e-9)


def whole_in_metric_units() -> str:
    """Return the farm with every section, every quantity of it written in metric units."""
    text = in_metric_units(WHOLE_FARM)
    gallon, ton = 231 * 2.54**3 / 1000, BUSHEL_OF["corn"]  # L, by definition; t
    return (
        text.replace('"$3.40/gal"', f'"${3.40 / gallon!r}/L"')
        .replace('"$0.045/bu"', f'"${0.045 / ton!r}/t"')
        .replace('"$60/acre"', f'"${60 / ACRE!r}/ha"')
    )


def test_the_farm_with_every_section_in_metric_units_has_the_same_outcomes() -> None:
    text = whole_in_metric_units()
    left = re.findall(r'"[^"]*\b(?:acre|ft|in|mile|mph|hp|lb|bu|gal)\b[^"]*"', text)
    assert left == []
    us, metric = simulate(whole(), 40), simulate(whole(text), 40)
    factors = {"acre": ACRE, "gal": 231 * 2.54**3 / 1000}
    for name in us.data_vars:
        if us[name].dtype.kind != "f":
            assert us[name].equals(metric[name]), name
            continue
        ratio = factors.get(us[name].attrs["units"], 1.0)
        scale = float(abs(metric[name]).max())
        np.testing.assert_allclose(
            us[name] * ratio, metric[name], rtol=1e-9, atol=1e-9 * scale, err_msg=str(name)
        )


DOCUMENT: dict[str, Any] = tomllib.loads(WHOLE_FARM)
EDGES = st.sampled_from(
    [0, 1, -1, 0.5, 60, 100, "0 h", "24 h", "8784 h", "100000 h", "$1e9", "$1e-9/t", "$1e6/bu",
     "1e4 t/ha", "$1000/L", "0.14 hp", "2600 hp", "0.07 mph", "62 mph", "0.4 ft", "600 ft", "1 in",
     "39 in", "366 days", "0 days", "2 Apr", "31 Jul", "100 %", "tracks", "soft", "coarse",
     "chisel_plow", "planter_no_till", "iowa_soybean", "corn_ontario_high", "loss"]
)  # fmt: skip
MUTATIONS = st.tuples(st.sampled_from(list(places(DOCUMENT))), EDGES | JUNK)


@settings(max_examples=150, deadline=None, phases=FAST)
@given(st.lists(MUTATIONS, min_size=1, max_size=2))
def test_any_change_of_the_farm_with_every_section_gives_a_farm_that_runs_or_faults_to_mend(
    changes: list[tuple[tuple[Any, ...], Any]],
) -> None:
    document = DOCUMENT
    for path, value in changes:
        document = mutate(document, path, value, beside=False)
    try:
        farm = parse_farm(as_toml(document), SMALL_TABLES, "farm.toml")
    except InputError as error:
        faults = error.faults
    else:
        faults = ()
    if faults:
        assert all(fault.field and fault.problem and fault.repair for fault in faults)
        return
    outcomes = simulate(farm, 2, threads=1)
    for name, values in outcomes.data_vars.items():
        if values.dtype.kind == "f":
            assert np.isfinite(values).all(), name


def test_the_whole_farm_takes_changes_like_any() -> None:
    dear = whole_farm(('fuel_price = "$3.40/gal"', 'fuel_price = "$6.80/gal"'))
    one, two = simulate(whole(), 10), simulate(dear, 10)
    np.testing.assert_allclose(two.fuel_cost, 2 * one.fuel_cost)
    xr.testing.assert_identical(two.lost_revenue, one.lost_revenue)
