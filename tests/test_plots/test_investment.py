from __future__ import annotations

import matplotlib.pyplot as plt
import numpy as np
import pytest
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

import fieldsim
from fieldsim.decisions import Loan, cash_by_year, invest
from fieldsim.plots import plot_investment


@pytest.fixture(scope="module")
def investment(outcomes: xr.Dataset) -> xr.Dataset:
    farm = fieldsim.demo_farm()
    return invest(farm, outcomes, "six_rows", "two_six_rows", futures=300, loan=Loan(0.8, 0.07, 7))


def lines(ax: Axes) -> dict[str, Line2D]:
    return {str(line.get_label()): line for line in ax.lines}


def written(ax: Axes) -> str:
    return " ".join(" ".join(text.get_text() for text in ax.texts).split())


def test_the_lines_are_the_quantiles_of_the_table(investment: xr.Dataset) -> None:
    drawn, table = lines(plot_investment(investment)), cash_by_year(investment)
    for percent in (10, 25, 50, 75, 90):
        np.testing.assert_array_equal(
            drawn[f"{percent} %"].get_ydata(), table[f"added_p{percent}"].to_numpy()
        )
    assert drawn["50 %"].get_linewidth() > drawn["10 %"].get_linewidth()


def test_the_bands_hold_a_half_and_8_of_10_of_the_futures(investment: xr.Dataset) -> None:
    ax = plot_investment(investment)
    end = investment.cash_flow.sum("year").values
    for band, share in (("25-75 %", 0.5), ("10-90 %", 0.8)):
        (shape,) = [patch for patch in ax.collections if patch.get_label() == band]
        points = shape.get_paths()[0].vertices
        at_end = points[points[:, 0] == 12, 1]
        held = np.mean((end >= at_end.min()) & (end <= at_end.max()))
        assert held == pytest.approx(share, abs=0.01)


def test_the_end_of_the_loan_is_marked_only_where_there_is_one(
    investment: xr.Dataset, outcomes: xr.Dataset
) -> None:
    ax = plot_investment(investment)
    assert lines(ax)["_loan"].get_xdata()[0] == 7
    assert "loan paid off" in written(ax)
    cash = invest(fieldsim.demo_farm(), outcomes, "six_rows", "two_six_rows", futures=50)
    without = plot_investment(cash)
    assert "_loan" not in lines(without)
    assert "loan" not in written(without)


def test_what_the_machines_are_worth_at_the_end_is_told(investment: xr.Dataset) -> None:
    ax = plot_investment(investment)
    end = float(investment.plan.sel(part="end_worth", year=12))
    assert f"worth ${end:,.0f} more than the old ones would be" in written(ax)
    title = ax.get_title(loc="left")
    assert title == "From one outfit of 6 rows to two outfits of 6 rows"


def test_nothing_gained_or_lost_is_drawn_as_a_line_and_within_view(investment: xr.Dataset) -> None:
    ax = plot_investment(investment)
    assert lines(ax)["_nothing"].get_ydata()[0] == 0
    low, high = ax.get_ylim()
    assert low < 0 < high
    assert low < min(lines(ax)["10 %"].get_ydata())
    assert high > max(lines(ax)["90 %"].get_ydata())


def test_a_single_future_and_a_single_year_can_be_drawn(outcomes: xr.Dataset) -> None:
    farm = fieldsim.demo_farm()
    found = invest(farm, outcomes, "six_rows", "eight_rows", futures=1, years=1)
    ax = plot_investment(found)
    np.testing.assert_array_equal(lines(ax)["10 %"].get_ydata(), lines(ax)["90 %"].get_ydata())
    ax.figure.canvas.draw()


def test_the_figure_can_stand_in_axes_of_ones_own(investment: xr.Dataset) -> None:
    own = plt.subplots()[1]
    assert plot_investment(investment, ax=own) is own
