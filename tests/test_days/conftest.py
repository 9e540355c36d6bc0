from datetime import date

import numpy as np
import pytest

from fieldsim.days import WeeklyTable
from fieldsim.season import CalendarDay, Season

WEEKS = 18


@pytest.fixture(scope="session")
def spring():
    return Season(date(2026, 4, 1), date(2026, 7, 31))


@pytest.fixture(scope="session")
def spring_table():
    """Eighteen invented weeks from 1 April, drier as the season goes on; no two quantiles equal."""
    starts = np.datetime64("2026-04-01") + 7 * np.arange(WEEKS)
    days = [(m - 2.2, m - 1.3, m, m + 0.9, m + 1.4) for m in np.linspace(2.9, 5.2, WEEKS)]
    return WeeklyTable(
        week_starts=tuple(CalendarDay(d.month, d.day) for d in starts.tolist()),
        percentiles=(0.10, 0.20, 0.50, 0.80, 0.90),
        days=tuple(tuple(float(number) for number in week) for week in days),
    )
