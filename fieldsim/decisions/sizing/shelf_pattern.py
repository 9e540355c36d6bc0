"""One of the farm's options as a pattern: what the equipment shelf replaces in it, what stays."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from fieldsim.errors import Fault, InputError, no_such
from fieldsim.farm import Farm
from fieldsim.farm.files import read_document
from fieldsim.farm.machine_parts import Machine, Tractor
from fieldsim.farm.pulling import power_needed
from fieldsim.farm.shelf_parts import ShelfTractor

__all__ = ["Pattern", "pattern_of", "power_on_farm"]


@dataclass(frozen=True)
class Pattern:
    """One of the farm's options, with what the shelf replaces in it.

    Parameters
    ----------
    option : str
    replaced : mapping
        Kind of machine on the shelf, by the machine of the option whose place it takes.
    tractors : mapping
        Tractors that stay, with their count: those of the machines that stay.
    pulled : tuple of str
        Machines that stay and that the outfit's tractor pulls, since the option has no other.
    staying : tuple of str
        Machines that stay.
    operators : int
        The option's own.
    document : mapping
        The farm file.
    """

    option: str
    replaced: Mapping[str, str]
    tractors: Mapping[str, int]
    pulled: tuple[str, ...]
    staying: tuple[str, ...]
    operators: int
    document: Mapping[str, Any]


def pattern_of(farm: Farm, option: str | None = None) -> Pattern:
    """Return an option as a pattern: which of its machines the shelf replaces, and what stays.

    Own planters and cultivating tools are replaced; drills, tillage tools and hired machines stay,
    each with the weakest of the option's tractors that can pull it. Where no tractor is left for
    the planter, it shares the weakest of those, which is then replaced too.

    Parameters
    ----------
    farm : Farm
    option : str, optional
        Default: the first.

    Returns
    -------
    Pattern

    Raises
    ------
    InputError
        If there is no such option, it owns no planter, or it has two for the same work.
    """
    name = next(iter(farm.options)) if option is None else option
    if name not in farm.options:
        raise InputError([no_such("option", "option", name, farm.options)])
    chosen = farm.options[name]
    kinds = {machine: _kind(farm, farm.machines[machine]) for machine in chosen.machines}
    replaced = {machine: kind for machine, kind in kinds.items() if kind}
    problem = _no_pattern(farm, replaced)
    if problem:
        repair = "name an option with one planter of its own, and one tool for each operation"
        raise InputError([Fault("", "option", repr(name), problem, repair)])
    staying = tuple(machine for machine, kind in kinds.items() if not kind)
    tractors, pulled = _staying_tractors(farm, name, staying)
    own = farm.crew.operators if chosen.operators is None else chosen.operators
    return Pattern(name, replaced, tractors, pulled, staying, own, read_document(farm.text))


def _no_pattern(farm: Farm, replaced: Mapping[str, str]) -> str:
    """Return why sizes cannot be put in the place of these machines; empty if they can."""
    if "planter" not in replaced.values():
        return "it owns no planter"
    work = Counter(operation for name in replaced for operation in farm.machines[name].operations)
    operation, count = work.most_common(1)[0]
    return f"{count} of its machines do the same work, {operation}" if count > 1 else ""


def _kind(farm: Farm, machine: Machine) -> str:
    """Return the kind of machine on the shelf that takes a machine's place; empty for none."""
    if machine.custom is not None:
        return ""
    kinds = {part.kind for o in machine.operations for part in farm.operations[o].values()}
    if "planting" in kinds:
        return "" if machine.class_ == "grain_drill" else "planter"
    if "cultivating" in kinds:
        return "rotary_hoe" if machine.class_ == "rotary_hoe" else "row_cultivator"
    return ""


def power_on_farm(farm: Farm, machine: Machine, tractor: Tractor | ShelfTractor) -> float:
    """Return the power that a machine needs of such a tractor on the farm, at its own speed.

    Parameters
    ----------
    farm : Farm
    machine : Machine
    tractor : Tractor or ShelfTractor

    Returns
    -------
    float
        The most that any field takes [kW]; 0 if it needs no tractor.
    """
    return max(
        (
            power_needed(machine, field, tractor.drive)
            for field in farm.fields.values()
            if any(field.crop in farm.operations[o] for o in machine.operations)
        ),
        default=0.0,
    )


def _staying_tractors(
    farm: Farm, option: str, staying: Sequence[str]
) -> tuple[dict[str, int], tuple[str, ...]]:
    """Return the tractors that stay, and the machines whose tractor the planter shares."""
    chosen = farm.options[option]
    weakest_first = sorted(chosen.tractors, key=lambda name: farm.tractors[name].power)
    kept: dict[str, int] = {}
    pulls: dict[str, list[str]] = {}
    for name in staying:
        machine = farm.machines[name]
        needs = {t: power_on_farm(farm, machine, farm.tractors[t]) for t in weakest_first}
        if not any(needs.values()):
            continue
        # One that may go slower needs no tractor that pulls it at full speed.
        able = [t for t in weakest_first if needs[t] <= farm.tractors[t].power]
        tractor = (able or weakest_first[-1:])[0]
        units = min(chosen.machines[name], chosen.tractors[tractor])
        kept[tractor] = max(kept.get(tractor, 0), units)
        pulls.setdefault(tractor, []).append(name)
    if not kept or sum(kept.values()) < sum(chosen.tractors.values()):
        return kept, ()
    shared = next(t for t in weakest_first if t in kept)
    kept[shared] -= 1
    return {t: units for t, units in kept.items() if units}, tuple(pulls[shared])
