"""Records and texts that the tests make up."""

from datetime import date, timedelta

import numpy as np
import pytest

from fieldsim.days import DailyChain, WeeklyTable, weekly_totals
from fieldsim.days.records import Records, parse_records
from fieldsim.errors import InputError
from fieldsim.season import CalendarDay, Season

SPRING = Season(date(2026, 4, 1), date(2026, 7, 31))
FIRST_YEAR = 1981
ITEM = '"FIELDWORK - DAYS SUITABLE, MEASURED IN DAYS / WEEK"'
CHAIN = DailyChain(
    (CalendarDay(4, 1), CalendarDay(6, 1), CalendarDay(7, 31)),
    (0.70, 0.82, 0.88),
    (0.15, 0.28, 0.35),
)


def spring_table(weeks=18, **parameters):
    """Invented weeks from 1 April, drier as the season goes on."""
    starts = [date(2026, 4, 1) + timedelta(days=7 * week) for week in range(weeks)]
    quantiles = [np.clip([m - 2.4, m - 1.6, m, m + 1.2, m + 1.7], 0, 7) for m in middles(weeks)]
    return WeeklyTable(
        tuple(CalendarDay(day.month, day.day) for day in starts),
        (0.1, 0.2, 0.5, 0.8, 0.9),
        tuple(tuple(week.tolist()) for week in quantiles),
        **{"week_correlation": 0.3, "season_share": 0.2, **parameters},
    )


def middles(weeks):
    return np.linspace(2.0, 5.6, weeks)


def record_of(table, years, seed=0, digits=1):
    """A weekly record of the same calendar weeks every year, drawn from a table."""
    totals = weekly_totals(table, years, seed)
    return weekly_records(np.round(totals, digits), table.week_starts)


def weekly_records(totals, starts=None, **parts):
    """A weekly record with given totals (year, week)."""
    totals = np.asarray(totals, dtype=float)
    starts = starts or spring_table(totals.shape[1]).week_starts
    years = tuple(range(FIRST_YEAR, FIRST_YEAR + len(totals)))
    firsts = [[start.in_year(year) for start in starts] for year in years]
    return Records(years, np.array(firsts, "datetime64[D]"), totals, **parts)


def official_text(years, first, last, figure, hole=()):
    """An official series by Sundays, of figures figure(year, date) from `first` to `last`."""
    lines = ["Program,Year,Period,Week Ending,Geo Level,State,Data Item,Domain,Value,CV (%)"]
    for year in years:
        day = first.in_year(year)
        day += timedelta(days=6 - day.weekday())
        week = 1
        while day <= last.in_year(year):
            if day not in hole:
                value = figure(year, day)
                lines.append(f"SURVEY,{year},WEEK #{week},{day},STATE,IOWA,{ITEM},TOTAL,{value},")
            day += timedelta(days=7)
            week += 1
    return "\n".join(lines)


def faults(text, **options):
    with pytest.raises(InputError) as error:
        parse_records(text, "my.csv", **options)
    return [str(fault).removeprefix("my.csv: ") for fault in error.value.faults]
