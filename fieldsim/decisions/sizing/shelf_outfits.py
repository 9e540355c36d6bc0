"""Outfits from the equipment shelf, in the place of those of one of the farm's options."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from pydantic import ValidationError

from fieldsim.decisions.sizing.shelf_pattern import Pattern, power_on_farm
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm, changed
from fieldsim.farm.machine_parts import Machine
from fieldsim.farm.messages import from_validation
from fieldsim.farm.shelf_parts import Implement, Shelf, ShelfTractor
from fieldsim.quantities import factor, unit

__all__ = ["ShelfOutfit", "farm_entries", "shelf_outfits"]

SAME_SPACING = 0.02  # within which planter and cultivator rows count as equally spaced [m]
SAME_WIDTH = 0.98  # of the planter's width, that a rotary hoe has at least
# What belongs to the machine and comes with the one from the shelf, or not at all.
REPLACED = (
    *("class", "rows", "row_spacing", "width", "fold_time", "transport_width", "tractor_power"),
    *("price", "list_price", "age", "hours", "salvage"),
)

Entries = Mapping[str, Mapping[str, Any]]


@dataclass(frozen=True)
class ShelfOutfit:
    """One or two outfits of a size: a planter, what goes with it, and the tractor that pulls it.

    Parameters
    ----------
    size : str
        In words.
    rows, units : int
        Rows of a planter, and how many planters.
    bought : "new" or "used"
    planter, tractor : str
        Names on the shelf.
    tools : tuple of str
        What else comes from the shelf.
    machines, tractors, option : mapping
        Entries for a farm file.
    """

    size: str
    rows: int
    units: int
    bought: str
    planter: str
    tractor: str
    tools: tuple[str, ...]
    machines: Entries
    tractors: Entries
    option: Mapping[str, Any]


def shelf_outfits(
    farm: Farm, shelf: Shelf, pattern: Pattern
) -> tuple[list[ShelfOutfit], list[str]]:
    """Return an outfit for every planter on the shelf, and in words what cannot be put together.

    With a planter go the cultivator with as many rows (else that with most rows of those that go
    into the planter's a whole number of times: common practice, no source), the narrowest rotary
    hoe that covers it (else the widest), and the weakest tractor that can pull them all at their
    own speed; with used planters used ones, where there are any. Two outfits are put together where
    the option has operators for both, except of the smallest size, and of those that together are
    wider than any planter on the shelf.

    Parameters
    ----------
    farm : Farm
    shelf : Shelf
    pattern : Pattern

    Returns
    -------
    outfits : list of ShelfOutfit
        New ones first, by rows.
    left_out : list of str

    Raises
    ------
    InputError
        If not a single outfit can be put together.
    """
    planters = [item for item in shelf.implements if item.kind == "planter"]
    planters.sort(key=lambda item: (item.bought, item.rows))
    found: list[ShelfOutfit] = []
    reasons: dict[str, list[str]] = {}
    for planter in planters:
        outfit = _outfit(farm, shelf, pattern, planter)
        if isinstance(outfit, str):
            reasons.setdefault(outfit, []).append(planter.name)
            continue
        found.append(outfit)
        if pattern.operators > 1 and _in_the_middle(planter, planters):
            found.append(_two_of(outfit))
    left_out = [f"{', '.join(names)}: {reason}" for reason, names in reasons.items()]
    if not found:
        problem = "; ".join(left_out) or "there is no planter on the shelf"
        repair = "add a planter, a cultivator that goes with it, and a tractor that can pull them"
        raise InputError([Fault(shelf.file, "", "", problem, repair)])
    found.sort(key=lambda outfit: (outfit.bought, outfit.units * outfit.rows, outfit.units))
    return _told_apart(found), left_out


def farm_entries(pattern: Pattern, outfits: Sequence[ShelfOutfit]) -> dict[str, object]:
    """Return the sections of a farm file that has these outfits as its options.

    Parameters
    ----------
    pattern : Pattern
    outfits : sequence of ShelfOutfit

    Returns
    -------
    dict
        For `fieldsim.changed`. Options are called ``outfit_0``, ``outfit_1`` and so on.
    """
    document = pattern.document
    machines = {name: document["machines"][name] for name in pattern.staying}
    tractors = {name: document["tractors"][name] for name in pattern.tractors}
    for outfit in outfits:
        machines |= outfit.machines
        tractors |= outfit.tractors
    options = {f"outfit_{place}": outfit.option for place, outfit in enumerate(outfits)}
    return {"machines": machines, "tractors": tractors, "options": options}


def _in_the_middle(planter: Implement, planters: Sequence[Implement]) -> bool:
    """Say whether a size is looked at in pairs."""
    rows = [item.rows or 0 for item in planters]
    return min(rows) < (planter.rows or 0) <= max(rows) / 2


def _two_of(outfit: ShelfOutfit) -> ShelfOutfit:
    """Return two outfits of a size: twice what comes from the shelf."""
    option = dict(outfit.option)
    for section, own in (("machines", outfit.machines), ("tractors", outfit.tractors)):
        counts = option[section]
        option[section] = {name: n * (1 + (name in own)) for name, n in counts.items()}
    return replace(outfit, size=f"two of {outfit.size}", units=2, option=option)


def _told_apart(outfits: Sequence[ShelfOutfit]) -> list[ShelfOutfit]:
    """Name the planter where there are several of a size."""
    count = Counter((outfit.bought, outfit.size) for outfit in outfits)
    return [
        replace(o, size=f"{o.size} ({o.planter})") if count[o.bought, o.size] > 1 else o
        for o in outfits
    ]


def _outfit(farm: Farm, shelf: Shelf, pattern: Pattern, planter: Implement) -> ShelfOutfit | str:
    """Return the outfit of a planter, or why there is none."""
    chosen: dict[str, Implement] = {}
    for machine, kind in pattern.replaced.items():
        item = planter if kind == "planter" else _tool(shelf, kind, planter)
        if item is None:
            return f"no {kind.replace('_', ' ')} on the shelf goes with it"
        chosen[machine] = item
    named = _names(chosen, pattern)
    written = pattern.document["machines"]
    entries = {named[name]: _entry(written[name], item) for name, item in chosen.items()}
    try:
        pulled = [Machine.model_validate(entry) for entry in entries.values()]
    except ValidationError as error:
        return _reason(from_validation(error, Machine, "", "")[0])
    pulled += [farm.machines[name] for name in pattern.pulled]
    tractor = _tractor(farm, shelf, pulled, planter.bought)
    if tractor is None:
        strongest = max((t.power for t in shelf.tractors), default=0.0)
        has = f"{strongest * factor('power', farm.units):,.0f} {unit('power', farm.units)}"
        return f"no tractor on the shelf is strong enough, the strongest has {has}"
    called = _free(tractor.name, pattern)
    counts = farm.options[pattern.option].machines
    outfit = ShelfOutfit(
        size=f"{planter.rows} rows",
        rows=planter.rows or 0,
        units=1,
        bought=planter.bought,
        planter=planter.name,
        tractor=tractor.name,
        tools=tuple(dict.fromkeys(item.name for item in chosen.values() if item is not planter)),
        machines=entries,
        tractors={called: tractor.written},
        option={
            "machines": {named.get(m, m): 1 if m in named else n for m, n in counts.items()},
            "tractors": {**pattern.tractors, called: 1},
            "operators": pattern.operators,
        },
    )
    try:
        changed(farm, farm_entries(pattern, [outfit]))
    except InputError as error:
        return _reason(error.faults[0])
    return outfit


def _reason(fault: Fault) -> str:
    return f"{fault.field}: {fault.problem}" if fault.field else fault.problem


def _names(chosen: Mapping[str, Implement], pattern: Pattern) -> dict[str, str]:
    """Return what to call what takes the place of each machine, by the machine."""
    count = Counter(item.name for item in chosen.values())
    return {
        machine: _free(
            item.name if count[item.name] == 1 else f"{item.name[:20]} {machine[:19]}", pattern
        )
        for machine, item in chosen.items()
    }


def _free(name: str, pattern: Pattern) -> str:
    """Return a name, or one like it where something that stays has it."""
    taken = (*pattern.staying, *pattern.tractors)
    return f"shelf {name}"[:40] if name in taken else name


def _tool(shelf: Shelf, kind: str, planter: Implement) -> Implement | None:
    """Return the tool of a kind that goes with a planter; None if there is none."""
    rank = _as_many_rows if kind == "row_cultivator" else _covering
    ranked = [
        (found, tool.bought != planter.bought, tool.price, tool.name, tool)
        for tool in shelf.implements
        if tool.kind == kind and (found := rank(tool, planter)) is not None
    ]
    return min(ranked, key=lambda entry: entry[:-1])[-1] if ranked else None


def _as_many_rows(tool: Implement, planter: Implement) -> float | None:
    """Rank a row cultivator by its rows, most first; None if its rows do not fit the planter's."""
    assert tool.rows is not None
    assert tool.row_spacing is not None
    assert planter.rows is not None
    assert planter.row_spacing is not None
    spaced = abs(tool.row_spacing - planter.row_spacing) <= SAME_SPACING
    return -float(tool.rows) if spaced and planter.rows % tool.rows == 0 else None


def _covering(tool: Implement, planter: Implement) -> tuple[bool, float]:
    """Rank a rotary hoe: the narrowest of those that cover the planter, then the widest."""
    width = tool.working_width
    narrower = width < SAME_WIDTH * planter.working_width
    return narrower, -width if narrower else width


def _tractor(
    farm: Farm, shelf: Shelf, machines: Sequence[Machine], bought: str
) -> ShelfTractor | None:
    """Return the weakest tractor that can pull all these machines, new or used as asked for."""
    able = [
        tractor
        for tractor in shelf.tractors
        if all(power_on_farm(farm, machine, tractor) <= tractor.power for machine in machines)
    ]
    able.sort(key=lambda tractor: (tractor.bought != bought, tractor.power, tractor.price))
    return able[0] if able else None


def _entry(own: Mapping[str, Any], item: Implement) -> dict[str, Any]:
    """Return the farm's own machine as it would be with the figures of one on the shelf."""
    entry = {name: value for name, value in own.items() if name not in REPLACED}
    entry |= {"class": item.kind, **item.written}
    if "time" in own:
        entry.pop("field_efficiency", None)
        entry["time"] = _time(own["time"], item)
    if "draft" in own and "tractor_power" not in own:
        del entry["tractor_power"]
    return entry


def _time(own: Mapping[str, Any], item: Implement) -> dict[str, Any]:
    """Return the time elements of the farm's own machine with turn and hoppers of the shelf's."""
    time = dict(own)
    if item.turn is not None:
        time["turn"] = f"{item.turn!r} h"
    fills = {material: dict(fill) for material, fill in own.get("fills", {}).items()}
    for material, hopper in item.hoppers.items():
        if material in fills:
            fills[material] |= {"hopper": hopper.hopper, "time": f"{hopper.time!r} h"}
    if fills:
        time["fills"] = fills
    return time
