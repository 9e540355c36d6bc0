from datetime import date

import numpy as np
import pytest

from fieldsim.days.records import parse_records, read_records
from fieldsim.errors import InputError
from fieldsim.season import CalendarDay
from tests.test_records.made import faults

WEEKS = """\
# my diary
year,week_ending,days
2019,2019-04-07,2.5
2019,2019-04-14,0
2020,2020-04-05,4
2020,2020-04-12,
2020,2020-04-26,NA
"""


def test_weeks_with_dates_stand_in_the_columns_nearest_on_the_calendar():
    records = parse_records(WEEKS, "my.csv")
    assert (records.years, records.unit) == ((2019, 2020), "week")
    np.testing.assert_array_equal(records.days, [[2.5, 0, np.nan, np.nan], [4, *[np.nan] * 3]])
    assert records.starts[:, 0].tolist() == [date(2019, 4, 1), date(2020, 3, 30)]
    assert records.columns[:2] == (CalendarDay(3, 31), CalendarDay(4, 7))


def test_missing_weeks_are_missing_and_reported_and_a_zero_is_a_zero():
    records = parse_records(WEEKS, "my.csv")
    assert records.missing == [
        (2019, CalendarDay(4, 15)),
        (2019, CalendarDay(4, 22)),
        (2020, CalendarDay(4, 6)),
        (2020, CalendarDay(4, 13)),
        (2020, CalendarDay(4, 20)),
    ]
    assert records.warnings[1:] == (
        "my.csv: 5 of 8 weeks are missing and not taken for zero: 2 from 15 Apr 2019, "
        "3 from 6 Apr 2020",
        "my.csv: fewer than half of the years hold these weeks, and the others would be filled "
        "from them: 2 from 15 Apr",
    )
    assert 0.0 in records.days


def test_a_file_is_read_like_its_text(tmp_path):
    path = tmp_path / "my.csv"
    path.write_text(WEEKS, encoding="utf-8")
    np.testing.assert_array_equal(read_records(path).days, parse_records(WEEKS, "my.csv").days)
    with pytest.raises(InputError, match="there is no such file"):
        read_records(tmp_path / "other.csv")


def test_dates_need_no_year_column():
    without = "\n".join(line.partition(",")[2] for line in WEEKS.splitlines()[1:])
    np.testing.assert_array_equal(
        parse_records(without, "f").starts, parse_records(WEEKS, "f").starts
    )


def test_week_starting_is_six_days_before_week_ending():
    text = "year,week_starting,days\n2019,2019-04-01,2.5\n2020,2020-03-30,4\n"
    assert parse_records(text, "f").starts.tolist() == [[date(2019, 4, 1)], [date(2020, 3, 30)]]


def test_days_of_the_calendar_may_be_real_weeks_or_the_same_days_every_year():
    sundays = "year,week_ending,days\n2019,7 Apr,1\n2019,14 Apr,2\n2020,5 Apr,3\n2020,12 Apr,4"
    same = "year,week_ending,days\n2019,7 Apr,1\n2019,14 Apr,2\n2020,7 Apr,3\n2020,14 Apr,4"
    assert parse_records(sundays, "f").starts[1, 0].item() == date(2020, 3, 30)
    assert parse_records(same, "f").starts[1, 0].item() == date(2020, 4, 1)
    for text in (sundays, same):
        assert parse_records(text, "f").days.tolist() == [[1, 2], [3, 4]]


def test_every_fault_is_named_at_once_with_its_line():
    text = (
        "year,week_ending,days\n2019,2019-04-07,1\n2019,2019-04-14,8\n2020,2020-04-05,x\n"
        "2020,2020-04-13,2\n2020,2020-04-05,3\n19,2020-04-19,3\n2020,2020-02-30,3\n2020,5 Foo,3"
    )
    repair = "write the days of the week, as 4.3; leave the cell empty where it is not known"
    assert faults(text) == [
        f'line 3, days = "8": a number from 0 to 7 is allowed; {repair}',
        f'line 4, days = "x": not a bare number; one from 0 to 7 is needed; {repair}',
        'line 7, year = "19": not a year; write four digits, as 2019',
        'line 8, week_ending = "2020-02-30": there is no such date; '
        "write a date, as 2019-04-07 or 7 Apr",
        "line 9, week_ending = \"5 Foo\": no month is called 'Foo'; "
        "write a date, as 2019-04-07 or 7 Apr",
        'line 6, week_ending = "2020-04-05": the same week stands on line 4; keep one of the two',
        'line 5, week_ending = "2020-04-13": the week ends on a Monday, 4 others on a Sunday; '
        "write 2020-04-12 if that is meant; weeks of one record begin on one weekday",
    ]


@pytest.mark.parametrize(
    ("text", "messages"),
    [
        ("", ["the table is empty; write a header line and rows below it"]),
        (
            "place,rain\nhere,3",
            [
                "columns = place, rain: not a table of records; name the columns year, "
                "week_ending, days; or week_ending and one a year, as 2019; or date, suitable; "
                "or day and one a year"
            ],
        ),
        (
            "year,week_ending,rain\n2019,2019-04-07,3",
            [
                "columns: the column days is missing; add days",
                "column rain: not a column of a record; leave it out",
            ],
        ),
        (
            "week_ending,days\n2019-04-07,1\n2019-04-14,2",
            ["years = 2019: a record has two years at least, better 20; add years"],
        ),
        (
            "week_ending,days\n2019-04-07,1\n2020-04-05,",
            ["year 2020: no figure of this year is known; leave the year out"],
        ),
        (
            "year,week_ending,days\n2019,7 Apr,1\n2020,2020-04-05,2",
            ["week_ending: some are dates, some are days of the calendar; write all the same way"],
        ),
        (
            "week_ending,days\n7 Apr,1",
            [
                'line 2, week_ending = "7 Apr": a day without its year; '
                "write the date, as 2019-04-07"
            ],
        ),
        (
            "year,week_ending,days\n2019,2019-03-02,1\n2019,29 Feb,1",
            ["week_ending: some are dates, some are days of the calendar; write all the same way"],
        ),
        (
            "year,week_ending,days\n2019,29 Feb,1\n2020,29 Feb,1",
            ['line 2, week_ending = "29 Feb": 2019 has no 29 February; write 28 Feb or 1 Mar'],
        ),
        (
            "Year,year,week_ending,days\n1,1,1,1",
            [
                "columns = Year, year, week_ending, days: "
                "two columns differ only by case, blanks or underscores; keep one"
            ],
        ),
        (
            "week_ending,week_starting,days\n1,1,1",
            [
                "columns = week_ending and week_starting: the week is named twice; "
                "keep one of the two columns"
            ],
        ),
    ],
)
def test_tables_that_are_no_record_are_refused(text, messages):
    assert faults(text) == messages


def test_years_over_new_year_are_told_apart_by_their_year_column():
    text = (
        "year,week_ending,days\n2018,2018-12-30,1\n2018,2019-01-06,2\n"
        "2019,2019-12-29,3\n2019,2020-01-05,4"
    )
    records = parse_records(text, "f")
    assert (records.years, records.days.tolist()) == ((2018, 2019), [[1, 2], [3, 4]])
    assert records.starts[1].tolist() == [date(2019, 12, 23), date(2019, 12, 30)]


def test_dates_that_contradict_their_year_column_are_faults():
    text = "year,week_ending,days\n2018,2018-12-30,1\n2018,2019-06-09,2\n2019,2019-03-31,3\n"
    assert faults(text) == [
        'line 3, week_ending = "2019-06-09": the date does not lie in the year 2018 of this line, '
        "which begins on 2018-01-01; correct it, or write year 2019"
    ]


def test_days_of_the_calendar_over_new_year_ask_where_a_year_begins():
    text = "year,week_ending,days\n2018,30 Dec,1\n2018,6 Jan,2\n2019,29 Dec,3\n2019,5 Jan,4"
    assert faults(text) == [
        "week_ending: the years run over New Year, from 29 Dec to 6 Jan; "
        "say on which day a year begins, as year_begins = 3 Jul"
    ]
    records = parse_records(text, "f", year_begins=CalendarDay(7, 1))
    assert (records.years, records.days.tolist()) == ((2018, 2019), [[1, 2], [3, 4]])


def test_whole_years_do_not_ask_where_a_year_begins():
    days = np.arange(np.datetime64("2019-01-06"), np.datetime64("2020-12-28"), 7)
    text = "week_ending,days\n" + "\n".join(f"{day},3" for day in days)
    records = parse_records(text, "f")
    assert records.days.shape == (2, 52)
    assert records.missing == []


def test_daily_dates_are_read_and_a_leap_day_is_left_out():
    text = "date,suitable\n2020-02-28,1\n2020-02-29,1\n2020-03-01,0.5\n2021-02-28,0\n"
    records = parse_records(text, "f")
    assert records.unit == "day"
    assert records.columns == (CalendarDay(2, 28), CalendarDay(3, 1))
    np.testing.assert_array_equal(records.days, [[1, 0.5], [0, np.nan]])


def test_faults_of_daily_dates():
    text = "date,suitable\n7 Apr,1\n2020-04-05,1.5\n2020-04-05,1\n2020-04-06,yes"
    repair = "write the share of the day, as 1 or 0.5; leave the cell empty where it is not known"
    assert faults(text) == [
        'line 2, date = "7 Apr": a day without its year; write the date, as 2019-04-07',
        f'line 3, suitable = "1.5": a number from 0 to 1 is allowed; {repair}',
        f'line 5, suitable = "yes": not a bare number; one from 0 to 1 is needed; {repair}',
        'line 4, date = "2020-04-05": the same day stands on line 3; keep one of the two',
    ]


def test_columns_part_nowhere_across_a_leap_day():
    sundays = [
        day.item()
        for year in (2019, 2020, 2021, 2024)
        for day in np.arange(np.datetime64(f"{year}-01-13"), np.datetime64(f"{year}-05-30"))
        if day.item().weekday() == 6
    ]
    text = "week_ending,days\n" + "\n".join(f"{day},{day.month}" for day in sundays)
    records = parse_records(text, "f")
    places = np.array(
        [[(day - date(day.year, 5, 1)).days for day in y] for y in records.starts.tolist()]
    )
    assert (np.diff(records.starts, axis=1).astype(int) == 7).all()
    assert (np.ptp(places, axis=0) <= 6).all()
    assert len(sundays) == (~np.isnan(records.days)).sum()
