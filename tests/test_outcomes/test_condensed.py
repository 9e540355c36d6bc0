"""Runs of which little is kept say the same as runs of which all is kept."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
import xarray as xr

import fieldsim.simulation
from fieldsim.decisions import compare, finish_dates, total_cost
from fieldsim.errors import InputError
from fieldsim.farm import Farm
from fieldsim.outcomes import read_outcomes, write_outcomes
from fieldsim.simulation import replay, simulate
from tests.farms import small_farm

SEASONS = 2300


@pytest.fixture(scope="module")
def farm() -> Farm:
    return small_farm()


@pytest.fixture(scope="module")
def whole(farm: Farm) -> xr.Dataset:
    return simulate(farm, SEASONS)


@pytest.fixture(scope="module")
def summary(farm: Farm) -> xr.Dataset:
    return simulate(farm, SEASONS, keep="summary")


def test_the_comparison_is_that_of_a_run_of_which_all_is_kept(
    whole: xr.Dataset, summary: xr.Dataset
) -> None:
    full, little = compare(whole), compare(summary)
    assert list(full.columns) == list(little.columns)
    for name in full:
        if full[name].dtype.kind == "f":
            np.testing.assert_allclose(little[name], full[name], rtol=2e-6, atol=1e-3, err_msg=name)
        else:
            assert list(full[name]) == list(little[name]), name
    pd.testing.assert_frame_equal(finish_dates(whole), finish_dates(summary))


def test_means_and_costs_are_those_of_all_seasons(whole: xr.Dataset, summary: xr.Dataset) -> None:
    for name in ("done_area", "missed_area", "fuel_use", "equipment_hours", "insured_share"):
        np.testing.assert_allclose(summary[name], whole[name].mean("season"), rtol=1e-12)
    for name in ("equipment_cost", "repair_cost", "ownership_cost"):
        np.testing.assert_allclose(summary[name], whole[name], rtol=1e-12)


@pytest.mark.parametrize("part", [1000, 2000, 5000])
def test_it_does_not_depend_on_the_parts(
    farm: Farm, summary: xr.Dataset, part: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(fieldsim.simulation, "PART", part)
    again = simulate(farm, SEASONS, keep="summary", threads=1)
    for name in ("lost_revenue", "labor_cost", "finish_day", "fuel_cost"):
        xr.testing.assert_identical(again[name], summary[name])
    xr.testing.assert_allclose(again, summary, rtol=1e-12)


def test_it_takes_a_small_part_of_the_memory(whole: xr.Dataset, summary: xr.Dataset) -> None:
    assert summary.nbytes < whole.nbytes / 8


def test_it_can_be_written_and_read(summary: xr.Dataset, tmp_path) -> None:
    write_outcomes(summary, tmp_path / "outcomes.nc")
    pd.testing.assert_frame_equal(
        compare(read_outcomes(tmp_path / "outcomes.nc")), compare(summary)
    )


def test_total_cost_has_every_season(summary: xr.Dataset) -> None:
    assert total_cost(summary).sizes == {"option": 2, "season": SEASONS}


def test_every_day_is_kept_for_a_few_seasons(farm: Farm) -> None:
    days = simulate(farm, 3, keep="days")
    assert days.sizes["season"] == 3
    xr.testing.assert_equal(
        days.sel(option="two_planters", season=2, drop=True), replay(farm, "two_planters", 2)
    )


def test_every_day_of_many_seasons_is_refused(farm: Farm) -> None:
    with pytest.raises(InputError, match="write 1000 or fewer"):
        simulate(farm, 1001, keep="days")
