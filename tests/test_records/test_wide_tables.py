from datetime import date, timedelta

import numpy as np
import pytest

from fieldsim.days.records import parse_records
from fieldsim.season import CalendarDay
from tests.test_records.made import faults


def test_weeks_down_and_years_across():
    text = "week_starting,2019,2021\n29 Mar,1,2\n5 Apr,3,\n19 Apr,4,5\n"
    records = parse_records(text, "f")
    assert records.years == (2019, 2021)
    np.testing.assert_array_equal(records.days, [[1, 3, np.nan, 4], [2, np.nan, np.nan, 5]])
    assert records.columns == tuple(
        CalendarDay(month, day) for month, day in ((3, 29), (4, 5), (4, 12), (4, 19))
    )
    assert records.missing == [
        (2019, CalendarDay(4, 12)),
        (2021, CalendarDay(4, 5)),
        (2021, CalendarDay(4, 12)),
    ]


def test_week_ending_names_the_last_day_of_the_week():
    records = parse_records("Week Ending,2019,2020\n7 Apr,1,2\n14 Apr,1,2\n", "f")
    assert records.starts.tolist() == [
        [date(2019, 4, 1), date(2019, 4, 8)],
        [date(2020, 4, 1), date(2020, 4, 8)],
    ]


def test_calendar_weeks_step_over_a_leap_day():
    records = parse_records("week_starting,2019,2020\n22 Feb,1,2\n1 Mar,3,4\n", "f")
    assert records.starts.tolist() == [
        [date(2019, 2, 22), date(2019, 3, 1)],
        [date(2020, 2, 22), date(2020, 3, 1)],
    ]


def test_lines_that_run_over_new_year_belong_to_the_year_they_begin_in():
    text = "week_ending,2018,2019\n23 Dec,1,2\n30 Dec,3,4\n6 Jan,5,6\n"
    records = parse_records(text, "f")
    assert records.days.tolist() == [[1, 3, 5], [2, 4, 6]]
    assert records.starts[1, 2].item() == date(2019, 12, 31)
    assert records.years == (2018, 2019)


def test_a_whole_year_may_begin_anywhere():
    days = [date(2001, 10, 1) + timedelta(days=day) for day in range(365)]
    lines = [f"{day:%d %b},{day.month / 12:.2f},0" for day in days]
    records = parse_records("\n".join(["day,2001,2002", *lines]), "f")
    assert (str(records.begins), records.days.shape) == ("1 Oct", (2, 365))
    assert records.starts[0, [0, -1]].tolist() == [date(2001, 10, 1), date(2002, 9, 30)]
    assert records.days[0, [0, -1]].tolist() == [0.83, 0.75]


def test_the_day_on_which_years_begin_may_be_given():
    text = "week_ending,2018,2019\n30 Dec,3,4\n6 Jan,5,6\n"
    records = parse_records(text, "f", year_begins=CalendarDay(10, 1))
    assert records.starts[0, 1].item() == date(2018, 12, 31)
    assert faults(text, year_begins=CalendarDay(1, 1)) == [
        'line 3, week_ending = "6 Jan": does not come after 30 Dec above it, '
        "in a year that begins on 1 Jan; list the days in order, each once"
    ]


def test_days_down_leave_the_leap_day_out():
    text = "day,2019,2020\n28 Feb,1,0\n29 Feb,,1\n1 Mar,0,0.5\n"
    records = parse_records(text, "f")
    assert (records.unit, records.days.tolist()) == ("day", [[1, 0], [0, 0.5]])


def test_every_fault_of_a_wide_table():
    text = "week_starting,2019,2020\n29 Mar,1,2\n5 Apr,3,\n18 Apr,4,9\n5 Apr,1,1\n2019-04-01,1,1\n"
    assert faults(text) == [
        'line 6, week_starting = "2019-04-01": a date with a year; the years are columns; '
        "write it as 7 Apr",
        'line 4, week_starting = "18 Apr": 13 days after 5 Apr; '
        "weeks follow each other by 7 days; write the same weeks in order",
        'line 5, week_starting = "5 Apr": does not come after 18 Apr above it, in a year that '
        "begins on 1 Jan; list the days in order, each once",
        'line 4, 2020 = "9": a number from 0 to 7 is allowed; write the days of the week, as 4.3; '
        "leave the cell empty where it is not known",
    ]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "week_starting\n29 Mar",
            "columns = week_starting: there is no year; add a column for each year, as 2019",
        ),
        (
            "week_starting,2019,mean\n29 Mar,1,2",
            "column mean: not a year; name it as 2019, or leave it out",
        ),
        (
            "week_ending,2019,2020\n7 Apr,1,",
            "year 2020: no figure of this year is known; leave the year out",
        ),
        (
            "day,2019,2020\n28 Feb,1,0\n29 Feb,1,1\n1 Mar,0,1",
            'line 3, 2019 = "1": 2019 has no 29 February; leave the cell empty',
        ),
        (
            "day,2019,2020\n1 Mar,1,0\n1 Mar,0,1",
            'line 3, day = "1 Mar": does not come after 1 Mar above it, '
            "in a year that begins on 1 Jan; list the days in order, each once",
        ),
    ],
)
def test_other_faults_of_a_wide_table(text, message):
    assert faults(text) == [message]
