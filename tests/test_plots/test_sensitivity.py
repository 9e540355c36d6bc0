"""Bars of ranges and of shares of the variance: where they end, and what is written there."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from fieldsim.plots.sensitivity import plot_ranges, plot_variance_shares

LABELS = {"a": "$5 outfit", "b": "outfit b"}
QUESTION = {"option": "a", "against": "b", "units": "$", "labels": LABELS, "best": "a"}


def a_range(at_low: float, at_high: float, **other: object) -> dict[str, object]:
    row = {
        "low": "$3.44/bu",
        "own": "$4.30/bu",
        "high": "$5.38/bu",
        "at_low": at_low,
        "flips_at": "",
    }
    return row | {"at_own": -500.0, "at_high": at_high} | other


@pytest.fixture
def table() -> pd.DataFrame:
    rows = {
        "field area": a_range(400.0, -1500.0, low="−20 %", high="+20 %", flips_at="−12 %"),
        "corn price": a_range(-200.0, -800.0),
        "odd": a_range(-300.0, -400.0, low="1", high="2"),
        "none": a_range(-500.0, -500.0, low="5 %", high="6 %"),
    }
    frame = pd.DataFrame.from_dict(rows, orient="index").rename_axis("input")
    frame.attrs = dict(QUESTION)
    return frame


@pytest.fixture
def shares() -> pd.DataFrame:
    frame = pd.DataFrame(
        {
            "first_order": [0.6, 0.1],
            "first_order_low": [0.5, -0.1],
            "first_order_high": [0.7, 0.2],
            "total": [0.8, 0.3],
            "total_low": [0.7, 0.2],
            "total_high": [1.1, 0.4],
        },
        index=pd.Index(["field area", "wage"], name="input"),
    )
    frame.attrs = QUESTION | {"mean": -1200.0, "standard_deviation": 800.0}
    return frame


def bars(ax: Axes) -> dict[str, Rectangle]:
    return {str(container.get_label()): container.patches[0] for container in ax.containers}


def written(ax: Axes) -> list[str]:
    return [text.get_text() for text in ax.texts]


def ends(bar: Rectangle) -> tuple[float, float]:
    return bar.get_x(), bar.get_x() + bar.get_width()


def test_bars_run_from_the_farms_own_answer_to_that_at_each_end(table: pd.DataFrame) -> None:
    drawn = bars(plot_ranges(table))
    assert len(drawn) == 8
    for name, row in table.iterrows():
        for end in ("low", "high"):
            assert ends(drawn[f"{name} {end}"]) == pytest.approx((-500.0, row[f"at_{end}"]))


def test_rows_stand_in_the_order_of_the_table_with_their_names(table: pd.DataFrame) -> None:
    ax = plot_ranges(table)
    assert [label.get_text() for label in ax.get_yticklabels()] == list(table.index)
    assert list(ax.get_yticks()) == [0, -1, -2, -3]
    middle = [bars(ax)[f"{name} low"].get_y() for name in table.index]
    assert middle == sorted(middle, reverse=True)


def test_each_end_is_labelled_beside_its_bar_with_its_figure(table: pd.DataFrame) -> None:
    ax = plot_ranges(table)
    for text in ("−20 %", "+20 %", "$3.44/bu", "$5.38/bu", "5 %", "6 %"):
        assert written(ax).count(text) == 1
    by_text = {text.get_text(): text for text in ax.texts}
    assert by_text["−20 %"].get_ha() == "left"  # right of the bar that runs to the right
    assert by_text["+20 %"].get_ha() == "right"
    assert {by_text["5 %"].get_ha(), by_text["6 %"].get_ha()} == {"left", "right"}


def test_ends_on_the_same_side_do_not_cover_each_other(table: pd.DataFrame) -> None:
    drawn = bars(plot_ranges(table))
    low, high = drawn["odd low"], drawn["odd high"]
    assert low.get_y() >= high.get_y() + high.get_height() - 1e-9


def test_lines_do_not_run_through_what_stands_at_the_ends(table: pd.DataFrame) -> None:
    table.loc["corn price", "at_high"] = -80.0  # its label begins left of 0 and ends right of it
    ax = plot_ranges(table)
    canvas = FigureCanvasAgg(ax.figure)
    canvas.draw()
    [label] = [text for text in ax.texts if text.get_text() == "$5.38/bu"]
    box, zero = label.get_window_extent(), ax.transData.transform((0.0, 0.0))[0]
    assert box.x0 < zero < box.x1
    pixels = np.asarray(canvas.buffer_rgba())[::-1].astype(int)
    red = (pixels[..., 0] - pixels[..., 1])[:, int(zero) - 3 : int(zero) + 4]
    assert red.max() > 100
    assert red[int(box.y0) : int(box.y1)].max() < 10


def test_where_the_decision_flips_is_written_and_where_both_cost_the_same_marked(table) -> None:
    ax = plot_ranges(table)
    assert "−12 %" in written(ax)
    assert "decision\nflips at" in written(ax)
    assert "as in the file: −$500" in written(ax)
    lines = {str(line.get_label()): line.get_xdata()[0] for line in ax.lines}
    assert lines == {"own": -500.0, "same": 0.0}
    assert {"$5 outfit cheaper", "outfit b cheaper"} <= set(written(ax))


def test_a_cost_alone_has_no_line_of_equal_cost_and_no_column_where_nothing_flips(table) -> None:
    table["flips_at"] = ""
    table.attrs = QUESTION | {"against": None}
    ax = plot_ranges(table)
    assert [line.get_label() for line in ax.lines] == ["own"]
    assert "decision\nflips at" not in written(ax)
    assert ax.get_xlabel().startswith("total cost of a year with $5 outfit [$]")


def test_only_the_largest_are_shown(table: pd.DataFrame) -> None:
    assert len(bars(plot_ranges(table, most=2))) == 4


def test_all_text_of_the_rows_lies_inside_the_axes_of_a_new_figure(table: pd.DataFrame) -> None:
    ax = plot_ranges(table)
    ax.figure.draw_without_rendering()
    box = ax.get_window_extent()
    for text in ax.texts:
        if text.get_text() in ("−20 %", "+20 %", "$3.44/bu", "$5.38/bu"):
            extent = text.get_window_extent()
            assert box.x0 <= extent.x0
            assert extent.x1 <= box.x1


def test_shares_are_bars_with_their_intervals(shares: pd.DataFrame) -> None:
    ax = plot_variance_shares(shares)
    drawn = bars(ax)
    lines = {str(line.get_label()): line for line in ax.lines}
    for name, row in shares.iterrows():
        for kind in ("total", "first_order"):
            assert drawn[f"{name} {kind}"].get_width() == row[kind]
            interval = lines[f"{name} {kind} interval"]
            assert list(interval.get_xdata()) == [row[f"{kind}_low"], row[f"{kind}_high"]]
            middle = drawn[f"{name} {kind}"].get_y() + drawn[f"{name} {kind}"].get_height() / 2
            assert interval.get_ydata() == pytest.approx(np.full(2, middle))
    left, right = ax.get_xlim()
    assert left < -0.1
    assert right > 1.1


def test_shares_say_which_bar_is_which_and_what_varies(shares: pd.DataFrame) -> None:
    ax = plot_variance_shares(shares)
    assert written(ax) == ["with other inputs", "alone"]
    title = ax.get_title(loc="left")
    assert title == "Over all ranges: −$1,200 in the mean, standard deviation $800"
    assert ax.get_xlabel() == "share of the variance of the cost of a year: $5 outfit less outfit b"
    ax.figure.draw_without_rendering()
    assert "100 %" in [label.get_text() for label in ax.get_xticklabels()]


def test_it_draws_on_the_axes_given(table: pd.DataFrame, shares: pd.DataFrame) -> None:
    for plot, data in ((plot_ranges, table), (plot_variance_shares, shares)):
        ax = Figure().add_subplot()
        assert plot(data, ax=ax) is ax
