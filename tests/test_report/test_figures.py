from __future__ import annotations

import matplotlib as mpl
import matplotlib.pyplot as plt
import numpy as np
import pytest
import xarray as xr

import fieldsim
from fieldsim.farm import parse_farm
from fieldsim.report import make_figures
from fieldsim.report.captions import captions
from fieldsim.report.figures import bad_year, planted_crops
from tests.farms import SMALL_FARM, SMALL_TABLES


def test_each_figure_has_a_caption_of_the_same_name(
    farm: fieldsim.Farm, outcomes: xr.Dataset
) -> None:
    figures = make_figures(farm, outcomes)
    assert list(figures) == ["finish_corn", "finish_soybeans", "lost_revenue", "season"]
    assert list(captions(outcomes)) == list(figures)


def test_figures_leave_no_trace_in_matplotlib(farm: fieldsim.Farm, outcomes: xr.Dataset) -> None:
    before, open_before = dict(mpl.rcParams), plt.get_fignums()
    make_figures(farm, outcomes)
    assert dict(mpl.rcParams) == before
    assert plt.get_fignums() == open_before


def test_the_bad_year_is_one_that_loses_what_1_in_10_exceeds(outcomes: xr.Dataset) -> None:
    bad, table = bad_year(outcomes), fieldsim.compare(outcomes)
    assert bad.option == table.total_cost.idxmin()
    assert bad.lost_revenue == table.lost_revenue_1_in_10[bad.option]
    lost = outcomes.lost_revenue.sel(option=bad.option, season=bad.season).sum()
    assert float(lost) == pytest.approx(bad.lost_revenue)


def test_the_season_shown_is_that_season_of_the_outcomes(
    farm: fieldsim.Farm, outcomes: xr.Dataset
) -> None:
    bad = bad_year(outcomes)
    ax = make_figures(farm, outcomes)["season"].axes[0]
    assert (
        ax.get_title(loc="left") == f"A bad year with two outfits of 6 rows (season {bad.season})"
    )
    days = fieldsim.replay(farm, bad.option, bad.season)
    highest = float(days.done_area.groupby("crop").sum().max())
    at = outcomes.sel(option=bad.option, season=bad.season)
    for patch in ax.patches[1:]:
        operation, crop = str(patch.get_label()).split(", ")
        values, _, foot = patch.get_data()
        done = (values - foot).sum() / 0.8 * highest
        assert done == pytest.approx(float(at.done_area.sel(operation=operation, crop=crop)))


def test_a_part_of_the_seasons_keeps_its_numbers(farm: fieldsim.Farm, outcomes: xr.Dataset) -> None:
    part = outcomes.isel(season=slice(250, 300))
    assert 250 <= bad_year(part).season < 300
    assert f"(season {bad_year(part).season})" in make_figures(farm, part)["season"].axes[
        0
    ].get_title(loc="left")


def test_a_crop_that_only_takes_switched_land_has_no_curve_of_its_own() -> None:
    text = SMALL_FARM.replace('[fields.river]\ncrop = "soybeans"', '[fields.river]\ncrop = "corn"')
    text = text.replace("[operations.plant]", '[operations.plant]\ncrops = ["corn", "soybeans"]')
    text = text.replace("[operations.till]", '[operations.till]\ncrops = ["corn", "soybeans"]')
    farm = parse_farm(text, SMALL_TABLES)
    outcomes = fieldsim.simulate(farm, seasons=20)
    assert list(outcomes.crop.values) == ["corn", "soybeans"]
    assert planted_crops(outcomes) == ["corn"]
    assert list(make_figures(farm, outcomes)) == ["finish_corn", "lost_revenue", "season"]


def test_captions_tell_when_planting_of_the_bad_year_ends(outcomes: xr.Dataset) -> None:
    bad = bad_year(outcomes)
    date = outcomes.finish_date.sel(
        option=bad.option, season=bad.season, operation="plant", crop="corn"
    ).values.astype("datetime64[D]")
    day = date.item()
    caption = captions(outcomes)["season"]
    assert f"planting of corn is finished on {day.day} {day:%b}" in caption.alt
    assert f"number {bad.season}" in caption.text
    never = outcomes.assign(finish_date=outcomes.finish_date.where(False))
    assert "planting of corn is not finished" in captions(never)["season"].alt
    assert np.isnat(never.finish_date.values).all()
