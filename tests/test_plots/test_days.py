from __future__ import annotations

import itertools
from datetime import date

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.dates import date2num
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

import fieldsim
from fieldsim.days import Given
from fieldsim.days.records import RecordYears, from_seasons
from fieldsim.days.records.quantiles import sample_quantiles
from fieldsim.days.weather import SoilWater, soil_class
from fieldsim.days.weather.past_years import past_years
from fieldsim.days.weekly_table import weekly_totals
from fieldsim.errors import InputError
from fieldsim.plots import plot_suitable_days
from fieldsim.season import Season
from tests.test_records.made import CHAIN, SPRING, record_of, spring_table, weekly_records
from tests.test_weather.test_weather_source import invented_record

LEVELS = (90, 75, 50, 25, 10)
MAY = Season(date(2026, 5, 1), date(2026, 5, 28))
SOILS = (("light", soil_class("sandy_loam")), ("heavy", soil_class("clay_loam_untiled")))


def heights(ax: Axes, level: int) -> np.ndarray:
    """Days at which a level is drawn, week by week."""
    lines = next(part for part in ax.collections if part.get_label() == f"{level} %")
    return np.array([segment[0, 1] for segment in lines.get_segments()])


def points(ax: Axes, name: str) -> Line2D | None:
    return next((line for line in ax.lines if line.get_label() == name), None)


def texts(ax: Axes) -> str:
    return " ".join(" ".join(text.get_text().split()) for text in ax.texts)


def test_bands_and_lines_are_the_quantiles_of_the_drawn_weeks() -> None:
    table = spring_table()
    ax = plot_suitable_days(table, SPRING, seasons=400, seed=3)
    totals = weekly_totals(table, 400, 3)[:, :17]  # the 18th week ends after the season
    for level in LEVELS:
        expected = sample_quantiles(totals, np.array([level / 100]))[:, 0]
        assert heights(ax, level) == pytest.approx(expected)
    bands = {patch.get_label(): patch for patch in ax.patches}
    for name, low, high in (("10-90 %", 10, 90), ("25-75 %", 25, 75)):
        values, edges, baseline = bands[name].get_data()
        assert values == pytest.approx(heights(ax, high))
        assert baseline == pytest.approx(heights(ax, low))
        assert edges == pytest.approx(date2num(np.datetime64("2026-04-01")) + 7 * np.arange(18))


def test_lines_are_named_at_their_ends_by_what_is_had_in_so_many_years() -> None:
    ax = plot_suitable_days(spring_table(), SPRING, seasons=100)
    named = {text.get_text(): text.get_position()[1] for text in ax.texts}
    words = ["9 years in 10", "3 years in 4", "half of the years", "1 year in 4", "1 year in 10"]
    assert [named[word] for word in words] == sorted(named[word] for word in words)
    assert "at least so many days in" in texts(ax)
    assert "Bands: 100 drawn seasons" in texts(ax)


def test_a_weekly_table_shows_its_own_levels_and_no_years() -> None:
    table = spring_table()
    ax = plot_suitable_days(table, SPRING, seasons=50)
    marks = points(ax, "levels")
    assert marks is not None
    assert marks.get_ydata() == pytest.approx(np.array(table.days[:17]).ravel())
    middle_of_first_week = date2num(np.datetime64("2026-04-01")) + 3.5
    assert marks.get_xdata()[:5] == pytest.approx(middle_of_first_week)
    assert points(ax, "years") is None


def test_the_years_of_a_record_are_dots_from_left_to_right_within_their_week() -> None:
    days = record_of(spring_table(), 12).days.copy()
    days[4, 2] = np.nan
    ax = plot_suitable_days(RecordYears(weekly_records(days)), SPRING, seasons=50)
    dots = points(ax, "years")
    assert dots is not None
    x, y = (np.reshape(values, (12, 17)) for values in (dots.get_xdata(), dots.get_ydata()))
    assert np.array_equal(y, days[:, :17], equal_nan=True)
    starts = date2num(np.datetime64("2026-04-01")) + 7 * np.arange(17)
    assert np.all(np.diff(x, axis=0) > 0)
    assert np.all((x > starts) & (x < starts + 7))
    assert "dots: years 1981 to 1992" in texts(ax)
    assert points(ax, "levels") is None


def test_a_replay_draws_each_year_once() -> None:
    records = record_of(spring_table(), 12)
    ax = plot_suitable_days(RecordYears(records, "replay"), SPRING)
    assert "12 drawn seasons" in texts(ax)
    expected = sample_quantiles(records.days[:, :17], np.array([0.5]))[:, 0]
    assert heights(ax, 50) == pytest.approx(expected)


def test_a_table_can_be_held_against_the_years_behind_it() -> None:
    records = record_of(spring_table(), 9)
    ax = plot_suitable_days(spring_table(), SPRING, against=records, seasons=50)
    dots = points(ax, "years")
    assert dots is not None
    assert np.array_equal(dots.get_ydata(), records.days[:, :17].ravel())
    assert points(ax, "levels") is not None


def test_soil_water_shows_what_its_record_gives_on_the_soil_asked_for() -> None:
    source = SoilWater(invented_record(), SOILS)
    drawn = {}
    for soil in source.soils:
        ax = plot_suitable_days(source, MAY, soil=soil, seasons=50)
        drawn[soil] = points(ax, "years").get_ydata().reshape(12, 4)
        assert ax.get_title(loc="left") == f"Suitable days of each week: {soil}"
        own = past_years(source, MAY, soil).days.reshape(12, 4, 7).sum(axis=-1)
        assert drawn[soil] == pytest.approx(own)
    assert drawn["light"].sum() > drawn["heavy"].sum()


def test_a_chain_and_given_seasons_are_shown_by_weeks_from_the_first_day() -> None:
    given = Given(np.tri(28)[::4][:, None], ("any",))
    for source in (CHAIN, given):
        ax = plot_suitable_days(source, MAY, seasons=7)
        assert points(ax, "years") is None
        assert [heights(ax, level).size for level in LEVELS] == [4] * 5
        assert ax.get_xlim() == tuple(date2num(np.array(["2026-05-01", "2026-05-29"], "M8[D]")))
    assert heights(ax, 50) == pytest.approx([7.0, 6.0, 0.0, 0.0])


def test_daily_records_are_added_up_over_weeks() -> None:
    ax = plot_suitable_days(RecordYears(from_seasons(np.tri(28)[::4], MAY)), MAY, seasons=20)
    expected = np.tri(28)[::4].reshape(7, 4, 7).sum(axis=-1)
    assert points(ax, "years").get_ydata().reshape(7, 4) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("asked", "problem"),
    [({}, "say which soil; soils are light, heavy"), ({"soil": "peat"}, "there is no such soil")],
)
def test_a_soil_not_said_or_not_known_is_told_with_the_known_ones(
    asked: dict, problem: str
) -> None:
    with pytest.raises(InputError, match=problem):
        plot_suitable_days(SoilWater(invented_record(), SOILS), MAY, **asked)


def test_a_season_without_a_whole_week_is_refused() -> None:
    short = Season(date(2026, 5, 1), date(2026, 5, 6))
    for source in (CHAIN, Given(np.ones((3, 1, 6)), ("any",))):
        with pytest.raises(InputError, match="no week lies wholly in the season"):
            plot_suitable_days(source, short, seasons=3)


def test_it_draws_on_the_axes_given_and_names_them_with_units() -> None:
    ax = Figure().add_subplot()
    farm = fieldsim.demo_farm()
    assert plot_suitable_days(farm.day_source, farm.season, seasons=20, ax=ax) is ax
    assert ax.get_ylabel() == "suitable days of the week [days]"
    assert ax.get_xlabel() == "date"
    assert list(ax.get_yticks()) == list(range(8))


def test_labels_neither_overlap_nor_leave_the_figure() -> None:
    records = record_of(spring_table(), 30)
    ax = plot_suitable_days(spring_table(), SPRING, against=records, seasons=50)
    ax.figure.draw_without_rendering()
    boxes = [text.get_window_extent() for text in (*ax.texts, ax._left_title)]
    assert len(boxes) == 8
    for one, other in itertools.combinations(boxes, 2):
        assert not one.overlaps(other)
    for box in boxes:
        assert box.x0 >= 0
        assert box.x1 <= ax.figure.bbox.x1
        assert box.y1 <= ax.figure.bbox.y1
