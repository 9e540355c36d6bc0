from datetime import date, timedelta

import pytest

from fieldsim.days import parse_weekly_table, read_weekly_table
from fieldsim.errors import InputError
from fieldsim.season import CalendarDay

AT_LEAST = """\
# invented
week_starting,at_least_80,at_least_20,at_least_50
29 Apr,2.0,5.5,4.0
6 May,2.5,5.8,4.3
"""


def faults(text):
    with pytest.raises(InputError) as error:
        parse_weekly_table(text, "days.csv")
    return [str(fault) for fault in error.value.faults]


def test_days_had_in_at_least_a_share_of_years_become_percentiles():
    table = parse_weekly_table(AT_LEAST, "days.csv")
    assert table.week_starts == (CalendarDay(4, 29), CalendarDay(5, 6))
    assert table.percentiles == (0.2, 0.5, 0.8)
    assert table.days == ((2.0, 4.0, 5.5), (2.5, 4.3, 5.8))


def test_both_directions_say_the_same():
    percentiles = (
        "week_starting,percentile_20,percentile_80,percentile_50\n"
        "April 29,2.0,5.5,4.0\nMay 6,2.5,5.8,4.3\n"
    )
    assert parse_weekly_table(percentiles, "p") == parse_weekly_table(AT_LEAST, "a")


def test_levels_may_be_any_decimal_number():
    text = "week_starting,at_least_83.3,at_least_16.7\n1 Apr,1,6\n"
    assert parse_weekly_table(text, "f").percentiles == pytest.approx((0.167, 0.833), abs=1e-12)


def test_levels_may_reach_none_and_all_of_the_years():
    text = "week_starting,at_least_100,at_least_0\n1 Apr,0,7\n"
    assert parse_weekly_table(text, "f").percentiles == (0.0, 1.0)


def test_parameters_are_handed_on():
    table = parse_weekly_table(
        AT_LEAST, "f", tails="hold", week_correlation=0.1, season_share=0.2, persistence=0.7
    )
    assert (table.tails, table.week_correlation, table.season_share, table.persistence) == (
        *("hold", 0.1, 0.2, 0.7),
    )


def test_a_file_is_read_like_its_text(tmp_path):
    path = tmp_path / "days.csv"
    path.write_text(AT_LEAST, encoding="utf-8")
    assert read_weekly_table(path, persistence=0.7) == parse_weekly_table(
        AT_LEAST, "days.csv", persistence=0.7
    )


def test_a_file_that_is_not_there_is_named(tmp_path):
    with pytest.raises(InputError, match=r"weeks: there is no such file"):
        read_weekly_table(tmp_path / "none.csv", name="weeks")


def test_the_wrong_direction_is_found_in_days_had_in_at_least_a_share_of_years():
    assert faults("week_starting,at_least_90,at_least_10\n1 Apr,5.0,1.5\n") == [
        "days.csv: line 2, at_least_90 and at_least_10 = 5 and 1.5: days that are had in more of "
        "the years cannot be more days; correct the days; or perhaps the direction is the wrong "
        "way round, and the columns are percentile_90 and percentile_10"
    ]


def test_the_wrong_direction_is_found_in_percentiles():
    assert faults("week_starting,percentile_80,percentile_50,percentile_20\n1 Apr,1,3,5\n") == [
        "days.csv: line 2, percentile_20 and percentile_50 = 5 and 3: a lower percentile cannot "
        "have more days; correct the days; or perhaps the direction is the wrong way round, and "
        "the columns are at_least_20 and at_least_50",
        "days.csv: line 2, percentile_50 and percentile_80 = 3 and 1: a lower percentile cannot "
        "have more days; correct the days; or perhaps the direction is the wrong way round, and "
        "the columns are at_least_50 and at_least_80",
    ]


def test_days_may_be_equal_at_two_levels():
    text = "week_starting,at_least_90,at_least_10\n1 Apr,3,3\n"
    assert parse_weekly_table(text, "f").days == ((3.0, 3.0),)


@pytest.mark.parametrize(
    ("cell", "problem"),
    [
        ("7.5", "a number from 0 to 7 is allowed (days)"),
        ("-1", "a number from 0 to 7 is allowed (days)"),
        ("", "the cell is empty; a number from 0 to 7 is needed (days)"),
        ("four", "not a bare number; one from 0 to 7 is needed (days)"),
        ("nan", "not a bare number; one from 0 to 7 is needed (days)"),
        ("inf", "not a bare number; one from 0 to 7 is needed (days)"),
        ("4 days", "not a bare number; one from 0 to 7 is needed (days)"),
    ],
)
def test_a_cell_that_is_no_number_of_days_is_refused(cell, problem):
    assert faults(f"week_starting,at_least_80,at_least_20\n1 Apr,{cell},6\n") == [
        f'days.csv: line 2, at_least_80 = "{cell}": {problem}; write the days of that week, as 4.3'
    ]


@pytest.mark.parametrize(
    ("columns", "expected"),
    [
        (
            "at_least_80,percentile_80",
            "columns = at_least_80, percentile_80: levels in two directions; a table has one; "
            "name all levels at_least_..., or all percentile_...",
        ),
        (
            "at_least_50,percentile_50",
            "columns = at_least_50, percentile_50: levels in two directions; a table has one; "
            "name all levels at_least_..., or all percentile_...",
        ),
        (
            "at_least_80,at_least_80.0",
            "column at_least_80.0: the same level as at_least_80; give it once",
        ),
        (
            "at_least_80,at_least_120",
            "column at_least_120: not a column of a weekly table; "
            "name a level from 0 to 100, as at_least_90 or percentile_10",
        ),
        (
            "at_least_80,80",
            "column 80: not a column of a weekly table; "
            "name a level from 0 to 100, as at_least_90 or percentile_10",
        ),
    ],
)
def test_columns_that_cannot_be_levels_together_are_refused(columns, expected):
    assert faults(f"week_starting,{columns}\n1 Apr,2,2\n") == [f"days.csv: {expected}"]


def test_a_table_with_one_level_is_refused():
    assert faults("week_starting,at_least_80\n1 Apr,2\n") == [
        "days.csv: columns: a table has at least two level columns; here are 1; "
        "add levels, as at_least_80 and at_least_50"
    ]


def weeks(*starts):
    rows = "".join(f"{start},2,5\n" for start in starts)
    return f"week_starting,at_least_80,at_least_20\n{rows}"


@pytest.mark.parametrize(
    ("starts", "expected"),
    [
        (
            ("1 Apr", "22 Apr"),
            'line 3, week_starting = "22 Apr": missing before it: the week of 8 Apr, of 15 Apr; '
            "add a line for each missing week",
        ),
        (
            ("1 Apr", "9 Apr"),
            'line 3, week_starting = "9 Apr": 8 days after the week of 1 Apr; '
            "weeks follow each other by 7 days; write 8 Apr",
        ),
        (
            ("8 Apr", "1 Apr"),
            'line 3, week_starting = "1 Apr": does not come after the week of 8 Apr above it; '
            "list the weeks in order, each once",
        ),
        (
            ("1 Apr", "1 Apr"),
            'line 3, week_starting = "1 Apr": does not come after the week of 1 Apr above it; '
            "list the weeks in order, each once",
        ),
        (
            ("25 Dec", "8 Jan"),
            'line 3, week_starting = "8 Jan": missing before it: the week of 1 Jan; '
            "add a line for each missing week",
        ),
        (
            ("1/4", "8 Apr"),
            'line 2, week_starting = "1/4": not a day of the calendar: give the day and the month '
            "as a word; write the first day of the week, as 1 Apr",
        ),
    ],
)
def test_weeks_that_do_not_follow_each_other_are_refused(starts, expected):
    assert faults(weeks(*starts)) == [f"days.csv: {expected}"]


def test_a_date_that_cannot_be_read_makes_no_further_fault_of_the_next():
    assert len(faults(weeks("1 Apr", "8 Aprl", "15 Apr"))) == 1


def test_weeks_may_pass_the_end_of_february_and_of_the_year():
    starts = parse_weekly_table(weeks("24 Dec", "31 Dec", "7 Jan"), "f").week_starts
    assert starts[-1] == CalendarDay(1, 7)
    assert len(parse_weekly_table(weeks("22 Feb", "1 Mar"), "f").week_starts) == 2


def test_more_weeks_than_a_year_has_are_refused():
    year = [str(day) for day in a_year_of_weeks()]
    assert len(parse_weekly_table(weeks(*year[:52]), "f").week_starts) == 52
    assert faults(weeks(*year)) == [
        "days.csv: week_starting: 53 weeks; a table holds one year, 52 weeks at most; "
        "leave out the last weeks"
    ]


def a_year_of_weeks():
    dates = [date(2026, 1, 1) + timedelta(days=7 * week) for week in range(53)]
    return [CalendarDay(day.month, day.day) for day in dates]


def test_every_fault_of_a_table_is_reported_at_once():
    text = (
        "week_starting,at_least_80,at_least_20,remarks\n1 Apr,8,5,wet\n9 Apr,6,5,dry\nsoon,2,x,\n"
    )
    assert [fault.split(": ")[1].split(" = ")[0] for fault in faults(text)] == [
        "column remarks",
        "line 3, week_starting",
        "line 4, week_starting",
        "line 2, at_least_80",
        "line 3, at_least_80 and at_least_20",
        "line 4, at_least_20",
    ]


def test_a_table_without_its_week_column_is_refused():
    assert faults("at_least_80,at_least_20\n1,2\n") == [
        "days.csv: line 1: the column 'week_starting' is missing; add week_starting"
    ]


def test_a_parameter_out_of_bounds_is_refused():
    with pytest.raises(ValueError, match=r"persistence = 80: a share from 0 to 1 is allowed"):
        parse_weekly_table(AT_LEAST, "f", persistence=80)
