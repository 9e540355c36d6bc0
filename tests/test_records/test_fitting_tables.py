from dataclasses import replace

import numpy as np
import pytest

from fieldsim.days import WeeklyTable, parse_weekly_table, weekly_totals
from fieldsim.days.records import fit, fit_weekly_table, from_seasons, weekly
from fieldsim.season import CalendarDay
from tests.test_records.made import CHAIN, SPRING, record_of, spring_table, weekly_records

TABLE = spring_table()


def true_days():
    return np.array(TABLE.days)


def test_a_large_record_gives_its_table_back():
    fitted = fit(record_of(TABLE, 4000, digits=3), replicates=50)
    assert fitted.source.week_starts == TABLE.week_starts
    assert fitted.source.percentiles == pytest.approx(TABLE.percentiles)
    assert np.abs(np.array(fitted.source.days) - true_days()).max() < 0.2
    assert fitted.source.week_correlation == pytest.approx(0.3, abs=0.03)
    assert fitted.source.season_share == pytest.approx(0.2, abs=0.03)
    assert fitted.source.persistence is None


def test_the_text_reads_back_as_the_table():
    fitted = fit(record_of(TABLE, 25))
    assert parse_weekly_table(fitted.text, "fitted", **fitted.settings) == fitted.source
    comments = [line for line in fitted.text.splitlines() if line.startswith("#")]
    assert comments[0] == "# Fitted to 25 years (1981 to 2005) of: records"
    assert sum(" (25): " in line for line in comments) == 18


def test_the_table_of_figures_is_tidy_and_has_its_errors():
    fitted = fit(record_of(TABLE, 25))
    rows = fitted.table
    assert list(rows.columns) == [
        "week_starting", "at_least", "days", "standard_error", "low", "high", "own", "years"
    ]  # fmt: skip
    assert len(rows) == 18 * 5
    assert rows.days.to_numpy().reshape(18, 5) == pytest.approx(np.array(fitted.source.days))
    assert (rows.low <= rows.days).all()
    assert (rows.days <= rows.high).all()
    assert (rows.years == 25).all()
    parameters = fitted.parameters.set_index("parameter")
    assert list(parameters.index) == ["week_correlation", "season_share"]
    assert parameters.value["week_correlation"] == fitted.source.week_correlation
    assert (parameters.standard_error > 0.01).all()


def test_intervals_hold_the_true_days_about_as_often_as_they_say():
    # 60 records of 20 years; the figures of one record hang together, so the band is wide.
    held = []
    for seed in range(60):
        rows = fit(record_of(TABLE, 20, seed), replicates=100).table
        true = true_days().ravel()
        held.append(((rows.low <= true) & (true <= rows.high)).mean())
    assert 0.88 <= np.mean(held) <= 0.97


def test_errors_fall_with_the_years_and_meet_the_true_ones():
    for years in (10, 40):
        fits = [fit(record_of(TABLE, years, seed), replicates=100).table for seed in range(25)]
        off = np.array([rows.days for rows in fits]) - true_days().ravel()
        stated = np.mean([rows.standard_error for rows in fits])
        assert stated == pytest.approx(np.sqrt((off**2).mean()), rel=0.15)


def test_shrinking_toward_neighbors_brings_short_records_nearer_the_truth():
    off = {"own": [], "days": []}
    for seed in range(25):
        rows = fit(record_of(TABLE, 10, seed), replicates=50).table
        for column, squares in off.items():
            squares.append(((rows[column] - true_days().ravel()) ** 2).mean())
    assert np.sqrt(np.mean(off["days"])) < 0.8 * np.sqrt(np.mean(off["own"]))


def test_without_neighbor_years_each_week_stands_alone():
    rows = fit(record_of(TABLE, 12), neighbor_years=0.0, replicates=50).table
    assert rows.days.to_numpy() == pytest.approx(rows.own.to_numpy(), abs=0.006)


def test_a_week_that_no_year_has_is_taken_from_its_neighbors():
    days = record_of(TABLE, 30).days.copy()
    days[:, 9] = np.nan
    rows = fit(weekly_records(days), replicates=50).table
    week = rows[rows.week_starting == "3 Jun"]
    assert (week.years == 0).all()
    assert week.days.to_numpy() == pytest.approx(true_days()[9], abs=0.8)


def test_a_week_that_two_years_have_is_never_taken_for_zero():
    days = np.full((20, 5), 6.0)
    days[2:, 2] = np.nan
    rows = fit(weekly_records(days), replicates=200).table
    assert rows.days.to_numpy() == pytest.approx(6.0)
    assert rows.standard_error.to_numpy() == pytest.approx(0.0)


def test_correlation_and_share_come_back_and_scatter_as_their_errors_say():
    fits = [fit(record_of(TABLE, 30, seed), replicates=100).parameters for seed in range(60)]
    estimates = np.array([rows.estimate for rows in fits])
    errors = np.mean([rows.standard_error for rows in fits], axis=0)
    assert estimates.mean(axis=0) == pytest.approx([0.3, 0.2], abs=0.04)
    assert estimates.std(axis=0) == pytest.approx(errors, rel=0.3)


def test_daily_records_give_the_persistence_as_well():
    records = from_seasons(CHAIN.draw(SPRING, 60, seed=0)[:, 0], SPRING)
    fitted = fit(records, replicates=50)
    assert fitted.source.week_starts[0] == CalendarDay(4, 1)
    parameters = fitted.parameters.set_index("parameter")
    row = parameters.loc["persistence"]
    drawn = CHAIN.draw(SPRING, 4000, seed=1)[:, 0] >= 0.5
    true = (drawn[:, 1:] & drawn[:, :-1]).sum() / drawn[:, :-1].sum()
    assert row.estimate == pytest.approx(true, abs=4 * row.standard_error)
    assert fitted.source.draw(
        SPRING.of_year(2026, CalendarDay(4, 1), CalendarDay(7, 21)), 3, 0
    ).size
    assert parse_weekly_table(fitted.text, "f", **fitted.settings) == fitted.source


def test_a_persistence_that_the_table_does_not_allow_becomes_the_nearest():
    suitable = np.tile(np.repeat([0.6, 0.0], 7), 8)[None, :].repeat(12, axis=0)
    suitable = np.where(np.random.default_rng(0).random((12, 112)) < 0.05, 1.0, suitable)
    season = replace(SPRING, last_day=SPRING.date(111))
    fitted = fit(from_seasons(suitable, season), replicates=50)
    row = fitted.parameters.set_index("parameter").loc["persistence"]
    assert row.value < row.estimate - 0.02
    assert fitted.source.draw(season, 5, seed=0).shape == (5, 1, 112)


def test_levels_may_be_chosen():
    fitted = fit(record_of(TABLE, 30), at_least=(75, 25), replicates=50)
    assert fitted.source.percentiles == (0.25, 0.75)
    assert fitted.text.splitlines()[-19] == "week_starting,at_least_75,at_least_25"


def test_few_years_are_said_to_be_few():
    fitted = fit(record_of(TABLE, 4), replicates=50)
    assert fitted.warnings[0].startswith("records: 4 years are few")
    assert fitted.warnings[-1] == (
        "18 weeks (the first from 1 Apr) have too few years to place the outermost levels: there "
        "the best or worst year known stands for it"
    )
    assert fit(record_of(TABLE, 30), replicates=50).warnings == ()


def test_fits_are_repeatable_and_the_seed_moves_only_the_errors():
    records = record_of(TABLE, 15)
    a, b, c = (fit(records, seed=seed, replicates=50) for seed in (0, 0, 1))
    assert a.text == b.text
    assert (a.table.standard_error != c.table.standard_error).any()
    assert a.source.days == c.source.days


def test_a_record_of_a_whole_year_is_fitted_up_to_52_weeks():
    starts = tuple(weekly_year())
    totals = np.random.default_rng(0).random((12, 52)) * 7
    assert len(fit(weekly_records(totals, starts), replicates=50).source.week_starts) == 52


def weekly_year():
    for week in range(52):
        day = np.datetime64("2001-01-01") + 7 * week
        yield CalendarDay(day.item().month, day.item().day)


def test_three_weeks_do_not_part_correlation_from_season():
    fitted = fit(weekly_records(record_of(TABLE, 20).days[:, :3]), replicates=50)
    assert fitted.parameters.empty
    assert fitted.source.week_correlation == WeeklyTable.week_correlation


@pytest.mark.parametrize(
    ("parameter", "message"),
    [
        ({"at_least": (90,)}, "two levels or more, between 0 and 100"),
        ({"at_least": (100, 50)}, "two levels or more, between 0 and 100"),
        ({"neighbor_years": -1.0}, "neighbor_years is 0 or more"),
        ({"replicates": 10}, "replicates 50 or more"),
        ({"kind": "table"}, "kind = 'table'"),
    ],
)
def test_parameters_out_of_bounds_are_refused(parameter, message):
    with pytest.raises(ValueError, match=message):
        fit(record_of(TABLE, 5), **parameter)


def test_fit_hands_on_to_the_fit_of_a_table():
    records = record_of(TABLE, 8)
    assert fit(records, replicates=60).text == fit_weekly_table(records, replicates=60).text


def test_draws_of_the_fitted_table_have_the_mean_of_the_record():
    records = record_of(TABLE, 40)
    drawn = weekly_totals(fit(records, replicates=50).source, 4000, seed=0)
    assert drawn.mean(axis=0) == pytest.approx(weekly(records).days.mean(axis=0), abs=0.6)
    assert drawn.mean() == pytest.approx(records.days.mean(), abs=0.12)
