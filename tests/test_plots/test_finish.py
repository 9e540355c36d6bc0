from __future__ import annotations

import itertools

import numpy as np
import pytest
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.dates import date2num
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.transforms import Bbox

import fieldsim
from fieldsim.errors import InputError
from fieldsim.plots import plot_finish_dates


def curves(ax: Axes) -> dict[str, Line2D]:
    return {str(line.get_label()): line for line in ax.lines if line.get_drawstyle() != "default"}


def texts(ax: Axes) -> list[str]:
    return [text.get_text() for text in ax.texts]


def test_each_curve_is_the_share_of_seasons_finished_by_each_day(outcomes: xr.Dataset) -> None:
    drawn = curves(plot_finish_dates(outcomes, operation="plant", crop="soybeans"))
    assert list(drawn) == list(outcomes.option.values)
    for option, line in drawn.items():
        days, share = line.get_xdata(), line.get_ydata()
        assert days[0] == np.datetime64("2026-04-01")
        assert days[-1] == np.datetime64("2026-07-31")
        dates = outcomes.finish_date.sel(option=option, operation="plant", crop="soybeans").values
        counted = [100 * sum(date <= day for date in dates) / 200 for day in days]
        assert share == pytest.approx(counted)


def test_marks_and_labels_give_the_median_of_compare(outcomes: xr.Dataset) -> None:
    ax = plot_finish_dates(outcomes, crop="corn")
    table = fieldsim.compare(outcomes)
    marks = {line.get_label(): line for line in ax.lines if line.get_linestyle() == "None"}
    assert len(marks) == 4
    for mark, (_, row) in zip(marks.values(), table.iterrows(), strict=True):
        assert mark.get_xdata()[0] == row.plant_corn_median
        day = f"{row.plant_corn_median.day} {row.plant_corn_median:%b}"
        assert f"{row.label}\nhalf of seasons by {day}" in texts(ax)


def test_defaults_are_the_first_crop_and_the_operation_that_plants_it(outcomes: xr.Dataset) -> None:
    default, named = (
        plot_finish_dates(outcomes),
        plot_finish_dates(outcomes, operation="plant", crop="corn"),
    )
    for option, line in curves(default).items():
        assert np.array_equal(line.get_ydata(), curves(named)[option].get_ydata())


def test_the_target_date_is_marked_for_planting_only(outcomes: xr.Dataset) -> None:
    planting = plot_finish_dates(outcomes, crop="soybeans")
    target = next(line for line in planting.lines if line.get_label() == "_target")
    assert date2num(target.get_xdata()) == pytest.approx(
        [date2num(np.datetime64("2026-05-25"))] * 2
    )
    assert "target 25 May" in texts(planting)
    tilling = plot_finish_dates(outcomes, operation="till", crop="soybeans")
    assert not any("target" in text for text in texts(tilling))


def test_a_curve_that_never_reaches_all_seasons_says_how_far_it_comes(outcomes: xr.Dataset) -> None:
    ax = plot_finish_dates(outcomes, operation="first_cultivation", crop="soybeans")
    dates = outcomes.finish_date.sel(operation="first_cultivation", crop="soybeans")
    share = 100 * float(dates.sel(option="four_rows").notnull().mean())
    assert 0 < share < 50
    assert curves(ax)["four_rows"].get_ydata()[-1] == pytest.approx(share)
    assert f"one outfit of 4 rows\nin {share:.0f} % of seasons" in texts(ax)


def test_axes_are_named_with_units_and_days_read_as_people_write_them(outcomes: xr.Dataset) -> None:
    ax = plot_finish_dates(outcomes)
    ax.figure.draw_without_rendering()
    assert ax.get_ylabel() == "seasons finished [%]"
    assert ax.get_xlabel() == "date"
    assert "corn" in ax.get_title(loc="left")
    ticks = [label.get_text() for label in ax.get_xticklabels()]
    assert "1 May" in ticks
    assert "15 May" in ticks
    assert not ax.spines["top"].get_visible()
    assert not ax.spines["right"].get_visible()


def test_it_draws_on_the_axes_given(outcomes: xr.Dataset) -> None:
    ax = Figure().add_subplot()
    assert plot_finish_dates(outcomes, ax=ax) is ax


def test_seasons_that_never_finish_draw_a_curve_at_zero(outcomes: xr.Dataset) -> None:
    never = outcomes.assign(finish_date=outcomes.finish_date.where(False))
    ax = plot_finish_dates(never)
    assert all(np.all(line.get_ydata() == 0) for line in curves(ax).values())
    assert "one outfit of 4 rows\nin 0 % of seasons" in texts(ax)
    assert ax.get_xlim() == tuple(date2num(np.array(["2026-04-01", "2026-07-31"], "M8[D]")))


@pytest.mark.parametrize("part", [{"option": [2]}, {"season": [7]}])
def test_one_option_and_one_season_can_be_drawn(outcomes: xr.Dataset, part: dict) -> None:
    drawn = curves(plot_finish_dates(outcomes.isel(part)))
    assert all(line.get_ydata()[-1] == 100.0 for line in drawn.values())


@pytest.mark.parametrize(
    ("asked", "problem"),
    [
        ({"crop": "rye"}, "there is no such crop; crops are corn, soybeans"),
        ({"operation": "mow"}, "there is no such operation; operations are till, plant"),
    ],
)
def test_unknown_names_are_told_with_the_known_ones(
    outcomes: xr.Dataset, asked: dict, problem: str
) -> None:
    with pytest.raises(InputError, match=problem):
        plot_finish_dates(outcomes, **asked)


def boxes_apart(ax: Axes) -> list[Bbox]:
    """Return where the labels of the curves stand, from below, none over another."""
    ax.figure.draw_without_rendering()
    boxes = sorted(
        (text.get_window_extent() for text in ax.texts if "\n" in text.get_text()),
        key=lambda box: box.y0,
    )
    for lower, upper in itertools.pairwise(boxes):
        assert lower.y1 <= upper.y0
    return boxes


def test_long_names_take_one_line_where_there_is_no_room_for_two(outcomes: xr.Dataset) -> None:
    long = outcomes.assign_coords(option_label=("option", ["a long name of an option here"] * 4))
    high, low = (Figure(figsize=(8, height)).add_axes((0.1, 0.1, 0.5, 0.8)) for height in (4, 1.5))
    drawn = [" ".join(texts(plot_finish_dates(long, ax=ax))) for ax in (high, low)]
    assert "a long name of an option\nhere\nhalf" in drawn[0]
    assert "a long name of an…\nhalf" in drawn[1]
    assert len(boxes_apart(low)) == 4


def test_labels_neither_overlap_nor_leave_the_figure(outcomes: xr.Dataset) -> None:
    ax = plot_finish_dates(outcomes)
    boxes = boxes_apart(ax)
    assert len(boxes) == 4
    assert max(box.x1 for box in boxes) <= ax.figure.bbox.x1
    assert max(box.y1 for box in boxes) <= ax.figure.bbox.y1
