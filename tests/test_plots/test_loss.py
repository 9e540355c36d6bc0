from __future__ import annotations

import itertools

import numpy as np
import pytest
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.transforms import Bbox

import fieldsim
from fieldsim.plots import plot_lost_revenue


def lines(ax: Axes) -> dict[str, Line2D]:
    return {str(line.get_label()): line for line in ax.lines}


def test_each_dot_is_the_median_of_a_twentieth_of_the_seasons(outcomes: xr.Dataset) -> None:
    drawn = lines(plot_lost_revenue(outcomes))
    for option in outcomes.option.values:
        lost = np.sort(outcomes.lost_revenue.sel(option=option).sum("crop").values)
        # 200 seasons, 10 to a dot: the fifth of each ten.
        assert drawn[option].get_xdata() == pytest.approx(lost[4::10])


def test_two_dots_in_twenty_lie_beyond_the_mark_of_1_year_in_10(outcomes: xr.Dataset) -> None:
    drawn = lines(plot_lost_revenue(outcomes))
    for option in outcomes.option.values:
        mark = drawn[f"{option} 1 in 10"].get_xdata()[0]
        assert np.count_nonzero(drawn[option].get_xdata() > mark) == 2


def test_marks_and_columns_give_the_figures_of_compare(outcomes: xr.Dataset) -> None:
    ax = plot_lost_revenue(outcomes)
    drawn, table = lines(ax), fieldsim.compare(outcomes)
    written = [text.get_text() for text in ax.texts]
    for option, row in table.iterrows():
        assert drawn[f"{option} mean"].get_xdata()[0] == pytest.approx(row.lost_revenue)
        assert drawn[f"{option} 1 in 10"].get_xdata()[0] == row.lost_revenue_1_in_10
        assert f"${row.lost_revenue:,.0f}" in written
        assert f"${row.lost_revenue_1_in_10:,.0f}" in written
        lost = outcomes.lost_revenue.sel(option=option).sum("crop").values
        assert drawn[f"{option} median"].get_xdata()[0] == np.sort(lost)[99]
    assert any(text.startswith("1 year in 10\nis worse\nthan this") for text in written)


def test_dots_that_would_hide_each_other_are_stacked(outcomes: xr.Dataset) -> None:
    ax = plot_lost_revenue(outcomes)
    line = lines(ax)["two_six_rows"]
    points = ax.transData.transform(np.column_stack([line.get_xdata(), line.get_ydata()]))
    apart = np.linalg.norm(points[:, None] - points[None], axis=2)[~np.eye(20, dtype=bool)]
    assert apart.min() > 0.5 * line.get_markersize() * ax.figure.dpi / 72
    heights = line.get_ydata() + 3
    assert heights.min() == 0
    assert heights.max() < 1


def test_no_loss_at_all_stands_at_zero_with_an_axis_to_read_it_on(outcomes: xr.Dataset) -> None:
    ax = plot_lost_revenue(outcomes.assign(lost_revenue=0 * outcomes.lost_revenue))
    assert np.all(lines(ax)["four_rows"].get_xdata() == 0)
    assert np.ptp(lines(ax)["four_rows"].get_ydata()) < 1
    assert ax.get_xlim()[0] < 0 < ax.get_xlim()[1]
    assert [text.get_text() for text in ax.texts].count("$0") == 12


def test_a_heavy_tail_does_not_push_the_axis_out_to_the_worst_season(outcomes: xr.Dataset) -> None:
    lost = outcomes.lost_revenue.copy()
    lost[{"season": 0}] += 1e8
    ax = plot_lost_revenue(outcomes.assign(lost_revenue=lost))
    means = [lines(ax)[f"{option} mean"].get_xdata()[0] for option in outcomes.option.values]
    assert max(means) < ax.get_xlim()[1] < 2e6


def test_gains_are_shown_left_of_zero(outcomes: xr.Dataset) -> None:
    ax = plot_lost_revenue(outcomes.assign(lost_revenue=-outcomes.lost_revenue))
    left, right = ax.get_xlim()
    assert left < min(
        line.get_xdata()[0] for line in lines(ax).values() if line.get_marker() == "o"
    )
    assert right > 0
    assert any(text.get_text().startswith("−$") for text in ax.texts)


def test_few_seasons_are_a_dot_each(outcomes: xr.Dataset) -> None:
    ax = plot_lost_revenue(outcomes.isel(season=[3, 4, 5]))
    lost = outcomes.lost_revenue.isel(season=[3, 4, 5], option=1).sum("crop").values
    assert lines(ax)["six_rows"].get_xdata() == pytest.approx(np.sort(lost))
    assert ax.get_title(loc="left") == "Each dot is one season"


@pytest.mark.parametrize("part", [{"option": [2]}, {"season": [7]}])
def test_one_option_and_one_season_can_be_drawn(outcomes: xr.Dataset, part: dict) -> None:
    ax = plot_lost_revenue(outcomes.isel(part))
    assert "eight_rows" in lines(ax)


def test_axes_are_named_with_units(outcomes: xr.Dataset) -> None:
    ax = plot_lost_revenue(outcomes)
    ax.figure.draw_without_rendering()
    assert ax.get_xlabel() == "lost revenue in a year [$]"
    assert "$40,000" in [label.get_text() for label in ax.get_xticklabels()]
    assert [label.get_text() for label in ax.get_yticklabels()] == list(
        outcomes.option_label.values
    )


def test_it_draws_on_the_axes_given(outcomes: xr.Dataset) -> None:
    ax = Figure().add_subplot()
    assert plot_lost_revenue(outcomes, ax=ax) is ax


def test_a_label_with_dollar_signs_is_drawn_as_it_stands(outcomes: xr.Dataset) -> None:
    labels = ("option", ["$5 or $_{ more", "b", "c", "d"])
    ax = plot_lost_revenue(outcomes.assign_coords(option_label=labels))
    ax.figure.draw_without_rendering()
    assert ax.get_yticklabels()[0].get_text() == "$5 or $ { more"


def apart(boxes: list[Bbox]) -> bool:
    """Say whether no box lies over another."""
    return not any(a.overlaps(b) for a, b in itertools.combinations(boxes, 2))


@pytest.mark.parametrize("times", [1.0, 4.0, 12.0, 60.0])
@pytest.mark.parametrize("width", [0.35, 0.6])
def test_figures_of_a_large_farm_stand_apart(
    outcomes: xr.Dataset, times: float, width: float
) -> None:
    large = outcomes.assign(lost_revenue=times * outcomes.lost_revenue)
    ax = plot_lost_revenue(large, ax=Figure(figsize=(8, 4)).add_axes((0.2, 0.2, width, 0.6)))
    ax.figure.draw_without_rendering()
    ticks = [tick for tick in ax.get_xticklabels() if ax.get_xlim()[0] <= tick.get_position()[0]]
    within = [tick for tick in ticks if tick.get_position()[0] <= ax.get_xlim()[1]]
    assert len(within) >= 2
    assert apart([tick.get_window_extent() for tick in within])
    columns = [text for text in ax.texts if text.get_text().startswith("$")]
    assert len(columns) == 12
    assert apart([text.get_window_extent() for text in columns])
