from __future__ import annotations

import numpy as np
import pytest
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

import fieldsim
from fieldsim.decisions import total_cost
from fieldsim.plots.risk import plot_yearly_cost


def lines(ax: Axes) -> dict[str, Line2D]:
    return {str(line.get_label()): line for line in ax.lines}


def height_at(line: Line2D, amount: float) -> float:
    """Height of a curve of steps that rise after their x."""
    x, y = np.asarray(line.get_xdata()), np.asarray(line.get_ydata())
    return float(y[np.searchsorted(x, amount, side="right") - 1])


def test_each_curve_is_the_share_of_seasons_that_cost_no_more(outcomes: xr.Dataset) -> None:
    drawn, cost = lines(plot_yearly_cost(outcomes)), total_cost(outcomes)
    for option in outcomes.option.values:
        of_option = cost.sel(option=option).values
        for amount in np.quantile(cost.values, [0.05, 0.3, 0.5, 0.8, 0.95]):
            counted = 100 * sum(float(c) <= amount for c in of_option) / 200
            assert height_at(drawn[option], amount) == pytest.approx(counted)


def test_marks_and_labels_give_the_cost_that_compare_gives(outcomes: xr.Dataset) -> None:
    ax = plot_yearly_cost(outcomes)
    written = " ".join(text.get_text() for text in ax.texts)
    for option, row in fieldsim.compare(outcomes).iterrows():
        (bad,), (height,) = lines(ax)[f"{option} 1 in 10"].get_data()
        assert bad == row.total_cost_1_in_10
        assert height == 90.0
        assert height_at(lines(ax)[option], bad) == pytest.approx(90.0)
        assert f"1 year in 10 over ${bad:,.0f}" in written
        assert row.label in " ".join(written.split())


def test_labels_stand_in_the_order_of_the_bad_years(outcomes: xr.Dataset) -> None:
    ax = plot_yearly_cost(outcomes)
    by_height = sorted(ax.texts, key=lambda text: -text.get_position()[1])
    amounts = [text.get_text().split("$")[1] for text in by_height]
    assert amounts == sorted(amounts, key=lambda text: int(text.replace(",", "")))


def test_a_single_disaster_does_not_squeeze_the_curves(outcomes: xr.Dataset) -> None:
    lost = outcomes.lost_revenue.copy()
    lost[{"season": 3}] += 1e8
    ax = plot_yearly_cost(outcomes.assign(lost_revenue=lost))
    assert ax.get_xlim()[1] < 1e6
    assert max(line.get_xdata()[-1] for line in lines(ax).values()) > 1e7


def test_costs_that_are_all_the_same_have_an_axis_to_be_read_on(outcomes: xr.Dataset) -> None:
    ax = plot_yearly_cost(outcomes.isel(season=[0, 0, 0], option=[1]))
    assert np.ptp(ax.get_xlim()) >= 1000
    assert len(set(lines(ax)["six_rows"].get_xdata()[1:4])) == 1


def test_axes_are_named_with_units(outcomes: xr.Dataset) -> None:
    ax = plot_yearly_cost(outcomes)
    ax.figure.draw_without_rendering()
    assert ax.get_xlabel().endswith("[$]")
    assert ax.get_ylabel() == "seasons that cost no more [%]"
    assert "$80,000" in [label.get_text() for label in ax.get_xticklabels()]


def test_it_draws_on_the_axes_given(outcomes: xr.Dataset) -> None:
    ax = Figure().add_subplot()
    assert plot_yearly_cost(outcomes, ax=ax) is ax
