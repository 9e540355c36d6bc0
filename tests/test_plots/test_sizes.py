from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from fieldsim.errors import InputError
from fieldsim.plots.sizes import plot_sizes
from tests.test_decisions.test_sizes import made_table


@pytest.fixture
def table() -> pd.DataFrame:
    """The made table, with a pair of outfits and with used ones, and its units."""
    new = made_table()
    pair = new[new.rows == 4].assign(
        size="two of 4 rows", units=2, total_cost=[58.0, 300.0], cheapest=False,
        difference=[8.0, 252.0], cannot_tell_apart=False,
    )  # fmt: skip
    used = new.assign(bought="used", total_cost=new.total_cost - 10)
    made = pd.concat([new, pair, used], ignore_index=True)
    made.attrs = {"area_units": "acre", "cost_units": "$/acre"}
    return made


def lines(ax: Axes) -> dict[str, Line2D]:
    return {str(line.get_label()): line for line in ax.lines}


def test_each_size_is_a_line_of_its_costs(table: pd.DataFrame) -> None:
    drawn = lines(plot_sizes(table))
    for size, rows in table[table.bought == "new"].groupby("size"):
        assert list(drawn[size].get_xdata()) == list(rows.area)
        assert list(drawn[size].get_ydata()) == list(rows.total_cost)


def test_used_outfits_are_drawn_where_they_are_asked_for(table: pd.DataFrame) -> None:
    ax = plot_sizes(table, bought="used")
    assert list(lines(ax)["4 rows"].get_ydata()) == [40.0, 38.5]
    assert ax.get_title(loc="left") == "Outfits bought used"
    assert "two of 4 rows" not in lines(ax)


def test_the_band_follows_the_lowest_cost_also_between_areas(table: pd.DataFrame) -> None:
    band = lines(plot_sizes(table))["_cheapest"]
    x, y = np.asarray(band.get_xdata()), np.asarray(band.get_ydata())
    expected = np.minimum(np.interp(x, [100, 200], [50, 48.5]), np.interp(x, [100, 200], [53, 48]))
    np.testing.assert_allclose(y, expected, rtol=1e-12)
    assert band.get_linewidth() > 2 * lines(plot_sizes(table))["4 rows"].get_linewidth()


def test_the_cheapest_is_named_at_each_area_with_what_ties(table: pd.DataFrame) -> None:
    ax = plot_sizes(table)
    marks = [(line.get_xdata()[0], line.get_ydata()[0]) for line in ax.lines
             if line.get_label() == "_best"]  # fmt: skip
    assert marks == [(100.0, 50.0), (200.0, 48.0)]
    named = {text.xy[0]: text.get_text() for text in ax.texts if hasattr(text, "xy")}
    assert named == {100.0: "4 rows", 200.0: "6 rows\nor 4 rows"}


def test_every_line_that_shows_is_labelled_at_its_end(table: pd.DataFrame) -> None:
    written = [text.get_text() for text in plot_sizes(table).texts]
    for label in ("4 rows", "6 rows", "8 rows"):
        assert written.count(label) >= 1
    assert "two of 4 rows (to $300)" in [text.replace("\n", " ") for text in written]


def test_costs_far_above_the_cheapest_do_not_flatten_the_rest(table: pd.DataFrame) -> None:
    low, high = plot_sizes(table).get_ylim()
    assert low < 48
    assert 60 < high < 100


def test_a_size_that_is_never_near_is_not_labelled(table: pd.DataFrame) -> None:
    far = table.assign(total_cost=table.total_cost.where(table["size"] != "8 rows", 900.0))
    written = [text.get_text() for text in plot_sizes(far).texts]
    assert not any("8 rows" in text for text in written)


def test_sizes_differ_in_color_and_pairs_in_dashes(table: pd.DataFrame) -> None:
    drawn = lines(plot_sizes(table))
    assert len({drawn[f"{rows} rows"].get_color() for rows in (4, 6, 8)}) == 3
    assert drawn["4 rows"].get_color() == drawn["two of 4 rows"].get_color()
    assert drawn["4 rows"].get_linestyle() == "-"
    assert drawn["two of 4 rows"].get_linestyle() == "--"
    assert drawn["4 rows"].get_marker() != drawn["two of 4 rows"].get_marker()


def test_axes_are_named_with_units_and_the_ones_given_are_used(table: pd.DataFrame) -> None:
    given = Figure().add_subplot()
    ax = plot_sizes(table, ax=given)
    assert ax is given
    assert ax.get_xlabel() == "area of the farm [acre]"
    assert ax.get_ylabel() == "cost of a year [$/acre]"


@pytest.mark.parametrize("query", ["area == 100", "rows == 4 and units == 1"])
def test_one_area_and_one_size_can_be_drawn(table: pd.DataFrame, query: str) -> None:
    part = table.query(query)
    part.attrs = table.attrs
    if "rows" in query:
        part = part.assign(cheapest=True, difference=0.0, cannot_tell_apart=False)
    ax = plot_sizes(part)
    ax.figure.draw_without_rendering()
    assert "4 rows" in lines(ax)


def test_what_is_not_in_the_table_is_a_fault(table: pd.DataFrame) -> None:
    with pytest.raises(InputError, match="there are no such machines in the table"):
        plot_sizes(table, bought="rented")
