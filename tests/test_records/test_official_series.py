from datetime import date, timedelta

import numpy as np

from fieldsim.days.records import parse_records
from fieldsim.season import CalendarDay
from tests.test_records.made import ITEM, faults, official_text

LOST = date(2017, 4, 16)
HOLE = [date(2025, 10, 5) + timedelta(days=7 * week) for week in range(7)]


def series(hole=()):
    return official_text(
        range(2016, 2026),
        CalendarDay(4, 1),
        CalendarDay(11, 20),
        lambda _, day: (
            "(NA)" if day == date(2017, 4, 16) else f"{(day.toordinal() * 13) % 71 / 10}"
        ),
        hole,
    )


def test_a_series_as_downloaded_is_read_whatever_else_it_holds():
    records = parse_records(series(), "official.csv")
    assert records.years == tuple(range(2016, 2026))
    known = int((~np.isnan(records.days)).sum())
    assert known == len(series().splitlines()) - 1 - 1  # without the header and the (NA)
    assert (2017, CalendarDay(4, 10)) in records.missing


def test_a_hole_is_missing_and_never_zero():
    whole, holed = (parse_records(series(hole), "official.csv") for hole in ((), HOLE))
    lost = np.isnan(holed.days) & ~np.isnan(whole.days)
    assert lost.sum() == 7
    assert lost[-1].sum() == 7
    assert np.nanmin(holed.days) == np.nanmin(whole.days)
    year, week = len(holed.years) - 1, int(np.flatnonzero(lost[-1])[0])
    assert holed.starts[year, week].item() == HOLE[0] - timedelta(days=6)
    assert (2025, CalendarDay(9, 29)) in holed.missing


def test_names_are_read_without_regard_to_case_blanks_and_underscores():
    text = "VALUE,week_ending,YEAR\n3,2018-04-01,2018\n4,2019-03-31,2019\n"
    assert parse_records(text, "f").days.tolist() == [[3], [4]]


def test_values_without_a_digit_are_missing_and_others_are_not_guessed():
    text = (
        "Year,Week Ending,Value\n2018,2018-04-01,(D)\n2018,2018-04-08,1\n2019,2019-04-07, \n"
        "2019,2019-04-14,2\n"
    )
    np.testing.assert_array_equal(parse_records(text, "f").days, [[np.nan, 1], [np.nan, 2]])
    assert faults(text.replace("(D)", '"5,4"')) == [
        'line 2, Value = "5,4": not a bare number; one from 0 to 7 is needed; '
        "write the days of the week, as 4.3; leave the cell empty where it is not known"
    ]


def test_several_items_and_places_are_named():
    text = (
        f"Year,Week Ending,State,Data Item,Value\n2018,2018-04-01,IOWA,{ITEM},1\n"
        '2019,2019-04-07,OHIO,"CORN - PROGRESS, MEASURED IN PCT PLANTED",22\n'
    )
    assert faults(text) == [
        "Data Item = FIELDWORK - DAYS SUITABLE, MEASURED IN DAYS / WEEK; "
        "CORN - PROGRESS, MEASURED IN PCT PLANTED: 2 items; a record is of one; "
        "keep the lines of one item: that of the days suitable",
        "State = IOWA; OHIO: 2 places; a record is of one; keep the lines of one place",
    ]


def test_another_item_is_refused():
    text = "Year,Week Ending,Data Item,Value\n2018,2018-04-01,CORN - PROGRESS,1\n"
    assert faults(text) == [
        'Data Item = CORN - PROGRESS: not days suitable for fieldwork: the item does not say "days '
        'suitable"; download that item instead'
    ]


def test_a_series_has_one_weekday_dates_and_its_own_years():
    text = (
        "Year,Week Ending,Value\n2018,2018-04-01,2\n2019,2019-04-07,3\n2019,2019-04-13,2\n"
        "2019,7 Apr,2\n2019,2018-04-08,2\n"
    )
    assert faults(text) == [
        'line 5, Week Ending = "7 Apr": a day without its year; write the date, as 2019-04-07',
        'line 6, Week Ending = "2018-04-08": the date does not lie in the year 2019 of this line; '
        "correct it, or write year 2018",
        'line 4, Week Ending = "2019-04-13": the week ends on a Saturday, 2 others on a Sunday; '
        "write 2019-04-14 if that is meant; weeks of one record begin on one weekday",
    ]
    assert faults("Week Ending,Value\n2018-04-01,2\n") == [
        "columns: the column Year is missing; add Year"
    ]


def test_a_southern_season_is_put_together_from_two_calendar_years():
    text = (
        "Year,Week Ending,Value\n2018,2018-12-30,1\n2019,2019-01-06,2\n2019,2019-12-29,3\n"
        "2020,2020-01-05,(NA)\n"
    )
    assert faults(text) == [
        "Week Ending: the years run over New Year, from 29 Dec to 6 Jan; "
        "say on which day a year begins, as year_begins = 3 Jul"
    ]
    records = parse_records(text, "f", year_begins=CalendarDay(7, 1))
    np.testing.assert_array_equal(records.days, [[1, 2], [3, np.nan]])
    assert records.years == (2018, 2019)
