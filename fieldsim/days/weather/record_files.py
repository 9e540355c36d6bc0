"""Reading daily weather records: the headers state the units, every fault has its line."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from importlib.resources.abc import Traversable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from fieldsim.days.weather.record import YEAR, WeatherRecord
from fieldsim.errors import Fault, InputError
from fieldsim.tables import Table, parse_table, read_text

__all__ = ["parse_weather", "read_weather"]

NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)")
ISO_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
MM_PER_INCH = 25.4
LEAST_YEARS = 2
MOST_FAULTS = 50  # a wrong column has one on every line

Floats = NDArray[np.float64]
Convert = Callable[[Floats], Floats]


def _unchanged(values: Floats) -> Floats:
    return values


def _celsius(fahrenheit: Floats) -> Floats:
    return (fahrenheit - 32) / 1.8


def _millimetres(inches: Floats) -> Floats:
    return inches * MM_PER_INCH


@dataclass(frozen=True)
class Quantity:
    """A quantity of a record: its headers with what turns each into degC or mm, and its bounds.

    No day was ever measured outside `least` and `most`; where row crops grow, some day of the year
    reaches `year_reaches`, and a year's sum stays below `year_sum` (common knowledge, set wide:
    they are to find a wrong unit, not a wrong value).
    """

    headers: dict[str, Convert]
    unit: str
    least: float
    most: float
    year_reaches: float = 0.0
    year_sum: float = np.inf

    def other(self, header: str) -> str:
        """Return the header of the other unit."""
        return next(name for name in self.headers if name != header)


QUANTITIES = (
    Quantity({"tmax_c": _unchanged, "tmax_f": _celsius}, "degC", -90.0, 60.0, year_reaches=15.0),
    Quantity({"tmin_c": _unchanged, "tmin_f": _celsius}, "degC", -90.0, 45.0, year_reaches=5.0),
    Quantity({"rain_mm": _unchanged, "rain_in": _millimetres}, "mm", 0.0, 2000.0, year_sum=12e3),
)


def read_weather(
    path: Path | Traversable, latitude: float, name: str | None = None
) -> WeatherRecord:
    """Read a daily weather record from a CSV file; see `parse_weather`.

    Parameters
    ----------
    path : Path or Traversable
    latitude : float
        Of the place [deg], south negative.
    name : str, optional
        What to call the file in messages; default: the path.

    Returns
    -------
    WeatherRecord

    Raises
    ------
    InputError
        As `parse_weather`, and if the file cannot be read.
    """
    return parse_weather(read_text(path, name), name or str(path), latitude)


def parse_weather(text: str, file: str, latitude: float) -> WeatherRecord:
    r"""Read the text of a daily weather record.

    Columns: ``date``, as ``2011-04-30``, each day once and in order; the highest temperature as
    ``tmax_c`` [degC] or ``tmax_f`` [degF], the lowest as ``tmin_c`` or ``tmin_f``, the rain as
    ``rain_mm`` [mm] or ``rain_in`` [in]. Other columns are passed over. An empty cell is a missing
    value, and so is every value of a day without a line: missing is never zero.

    Parameters
    ----------
    text : str
        The record as CSV.
    file : str
        What to call the record in messages.
    latitude : float
        Of the place [deg], south negative.

    Returns
    -------
    WeatherRecord

    Raises
    ------
    InputError
        With every fault: columns missing or given in two units, dates that do not exist, stand
        there twice or go back, values that are no number, negative rain, a highest temperature
        below the lowest, values that can only be in another unit, fewer than two years.

    Examples
    --------
    >>> days = np.datetime64("2010-01-01") + np.arange(800)
    >>> text = "date,tmax_f,tmin_f,rain_in\n" + "\n".join(f"{day},77,50,0.1" for day in days)
    >>> record = parse_weather(text, "mine.csv", latitude=42.0)
    >>> record.tmax[0].round(2).item(), record.rain[0].round(2).item(), record.years
    (25.0, 2.54, 2)
    """
    table = parse_table(text, file, ["date"])
    faults: list[Fault] = []
    if not -90 <= latitude <= 90:
        problem = "-90 to 90 degrees are allowed"
        repair = "write degrees north of the equator, south negative"
        faults.append(Fault(file, "latitude", f"{latitude:g}", problem, repair))
    days = _dates(table, faults)
    columns = [_column(table, quantity, faults) for quantity in QUANTITIES]
    if not faults:
        faults += _crossed(table, columns)
    if more := faults[MOST_FAULTS:]:
        faults[MOST_FAULTS:] = [Fault(file, "", "", f"{len(more)} more faults", "mend these first")]
    if faults:
        raise InputError(faults)
    at = np.array([(day - days[0]).days for day in days])
    series = np.full((3, at[-1] + 1), np.nan)
    series[:, at] = [values for _, values in columns]
    record = WeatherRecord(days[0], series[0], series[1], series[2], float(latitude))
    if record.years < LEAST_YEARS:
        problem = f"complete days for {record.years} years; {LEAST_YEARS} are the least"
        repair = "give a longer record: 10 years, better 30"
        raise InputError([Fault(file, "", f"{days[0]} to {days[-1]}", problem, repair)])
    return record


def _dates(table: Table, faults: list[Fault]) -> list[date]:
    """Return the dates of the lines; those at fault are left out."""
    days: list[date] = []
    for row in table.rows:
        text = row.cells["date"]
        try:
            if ISO_DATE.fullmatch(text) is None:
                raise ValueError("not a date as 2011-04-30")
            day = date.fromisoformat(text)
        except ValueError as error:
            problem = str(error) if "not a date" in str(error) else "there is no such day"
            faults.append(table.fault(row, "date", problem, "write year-month-day, as 2011-04-30"))
            continue
        if days and day <= days[-1]:
            problem = "stands there twice" if day == days[-1] else f"comes after {days[-1]}"
            faults.append(table.fault(row, "date", problem, "give each day once, in order"))
        days.append(day)
    return days


def _column(table: Table, quantity: Quantity, faults: list[Fault]) -> tuple[str, Floats]:
    """Return a quantity's header and its values [degC or mm]; cells at fault are nan."""
    found = [header for header in quantity.headers if header in table.columns]
    if len(found) != 1:
        names = " or ".join(quantity.headers)
        problem = f"given in two units, {' and '.join(found)}" if found else "a column is missing"
        repair = f"have one column {names}, whichever its unit is"
        faults.append(Fault(table.file, "header", ",".join(table.columns), problem, repair))
        return "", np.full(len(table.rows), np.nan)
    header = found[0]
    values = np.full(len(table.rows), np.nan)
    for i, row in enumerate(table.rows):
        text = row.cells[header]
        if NUMBER.fullmatch(text):
            values[i] = float(text)
        elif text:
            repair = "write a number with a decimal point, or nothing where the value is missing"
            faults.append(table.fault(row, header, "not a bare number", repair))
    values = quantity.headers[header](values)
    faults += _implausible(table, header, quantity, values)
    return header, values


def _implausible(table: Table, header: str, quantity: Quantity, values: Floats) -> list[Fault]:
    """Return the faults of values that were never measured, or not in this unit."""
    known = values[~np.isnan(values)]
    other = quantity.other(header)
    rename = f"name the column {other} if that is its unit, otherwise correct the values"
    high = np.flatnonzero(values > quantity.most)
    faults = [
        table.fault(
            table.rows[i],
            header,
            f"below {quantity.least:g} {quantity.unit}, which it never is",
            "write nothing where the value is missing",
        )
        for i in np.flatnonzero(values < quantity.least)
    ]
    if len(high):
        problem = f"above {quantity.most:g} {quantity.unit}, which it never is ({len(high)} days)"
        faults.append(table.fault(table.rows[high[0]], header, problem, rename))
    elif len(known) >= YEAR and known.max() < quantity.year_reaches:
        problem = "no year is that cold where crops grow"
        warmest = f"{known.max():.1f} degC at most"
        faults.append(Fault(table.file, f"column {header}", warmest, problem, rename))
    elif len(known) and known.mean() * YEAR > quantity.year_sum:
        a_year = f"{known.mean() * YEAR:.0f} mm a year"
        faults.append(Fault(table.file, f"column {header}", a_year, "no place has that", rename))
    return faults


def _crossed(table: Table, columns: list[tuple[str, Floats]]) -> list[Fault]:
    """Return the faults of days whose highest temperature is below their lowest."""
    (tmax_header, tmax), (tmin_header, tmin), _ = columns
    faults = []
    for i in np.flatnonzero(tmax < tmin):
        row = table.rows[i]
        place = f"line {row.line}, {tmax_header} and {tmin_header}"
        found = f"{row.cells[tmax_header]} and {row.cells[tmin_header]}"
        problem = "the highest temperature of the day is below the lowest"
        repair = "correct them, or write nothing where they are not known"
        faults.append(Fault(table.file, place, found, problem, repair))
    return faults
