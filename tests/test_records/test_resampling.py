from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from fieldsim.days import check_draw
from fieldsim.days.records import Records, RecordYears, from_seasons, parse_records, resampled
from fieldsim.days.records.resampling import drawn_columns
from fieldsim.errors import InputError
from fieldsim.season import CalendarDay, Season
from tests.test_records.made import (
    CHAIN,
    SPRING,
    official_text,
    record_of,
    spring_table,
    weekly_records,
)

MODES = ("years", "blocks", "replay")


def official(years=range(1981, 2021), hole=()):
    """Sundays from April to August; the figure tells the year and the week."""
    text = official_text(
        years,
        CalendarDay(4, 1),
        CalendarDay(8, 10),
        lambda year, day: (year * 7 + day.timetuple().tm_yday // 7 * 5) % 71 / 10,
        hole,
    )
    return parse_records(text, "official")


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("unit", ["week", "day"])
def test_draws_keep_the_contract_and_short_draws_begin_long_ones(mode, unit):
    records = official()
    if unit == "day":
        records = from_seasons(CHAIN.draw(SPRING, 40, seed=1)[:, 0], SPRING)
    source = RecordYears(records, mode)
    long = source.draw(SPRING, 40, seed=0)
    check_draw(long, source.soils)
    assert long.shape == (40, 1, SPRING.days)
    assert (source.draw(SPRING, 7, seed=0) == long[:7]).all()


@pytest.mark.parametrize("mode", MODES)
def test_a_day_does_not_depend_on_where_the_season_begins(mode):
    source = RecordYears(official(), mode)
    later = Season(date(2026, 5, 9), date(2026, 7, 4))
    whole = source.draw(SPRING, 30, seed=3)
    np.testing.assert_array_equal(source.draw(later, 30, seed=3), whole[:, :, 38 : 38 + later.days])


@pytest.mark.parametrize("mode", MODES[:2])
def test_seeds_differ(mode):
    source = RecordYears(official(), mode)
    assert (source.draw(SPRING, 20, 0) != source.draw(SPRING, 20, 1)).any()


def test_a_year_is_laid_out_week_by_week_where_it_lies_on_the_calendar():
    records = official()
    drawn = RecordYears(records, "replay").draw(SPRING, 40, seed=0)[:, 0]
    for year, name in enumerate(records.years):
        for start, total in zip(records.starts[year].tolist(), records.days[year], strict=True):
            first = (start - date(name, 4, 1)).days
            if first >= 0 and first + 7 <= SPRING.days and not np.isnan(total):
                assert drawn[year, first : first + 7].sum() == pytest.approx(total, abs=1e-9)


def test_whole_years_are_drawn_with_replacement_and_evenly():
    totals = np.repeat(np.arange(1.0, 6.0)[:, None], 18, axis=1)
    source = RecordYears(weekly_records(totals))
    drawn = drawn_columns(source, 5000, seed=0)
    assert (drawn == drawn[:, :1]).all()
    counts = np.bincount(drawn[:, 0].astype(int))[1:]
    assert abs(counts - 1000).max() < 4 * np.sqrt(5000 * 0.2 * 0.8)


def test_blocks_keep_their_place_and_each_comes_from_a_year_of_its_own():
    years, weeks = 5, 18
    totals = np.arange(years)[:, None] + np.linspace(0, 0.9, weeks)
    source = RecordYears(weekly_records(totals), "blocks", block_weeks=4)
    drawn = drawn_columns(source, 3000, seed=0)
    year = np.floor(drawn + 1e-9)
    np.testing.assert_allclose(drawn - year, np.broadcast_to(totals[0], drawn.shape), atol=1e-9)
    for first in range(0, weeks, 4):
        block = year[:, first : first + 4]
        assert (block == block[:, :1]).all()
    same = (year[:, 3] == year[:, 4]).mean()
    assert same == pytest.approx(1 / years, abs=4 * np.sqrt(0.2 * 0.8 / 3000))


def test_a_block_of_days_is_cut_on_the_calendar():
    suitable = np.repeat(np.array([0.0, 0.25, 0.5, 1.0])[:, None], SPRING.days, axis=1)
    source = RecordYears(from_seasons(suitable, SPRING), "blocks", block_weeks=2)
    drawn = source.draw(SPRING, 500, seed=0)[:, 0]
    changes = np.flatnonzero((np.diff(drawn, axis=1) != 0).any(axis=0)) + 1
    assert changes.tolist() == list(range(14, SPRING.days, 14))


def test_replay_gives_the_years_in_order_and_no_more():
    suitable = CHAIN.draw(SPRING, 3, seed=0)[:, 0]
    records = from_seasons(suitable[[1, 2, 0]], SPRING, (2002, 2003, 2001))
    source = RecordYears(records, "replay")
    assert (source.draw(SPRING, 3, seed=9)[:, 0] == suitable).all()
    with pytest.raises(InputError) as error:
        source.draw(SPRING, 4, seed=0)
    assert str(error.value) == (
        "seasons: seasons = 4: 3 years are given, and a replay draws none twice; "
        'ask for 3 or fewer, or resample "years" or "blocks"'
    )


@pytest.mark.parametrize("mode", MODES)
def test_a_missing_week_is_filled_from_other_years_and_never_with_zero(mode):
    totals = np.full((8, 18), np.nan)
    totals[:] = np.arange(1, 9)[:, None] / 2 + 2
    totals[::2, 4:7] = np.nan
    totals[3, 0] = np.nan
    totals[5, 17] = np.nan
    records = weekly_records(totals)
    drawn = drawn_columns(RecordYears(records, mode), 8 if mode == "replay" else 2000, seed=0)
    for week in range(18):
        assert set(drawn[:, week]) <= set(records.days[~np.isnan(totals[:, week]), week])
    assert drawn.min() >= 2.5
    days = RecordYears(records, mode).draw(SPRING, 8, seed=0)[:, 0]
    assert (days[:, :119].reshape(8, 17, 7).sum(axis=-1) > 2.4).all()


def test_a_gap_is_filled_from_each_year_that_has_the_week_equally_often():
    totals = np.repeat(np.arange(1.0, 6.0)[:, None], 3, axis=1)
    totals[0, 1] = np.nan
    drawn = drawn_columns(RecordYears(weekly_records(totals)), 10_000, seed=0)
    filled = drawn[drawn[:, 0] == 1.0, 1].astype(int)
    counts = np.bincount(filled)[2:]
    assert len(counts) == 4
    assert abs(counts - len(filled) / 4).max() < 4 * np.sqrt(len(filled) * 0.25 * 0.75)


def test_missing_days_are_filled_by_one_other_year_for_a_week():
    suitable = np.repeat(np.array([0.0, 0.25, 0.5, 0.75])[:, None], 28, axis=1)
    suitable[0, 8:12] = np.nan
    april = Season(date(2026, 4, 1), date(2026, 4, 28))
    drawn = RecordYears(from_seasons(suitable, april)).draw(april, 400, seed=0)[:, 0]
    holed = drawn[drawn[:, 0] == 0.0]
    assert (holed[:, :8] == 0).all()
    assert (holed[:, 8:12] == holed[:, 8:9]).all()
    assert set(holed[:, 8]) == {0.25, 0.5, 0.75}


def test_a_year_that_begins_a_few_days_late_is_filled_from_the_nearest_week():
    records = official(range(2001, 2012))
    known = records.starts[:, 0][~np.isnan(records.days[:, 0])].tolist()
    begins = [(day - date(day.year, 4, 1)).days for day in known]
    assert max(begins) - min(begins) >= 5
    season = Season(date(2026, 4, 1) + timedelta(days=min(begins)), date(2026, 5, 31))
    drawn = RecordYears(replace(records, days=np.maximum(records.days, 6.0))).draw(season, 300, 0)
    assert drawn[:, 0, :7].sum(axis=-1).min() > 4


def test_weeks_that_no_year_has_are_named():
    hole = [date(year, 6, day) for year in range(1981, 2021) for day in range(1, 31)]
    source = RecordYears(official(hole=hole))
    with pytest.raises(InputError) as error:
        source.draw(SPRING, 3, seed=0)
    assert str(error.value).startswith("official: weeks: no year has a figure for 1 Jun; ")
    before = Season(date(2026, 4, 1), date(2026, 5, 25))
    assert source.draw(before, 3, seed=0).shape == (3, 1, 55)


def test_a_season_outside_the_records_or_over_their_new_year_is_refused():
    source = RecordYears(official())
    with pytest.raises(InputError) as error:
        source.draw(Season(date(2026, 3, 1), date(2026, 5, 1)), 3, seed=0)
    assert str(error.value).splitlines() == [
        "official: weeks: no year has a figure for 1 Mar; the records run from 28 Mar to the week "
        "of 1 Aug; choose a season within the records, or add years that have these days"
    ]
    with pytest.raises(InputError) as error:
        source.draw(Season(date(2026, 12, 1), date(2027, 2, 1)), 3, seed=0)
    assert str(error.value) == (
        "official: season = from 1 Dec: the season runs over 1 Jan, the day on which a year of the "
        "records begins; read the records with years that begin on 1 Dec or before"
    )


def test_a_southern_season_is_drawn_over_new_year():
    lines = ["year,week_ending,days"]
    for year in range(2001, 2009):
        sunday = date(year, 10, 7) + timedelta(days=6 - date(year, 10, 7).weekday())
        for week in range(26):
            day = sunday + timedelta(days=7 * week)
            lines.append(f"{year},{day},{year - 2001 if day.year == year else 7 - (year - 2001)}")
    source = RecordYears(parse_records("\n".join(lines), "south"))
    season = Season(date(2026, 10, 15), date(2027, 3, 20))
    drawn = source.draw(season, 200, seed=0)[:, 0]
    autumn, summer = drawn[:, :70].mean(axis=1) * 7, drawn[:, 85:].mean(axis=1) * 7
    assert set(autumn.round()) == set(range(8))
    np.testing.assert_allclose(autumn.round() + summer.round(), 7)


def test_a_leap_day_repeats_the_day_before():
    season = Season(date(2024, 2, 20), date(2024, 3, 10))
    common = Season(date(2025, 2, 20), date(2025, 3, 10))
    text = official_text(
        range(2001, 2021), CalendarDay(1, 20), CalendarDay(4, 20), lambda _, day: day.day % 7
    )
    for source in (
        RecordYears(parse_records(text, "f")),
        RecordYears(from_seasons(np.random.default_rng(0).random((5, 19)), common)),
    ):
        drawn = source.draw(season, 50, seed=0)[:, 0]
        assert (drawn[:, 9] == drawn[:, 8]).all()
        assert (np.delete(drawn, 9, axis=1) == source.draw(common, 50, seed=0)[:, 0]).all()


def pooled_persistence(days):
    suitable = days >= 0.5
    return (suitable[:, 1:] & suitable[:, :-1]).sum() / suitable[:, :-1].sum()


@pytest.mark.parametrize(("asked", "reached"), [(None, 0.80), (0.72, 0.72), (0.85, 0.85)])
def test_weeks_are_laid_out_with_the_persistence_asked_for(asked, reached):
    source = RecordYears(record_of(spring_table(), 30), persistence=asked)
    days = source.draw(Season(date(2026, 4, 1), date(2026, 8, 4)), 4000, seed=0)[:, 0]
    assert pooled_persistence(days) == pytest.approx(reached, abs=0.005)


def test_a_persistence_that_the_weeks_do_not_allow_is_refused_with_the_range():
    source = RecordYears(record_of(spring_table(), 30), persistence=0.99)
    with pytest.raises(InputError, match=r"records: persistence = 0\.99: the weeks of this table"):
        source.draw(SPRING, 3, seed=0)


@pytest.mark.parametrize(
    ("parameter", "message"),
    [
        ({"resampling": "days"}, "resampling = 'days': years, blocks, replay"),
        ({"block_weeks": 0}, "block_weeks = 0: 1 or more is allowed"),
        ({"persistence": 1.2}, r"persistence = 1\.2: a share from 0 to 1"),
    ],
)
def test_parameters_out_of_bounds_are_refused(parameter, message):
    with pytest.raises(ValueError, match=message):
        RecordYears(weekly_records(np.ones((2, 2))), **parameter)


def test_a_bootstrap_sample_of_the_years_can_be_drawn_from():
    records = resampled(official(), 0, seed=0)
    assert isinstance(records, Records)
    assert RecordYears(records).draw(SPRING, 5, seed=0).shape == (5, 1, SPRING.days)
