from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from fieldsim.crops import (
    parse_curve,
    published_curve,
    published_curves,
    read_curve,
    relative_yield,
)
from fieldsim.errors import InputError

SINGLE = "planted,percent_of_maximum\n"
WINDOW = "planted_from,planted_to,percent_of_maximum\n"


def messages(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        parse_curve(text, "mine.csv")
    return [str(fault) for fault in caught.value.faults]


def test_nine_published_curves_are_named_after_their_publication() -> None:
    assert published_curves() == (
        "corn_illinois_1994",
        "corn_illinois_2007_2013",
        "corn_iowa_2001",
        "corn_iowa_ipm1",
        "corn_minnesota_1988_2003",
        "corn_minnesota_2009_2011",
        "soybean_iowa_pm1155",
        "soybean_iowa_pm1851",
        "soybean_minnesota",
    )


@pytest.mark.parametrize("name", published_curves())
def test_every_published_curve_says_what_it_is_and_where_it_was_read(name: str) -> None:
    curve = published_curve(name)
    assert curve.name == name
    for word in ("Title:", "Authors:", "Year:", "Status: read in", "Stand:"):
        assert word in curve.source


@pytest.mark.parametrize("name", published_curves())
def test_every_published_curve_reaches_100_percent(name: str) -> None:
    assert max(published_curve(name).relative) == 1.0


def test_a_published_curve_is_read_once() -> None:
    name = published_curves()[0]
    assert published_curve(name) is published_curve(name)


def test_an_unknown_curve_is_answered_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"curve 'corn_mars': corn_illinois_1994, .* are allowed"):
        published_curve("corn_mars")


def test_a_table_of_single_dates_is_read() -> None:
    curve = parse_curve(
        "# My trials, 2019-2023.\n# North field.\n" + SINGLE + "20 Apr,98\nMay 10,80.5\n", "my.csv"
    )
    assert curve.days == (110.0, 130.0)
    assert curve.relative == (0.98, 0.805)
    assert curve.name == "my"
    assert curve.source == "My trials, 2019-2023. North field."
    assert relative_yield(curve, 110) == 1.0


def test_windows_count_as_their_middle_and_may_share_a_day() -> None:
    curve = parse_curve(WINDOW + "20 Apr,5 May,100\n5 May,15 May,96\n16 May,16 May,90\n", "w.csv")
    assert curve.days == (117.5, 130.0, 136.0)


def test_comments_below_the_header_are_not_the_source() -> None:
    curve = parse_curve(SINGLE + "# wet year\n20 Apr,100\n1 May,98\n", "x.csv")
    assert curve.source == ""


def test_other_columns_are_passed_over() -> None:
    text = "note,planted,percent_of_maximum\nearly,20 Apr,100\nlate,1 May,98\n"
    assert parse_curve(text, "x.csv").relative == (1.0, 0.98)


def test_dates_over_new_year_count_on() -> None:
    curve = parse_curve(SINGLE + "1 Oct,95\n20 Dec,100\n10 Jan,80\n20 Feb,60\n", "south.csv")
    assert curve.days == (274.0, 354.0, 375.0, 416.0)


def test_a_window_may_lie_across_new_year() -> None:
    curve = parse_curve(WINDOW + "1 Dec,10 Dec,100\n27 Dec,6 Jan,80\n", "south.csv")
    assert curve.days == (339.5, 366.0)


def test_a_file_is_read_and_named_like_it(tmp_path: Path) -> None:
    path = tmp_path / "north field.csv"
    path.write_text(SINGLE + "20 Apr,100\n20 May,90\n", encoding="utf-8")
    for given in (path, str(path)):
        curve = read_curve(given)
        assert curve.name == "north field"
        np.testing.assert_allclose(relative_yield(curve, [110, 125, 140]), [1, 0.95, 0.9])


def test_a_missing_file_is_an_input_error(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no such file"):
        read_curve(tmp_path / "none.csv")


def test_all_faults_are_told_at_once_with_line_value_and_repair() -> None:
    text = "# a comment\n" + SINGLE + "31 Apr,100\n5 May,abc\n1 May,120\n5 May,-3\n4/20,nan\n"
    assert messages(text) == [
        'mine.csv: line 3, planted = "31 Apr": April has no day 31; write a day such as "20 Apr"',
        'mine.csv: line 5, planted = "1 May": earlier than the date before it; dates must rise and '
        "windows may not overlap; put the rows in the order of their dates",
        'mine.csv: line 6, planted = "5 May": the same date as in the row before; dates must rise; '
        "give each date once",
        'mine.csv: line 7, planted = "4/20": not a day of the calendar: give the day and the month '
        'as a word; write a day such as "20 Apr"',
        'mine.csv: line 4, percent_of_maximum = "abc": not a number from 0 to 100; write a number '
        "such as 95 or 92.5",
        'mine.csv: line 5, percent_of_maximum = "120": not a number from 0 to 100; write a number '
        "such as 95 or 92.5",
        'mine.csv: line 6, percent_of_maximum = "-3": not a number from 0 to 100; write a number '
        "such as 95 or 92.5",
        'mine.csv: line 7, percent_of_maximum = "nan": not a number from 0 to 100; write a number '
        "such as 95 or 92.5",
    ]


@pytest.mark.parametrize("cell", ["", "inf", "1_0", "95 %", "1e2", "100.01", "٩٥", "0x10"])
def test_percentages_are_plain_numbers_from_0_to_100(cell: str) -> None:
    (message,) = messages(SINGLE + f"20 Apr,100\n1 May,{cell}\n")
    assert "line 3, percent_of_maximum" in message
    assert "not a number from 0 to 100" in message


@pytest.mark.parametrize("cell", ["0", "100", "99.5", "87.", ".5", "+40"])
def test_plain_numbers_are_read(cell: str) -> None:
    curve = parse_curve(SINGLE + f"20 Apr,100\n1 May,{cell}\n", "x.csv")
    assert curve.relative[1] == float(cell) / 100


def test_overlapping_windows_are_a_fault() -> None:
    (message,) = messages(WINDOW + "20 Apr,5 May,100\n4 May,15 May,96\n")
    assert 'line 3, planted_from = "4 May": earlier than the date before it' in message


def test_a_window_that_ends_before_it_begins_is_a_fault() -> None:
    (message,) = messages(WINDOW + "5 May,20 Apr,100\n21 May,30 May,96\n")
    assert 'line 2, planted_to = "20 Apr": earlier than the date before it' in message


def test_a_date_out_of_order_by_more_than_half_a_year_is_caught_by_the_length_of_a_year() -> None:
    (message,) = messages(SINGLE + "25 Apr,100\n5 Dec,99\n10 May,98\n")
    assert 'line 4, planted = "10 May": a year or more after the first date' in message


def test_one_row_is_no_curve() -> None:
    (message,) = messages(SINGLE + "20 Apr,100\n")
    assert message == (
        "mine.csv: a curve has at least two rows; write a row for each planting date"
    )


def test_percentages_that_are_all_0_are_a_fault() -> None:
    (message,) = messages(SINGLE + "20 Apr,0\n1 May,0\n")
    assert "no percentage is above 0; write 100 at the best date" in message


@pytest.mark.parametrize(
    ("header", "found"),
    [
        ("date", "none of them"),
        ("planted_from", "planted_from"),
        ("planted_to", "planted_to"),
    ],
)
def test_date_columns_missing_are_a_fault_beside_the_others(header: str, found: str) -> None:
    first, second = messages(f"{header},percent_of_maximum\n20 Apr,100\n1 May,200\n")
    assert f"planted, or planted_from and planted_to; here: {found};" in first
    assert 'percent_of_maximum = "200"' in second


def test_two_kinds_of_date_columns_are_a_fault() -> None:
    header = "planted,planted_from,planted_to,percent_of_maximum\n"
    text = header + "1 May,1 May,1 May,9\n2 May,2 May,2 May,8\n"
    (message,) = messages(text)
    assert "here: planted, planted_from, planted_to; write planted for single dates" in message


def test_a_missing_percentage_column_is_a_fault_beside_the_others() -> None:
    first, second = messages("planted,percent\n20 Apr,100\n1 Mai,98\n")
    assert "line 3, planted" in first
    assert "the column 'percent_of_maximum' is missing; add percent_of_maximum" in second


def test_an_empty_table_and_ragged_rows_are_faults() -> None:
    assert "the table is empty" in messages("# only a comment\n")[0]
    assert "2 cells where the header has 3" in messages(WINDOW + "20 Apr,100\n")[0]
