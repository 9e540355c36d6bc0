"""A yield curve in words."""

from __future__ import annotations

from datetime import date, timedelta

from fieldsim.crops import PlateauCurve, QuadraticCurve, TableCurve, YieldCurve
from fieldsim.season import CalendarDay

__all__ = ["curve_text", "day_of_calendar"]


def curve_text(curve: YieldCurve) -> tuple[str, str]:
    """Return what a curve is called, and its source or its form.

    Examples
    --------
    >>> curve_text(PlateauCurve(105, 0.002, ((125, 0.005), (145, 0.012))))[1]
    'full from 15 Apr; 0.2 % a day lost before; after 5 May 0.5 %, after 25 May 1.2 % a day'
    """
    match curve:
        case TableCurve():
            return curve.name, curve.source or "no source given"
        case QuadraticCurve():
            loss = 100 * curve.curvature
            best = day_of_calendar(curve.best_day)
            return "square", f"best on {best}; {loss:.3g} % lost a day away, 4 times that at 2 days"
        case PlateauCurve():
            after = ", ".join(
                f"after {day_of_calendar(day)} {100 * s:.3g} %" for day, s in curve.slopes
            )
            before = f"{100 * curve.slope_before:.3g} % a day lost before"
            return (
                "plateau",
                f"full from {day_of_calendar(curve.plateau_start)}; {before}; {after} a day",
            )


def day_of_calendar(day_of_year: float) -> str:
    """Return a day of a common year as a day of the calendar.

    Examples
    --------
    >>> day_of_calendar(151)
    '31 May'
    """
    when = date(2001, 1, 1) + timedelta(days=round(day_of_year) - 1)
    return str(CalendarDay(when.month, when.day))
