"""Reading a farm: TOML text and the CSV tables it names -> a checked Farm, or every fault."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from difflib import get_close_matches
from functools import partial
from pathlib import Path
from typing import Any

import tomli_w

from fieldsim.errors import Fault, InputError
from fieldsim.farm.checks import check
from fieldsim.farm.crop_parts import Crop
from fieldsim.farm.days_parts import DaysSection
from fieldsim.farm.draft import Draft, oversized
from fieldsim.farm.farm import Farm
from fieldsim.farm.late_costs import late_costs
from fieldsim.farm.machine_parts import Machine, Tractor
from fieldsim.farm.messages import as_written, meant
from fieldsim.farm.parts import Crew, FarmField, Heading, MoneySection, Option
from fieldsim.farm.per_crop import read_operations
from fieldsim.farm.sources import day_source, tables_named, warm_dates, yield_curve
from fieldsim.season import Season
from fieldsim.tables import read_text

__all__ = ["farm_of", "parse_farm", "read_document", "read_farm"]

SECTIONS = (
    *("days", "crew", "money", "crops", "fields"),
    *("operations", "machines", "tractors", "options"),
)
HEADINGS = tuple(Heading.model_fields)
LARGEST_FARM = 1_000_000  # bytes; the demo farm has ten thousand
MOST_DOTS = 100  # in a line: the reading of a.a.a... takes memory with the square of them
PLACE = re.compile(r"(.*?) \(at (?:line (\d+), column (\d+)|end of document)\)", re.DOTALL)
# What tomllib says, and what that means to someone who has never heard of TOML.
TOML_PROBLEMS = {
    "Illegal character": "a quote is not closed on this line",
    "Invalid value": "the value is not written as it should be",
    "Expected '=' after a key": 'the sign "=" is missing',
    "Exceeds the limit": "a number has thousands of digits",
    "Cannot overwrite a value": "this name stands in the file twice",
    "Cannot declare": "this section stands in the file twice",
    "Expected ']' at the end of a": "the name of a section is not closed with ]",
    "Unclosed array": "a list is not closed with ]",
    "Unclosed inline table": "a table is not closed with }",
}
FORM = 'write each line as name = value, with text in quotes: area = "80 acre"'
TOML_REPAIRS = {  # of the others: the form of a line
    "Cannot overwrite a value": "keep the line that is right",
    "Cannot declare": "keep one of the two, or give one another name",
    "Expected ']' at the end of a": "write it as [crew]",
}
CURLY = "\N{LEFT DOUBLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}"  # of word processors


def read_farm(path: str | Path) -> Farm:
    """Read a farm file and the tables it names.

    Parameters
    ----------
    path : str or Path
        A TOML file; tables are looked for beside it.

    Returns
    -------
    Farm

    Raises
    ------
    InputError
        With every fault found in the file and its tables.

    Examples
    --------
    >>> import fieldsim
    >>> read_farm("nowhere.toml")
    Traceback (most recent call last):
    ...
    fieldsim.errors.InputError: nowhere.toml: there is no such file; check name and folder
    """
    path = Path(path)
    text = read_text(path, largest=LARGEST_FARM)
    if path.suffix.casefold() == ".csv":
        problem, repair = "this is a table, not a farm file", "name the farm file, as farm.toml"
        raise InputError([Fault(str(path), "", "", problem, repair)])
    document = read_document(text, str(path))
    tables: dict[str, str] = {}
    faults: list[Fault] = []
    for name, field in tables_named(document).items():
        try:
            tables[name] = read_text(path.parent / name)
        except InputError as error:
            faults.extend(
                replace(fault, file=str(path), field=field, value=as_written(name))
                for fault in error.faults
            )
    return _farm(document, text, tables, str(path), faults)


def parse_farm(text: str, tables: Mapping[str, str] | None = None, file: str = "farm") -> Farm:
    """Read a farm from text, as `read_farm` does from files.

    Parameters
    ----------
    text : str
        What a farm file holds.
    tables : mapping, optional
        Text of each table that the farm names, by its name.
    file : str
        What to call the farm in messages.

    Returns
    -------
    Farm

    Raises
    ------
    InputError
        With every fault found.

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> parse_farm(farm.text.replace("$24/h", "$30/h"), farm.tables).money.wage
    30.0
    """
    document = read_document(text, file)
    tables = dict(tables or {})
    faults = [
        Fault(file, field, as_written(name), "this table was not given", f"give tables[{name!r}]")
        for name, field in tables_named(document).items()
        if name not in tables
    ]
    return _farm(document, text, tables, file, faults)


def farm_of(document: Mapping[str, Any], tables: Mapping[str, str]) -> Farm:
    """Return the farm of a document, as if it had been written to a file and read.

    Raises
    ------
    InputError
        With every fault found.
    """
    return _farm(document, tomli_w.dumps(document), tables, "farm", [])


def read_document(text: str, file: str = "farm") -> dict[str, Any]:
    """Return the sections and lines of a farm's text.

    Raises
    ------
    InputError
        If it is not TOML, or larger than any farm.
    """
    if len(text) > LARGEST_FARM:
        problem = f"the farm's text is larger than {LARGEST_FARM // 10**6} MB"
        raise InputError([Fault(file, "", "", problem, "name the right file")])
    for number, line in enumerate(text.split("\n"), 1):
        if line.count(".") > MOST_DOTS and not line.lstrip().startswith("#"):
            problem, repair = "a line with more dots than names need", "break the line"
            raise InputError([Fault(file, f"line {number}", "", problem, repair)])
    try:
        document = tomllib.loads(text)
    except RecursionError:
        problem = "tables are nested too deeply"
        raise InputError([Fault(file, "", "", problem, "see fieldsim new for the form")]) from None
    except ValueError as error:  # TOMLDecodeError, or a number of thousands of digits
        raise InputError([_toml_fault(str(error), text, file)]) from None
    faults = oversized(document, file)
    if faults:
        raise InputError(faults)
    return document


def _toml_fault(message: str, text: str, file: str) -> Fault:
    """Return the fault of a line that is not TOML."""
    match = PLACE.fullmatch(message)
    reason = match[1] if match else message
    said = next((said for said in TOML_PROBLEMS if reason.startswith(said)), "")
    told, repair = TOML_PROBLEMS.get(said, reason), TOML_REPAIRS.get(said, FORM)
    if match is None or match[2] is None:
        return Fault(file, "", "", f"not a farm file in TOML ({told})", repair)
    line = text.splitlines()[int(match[2]) - 1 :][:1]
    found = "".join(line).strip()
    if any(quote in found.partition("#")[0] for quote in CURLY):
        told, repair = "it has curly quotes", 'write straight ones, as in area = "80 acre"'
    shown = found if len(found) <= 60 else f"{found[:57]}..."
    return Fault(file, f"line {match[2]}", f"'{shown}'", told, repair)


def _farm(
    document: Mapping[str, Any],
    text: str,
    tables: Mapping[str, str],
    file: str,
    faults: list[Fault],
) -> Farm:
    """Read every part, check them against each other, and raise every fault at once."""
    draft = Draft(file, document, faults)
    _unknown_lines(draft)
    head = {name: document[name] for name in HEADINGS if name in document}
    draft.heading = heading = draft.part(Heading, head, "")
    draft.season = season = _season(draft)
    days = draft.section(DaysSection, "days")
    draft.crew = crew = draft.section(Crew, "crew")
    money = draft.section(MoneySection, "money")
    draft.crops = draft.parts(Crop, "crops")
    draft.fields = draft.parts(FarmField, "fields")
    draft.operations = read_operations(draft)
    draft.machines = draft.parts(Machine, "machines")
    draft.tractors = draft.parts(Tractor, "tractors") if "tractors" in document else {}
    draft.options = draft.parts(Option, "options")
    source = day_source(draft, days, tables) if days else None
    draft.soils = source.soils if source else None
    draft.source = source
    draft.warm_dates = warm = warm_dates(draft, days) if days else None
    curves = {
        name: curve
        for name in draft.named("crops")
        if (curve := yield_curve(draft, name, tables)) is not None
    }
    late = {name: late_costs(draft, name, crop) for name, crop in draft.crops.items()}
    check(draft)
    if draft.faults or not (heading and season and days and source and crew and money):
        raise InputError(draft.faults)
    return Farm(
        name=heading.name,
        units=heading.units,
        season=season,
        day_source=source,
        warm_dates=warm,
        table_years=days.years,
        latitude=heading.latitude,
        crops=draft.crops,
        curves=curves,
        late_costs=late,
        wet_share=days.wet_share,
        fields=draft.fields,
        operations=draft.operations,
        priority=tuple(heading.priority),
        crew=crew,
        money=money,
        machines=draft.machines,
        tractors=draft.tractors,
        options=draft.options,
        text=text,
        tables=tables,
    )


def _unknown_lines(draft: Draft) -> None:
    """Note sections and lines at the top that there are not."""
    allowed = [*HEADINGS, *SECTIONS]
    for name, entry in draft.document.items():
        if name not in allowed:
            shown = None if isinstance(entry, Mapping) else entry
            problem = "there is no such section or line"
            draft.fault(name, shown, problem, meant(name, allowed))
            draft.unread.update(get_close_matches(name, allowed, 1))


def _season(draft: Draft) -> Season | None:
    heading = draft.heading
    if heading is None or not draft.sound("first_day") or not draft.sound("last_day"):
        return None
    year, first, last = heading.crop_year, heading.first_day, heading.last_day
    make = partial(Season.of_year, year, first, last)
    return draft.attempt(make, "last_day", str(last), "write an earlier day")
