"""Whether an option's tractors can pull its machines, and through the gates of the fields."""

from __future__ import annotations

import math
from collections.abc import Iterable

from fieldsim.farm.draft import Draft
from fieldsim.farm.machine_parts import Machine, Tractor
from fieldsim.farm.parts import FarmField, Option
from fieldsim.farm.pulling import is_measured, power_in_row, power_needed, speed_held, working_speed
from fieldsim.machines import draft_machines
from fieldsim.machines.power import Drive
from fieldsim.quantities import UnitSystem, factor, unit

__all__ = ["check_draft", "check_gates", "check_tractors", "fields_worked"]


def fields_worked(draft: Draft, machine: Machine) -> dict[str, FarmField]:
    """Return the fields on which a machine works, or may when their land is switched."""
    crops = {crop for o in machine.operations for crop in draft.operations.get(o, {})}
    return {
        name: field
        for name, field in draft.fields.items()
        if field.crop in crops
        or (field.crop in draft.crops and draft.crops[field.crop].late.switch_to in crops)
    }


def check_draft(draft: Draft, name: str, machine: Machine) -> None:
    """Note a draft that cannot be worked out, or one that is missing where speed hangs on it."""
    part, path = machine.draft, f"machines.{name}.draft"
    if machine.allow_slower and part is None and draft.sound(path):
        problem = "how much slower cannot be told without its draft"
        repair = 'add draft = { machine = "...", depth = "4 in" }, or leave it out'
        draft.fault(f"machines.{name}.allow_slower", True, problem, repair)
    if part is None or not draft.sound(path, f"machines.{name}") or not is_measured(machine):
        return
    if part.machine not in draft_machines():
        repair = f"write one of {', '.join(draft_machines())}"
        draft.fault(f"{path}.machine", part.machine, "there is no such machine", repair)
        return
    example = next(iter(draft.fields.values()), None)
    if example is None:
        return
    try:
        power_in_row(machine, example, 1.0, "two_wheel")
    except ValueError as error:
        repair = 'write just what it goes by: depth = "4 in", spacing = "9 in", both or neither'
        draft.fault(path, None, str(error), repair)


def check_gates(draft: Draft, name: str, machine: Machine) -> None:
    """Note gates through which a machine does not pass."""
    path = f"machines.{name}"
    if not draft.sound(f"{path}.transport_width", f"{path}.fold_time"):
        return
    narrow = machine.transport_width
    if narrow is None and is_measured(machine):
        narrow = None if machine.fold_time else machine.working_width
    for field, part in fields_worked(draft, machine).items():
        if narrow is not None and part.gate_width is not None and narrow > part.gate_width:
            units: UnitSystem = draft.heading.units if draft.heading else "us"
            label, scale = unit("width", units), factor("width", units)
            problem = (
                f"{name} is {narrow * scale:,.3g} {label} wide on the road: wider than the gate"
            )
            written = draft.entry("fields", field, "gate_width")[1]
            repair = f'write fold_time or transport_width in machines.{name}, as "13 ft"'
            draft.fault(f"fields.{field}.gate_width", written, problem, repair)


def check_tractors(draft: Draft, path: str, option: Option) -> None:
    """Note the machine that needs the most power, if no tractor of the option has it."""
    known = all(t in draft.tractors and draft.sound(f"tractors.{t}") for t in option.tractors)
    machines = {
        name: draft.machines[name]
        for name in option.machines
        if name in draft.machines
        and draft.machines[name].custom is None
        and is_measured(draft.machines[name])
        and draft.sound(f"machines.{name}")
    }
    if not known:
        return
    tractors = [draft.tractors[name] for name in option.tractors]
    needs = {name: _need(draft, machine, tractors) for name, machine in machines.items()}
    hungriest = max(needs, key=lambda name: needs[name], default="")
    if hungriest and needs[hungriest] > 0:
        _too_weak(draft, path, option, hungriest, needs[hungriest])


def _need(draft: Draft, machine: Machine, tractors: list[Tractor]) -> float:
    """Return the power that a machine needs of the strongest tractor [kW]; 0 if any can pull it."""
    fields = list(fields_worked(draft, machine).values())
    slower = machine.allow_slower and machine.draft is not None and bool(tractors)
    if slower:
        return 0.0
    try:
        if any(_most(machine, fields, tractor.drive) <= tractor.power for tractor in tractors):
            return 0.0
        strongest = max(tractors, key=lambda tractor: tractor.power, default=None)
        return _most(machine, fields, strongest.drive if strongest else "two_wheel")
    except ValueError:  # noted with the machine
        return 0.0


def _most(machine: Machine, fields: Iterable[FarmField], drive: Drive) -> float:
    """Return the most power that a machine needs on any of its fields [kW]."""
    if machine.tractor_power is not None:
        return machine.tractor_power
    return max((power_needed(machine, field, drive) for field in fields), default=0.0)


def _too_weak(draft: Draft, path: str, option: Option, name: str, power: float) -> None:
    """Note a machine that no tractor of an option can pull, with the speed that one could hold."""
    units: UnitSystem = draft.heading.units if draft.heading else "us"
    strongest = max(
        (draft.tractors[t] for t in option.tractors), key=lambda t: t.power, default=None
    )
    has = strongest.power if strongest else 0.0
    need, has_shown = _shown((power, has), units)
    machine, fields = draft.machines[name], fields_worked(draft, draft.machines[name]).values()
    able = [
        t
        for t, tractor in draft.tractors.items()
        if draft.sound(f"tractors.{t}") and _most(machine, fields, tractor.drive) <= tractor.power
    ]
    repair = f"add {' or '.join(able)}" if able else f"add a tractor of {need} or more"
    if strongest is None:
        problem = f"{name} needs a tractor of {need} and the option has none"
    else:
        problem = f"{name} needs {need} and the strongest has {has_shown}"
        if machine.draft is not None and machine.tractor_power is None:
            held = min(speed_held(machine, field, strongest) for field in fields)
            scale, label = factor("speed", units), unit("speed", units)
            problem += (
                f": at {working_speed(machine) * scale:.3g} {label} it is too heavy, "
                f"{math.floor(held * scale * 10) / 10:g} {label} could be held"
            )
            repair += f", or write allow_slower = true in machines.{name}"
    draft.fault(f"{path}.tractors", option.tractors or None, problem, repair)


def _shown(powers: tuple[float, float], units: UnitSystem) -> list[str]:
    """Return two powers in the farm's unit, in whole numbers where these tell them apart."""
    numbers = [power * factor("power", units) for power in powers]
    places = 0 if round(numbers[0]) != round(numbers[1]) else 2
    return [f"{number:,.{places}f} {unit('power', units)}" for number in numbers]
