from dataclasses import replace
from datetime import date
from itertools import groupby

import numpy as np
import pytest

from fieldsim.days import WeeklyTable, check_draw, weekly_totals
from fieldsim.errors import InputError
from fieldsim.randomness import stream
from fieldsim.season import CalendarDay, Season
from tests.bounds import check_bounds

SEASONS = 20_000
Z = 4.0  # standard errors: a true band is left once in 16,000 comparisons
PILOT = 4000


def totals_of(suitable):
    """Totals of the whole weeks of a draw that starts with a week, (season, week)."""
    weeks = suitable.shape[-1] // 7
    return suitable[:, 0, : 7 * weeks].reshape(len(suitable), weeks, 7).sum(axis=-1)


@pytest.mark.parametrize("tails", ["extend", "hold"])
def test_the_draw_has_the_quantiles_of_the_table(spring_table, spring, tails):
    table = replace(spring_table, tails=tails)
    totals = totals_of(table.draw(spring, SEASONS, seed=11))
    for week, days in enumerate(table.days[: totals.shape[1]]):
        inner = zip(table.percentiles, days, strict=True)
        if tails == "hold":
            inner = list(inner)[1:-1]  # the outermost days are also those of the held tails
        for percentile, quantile in inner:
            share = (totals[:, week] <= quantile).mean()
            band = Z * np.sqrt(percentile * (1 - percentile) / SEASONS)
            assert share == pytest.approx(percentile, abs=band)


def test_held_tails_put_the_share_beyond_the_outermost_level_on_it(spring_table, spring):
    table = replace(spring_table, tails="hold")
    totals = totals_of(table.draw(spring, SEASONS, seed=12))
    lowest, highest = (np.array([week[i] for week in table.days[:17]]) for i in (0, -1))
    band = Z * np.sqrt(0.1 * 0.9 / SEASONS)
    # Laid out and added up again, a total may differ from itself by rounding.
    assert (totals < lowest + 1e-9).mean(axis=0) == pytest.approx(0.1, abs=band)
    assert (totals > highest - 1e-9).mean(axis=0) == pytest.approx(0.1, abs=band)
    assert (totals >= lowest - 1e-9).all()
    assert (totals <= highest + 1e-9).all()


def test_the_draw_keeps_every_week_total_with_its_fraction(spring_table, spring):
    drawn = totals_of(spring_table.draw(spring, 500, seed=1))
    totals = weekly_totals(spring_table, 500, seed=1)[:, : drawn.shape[1]]
    assert np.abs(drawn - totals).max() < 1e-12
    assert (totals % 1 > 0).mean() > 0.9


def persistence_with_error(days):
    """P(suitable | suitable) and its standard error, from the lengths of runs in each season."""
    suitable = days >= 0.5
    pairs = np.empty(len(days))
    for season, row in enumerate(suitable.tolist()):
        pairs[season] = sum(len(list(run)) - 1 for state, run in groupby(row) if state)
    followed = suitable[:, :-1].sum(axis=1)
    share = pairs.sum() / followed.sum()
    return share, np.std(pairs - share * followed) / (followed.mean() * np.sqrt(len(days)))


@pytest.mark.parametrize("persistence", [0.60, 0.72, 0.80])
@pytest.mark.parametrize("season_share", [0.0, 0.3])
def test_runs_are_as_long_as_the_persistence_says(spring_table, persistence, season_share):
    table = replace(spring_table, persistence=persistence, season_share=season_share)
    whole_table = Season(date(2026, 4, 1), date(2026, 8, 4))
    days = table.draw(whole_table, 4000, seed=5)[:, 0]
    share, error = persistence_with_error(days)
    # The odds are calibrated on a pilot of 4,000 seasons, which has an error of the same size.
    band = Z * error * np.sqrt(1 + len(days) / PILOT)
    assert share == pytest.approx(persistence, abs=band)
    assert band < 0.012


def test_weeks_are_as_correlated_in_the_draw_as_the_scores_say(spring_table, spring):
    # Ranks of a Gaussian copula have the correlation (6 / pi) asin(r / 2) (Pearson 1907, from
    # memory); its standard error is at most 1 / sqrt(n) for r >= 0.
    table = replace(spring_table, week_correlation=0.3, season_share=0.2)
    totals = totals_of(table.draw(spring, SEASONS, seed=2))
    ranks = totals.argsort(axis=0).argsort(axis=0)
    matrix = np.corrcoef(ranks.T)
    for lag in (1, 2, 10):
        score = 0.2 + 0.8 * 0.3**lag
        expected = 6 / np.pi * np.arcsin(score / 2)
        drawn = np.diagonal(matrix, offset=lag)
        assert drawn == pytest.approx(expected, abs=Z / np.sqrt(SEASONS))


def test_a_season_component_widens_the_spread_of_the_season_total(spring_table, spring):
    spread = [
        replace(spring_table, season_share=share).draw(spring, 4000, seed=0).sum(axis=-1).std()
        for share in (0.0, 0.2, 0.5)
    ]
    assert spread[0] < 0.8 * spread[1] < 0.8 * 0.9 * spread[2]


def test_the_draw_keeps_to_the_contract(spring_table, spring):
    suitable = spring_table.draw(spring, 50, seed=0)
    assert suitable.shape == (50, 1, 122)
    assert suitable.dtype == np.float64
    check_draw(suitable, spring_table.soils)


def test_the_first_seasons_of_a_long_draw_are_those_of_a_short_one(spring_table, spring):
    long, short = (spring_table.draw(spring, n, seed=0) for n in (1000, 10))
    assert (long[:10] == short).all()


def test_seeds_are_different_and_repeatable_and_zero_is_one(spring_table, spring):
    zero, one, again = (spring_table.draw(spring, 20, seed=seed) for seed in (0, 1, 0))
    assert (zero != one).any(axis=(1, 2)).all()
    assert (zero == again).all()


def test_every_random_quantity_has_a_stream_of_its_own(spring_table, spring, monkeypatch):
    spring_table.draw(spring, 1, seed=0)  # the odds are calibrated once
    names = []

    def noted(seed, name):
        names.append(name)
        return stream(seed, name)

    monkeypatch.setattr("fieldsim.randomness.stream", noted)
    spring_table.draw(spring, 10, seed=0)
    assert sorted(names) == ["days.layout", "days.season", "days.weeks"]


def test_persistence_moves_days_within_weeks_and_leaves_the_totals(spring_table, spring):
    short, long = (
        replace(spring_table, persistence=p).draw(spring, 200, seed=3) for p in (0.6, 0.8)
    )
    assert (short != long).any()
    assert np.abs(totals_of(short) - totals_of(long)).max() < 1e-12


def test_a_season_that_starts_inside_a_week_trims_it(spring_table, spring):
    whole = spring_table.draw(spring, 100, seed=4)
    within = spring_table.draw(Season(date(2026, 4, 11), date(2026, 7, 1)), 100, seed=4)
    assert (within == whole[:, :, 10:92]).all()


def test_every_year_has_the_same_weeks(spring_table):
    common, leap = (
        spring_table.draw(Season(date(year, 4, 1), date(year, 7, 31)), 20, seed=0)
        for year in (2026, 2028)
    )
    assert (common == leap).all()


def late_winter_table(**changes):
    starts = [(2, 8), (2, 15), (2, 22), (3, 1), (3, 8)]
    return WeeklyTable(
        tuple(CalendarDay(*start) for start in starts), (0.1, 0.9), ((1.0, 6.0),) * 5, **changes
    )


def test_the_leap_day_repeats_the_day_before():
    common, leap = (
        late_winter_table().draw(Season(date(year, 2, 10), date(year, 3, 10)), 200, seed=0)
        for year in (2027, 2028)
    )
    leap_day = (date(2028, 2, 29) - date(2028, 2, 10)).days
    assert (leap[:, :, leap_day] == leap[:, :, leap_day - 1]).all()
    assert (np.delete(leap, leap_day, axis=-1) == common).all()


def test_a_table_and_a_season_may_cross_new_year():
    starts = tuple(CalendarDay(*start) for start in ((12, 16), (12, 23), (12, 30), (1, 6)))
    table = WeeklyTable(starts, (0.0, 1.0), ((0, 0), (0, 0), (7, 7), (0, 0)), persistence=1.0)
    with pytest.raises(InputError, match=r"allow from 0\.857 to 0\.857"):
        table.draw(Season(date(2026, 12, 20), date(2027, 1, 12)), 1, seed=0)
    # Seven days in a row, then none: six of the seven suitable days are followed by another.
    table = replace(table, persistence=0.857)
    days = table.draw(Season(date(2026, 12, 20), date(2027, 1, 12)), 1, seed=0)[0, 0]
    assert np.flatnonzero(days).tolist() == list(range(10, 17))
    january = table.draw(Season(date(2027, 1, 2), date(2027, 1, 12)), 1, seed=0)[0, 0]
    assert np.flatnonzero(january).tolist() == [0, 1, 2, 3]


@pytest.mark.parametrize(
    ("first", "last", "day"),
    [
        (date(2026, 3, 30), date(2026, 7, 31), "30 Mar"),
        (date(2026, 5, 1), date(2026, 8, 10), "5 Aug"),
        (date(2026, 10, 1), date(2026, 10, 2), "1 Oct"),
    ],
)
def test_the_first_day_that_no_week_holds_is_named(spring_table, first, last, day):
    with pytest.raises(InputError) as error:
        spring_table.draw(Season(first, last), 10, seed=0)
    assert str(error.value) == (
        f"weekly table: week_starting: no week holds {day}; the weeks run from the one of 1 Apr to "
        f"the one of 29 Jul; add the week that holds {day}, or choose a season within the weeks"
    )


def test_a_persistence_out_of_reach_is_refused_when_drawing(spring_table, spring):
    with pytest.raises(InputError, match=r"persistence = 0\.97: the weeks of this table allow"):
        replace(spring_table, persistence=0.97).draw(spring, 10, seed=0)


def test_where_nothing_is_said_of_persistence_the_nearest_to_080_is_taken():
    # A single day a week is followed by a suitable one only over the end of a week.
    weeks = tuple(CalendarDay(5, day) for day in (6, 13, 20))
    scarce = WeeklyTable(weeks, (0.2, 0.8), ((1.0, 1.0),) * 3)
    may = Season(date(2026, 5, 6), date(2026, 5, 26))
    days = scarce.draw(may, 4000, seed=0)[:, 0]
    assert (days.reshape(-1, 3, 7).sum(axis=-1) == 1).all()
    # The fewest changes: the last day of a week and the first of the next.
    assert (days[:, 6] * days[:, 7]).mean() == pytest.approx(days[:, 6].mean())
    with pytest.raises(InputError, match=r"persistence = 0\.8"):
        replace(scarce, persistence=0.8).draw(may, 10, seed=0)


def test_unless_it_is_said_tails_go_on_and_only_neighbouring_weeks_are_alike(spring_table):
    said = replace(spring_table, tails="extend", week_correlation=0.3, season_share=0.0)
    unsaid = WeeklyTable(spring_table.week_starts, spring_table.percentiles, spring_table.days)
    assert unsaid == said
    assert unsaid.persistence is None


WEEK = (CalendarDay(5, 6),)


@pytest.mark.parametrize("days", [0, 7])
def test_weeks_may_have_no_day_or_all_seven_at_percentiles_from_0_to_1(days):
    table = WeeklyTable(WEEK, (0.0, 1.0), ((days, days),))
    week = Season(date(2026, 5, 6), date(2026, 5, 12))
    assert (table.draw(week, 5, seed=0) == days / 7).all()


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (((), (0.2, 0.8), ()), "week_starts: 1 to 52 days of the calendar, each 7 days on"),
        (
            ((CalendarDay(5, 6), CalendarDay(5, 20)), (0.2, 0.8), ((1, 2),) * 2),
            "week_starts: 1 to 52 days of the calendar, each 7 days on",
        ),
        ((WEEK, (0.5,), ((1,),)), "at least two, rising, within 0 and 1"),
        ((WEEK, (0.5, 0.5), ((1, 2),)), "at least two, rising, within 0 and 1"),
        ((WEEK, (-1e-9, 0.5), ((1, 2),)), "at least two, rising, within 0 and 1"),
        ((WEEK, (0.5, 1 + 1e-9), ((1, 2),)), "at least two, rising, within 0 and 1"),
        ((WEEK, (0.2, 0.8), ((-1e-9, 2),)), "within 0 and 7, not falling"),
        ((WEEK, (0.2, 0.8), ((1, 7 + 1e-9),)), "within 0 and 7, not falling"),
        ((WEEK, (0.8, 0.2), ((1, 2),)), "at least two, rising, within 0 and 1"),
        ((WEEK, (20, 80), ((1, 2),)), "at least two, rising, within 0 and 1"),
        ((WEEK, (0.2, 0.8), ((1, 2),) * 2), "days has 2 weeks, week_starts has 1"),
        ((WEEK, (0.2, 0.8), ((1, 2, 3),)), "days of the week of 6 May"),
        ((WEEK, (0.2, 0.8), ((2, 1),)), "within 0 and 7, not falling"),
        ((WEEK, (0.2, 0.5, 0.8), ((1, 3, 2),)), "within 0 and 7, not falling"),
        ((WEEK, (0.2, 0.8, 0.5), ((1, 2, 3),)), "at least two, rising, within 0 and 1"),
        ((WEEK, (0.2, 0.8), ((1, 7.5),)), "within 0 and 7, not falling"),
        ((WEEK, (0.2, 0.8), ((1, float("nan")),)), "within 0 and 7, not falling"),
    ],
)
def test_a_table_that_is_none_is_refused(arguments, message):
    with pytest.raises(ValueError, match=message):
        WeeklyTable(*arguments)


def test_parameters_are_taken_up_to_their_bounds():
    table = WeeklyTable(WEEK, (0.2, 0.8), ((1, 2),))
    for name in ("season_share", "persistence"):
        check_bounds(lambda x, name=name: replace(table, **{name: x}), name, at_least=0, at_most=1)
    for correlation in (-1 + 1e-9, 1 - 1e-9):
        replace(table, week_correlation=correlation)
    for correlation in (-1.0, 1.0):
        with pytest.raises(ValueError, match="above -1 and below 1"):
            replace(table, week_correlation=correlation)


def test_all_wrong_parameters_are_named_at_once():
    with pytest.raises(ValueError, match="tails") as error:
        WeeklyTable(WEEK, (0.2, 0.8), ((1, 2),), "cut", 1.0, -0.1, 80.0)
    assert str(error.value).splitlines() == [
        'tails = \'cut\': "extend" or "hold" is allowed',
        "week_correlation = 1.0: above -1 and below 1 is allowed",
        "season_share = -0.1: a share from 0 to 1 is allowed",
        "persistence = 80.0: a share from 0 to 1 is allowed",
    ]
