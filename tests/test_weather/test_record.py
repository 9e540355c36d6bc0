"""A weather record: reading it, its gaps, its windows."""

from datetime import date, timedelta

import numpy as np
import pytest

from fieldsim.days.weather import WeatherRecord, parse_weather, read_weather, windows
from fieldsim.errors import InputError
from fieldsim.season import Season

HEADER = "date,tmax_c,tmin_c,rain_mm"
FIRST = date(2010, 1, 1)


def lines(days=800, first=FIRST, cells="20.5,8.5,1.5"):
    return [f"{first + timedelta(days=i)},{cells}" for i in range(days)]


def parsed(rows, header=HEADER, latitude=42.0):
    return parse_weather("\n".join([header, *rows]), "mine.csv", latitude)


def faults(rows, header=HEADER, latitude=42.0):
    with pytest.raises(InputError) as caught:
        parsed(rows, header, latitude)
    return [str(fault) for fault in caught.value.faults]


def record(days, first=FIRST, **series):
    values = {"tmax": 20.0, "tmin": 8.0, "rain": 0.0, **series}
    arrays = (np.broadcast_to(np.asarray(v, dtype=float), days).copy() for v in values.values())
    return WeatherRecord(first, *arrays, latitude=42.0)


def test_a_record_is_read_day_by_day(tmp_path):
    rows = lines()
    rows[30] = "2010-01-31,-3.5,-12,0"
    path = tmp_path / "mine.csv"
    path.write_text("\n".join(["# our own gauge", HEADER, *rows]))
    read = read_weather(path, latitude=-35.0)
    assert (read.first_day, read.last_day) == (FIRST, date(2012, 3, 10))
    assert (read.tmax[30], read.tmin[30], read.rain[30]) == (-3.5, -12.0, 0.0)
    assert read.latitude == -35.0
    assert (read.years, read.gaps) == (2, ())


def test_fahrenheit_and_inches_are_converted_because_the_header_says_so():
    read = parsed(lines(cells="86,50,1"), "date,tmax_f,tmin_f,rain_in")
    assert (read.tmax[0], read.tmin[0], read.rain[0]) == pytest.approx((30.0, 10.0, 25.4))


def test_columns_may_stand_in_any_order_and_others_are_passed_over():
    read = parsed(lines(cells="1.5,windy,8.5,20.5"), "date,rain_mm,remark,tmin_c,tmax_c")
    assert (read.tmax[0], read.tmin[0], read.rain[0]) == (20.5, 8.5, 1.5)


def test_missing_columns_are_named_with_the_headers_allowed():
    assert faults(lines(cells="20.5,1.5"), "date,tmax,rain_mm") == [
        "mine.csv: header = date,tmax,rain_mm: a column is missing; "
        "have one column tmax_c or tmax_f, whichever its unit is",
        "mine.csv: header = date,tmax,rain_mm: a column is missing; "
        "have one column tmin_c or tmin_f, whichever its unit is",
    ]


def test_a_quantity_in_two_units_is_a_fault():
    (fault,) = faults(lines(cells="20.5,8.5,1.5,0.1"), f"{HEADER},rain_in")
    assert "given in two units, rain_mm and rain_in" in fault


def test_every_fault_is_reported_at_once_with_its_line():
    rows = lines()
    rows[1] = "2010-02-30,20.5,8.5,1.5"
    rows[2] = "3 Jan 2010,20.5,8.5,1.5"
    rows[4] = rows[3]
    rows[6] = "2009-12-31,20.5,8.5,1.5"
    rows[8] = "2010-01-09,warm,8.5,T"
    rows[9] = "2010-01-10,20.5,8.5,-0.1"
    rows[10] = "2010-01-11,20.5,-999,1.5"
    assert faults(rows) == [
        'mine.csv: line 3, date = "2010-02-30": there is no such day; '
        "write year-month-day, as 2011-04-30",
        'mine.csv: line 4, date = "3 Jan 2010": not a date as 2011-04-30; '
        "write year-month-day, as 2011-04-30",
        'mine.csv: line 6, date = "2010-01-04": stands there twice; give each day once, in order',
        'mine.csv: line 8, date = "2009-12-31": comes after 2010-01-06; '
        "give each day once, in order",
        'mine.csv: line 10, tmax_c = "warm": not a bare number; '
        "write a number with a decimal point, or nothing where the value is missing",
        'mine.csv: line 12, tmin_c = "-999": below -90 degC, which it never is; '
        "write nothing where the value is missing",
        'mine.csv: line 10, rain_mm = "T": not a bare number; '
        "write a number with a decimal point, or nothing where the value is missing",
        'mine.csv: line 11, rain_mm = "-0.1": below 0 mm, which it never is; '
        "write nothing where the value is missing",
    ]


def test_a_highest_temperature_below_the_lowest_is_a_fault():
    rows = lines()
    rows[5] = "2010-01-06,8.5,20.5,1.5"
    assert faults(rows) == [
        "mine.csv: line 7, tmax_c and tmin_c = 8.5 and 20.5: the highest temperature of the day is "
        "below the lowest; correct them, or write nothing where they are not known"
    ]


def test_fahrenheit_in_a_celsius_column_is_found_and_never_converted():
    summer = faults(lines(cells="86,61,1.5"))
    assert summer == [
        'mine.csv: line 2, tmax_c = "86": above 60 degC, which it never is (800 days); '
        "name the column tmax_f if that is its unit, otherwise correct the values",
        'mine.csv: line 2, tmin_c = "61": above 45 degC, which it never is (800 days); '
        "name the column tmin_f if that is its unit, otherwise correct the values",
    ]


def test_celsius_in_a_fahrenheit_column_is_found():
    found = faults(lines(cells="30,15,1.5"), "date,tmax_f,tmin_f,rain_mm")
    assert [fault.split("; ")[1] for fault in found] == [
        "name the column tmax_c if that is its unit, otherwise correct the values",
        "name the column tmin_c if that is its unit, otherwise correct the values",
    ]


def test_millimetres_in_an_inch_column_are_found_and_inches_in_a_millimetre_column_warned_of():
    (fault,) = faults(lines(cells="20.5,8.5,2.5"), "date,tmax_c,tmin_c,rain_in")
    assert "name the column rain_mm" in fault
    sentences = parsed(lines(cells="20.5,8.5,0.1")).warnings
    assert any("36 mm of rain a year; if it was written in inches" in text for text in sentences)


def test_a_wrong_column_does_not_bury_the_reader():
    found = faults(lines(cells="20.5,8.5,wet"))
    assert len(found) == 51
    assert found[-1] == "mine.csv: 750 more faults; mend these first"


def test_a_latitude_off_the_globe_is_a_fault():
    assert faults(lines(), latitude=420.0) == [
        "mine.csv: latitude = 420: -90 to 90 degrees are allowed; "
        "write degrees north of the equator, south negative"
    ]


def test_days_left_out_and_empty_cells_are_missing_and_never_zero():
    rows = lines()
    rows[300] = f"{FIRST + timedelta(days=300)},20.5,8.5,"
    read = parsed(rows[:100] + rows[104:])
    assert read.gaps == (
        (FIRST + timedelta(days=100), FIRST + timedelta(days=103)),
        (FIRST + timedelta(days=300), FIRST + timedelta(days=300)),
    )
    assert np.isnan(read.rain[100:104]).all()
    assert np.isnan(read.rain[300])
    assert read.tmax[300] == 20.5
    assert any("5 days in 2 gaps, the longest from 2010-04-11" in text for text in read.warnings)


def test_few_years_are_warned_of_and_fewer_than_two_refused():
    (warning,) = parsed(lines(3 * 366)).warnings
    assert "3 complete years" in warning
    assert parsed(lines(10 * 366)).warnings == ()
    (fault,) = faults(lines(729))
    assert "1 years; 2 are the least" in fault


def test_leap_days_are_days_of_the_record():
    rows = lines(800, first=date(2012, 1, 1))
    assert rows[59].startswith("2012-02-29")
    assert parsed(rows).gaps == ()


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"tmax": 5.0}, "2010-01-01: the highest temperature is below the lowest"),
        ({"rain": [0.0, -1.0, 0.0]}, "2010-01-02: the rain is negative"),
    ],
)
def test_a_record_made_of_arrays_is_checked(wrong, message):
    with pytest.raises(ValueError, match=message):
        record(3, **wrong)


def test_arrays_of_other_lengths_and_latitudes_are_refused():
    with pytest.raises(ValueError, match="shapes"):
        WeatherRecord(FIRST, np.ones(3), np.zeros(3), np.zeros(4), 42.0)
    with pytest.raises(ValueError, match="latitude"):
        WeatherRecord(FIRST, np.ones(3), np.zeros(3), np.zeros(3), 91.0)


def test_windows_hold_the_same_calendar_days_of_each_year():
    days = 3 * 365 + 1  # 2010 to 2012
    numbered = record(days, rain=np.arange(days))
    cut = windows(numbered, Season(date(2026, 4, 1), date(2026, 7, 31)))
    assert cut.years.tolist() == [2010, 2011, 2012]
    starts = [(date(year, 4, 1) - FIRST).days for year in (2010, 2011, 2012)]
    assert cut.rain[:, 0].tolist() == starts
    assert cut.rain.shape == (3, 122)
    assert (np.diff(cut.rain) == 1).all()


def test_windows_that_cross_new_year_take_the_year_of_their_last_day():
    days = 3 * 365 + 1
    numbered = record(days, rain=np.arange(days))
    cut = windows(numbered, Season(date(2025, 12, 1), date(2026, 7, 31)))
    assert cut.years.tolist() == [2011, 2012]
    assert cut.rain[0, 0] == (date(2010, 12, 1) - FIRST).days


def test_rain_of_29_february_falls_on_the_28th_where_the_window_has_none():
    rain = np.zeros(3 * 365 + 1)
    leap = (date(2012, 2, 29) - FIRST).days
    rain[leap - 1 : leap + 2] = 1.0, 10.0, 100.0
    tmax = np.full(rain.size, 20.0)
    tmax[leap] = 35.0
    cut = windows(
        record(rain.size, rain=rain, tmax=tmax), Season(date(2026, 2, 27), date(2026, 3, 2))
    )
    assert cut.rain[2].tolist() == [0.0, 11.0, 100.0, 0.0]
    assert cut.rain[0].tolist() == [0.0] * 4
    assert cut.tmax.max() == 20.0


def test_28_february_is_repeated_without_rain_where_only_the_window_has_a_29th():
    days = 365
    values = np.arange(days, dtype=float)
    cut = windows(
        record(days, tmax=values + 50, rain=values), Season(date(2024, 2, 28), date(2024, 3, 1))
    )
    assert cut.tmax.tolist() == [[108.0, 108.0, 109.0]]
    assert cut.rain.tolist() == [[58.0, 0.0, 59.0]]


def test_years_with_a_gap_in_the_window_are_left_out_and_named():
    rain = np.zeros(3 * 365 + 1)
    rain[(date(2011, 5, 5) - FIRST).days] = np.nan
    rain[(date(2012, 8, 5) - FIRST).days] = np.nan
    cut = windows(record(rain.size, rain=rain), Season(date(2026, 4, 1), date(2026, 7, 31)))
    assert cut.years.tolist() == [2010, 2012]
    assert cut.left_out == (2011,)


def test_a_record_without_a_complete_year_has_no_windows():
    cut = windows(record(365), Season(date(2026, 12, 1), date(2027, 3, 31)))
    assert cut.rain.shape == (0, 121)
    assert cut.left_out == ()
