"""The options of ``fieldsim fit``: as written, and as read, with every fault of them at once."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from fieldsim.days.records import Records, parse_records
from fieldsim.errors import Fault, InputError
from fieldsim.season import CalendarDay, parse_calendar_day
from fieldsim.tables import parse_table, read_text

__all__ = ["FitInput", "FitOptions", "read_input"]

WEATHER = re.compile(r"(tmax|tmin|rain)(_[a-z]+)?")
LEVELS = "90, 80, 50, 20, 10"
YEARS = (1800, 2200)


@dataclass(frozen=True)
class FitOptions:
    """What was asked for on the command line, as written.

    Parameters
    ----------
    file : Path
        The records.
    kind : "weekly_table" or "daily_chain"
    at_least : str, optional
        Levels of a weekly table [%], separated by commas.
    persistence : float, optional
        For a chain from weekly records: P(suitable | the day before suitable) [0..1].
    reference_year : int, optional
        Year whose level all years are moved to.
    first, last : str, optional
        Days of the calendar: only weeks (or days) that begin between them are used.
    year_begins : str, optional
        Day of the calendar on which a record year begins.
    out : Path, optional
        File to write; default: named after the records and the kind, in the current folder.
    replace : bool
        Whether a file that is already there may be written over.
    seed : int
        Of the bootstrap.
    """

    file: Path
    kind: Literal["weekly_table", "daily_chain"] = "weekly_table"
    at_least: str | None = None
    persistence: float | None = None
    reference_year: int | None = None
    first: str | None = None
    last: str | None = None
    year_begins: str | None = None
    out: Path | None = None
    replace: bool = False
    seed: int = 0


@dataclass(frozen=True, eq=False)
class FitInput:
    """What the options mean: records, days of the calendar, levels [%], and the file to write."""

    records: Records
    first: CalendarDay | None
    last: CalendarDay | None
    levels: tuple[float, ...]
    out: Path


def read_input(options: FitOptions) -> FitInput:
    """Read the options and the records they name.

    Parameters
    ----------
    options : FitOptions

    Returns
    -------
    FitInput

    Raises
    ------
    InputError
        With every fault of the options and the records.
    """
    faults: list[Fault] = []
    first = _day("--first", options.first, faults)
    last = _day("--last", options.last, faults)
    begins = _day("--year-begins", options.year_begins, faults)
    levels = _levels(options, faults)
    _check_numbers(options, faults)
    out = options.out or Path(f"{options.file.stem}_{options.kind}.csv")
    _check_out(options, out, faults)
    try:
        records = _records(options.file, begins)
    except InputError as error:
        raise InputError([*faults, *error.faults]) from None
    faults += _mismatches(options, records)
    if faults:
        raise InputError(faults)
    return FitInput(records, first, last, levels, out)


def _day(option: str, text: str | None, faults: list[Fault]) -> CalendarDay | None:
    if text is None:
        return None
    try:
        return parse_calendar_day(text)
    except ValueError as error:
        faults.append(Fault("", option, text, str(error), 'write it as "1 Apr"'))
        return None


def _levels(options: FitOptions, faults: list[Fault]) -> tuple[float, ...]:
    """Return the levels of a weekly table [%]."""
    text = LEVELS if options.at_least is None else options.at_least
    try:
        levels = tuple(float(word) for word in text.split(","))
    except ValueError:
        levels = ()
    if len(set(levels)) < 2 or not all(0 < level < 100 for level in levels):
        problem = "two or more numbers between 0 and 100 [%] are needed, separated by commas"
        faults.append(Fault("", "--at-least", text, problem, f'write "{LEVELS}"'))
    if options.at_least is not None and options.kind != "weekly_table":
        problem = "levels are those of a weekly table"
        faults.append(Fault("", "--at-least", text, problem, "leave it out"))
    return levels


def _check_numbers(options: FitOptions, faults: list[Fault]) -> None:
    """Note numbers that are out of their bounds."""
    if options.seed < 0:
        faults.append(Fault("", "--seed", str(options.seed), "0 or more is allowed", "write 0"))
    year, persistence = options.reference_year, options.persistence
    if year is not None and not YEARS[0] <= year <= YEARS[1]:
        problem = f"a year from {YEARS[0]} to {YEARS[1]} is allowed"
        faults.append(Fault("", "--reference-year", str(year), problem, "write it as 2025"))
    if persistence is not None and not 0 < persistence < 1:
        problem = "a share between 0 and 1 is allowed"
        faults.append(Fault("", "--persistence", f"{persistence:g}", problem, "write it as 0.80"))


def _check_out(options: FitOptions, out: Path, faults: list[Fault]) -> None:
    """Note what speaks against writing the file."""
    if out.exists() and options.file.exists() and out.samefile(options.file):
        problem, repair = "these are the records themselves", "name another file"
    elif out.is_dir():
        problem, repair = "this is a folder", "name a file in it"
    elif out.exists() and not options.replace:
        problem = "there is a file of that name"
        repair = "name another with --out, or add --replace to write over it"
    elif not out.parent.is_dir():
        problem, repair = f"there is no folder {out.parent}", "make it, or name another"
    else:
        return
    faults.append(Fault("", "--out", str(out), problem, repair))


def _records(path: Path, begins: CalendarDay | None) -> Records:
    """Read the records; weather is told apart by its columns."""
    text, file = read_text(path), str(path)
    if path.suffix.casefold() == ".toml":
        problem, repair = (
            "this is a farm file, not a table of past years",
            "name that, as diary.csv",
        )
        raise InputError([Fault(file, "", "", problem, repair)])
    columns = parse_table(text, file).columns
    if any(WEATHER.fullmatch(column.strip().casefold()) for column in columns):
        problem = "this is daily weather, not a record of suitable days: nothing is to be fitted"
        repair = (
            f'name it in the farm file, in [days] source = "soil_water" and table = '
            f"{path.name!r}, with the soils"
        )
        raise InputError([Fault(file, "columns", ", ".join(columns), problem, repair)])
    return parse_records(text, file, year_begins=begins)


def _mismatches(options: FitOptions, records: Records) -> list[Fault]:
    """Say which options the records and the kind of source do not allow."""
    faults = []
    chain, daily = options.kind == "daily_chain", records.unit == "day"
    if chain and not daily and options.persistence is None:
        problem = "weekly records do not say how suitable days follow one another"
        repair = "add --persistence 0.80, the chance of a suitable day after one, or leave it out"
        faults.append(Fault("", "--kind", options.kind, problem, repair))
    if options.persistence is not None and (daily or not chain):
        problem = "it is fitted, or not needed: only a chain from weekly records has to be given it"
        found = f"{options.persistence:g}"
        faults.append(Fault("", "--persistence", found, problem, "leave it out"))
    if options.reference_year is not None and daily and chain:
        problem = "a trend is taken out of weeks, and a chain needs days"
        repair = "leave it out, or write --kind weekly_table"
        faults.append(Fault("", "--reference-year", str(options.reference_year), problem, repair))
    return faults
