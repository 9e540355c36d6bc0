from __future__ import annotations

import numpy as np
import pytest
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

import fieldsim
from fieldsim.decisions.break_even.cost_curves import cost_curve, curve_crossings
from fieldsim.plots.breakeven import plot_cost_curves


@pytest.fixture(scope="module")
def area() -> xr.Dataset:
    return cost_curve(fieldsim.demo_farm(), "area", [0.4, 0.6, 0.8, 1.0, 1.5, 2.0], seasons=100)


@pytest.fixture(scope="module")
def price() -> xr.Dataset:
    return cost_curve(fieldsim.demo_farm(), "crops.corn.price", [0.9, 1.1], seasons=20)


def lines(ax: Axes) -> dict[str, Line2D]:
    return {str(line.get_label()): line for line in ax.lines}


def texts(ax: Axes) -> list[str]:
    return [text.get_text() for text in ax.texts]


def test_a_line_is_the_cost_of_an_acre_by_the_area(area: xr.Dataset) -> None:
    drawn = lines(plot_cost_curves(area))
    for option in area.option.values:
        at = area.sel(option=option)
        assert drawn[option].get_xdata() == pytest.approx(at.value.values)
        assert drawn[option].get_ydata() == pytest.approx((at.total_cost / at.area).values)


def test_bands_are_1_96_errors_wide(area: xr.Dataset) -> None:
    bands = plot_cost_curves(area).collections
    for option, band in zip(area.option.values, bands, strict=False):
        at = area.sel(option=option)
        heights = np.round(band.get_paths()[0].vertices[:, 1], 6)
        for sign in (-1, 1):
            edge = at.cost_per_area + sign * 1.96 * at.cost_per_area_error
            assert set(np.round(edge.values, 6)) <= set(heights)


def test_full_marks_stand_where_the_cheapest_changes_and_open_ones_elsewhere(
    area: xr.Dataset,
) -> None:
    ax = plot_cost_curves(area)
    crossings = curve_crossings(area)
    assert crossings.least.any()
    assert not crossings.least.all()
    for name, kept in (("least", crossings.least), ("crossings", ~crossings.least.astype(bool))):
        marks, at = lines(ax)[name], crossings[kept.astype(bool)]
        assert marks.get_xdata() == pytest.approx(at.value)
        assert marks.get_ydata() == pytest.approx(at.cost_per_area)
    for value in crossings.value[crossings.least.astype(bool)]:
        assert f"{value:,.0f} acres" in texts(ax)


def test_the_figure_as_it_is_is_marked_where_it_is_on_the_axes(
    area: xr.Dataset, price: xr.Dataset
) -> None:
    assert lines(plot_cost_curves(area))["_now"].get_xdata() == pytest.approx([902, 902])
    assert "as it is: 902 acres" in texts(plot_cost_curves(area))
    assert "as it is: $4.30/bu" in texts(plot_cost_curves(price))
    beyond = area.isel(factor=[4, 5])
    assert "_now" not in lines(plot_cost_curves(beyond))


def test_without_a_crossing_nothing_is_marked(area: xr.Dataset) -> None:
    alone = area.sel(option=["four_rows"])
    drawn = lines(plot_cost_curves(alone))
    assert "least" not in drawn
    assert "crossings" not in drawn


def test_axes_are_named_with_units(area: xr.Dataset, price: xr.Dataset) -> None:
    ax = plot_cost_curves(area)
    assert ax.get_xlabel() == "area of all fields [acre]"
    assert ax.get_ylabel() == "total cost in a year [$/acre]"
    assert plot_cost_curves(price).get_xlabel() == "crops corn price [$/bu]"


def test_figures_that_differ_are_per_cent_of_the_file() -> None:
    both = cost_curve(fieldsim.demo_farm(), "price", [0.5, 1.0, 1.5], seasons=60)
    ax = plot_cost_curves(both)
    assert ax.get_xlabel() == "price of corn and soybeans [% of what the file says]"
    assert "as it is: 100 %" in texts(ax)


def test_it_draws_on_the_axes_given(area: xr.Dataset) -> None:
    ax = Figure().add_subplot()
    assert plot_cost_curves(area, ax=ax) is ax
