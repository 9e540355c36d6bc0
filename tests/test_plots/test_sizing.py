from __future__ import annotations

import itertools

import numpy as np
import pandas as pd
import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

import fieldsim
from fieldsim.decisions.sizing.curves import capacity_tradeoff, certainty_curves
from fieldsim.plots.sizing import plot_certainty


@pytest.fixture(scope="module")
def runs() -> pd.DataFrame:
    hours = {"crew.hours_per_day": "8 h", "operations.plant.hours_per_day": "8 h"}
    return certainty_curves(
        fieldsim.demo_farm(),
        "six_rows",
        "plant",
        "10 May",
        "corn",
        [0.5, 1.5, 2.5],
        changes={"as it is": {}, "8 h a day": hours},
        seasons=100,
    )


@pytest.fixture(scope="module")
def days() -> pd.DataFrame:
    return capacity_tradeoff(
        fieldsim.demo_farm(),
        "462 acre",
        "18 Apr",
        "10 May",
        ["8 h", "12 h"],
        np.linspace(0.1, 0.95, 18).tolist(),
        seasons=200,
    )


def lines(ax: Axes) -> dict[str, Line2D]:
    return {str(line.get_label()): line for line in ax.lines}


def texts(ax: Axes) -> list[str]:
    return [text.get_text() for text in ax.texts]


def test_a_curve_is_the_share_of_seasons_by_capacity(runs: pd.DataFrame) -> None:
    drawn = lines(plot_certainty(runs))
    for label, part in runs.groupby("label"):
        assert drawn[label].get_xdata() == pytest.approx(part.capacity)
        assert drawn[label].get_ydata() == pytest.approx(100 * part.certainty)
        now = part[part.factor == 1]
        assert drawn[f"{label} now"].get_xdata() == pytest.approx(now.capacity)
        assert drawn[f"{label} now"].get_ydata() == pytest.approx(100 * now.certainty)


def test_the_band_is_1_96_errors_wide_and_stays_within_all_seasons(runs: pd.DataFrame) -> None:
    bands = plot_certainty(runs).collections
    part = runs[runs.label == "as it is"]
    heights = bands[0].get_paths()[0].vertices[:, 1]
    low = 100 * (part.certainty - 1.96 * part.certainty_error).clip(0, 1)
    high = 100 * (part.certainty + 1.96 * part.certainty_error).clip(0, 1)
    assert set(np.round([*low, *high], 6)) <= set(np.round(heights, 6))
    assert heights.max() <= 100


def test_labels_say_what_the_certainty_takes(days: pd.DataFrame) -> None:
    ax = plot_certainty(days, sought=0.8)
    sought = lines(ax)["_sought"].get_ydata()
    assert list(sought) == [80.0, 80.0]
    for label, part in days.groupby("label"):
        needed = np.interp(0.8, part.certainty, part.capacity)
        assert f"{label}\n80 %: {needed:.1f} acre/h" in texts(ax)
    assert not any("now" in name for name in lines(ax))


def test_a_certainty_out_of_reach_or_below_the_curve_is_told(runs: pd.DataFrame) -> None:
    assert "8 h a day\n99 %: not reached" in texts(plot_certainty(runs, sought=0.99))
    small = runs.assign(certainty=np.linspace(0.7, 0.9, len(runs)))
    least = small.capacity[0]
    assert f"as it is\n50 %: {least:.1f} acre/h or less" in texts(plot_certainty(small, sought=0.5))


def test_capacities_that_no_machine_has_are_not_drawn(days: pd.DataFrame) -> None:
    never = days.assign(capacity=days.capacity.where(days.certainty < 0.5, np.inf))
    never.attrs = days.attrs
    drawn = lines(plot_certainty(never))
    assert np.isfinite(drawn["8 h a day"].get_xdata()).all()
    assert len(drawn["8 h a day"].get_xdata()) == (days.certainty < 0.5).sum() / 2
    nothing = days.assign(capacity=np.inf)
    nothing.attrs = days.attrs
    assert set(lines(plot_certainty(nothing))) == {"_sought"}


def test_axes_are_named_with_units(runs: pd.DataFrame, days: pd.DataFrame) -> None:
    ax = plot_certainty(runs, title="Corn by 10 May")
    assert ax.get_title(loc="left") == "Corn by 10 May"
    assert ax.get_xlabel() == "field capacity of all machines [acre/h]"
    assert ax.get_ylabel() == "seasons finished by the date [%]"
    assert plot_certainty(days).get_xlabel() == "field capacity of each outfit [acre/h]"


def test_it_draws_on_the_axes_given(runs: pd.DataFrame) -> None:
    ax = Figure().add_subplot()
    assert plot_certainty(runs, ax=ax) is ax


def test_labels_neither_overlap_nor_leave_the_figure(days: pd.DataFrame) -> None:
    ax = plot_certainty(days)
    ax.figure.draw_without_rendering()
    boxes = sorted(
        (text.get_window_extent() for text in ax.texts if "\n" in text.get_text()),
        key=lambda box: box.y0,
    )
    assert len(boxes) == 2
    for lower, upper in itertools.pairwise(boxes):
        assert lower.y1 <= upper.y0
    assert max(box.x1 for box in boxes) <= ax.figure.bbox.x1
