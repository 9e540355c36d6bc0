"""What is assumed of machines, tractors and options, and the sources of shipped figures."""

from __future__ import annotations

from fieldsim.farm import Farm
from fieldsim.farm.machine_parts import DraftPart, Machine
from fieldsim.farm.pulling import working_speed
from fieldsim.plots.words import readable
from fieldsim.report.owning_tables import owning_tables
from fieldsim.report.shown import hours_text, range_text, shown
from fieldsim.report.table import Table
from fieldsim.work.outfit import block_capacity, block_efficiency

__all__ = ["machine_tables"]


def machine_tables(farm: Farm) -> tuple[Table, ...]:
    """Return the tables of machines at work, on the road and owned, and of options."""
    at_work = _at_work(farm), _turns(farm), _fills(farm), _road(farm)
    return *at_work, *owning_tables(farm), _options(farm)


def _at_work(farm: Farm) -> Table:
    rows = []
    for name, machine in farm.machines.items():
        capacity, efficiency = _on_fields(farm, machine)
        power = machine.tractor_power
        rows.append(
            (
                readable(name),
                ", ".join(map(readable, machine.operations)),
                _width(farm, machine),
                _speed(farm, machine),
                range_text("share", efficiency, farm.units) if efficiency else "",
                range_text("field_capacity", capacity, farm.units) if capacity else "",
                "" if power is None else shown("power", power, farm.units),
                "" if machine.draft is None else _draft(farm, machine.draft),
            )
        )
    heads = ("machine", "for", "width", "speed", "field efficiency", "field capacity")
    return Table("Machines at work", (*heads, "tractor needed", "draft"), tuple(rows))


def _width(farm: Farm, machine: Machine) -> str:
    width = shown("width", machine.working_width, farm.units)
    if machine.rows is None or machine.row_spacing is None:
        return width
    spacing = shown("row_spacing", machine.row_spacing, farm.units)
    return f"{width}: {machine.rows} rows of {spacing}"


def _speed(farm: Farm, machine: Machine) -> str:
    words = [shown("speed", working_speed(machine), farm.units)]
    if machine.pattern is not None:
        words.append(readable(machine.pattern))
    if machine.allow_slower:
        words.append("slower where a tractor cannot hold it")
    return ", ".join(words)


def _on_fields(farm: Farm, machine: Machine) -> tuple[list[float], list[float]]:
    """Return a machine's field capacity [ha/h] and efficiency on each field that it may work."""
    crops = {crop for name in machine.operations for crop in farm.operations.get(name, {})}
    fields = [part for part in farm.fields.values() if part.crop in crops]
    speed = working_speed(machine)
    capacities = [block_capacity(machine, part) for part in fields]
    return capacities, [block_efficiency(machine, part, speed) for part in fields]


def _draft(farm: Farm, part: DraftPart) -> str:
    words = [readable(part.machine)]
    if part.depth is not None:
        words.append(f"{shown('depth', part.depth, farm.units)} deep")
    if part.spacing is not None:
        words.append(f"tools {shown('row_spacing', part.spacing, farm.units)} apart")
    return ", ".join([*words, f"tractor on {readable(part.surface)} soil"])


def _turns(farm: Farm) -> Table:
    rows = []
    for name, machine in farm.machines.items():
        part = machine.time
        if part is not None:
            overlap, adjustment = (
                shown("share", share, farm.units) for share in (part.overlap, part.adjustment)
            )
            rows.append((readable(name), hours_text(part.turn), overlap, adjustment))
    heads = ("machine", "a turn", "overlap", "adjustment, of the time in the row")
    return Table("Time elements", heads, tuple(rows))


def _fills(farm: Farm) -> Table:
    rows = []
    for name, machine in farm.machines.items():
        for material, fill in machine.time.fills.items() if machine.time else ():
            share = fill.nitrogen_and_potash
            rows.append(
                (
                    readable(name),
                    readable(material),
                    fill.hopper,
                    fill.rate,
                    hours_text(fill.time),
                    str(fill.helpers) if fill.helpers else "",
                    "" if fill.placement is None else readable(fill.placement),
                    "" if share is None else shown("share", share, farm.units),
                )
            )
    heads = ("machine", "material", "holds", "rate", "a fill", "helpers at it", "placed")
    return Table("Stops to fill", (*heads, "nitrogen and potash in it"), tuple(rows))


def _road(farm: Farm) -> Table:
    rows = []
    for name, machine in farm.machines.items():
        speed, wide = machine.road_speed, machine.transport_width
        told = (
            "" if speed is None else shown("speed", speed, farm.units),
            hours_text(machine.fold_time) if machine.fold_time else "",
            "" if wide is None else shown("width", wide, farm.units),
            hours_text(machine.daily_service) if machine.daily_service else "",
            "yes" if machine.comes_home else "",
        )
        if any(told):
            rows.append((readable(name), *told))
    heads = ("machine", "on the road", "to fold or unfold", "width on the road")
    more = ("service each morning", "comes home each day")
    return Table("On the road and in the morning", (*heads, *more), tuple(rows))


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
