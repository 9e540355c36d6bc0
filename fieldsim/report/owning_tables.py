"""What is assumed of owning and hiring machines, and where shipped figures come from."""

from __future__ import annotations

from fieldsim.farm import Farm
from fieldsim.farm.machine_parts import Owned, Tractor
from fieldsim.farm.wear import wear_class
from fieldsim.machines import MachineClass, draft_coefficients
from fieldsim.plots.words import readable
from fieldsim.report.shown import shown
from fieldsim.report.table import Table

__all__ = ["owning_tables"]


def owning_tables(farm: Farm) -> tuple[Table, ...]:
    """Return the tables of tractors, owning, hiring, and the sources of classes and drafts."""
    return _tractors(farm), _owned(farm), _hired(farm), _classes(farm), _drafts(farm)


def _tractors(farm: Farm) -> Table:
    rows = tuple(
        (readable(name), shown("power", part.power, farm.units), readable(part.drive))
        for name, part in farm.tractors.items()
    )
    return Table("Tractors", ("tractor", "power", "drive"), rows)


def _equipment(farm: Farm) -> dict[str, tuple[Owned, MachineClass | None]]:
    """Return the machines that are the farm's own and its tractors, each with its class."""
    owned: dict[str, Owned] = {
        name: part for name, part in farm.machines.items() if part.custom is None
    }
    owned.update(farm.tractors)
    return {name: (part, wear_class(part)) for name, part in owned.items()}


def _owned(farm: Farm) -> Table:
    rows = []
    for name, (part, known) in _equipment(farm).items():
        new = part.list_price
        other = part.other_hours if isinstance(part, Tractor) else 0.0
        rows.append(
            (
                readable(name),
                "none: no repairs" if known is None else readable(known.name),
                shown("money", part.price, farm.units),
                "" if new is None else shown("money", new, farm.units),
                f"{part.age} years" if part.age else "",
                shown("time", part.hours, farm.units) if part.hours else "",
                f"{part.years} years",
                _sold_for(farm, part, known),
                shown("time", other, farm.units) if other else "",
            )
        )
    heads = ("machine or tractor", "class", "price", "list price", "age", "hours on it", "kept")
    more = ("sold for, of the price", "other work in a year")
    return Table("Owning", (*heads, *more), tuple(rows))


def _sold_for(farm: Farm, part: Owned, known: MachineClass | None) -> str:
    if part.salvage is not None:
        return shown("share", part.salvage, farm.units)
    return "nothing" if known is None else "its remaining value"


def _hired(farm: Farm) -> Table:
    rows = []
    for name, machine in farm.machines.items():
        custom = machine.custom
        if custom is not None:
            rate = shown("money_per_area", custom.rate, farm.units)
            rows.append((readable(name), rate, f"{custom.arrives_after} days after it is called"))
    heads = ("machine", "rate, with operator and tractor", "comes")
    return Table("Hired machines", heads, tuple(rows))


def _classes(farm: Farm) -> Table:
    classes = {known.name: known for _, known in _equipment(farm).values() if known is not None}
    rows = tuple(
        (readable(name), known.value_source, known.repair_source) for name, known in classes.items()
    )
    heads = ("class", "source of the remaining value", "source of repairs")
    return Table("Classes of machines", heads, rows)


def _drafts(farm: Farm) -> Table:
    kinds = dict.fromkeys(
        machine.draft.machine for machine in farm.machines.values() if machine.draft is not None
    )
    rows = []
    for kind in kinds:
        known = draft_coefficients(kind)
        varies = f"± {shown('share', known.plus_minus, farm.units)}"
        rows.append((readable(kind), varies, f"{known.source} ({known.status})"))
    return Table("Draft", ("implement", "varies by", "source"), tuple(rows))
