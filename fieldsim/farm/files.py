"""Reading a farm: TOML text and the CSV tables it names -> a checked Farm, or every fault."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from fieldsim.crops import parse_curve, published_curve, published_curves
from fieldsim.crops.yield_curve import PlateauCurve, QuadraticCurve, YieldCurve
from fieldsim.days import DaySource, parse_daily_chain, parse_weekly_table
from fieldsim.errors import Fault, InputError
from fieldsim.farm.checks import check
from fieldsim.farm.crop_parts import Crop, YieldByDate
from fieldsim.farm.draft import Draft
from fieldsim.farm.farm import Farm
from fieldsim.farm.machine_parts import Machine, Tractor
from fieldsim.farm.parts import (
    Crew,
    DaysSection,
    FarmField,
    Heading,
    MoneySection,
    Operation,
    Option,
)
from fieldsim.season import Season
from fieldsim.tables import read_text

__all__ = ["parse_farm", "read_farm"]

SECTIONS = (
    *("days", "crew", "money", "crops", "fields"),
    *("operations", "machines", "tractors", "options"),
)
HEADINGS = tuple(Heading.model_fields)
CHAIN_ONLY_WEEKS = ("week_correlation", "season_share", "persistence", "tails")


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
    """
    path = Path(path)
    text = read_text(path)
    document = _document(text, str(path))
    tables: dict[str, str] = {}
    faults: list[Fault] = []
    for name in _tables_named(document):
        try:
            tables[name] = read_text(path.parent / name)
        except InputError as error:
            faults.extend(error.faults)
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
    """
    document = _document(text, file)
    tables = dict(tables or {})
    faults = [
        Fault(file, "", f'"{name}"', "this table was not given", f"give tables={{{name!r}: ...}}")
        for name in _tables_named(document)
        if name not in tables
    ]
    return _farm(document, text, tables, file, faults)


def _document(text: str, file: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        problem = f"not a TOML file ({error})"
        repair = 'text stands in quotes, as area = "80 acre"'
        raise InputError([Fault(file, "", "", problem, repair)]) from None
    except RecursionError:
        problem = "tables are nested too deeply"
        raise InputError([Fault(file, "", "", problem, "see fieldsim new for the form")]) from None


def _tables_named(document: Mapping[str, Any]) -> list[str]:
    """Return the names of the tables in the document, wherever they stand as they should."""
    days, crops = document.get("days"), document.get("crops")
    holders = [days] if isinstance(days, Mapping) else []
    if isinstance(crops, Mapping):
        curves = [c.get("yield_by_planting_date") for c in crops.values() if isinstance(c, Mapping)]
        holders += [curve for curve in curves if isinstance(curve, Mapping)]
    names = [holder["table"] for holder in holders if isinstance(holder.get("table"), str)]
    return list(dict.fromkeys(names))


def _farm(
    document: Mapping[str, Any],
    text: str,
    tables: Mapping[str, str],
    file: str,
    faults: list[Fault],
) -> Farm:
    """Read every part, check them against each other, and raise every fault at once."""
    draft = Draft(file, document, faults)
    for name in document:
        if name not in SECTIONS and name not in HEADINGS:
            allowed = ", ".join((*HEADINGS, *SECTIONS))
            draft.fault(name, None, "there is no such section or line", f"allowed are {allowed}")
    head = {name: document[name] for name in HEADINGS if name in document}
    draft.heading = heading = draft.part(Heading, head, "heading")
    draft.season = season = _season(draft)
    days = draft.part(DaysSection, document.get("days", {}), "days")
    draft.crew = crew = draft.part(Crew, document.get("crew", {}), "crew")
    money = draft.part(MoneySection, document.get("money", {}), "money")
    draft.crops = draft.parts(Crop, "crops")
    draft.fields = draft.parts(FarmField, "fields")
    draft.operations = _operations(draft)
    draft.machines = draft.parts(Machine, "machines")
    draft.tractors = draft.parts(Tractor, "tractors") if "tractors" in document else {}
    draft.options = draft.parts(Option, "options")
    source = _day_source(draft, days, tables) if days else None
    draft.soils = source.soils if source else None
    curves = {
        name: curve
        for name, crop in draft.crops.items()
        if (curve := _curve(draft, name, crop.yield_by_planting_date, tables)) is not None
    }
    check(draft)
    if draft.faults or not (heading and season and source and crew and money):
        raise InputError(draft.faults)
    return Farm(
        name=heading.name,
        units=heading.units,
        season=season,
        day_source=source,
        crops=draft.crops,
        curves=curves,
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


def _season(draft: Draft) -> Season | None:
    heading = draft.heading
    if heading is None:
        return None
    year, first, last = heading.crop_year, heading.first_day, heading.last_day
    return draft.attempt(lambda: Season.of_year(year, first, last), "last_day", str(last))


def _operations(draft: Draft) -> dict[str, dict[str, Operation]]:
    """Read the operations of each crop: a field that holds a table gives each crop its value."""
    grown = [c for c in draft.named("crops") if c in {f.crop for f in draft.fields.values()}]
    operations: dict[str, dict[str, Operation]] = {}
    for name, entry in draft.entries("operations"):
        path = f"operations.{name}"
        if not isinstance(entry, Mapping):
            draft.part(Operation, entry, path)
            continue
        crops = entry.get("crops", grown)
        if not isinstance(crops, list) or not all(isinstance(crop, str) for crop in crops):
            draft.fault(f"{path}.crops", crops, "not a list of crops", 'write ["corn"]')
            continue
        tables = {key: value for key, value in entry.items() if isinstance(value, Mapping)}
        for key, crop in [
            *(("crops", crop) for crop in crops),
            *((key, crop) for key, table in tables.items() for crop in table),
        ]:
            if crop not in draft.named("crops"):
                repair = f"crops are {', '.join(draft.named('crops'))}"
                draft.fault(f"{path}.{key}", crop, "there is no such crop", repair)
        parts = {crop: _operation(draft, entry, tables, path, crop) for crop in crops}
        operations[name] = {crop: part for crop, part in parts.items() if part is not None}
    return operations


def _operation(
    draft: Draft, entry: Mapping[str, Any], tables: Mapping[str, Any], path: str, crop: str
) -> Operation | None:
    own = {key: value for key, value in entry.items() if key not in tables and key != "crops"}
    own |= {key: table[crop] for key, table in tables.items() if crop in table}
    return draft.part(Operation, own, path)


def _day_source(draft: Draft, days: DaysSection, tables: Mapping[str, str]) -> DaySource | None:
    given = {key: value for key in CHAIN_ONLY_WEEKS if (value := getattr(days, key)) is not None}
    if days.source == "daily_chain":
        for key, value in given.items():
            problem = "a daily chain has its own persistence and takes no such field"
            draft.fault(f"days.{key}", value, problem, "leave it out")
    text = tables.get(days.table)
    if text is None:
        return None

    def make() -> DaySource:
        source: DaySource
        if days.source == "weekly_table":
            source = parse_weekly_table(text, days.table, **given)
        else:
            source = parse_daily_chain(text, days.table)
        if draft.season is not None:
            source.draw(draft.season, 1, 0)
        return source

    return draft.attempt(make, "days.table", days.table)


def _curve(
    draft: Draft, crop: str, form: YieldByDate, tables: Mapping[str, str]
) -> YieldCurve | None:
    path = f"crops.{crop}.yield_by_planting_date"
    if form.published is not None:
        if form.published not in published_curves():
            repair = f"shipped are {', '.join(published_curves())}"
            draft.fault(path, form.published, "there is no such published table", repair)
            return None
        return published_curve(form.published)
    if form.table is not None:
        name, text = form.table, tables.get(form.table)
        return (
            draft.attempt(lambda: parse_curve(text, name), path, name) if text is not None else None
        )
    if form.quadratic is not None:
        best, loss = form.quadratic.best_day, form.quadratic.loss_per_day_squared
        return QuadraticCurve(best.day_of_year, loss)
    assert form.plateau is not None
    plateau = form.plateau
    losses = tuple((loss.from_.day_of_year, loss.loss) for loss in plateau.losses)
    return draft.attempt(
        lambda: PlateauCurve(plateau.full_from.day_of_year, plateau.loss_before, losses), path, None
    )
