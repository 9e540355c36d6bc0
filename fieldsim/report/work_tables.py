"""What is assumed of days, people, money, fields and operations."""

from __future__ import annotations

from fieldsim.farm import Farm
from fieldsim.farm.entries import Wait
from fieldsim.farm.parts import Operation
from fieldsim.plots.words import day_text, readable
from fieldsim.report.day_words import source_words, warm_words
from fieldsim.report.shown import shown, wait_text
from fieldsim.report.table import Table
from fieldsim.season import Season

__all__ = ["work_tables"]


def work_tables(farm: Farm) -> tuple[Table, ...]:
    """Return the tables of days and people, money, fields, and operations."""
    return _days_and_people(farm), _money(farm), _fields(farm), _operations(farm)


def _days_and_people(farm: Farm) -> Table:
    crew, season = farm.crew, farm.season
    yields = {crop.yield_by_planting_date.table for crop in farm.crops.values()}
    named = [name for name in farm.tables if name not in yields]
    off = f", none on {' and '.join(crew.days_off)}" if crew.days_off else ""
    rows = [
        ("suitable days", source_words(farm.day_source)),
        *((f"notes in {name}", notes) for name in named if (notes := _notes(farm.tables[name]))),
        *_years(farm),
        *warm_words(farm),
        *_wet_words(farm),
        ("season", _season(season)),
        *_light(farm),
        ("operators", f"{crew.operators}, unless an option says otherwise"),
        ("hours", f"{shown('time', crew.hours_per_day, farm.units)} a day for each{off}"),
    ]
    for name, helper in crew.helpers.items():
        chance = shown("share", helper.probability, farm.units)
        rows.append((f"helper: {readable(name)}", f"turns up on {chance} of days"))
    served = " before ".join(map(readable, farm.priority))
    first = "whatever loses most by waiting" if farm.priority == ("loss",) else served
    rows.append(("served first", first))
    return Table("Days and people", ("", ""), tuple(rows))


def _notes(text: str) -> str:
    """Return the comment lines at the head of a table as one line."""
    lines: list[str] = []
    for line in text.splitlines():
        if not line.lstrip().startswith("#"):
            break
        lines.append(line.strip(" #"))
    return " ".join(lines)


def _years(farm: Farm) -> list[tuple[str, str]]:
    years = farm.table_years
    return [] if years is None else [("behind the table", f"records of {years} years")]


def _season(season: Season) -> str:
    first, last = season.first_day, season.last_day
    return f"{day_text(first)} {first.year} to {day_text(last)} {last.year}"


def _wet_words(farm: Farm) -> list[tuple[str, str]]:
    """Return how much of a day is worked where a late date forces work on wet soil."""
    if all(part.wet_from is None for _, _, part in _parts(farm)):
        return []
    share = shown("share", farm.wet_share, farm.units)
    return [("forced work on wet soil", f"{share} of the hours of every day")]


def _light(farm: Farm) -> list[tuple[str, str]]:
    if farm.latitude is None:
        return []
    return [("latitude", f"{farm.latitude:g} degrees: daylight bounds the hours of work")]


def _money(farm: Farm) -> Table:
    money, units = farm.money, farm.units
    above = shown("share", money.labor_above_machine_hours, units)
    taxes = shown("rate", money.taxes_insurance_housing, units)
    rows = [
        ("wage", shown("wage", money.wage, units)),
        ("labor above machine hours", above),
        ("interest, above inflation", shown("rate", money.interest, units)),
        ("taxes, insurance and housing, of the price", taxes),
    ]
    if money.fuel_price is not None:
        rows.append(("fuel", shown("fuel_price", money.fuel_price, units)))
        rows.append(("lubricants, of the cost of fuel", shown("share", money.lubricants, units)))
    return Table("Money", ("", ""), tuple(rows))


def _fields(farm: Farm) -> Table:
    rows, units = [], farm.units
    textures = any(machine.draft is not None for machine in farm.machines.values())
    for name, field in farm.fields.items():
        told = textures or "texture" in field.model_fields_set
        rows.append(
            (
                readable(name),
                readable(field.crop),
                shown("area", field.area, units),
                "" if field.row_length is None else shown("length", field.row_length, units),
                shown("distance", field.distance, units),
                "" if field.soil is None else readable(field.soil),
                field.texture if told else "",
                "" if field.gate_width is None else shown("width", field.gate_width, units),
            )
        )
    heads = ("field", "crop", "area", "row length", "distance", "soil", "texture", "gate")
    return Table("Fields", heads, tuple(rows))


def _parts(farm: Farm) -> list[tuple[str, str, Operation]]:
    """Return every operation on every crop."""
    return [
        (name, crop, part)
        for name, by_crop in farm.operations.items()
        for crop, part in by_crop.items()
    ]


def _operations(farm: Farm) -> Table:
    rows = []
    for name, crop, part in _parts(farm):
        hours = shown("time", part.hours_per_day, farm.units)
        if farm.latitude is not None and not part.after_dark:
            hours += ", by daylight"
        rows.append(
            (
                readable(name),
                readable(crop),
                "" if part.earliest is None else str(part.earliest),
                _before(farm, part),
                _ends(farm, part),
                f"{hours}, after dark too" if part.after_dark else hours,
                shown("share", part.weed_control, farm.units) if part.weed_control else "",
                "" if part.wet_from is None else str(part.wet_from),
            )
        )
    heads = ("operation", "crop", "not before", "and not before", "not after", "hours a day")
    more = ("weeds removed", "on wet soil from")
    return Table("Operations", (*heads, *more), tuple(rows))


def _before(farm: Farm, part: Operation) -> str:
    """Return what an operation waits for, beside its date."""
    waits = []
    if part.follows is not None:
        lag = "" if part.lag == Wait() else f"{wait_text(part.lag, farm.units)} "
        waits.append(f"{lag}after {readable(part.follows)}")
    if part.needs_warm_soil:
        waits.append("the soil is warm")
    return " and ".join(waits)


def _ends(farm: Farm, part: Operation) -> str:
    """Return when the time of an operation is over."""
    ends = [] if part.latest is None else [str(part.latest)]
    if part.latest_after_planting is not None:
        ends.append(f"{wait_text(part.latest_after_planting, farm.units)} after planting")
    return " and ".join(ends)
