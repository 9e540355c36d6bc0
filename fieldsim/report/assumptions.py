"""What the answer rests on: the farm in tables of words, in its own unit system."""

from __future__ import annotations

from dataclasses import dataclass

from fieldsim.farm import Farm
from fieldsim.farm.entries import Wait
from fieldsim.farm.machine_parts import Machine, Owned
from fieldsim.farm.pulling import working_speed
from fieldsim.plots.words import day_text, readable
from fieldsim.report.curves import curve_text
from fieldsim.report.day_words import source_words, warm_words
from fieldsim.report.shown import range_text, shown, wait_text
from fieldsim.work.outfit import block_capacity

__all__ = ["Table", "assumptions"]


OWNED = ("price", "kept", "sold for, of the price")


@dataclass(frozen=True)
class Table:
    """A table of text: a heading, the heads of its columns, and its rows."""

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def assumptions(farm: Farm) -> tuple[Table, ...]:
    """Return the tables of everything that was assumed.

    Parameters
    ----------
    farm : Farm

    Returns
    -------
    tuple of Table
        Crops, yield by planting date, days and people, money, fields, operations, machines,
        tractors, options.
    """
    tables = [_crops(farm), _curves(farm), _days_and_people(farm), _money(farm), _fields(farm)]
    tables += [_operations(farm), _machines(farm), _tractors(farm), _options(farm)]
    return tuple(table for table in tables if table.rows)


def _crops(farm: Farm) -> Table:
    rows = []
    for name, crop in farm.crops.items():
        late, rules = crop.late, []
        if late.switch_to is not None:
            rules.append(f"from {late.switch_from} planted to {readable(late.switch_to)}")
        if late.unplanted_from is not None:
            paid = shown("money_per_area", late.unplanted_revenue, farm.units)
            rules.append(f"from {late.unplanted_from} left unplanted, for {paid}")
        best = shown("yield", crop.yield_, farm.units, crop.test_weight)
        price = shown("price", crop.price, farm.units, crop.test_weight)
        rule = "; ".join(rules) or "planted whenever it can be"
        rows.append((readable(name), best, price, str(crop.target_date), rule))
    heads = ("crop", "yield on the best date", "price", "target for planting", "late land")
    return Table("Crops", heads, tuple(rows))


def _curves(farm: Farm) -> Table:
    rows = tuple((readable(crop), *curve_text(curve)) for crop, curve in farm.curves.items())
    return Table("Yield by planting date", ("crop", "curve", "source or form"), rows)


def _days_and_people(farm: Farm) -> Table:
    crew, season = farm.crew, farm.season
    yields = {crop.yield_by_planting_date.table for crop in farm.crops.values()}
    named = [name for name in farm.tables if name not in yields]
    off = f", none on {' and '.join(crew.days_off)}" if crew.days_off else ""
    rows = [
        ("suitable days", source_words(farm.day_source)),
        *((f"notes in {name}", notes) for name in named if (notes := _notes(farm.tables[name]))),
        *warm_words(farm),
        ("season", f"{day_text(season.first_day)} to {day_text(season.last_day)}"),
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


def _money(farm: Farm) -> Table:
    money, units = farm.money, farm.units
    rows = (
        ("wage", shown("wage", money.wage, units)),
        (
            "labor above machine hours",
            shown("share", money.labor_above_machine_hours, units),
        ),
        ("interest, above inflation", shown("rate", money.interest, units)),
        (
            "taxes, insurance and housing, of the price",
            shown("rate", money.taxes_insurance_housing, units),
        ),
    )
    return Table("Money", ("", ""), rows)


def _fields(farm: Farm) -> Table:
    rows = []
    for name, field in farm.fields.items():
        length = "" if field.row_length is None else shown("length", field.row_length, farm.units)
        distance = shown("distance", field.distance, farm.units)
        area = shown("area", field.area, farm.units)
        rows.append((readable(name), readable(field.crop), area, length, distance))
    return Table("Fields", ("field", "crop", "area", "row length", "distance"), tuple(rows))


def _operations(farm: Farm) -> Table:
    rows = []
    for name, by_crop in farm.operations.items():
        for crop, part in by_crop.items():
            before = ""
            if part.follows is not None:
                lag = "" if part.lag == Wait() else f"{wait_text(part.lag, farm.units)} "
                before = f"{lag}after {readable(part.follows)}"
            if part.needs_warm_soil:
                before = " and ".join(filter(None, (before, "the soil is warm")))
            ends = [] if part.latest is None else [str(part.latest)]
            if part.latest_after_planting is not None:
                wait = wait_text(part.latest_after_planting, farm.units)
                ends.append(f"{wait} after planting")
            hours = shown("time", part.hours_per_day, farm.units)
            if farm.latitude is not None and not part.after_dark:
                hours += ", by daylight"
            first = "" if part.earliest is None else str(part.earliest)
            work = (readable(name), readable(crop))
            rows.append((*work, first, before, " and ".join(ends), hours))
    heads = ("operation", "crop", "not before", "and not before", "not after", "hours a day")
    return Table("Operations", heads, tuple(rows))


def _machines(farm: Farm) -> Table:
    rows = []
    for name, machine in farm.machines.items():
        capacity = _capacities(farm, machine)
        power = machine.tractor_power
        rows.append(
            (
                readable(name),
                ", ".join(map(readable, machine.operations)),
                shown("width", machine.working_width, farm.units),
                shown("speed", working_speed(machine), farm.units),
                range_text("field_capacity", capacity, farm.units) if capacity else "",
                "" if power is None else shown("power", power, farm.units),
                *_owned(machine, farm),
            )
        )
    heads = ("machine", "for", "width", "speed", "field capacity", "tractor needed", *OWNED)
    return Table("Machines", heads, tuple(rows))


def _capacities(farm: Farm, machine: Machine) -> list[float]:
    """Return a machine's field capacity on each field that it may work [ha/h]."""
    crops = {crop for name in machine.operations for crop in farm.operations.get(name, {})}
    return [block_capacity(machine, part) for part in farm.fields.values() if part.crop in crops]


def _owned(part: Owned, farm: Farm) -> tuple[str, str, str]:
    price = shown("money", part.price, farm.units)
    salvage = (
        "its remaining value" if part.salvage is None else shown("share", part.salvage, farm.units)
    )
    return price, f"{part.years} years", salvage


def _tractors(farm: Farm) -> Table:
    rows = tuple(
        (readable(name), shown("power", part.power, farm.units), *_owned(part, farm))
        for name, part in farm.tractors.items()
    )
    return Table("Tractors", ("tractor", "power", *OWNED), rows)


def _options(farm: Farm) -> Table:
    rows = []
    for name, option in farm.options.items():
        operators = farm.crew.operators if option.operators is None else option.operators
        sets = (
            ", ".join(f"{count} × {readable(part)}" for part, count in parts.items() if count)
            for parts in (option.machines, option.tractors)
        )
        rows.append((readable(option.label or name), *sets, str(operators)))
    heads = ("option", "machines", "tractors", "operators")
    return Table("Options", heads, tuple(rows))
