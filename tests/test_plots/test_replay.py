from __future__ import annotations

import numpy as np
import pytest
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import StepPatch

import fieldsim
from fieldsim.plots import plot_season


@pytest.fixture(scope="session")
def season() -> xr.Dataset:
    """Return a season in which land is missed."""
    days = fieldsim.replay(fieldsim.demo_farm(), "four_rows", season=5)
    assert float(days.missed_area.sum()) > 0
    return days


def rows(ax: Axes) -> dict[str, StepPatch]:
    return {str(patch.get_label()): patch for patch in ax.patches}


def texts(ax: Axes) -> list[str]:
    return [text.get_text() for text in ax.texts]


def test_the_rows_are_the_soil_and_then_each_operation_on_each_crop(season: xr.Dataset) -> None:
    ax = plot_season(season)
    assert list(rows(ax)) == [
        "fit any",
        *("till, corn", "till, soybeans", "plant, corn", "plant, soybeans"),
        *("first_cultivation, corn", "first_cultivation, soybeans"),
        *("second_cultivation, corn", "second_cultivation, soybeans"),
    ]
    names = [label.get_text() for label in ax.get_yticklabels()]
    assert names[0] == "fit for fieldwork"
    assert names[5] == "first cultivation, corn"
    assert [patch.get_data().baseline for patch in rows(ax).values()] == list(range(0, -9, -1))


def test_heights_are_the_area_done_each_day_on_one_scale(season: xr.Dataset) -> None:
    drawn = rows(plot_season(season))
    on_corn = season.done_area.values[season.crop.values == "corn"].sum(axis=0)
    on_soybeans = season.done_area.values[season.crop.values == "soybeans"].sum(axis=0)
    highest = max(on_corn.max(), on_soybeans.max())
    for place, operation in enumerate(season.operation.values):
        for crop, done in (("corn", on_corn[place]), ("soybeans", on_soybeans[place])):
            values, edges, foot = drawn[f"{operation}, {crop}"].get_data()
            assert (values - foot) / 0.8 * highest == pytest.approx(done, abs=1e-9)
            assert len(edges) == season.sizes["day"] + 1


def test_the_top_row_is_the_share_of_each_day_that_is_fit(season: xr.Dataset) -> None:
    ax = plot_season(season)
    values, _, foot = rows(ax)["fit any"].get_data()
    assert (values - foot) / 0.8 == pytest.approx(season.suitable_share.values[0])
    assert f"{season.suitable_share.values.sum():.0f} days fit in all" in texts(ax)


def test_crosses_mark_the_days_on_which_land_is_missed(season: xr.Dataset) -> None:
    ax = plot_season(season)
    crosses = {str(line.get_label()): line for line in ax.lines}
    missed = season.missed_area.sel(operation="second_cultivation")
    for crop in ("corn", "soybeans"):
        of_crop = missed.values[season.crop.values == crop].sum(axis=0)
        line = crosses[f"second_cultivation, {crop} missed"]
        assert np.array_equal(line.get_xdata(), season.day.values[of_crop > 0])
    total = float(missed.values[season.crop.values == "soybeans"].sum())
    assert any(text.endswith(f"× {total:,.0f} missed") for text in texts(ax))


def test_what_a_row_comes_to_is_written_beside_it_with_its_unit(season: xr.Dataset) -> None:
    ax = plot_season(season)
    done = season.done_area.sel(operation="plant").values[season.crop.values == "corn"].sum(axis=0)
    last = season.day.values[np.flatnonzero(done)[-1]].astype("datetime64[D]").item()
    assert f"462 acres, last {last.day} {last:%b}" in texts(ax)
    highest = season.done_area.groupby("crop").sum().max()
    assert ax.get_ylabel() == f"area done in a day, up to {float(highest):.0f} [acre]"
    ax.figure.draw_without_rendering()
    assert "1 May" in [label.get_text() for label in ax.get_xticklabels()]


def test_a_season_without_work_says_so(season: xr.Dataset) -> None:
    idle = season.assign(done_area=0 * season.done_area, missed_area=0 * season.missed_area)
    ax = plot_season(idle)
    assert texts(ax).count("nothing done") == 8
    assert all(np.ptp(patch.get_data().values) == 0 for patch in ax.patches[1:])


def test_each_soil_has_a_row_of_its_own(season: xr.Dataset) -> None:
    two = xr.concat([season, season], "soil", data_vars="minimal", coords="minimal")
    two = two.assign_coords(soil=["clay", "sandy_loam"])
    ax = plot_season(two)
    assert list(rows(ax))[:3] == ["fit clay", "fit sandy_loam", "till, corn"]
    assert ax.get_yticklabels()[1].get_text() == "fit: sandy loam"


def test_it_draws_on_the_axes_given(season: xr.Dataset) -> None:
    ax = Figure().add_subplot()
    assert plot_season(season, ax=ax) is ax


def test_texts_stay_inside_the_figure(season: xr.Dataset) -> None:
    ax = plot_season(season)
    ax.figure.draw_without_rendering()
    written = [*ax.texts, *ax.get_yticklabels(), *ax.get_xticklabels(), ax.yaxis.label]
    for text in written:
        box = text.get_window_extent()
        assert box.x0 >= 0
        assert box.x1 <= ax.figure.bbox.x1
