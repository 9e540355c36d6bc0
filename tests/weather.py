"""Weather and records of no place, made by a formula, as the texts of their files."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

__all__ = ["records_text", "weather_text"]


def weather_text(years: int = 6, first_year: int = 2001) -> str:
    """Daily weather: a yearly wave, and rain on a third of the days; nothing is measured."""
    first = date(first_year, 1, 1)
    days = (date(first_year + years, 1, 1) - first).days
    random = np.random.default_rng(7)
    mean = 9 - 16 * np.cos(2 * np.pi * (np.arange(days) - 20) / 365.25) + random.normal(0, 4, days)
    span = random.uniform(3, 9, days)
    rain = random.exponential(9.0, days) * (random.random(days) < 0.33)
    lines = ["date,tmax_c,tmin_c,rain_mm"]
    lines += [
        f"{first + timedelta(days=day)},{mean[day] + span[day]:.1f},{mean[day] - span[day]:.1f},"
        f"{rain[day]:.1f}"
        for day in range(days)
    ]
    return "\n".join(lines) + "\n"


def records_text(years: int = 12, first_year: int = 2001, per_year: float = 0.0) -> str:
    """Suitable days of the weeks from April to August, with a trend [days a week a year]."""
    random = np.random.default_rng(11)
    lines = ["year,week_ending,days"]
    for year in range(years):
        for week in range(20):
            ending = date(2026, 4, 5) + timedelta(weeks=week)  # the same days in every year
            days = np.clip(3.5 + per_year * year + random.normal(0, 1.5), 0, 7)
            lines.append(f"{first_year + year},{ending.day} {ending:%b},{days:.1f}")
    return "\n".join(lines) + "\n"
