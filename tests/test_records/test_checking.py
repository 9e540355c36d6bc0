from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from fieldsim.days import DailyChain, Given, weekly_totals
from fieldsim.days.records import RecordYears, check_days, fit, from_seasons
from fieldsim.days.records.chain_moments import chain_moments
from fieldsim.days.records.figures import DAILY, WEEKLY
from fieldsim.days.records.table_moments import table_covariance, table_means, table_zero_weeks
from fieldsim.errors import InputError
from fieldsim.season import CalendarDay, Season
from tests.test_records.made import CHAIN, SPRING, record_of, spring_table, weekly_records

TABLE = spring_table()
SPREAD = "season spread (standard deviation) [days]"
CORRELATION = "correlation of a week with the next"
PERSISTENCE = "P(suitable | suitable before)"
ZEROS = "share of weeks without a suitable day"


def failed(rows):
    return set(rows.what[~rows.passed])


def test_the_moments_of_a_table_are_those_of_its_draws():
    table = spring_table(week_correlation=0.5, season_share=0.3)
    totals = weekly_totals(table, 40_000, seed=0)
    assert table_means(table) == pytest.approx(totals.mean(axis=0), abs=0.03)
    np.testing.assert_allclose(table_covariance(table), np.cov(totals.T), atol=0.12)
    assert table_zero_weeks(table) == pytest.approx((totals < 0.05).mean(axis=0), abs=0.005)


def test_the_moments_of_a_chain_are_those_of_its_draws():
    days = CHAIN.draw(SPRING, 50_000, seed=0)[:, 0]
    moments = chain_moments(CHAIN, SPRING)
    assert moments.share == pytest.approx(days.mean(axis=0), abs=0.01)
    assert moments.covariance.sum() == pytest.approx(days.sum(axis=1).var(), rel=0.03)
    for value, statistic in zip(
        (
            moments.after_suitable,
            moments.after_unsuitable,
            moments.suitable_run,
            moments.unsuitable_run,
        ),
        DAILY.values(),
        strict=True,
    ):
        assert value == pytest.approx(statistic(days), rel=0.01)


@pytest.mark.parametrize(
    "source",
    [
        TABLE,
        spring_table(season_share=0.6, week_correlation=0.7, persistence=0.7, tails="hold"),
        CHAIN,
        RecordYears(record_of(TABLE, 30)),
        RecordYears(from_seasons(CHAIN.draw(SPRING, 30, seed=1)[:, 0], SPRING)),
    ],
    ids=["table", "other table", "chain", "weekly record", "daily record"],
)
def test_a_source_passes_against_itself(source):
    rows = check_days(source, SPRING, seed=1)
    assert list(rows.columns) == [
        "what", "week", "expected", "drawn", "band_low", "band_high", "passed"
    ]  # fmt: skip
    assert failed(rows) == set()
    assert {SPREAD, CORRELATION, ZEROS} <= set(rows.what)
    assert ((rows.band_low <= rows.drawn) & (rows.drawn <= rows.band_high)).all()


def test_a_right_source_fails_in_about_one_check_of_20():
    failures = sum(
        bool(failed(check_days(CHAIN, SPRING, seasons=300, seed=seed))) for seed in range(40)
    )
    assert failures <= 7  # 2 expected; more than 7 happen less than once in a thousand times


def test_a_fitted_table_passes_against_its_record():
    records = record_of(TABLE, 30)
    rows = check_days(fit(records, replicates=50).source, SPRING, against=records)
    assert failed(rows) == set()
    assert (rows.what.str.startswith("days had")).sum() == 17 * 5


def test_a_table_without_the_wetness_of_seasons_fails_by_spread_and_correlation():
    records = record_of(TABLE, 30)
    fitted = fit(records, replicates=50).source
    apart = replace(fitted, week_correlation=0.0, season_share=0.0)
    assert failed(check_days(apart, SPRING, against=records)) == {SPREAD, CORRELATION}


def test_short_blocks_lose_the_wetness_of_seasons():
    records = record_of(spring_table(season_share=0.5), 40)
    assert SPREAD in failed(check_days(RecordYears(records, "blocks", 2), SPRING))


@pytest.mark.parametrize(
    ("other", "what"),
    [
        (spring_table(persistence=0.7), PERSISTENCE),
        (DailyChain(CHAIN.dates, (0.62, 0.75, 0.82), (0.25, 0.40, 0.52)), PERSISTENCE),
    ],
    ids=["table", "chain"],
)
def test_another_persistence_fails_against_daily_records(other, what):
    records = from_seasons(spring_table_days(), SPRING)
    assert what in failed(check_days(other, SPRING, against=records))


def spring_table_days():
    return spring_table(persistence=0.84).draw(SPRING, 60, seed=0)[:, 0]


def test_wetter_weeks_fail_in_their_quantiles_and_the_mean():
    wetter = replace(TABLE, days=tuple(tuple(0.7 * x for x in week) for week in TABLE.days))
    wrong = failed(check_days(wetter, SPRING, against=TABLE))
    assert "season mean [days]" in wrong
    assert "days had in at least 50 % of years" in wrong


def test_runs_of_a_chain_that_draws_other_days_are_seen():
    other = DailyChain(CHAIN.dates, (0.75, 0.87, 0.91), CHAIN.after_unsuitable)
    assert {"mean run of suitable days [days]", "mean days of the week", PERSISTENCE} <= failed(
        check_days(other, SPRING, against=CHAIN)
    )


def test_dry_weeks_without_a_zero_are_seen():
    days = np.clip(record_of(TABLE, 40).days, 0, 7)
    floor = RecordYears(weekly_records(np.maximum(days, 0.3)))
    rows = check_days(floor, SPRING, against=weekly_records(days), seasons=500)
    assert ZEROS in failed(rows)
    row = rows[rows.what == ZEROS].iloc[0]
    assert (row.drawn, row.expected > 0.02) == (0.0, True)


def test_records_with_gaps_are_checked_over_the_weeks_that_half_of_the_years_have():
    days = record_of(TABLE, 20).days.copy()
    days[:15, 0] = np.nan
    days[4, 5:8] = np.nan
    rows = check_days(RecordYears(weekly_records(days)), SPRING, seasons=500)
    assert "1 Apr" not in set(rows.week)
    assert failed(rows) == set()


def test_a_replay_is_checked_over_its_years():
    rows = check_days(RecordYears(record_of(TABLE, 12), "replay"), SPRING)
    same = rows.what.isin([*WEEKLY])
    assert rows.drawn[same].to_numpy() == pytest.approx(rows.expected[same].to_numpy())


def test_other_sources_say_what_to_hold_them_against_and_which_soil():
    suitable = np.stack([CHAIN.draw(SPRING, 400, seed)[:, 0] for seed in (1, 2)], axis=1)
    two_soils = Given(suitable, ("clay", "sand"))
    with pytest.raises(ValueError, match="say what to hold it against"):
        check_days(two_soils, SPRING)
    with pytest.raises(ValueError, match=r"soil = None: choose one of clay, sand"):
        check_days(two_soils, SPRING, against=CHAIN, seasons=400)
    rows = check_days(two_soils, SPRING, against=CHAIN, seasons=400, soil="sand")
    assert failed(rows) == set()


def test_a_season_without_a_whole_week_is_refused():
    with pytest.raises(InputError, match="no week lies wholly in the season; choose a longer"):
        check_days(TABLE, Season(date(2026, 4, 2), date(2026, 4, 9)))


def test_too_few_years_for_a_check_are_refused():
    records = weekly_records(np.full((2, 18), 3.0))
    with pytest.raises(InputError) as error:
        check_days(TABLE, SPRING, against=records)
    assert str(error.value) == (
        "records: weeks: no week of the season is known for half of the years and 3; "
        "add years, or choose another season"
    )


def test_a_leap_day_in_the_season_is_left_out_of_the_weeks():
    weeks = tuple(CalendarDay(*day) for day in ((2, 15), (2, 22), (3, 1), (3, 8)))
    table = replace(spring_table(4), week_starts=weeks)
    rows = check_days(table, Season(date(2024, 2, 15), date(2024, 3, 14)))
    assert failed(rows) == set()
    assert set(rows.week) == {"15 Feb", "22 Feb", "1 Mar", "8 Mar", ""}
