"""Whether an option's tractors can pull its machines, and through the gates of the fields."""

from __future__ import annotations

from fieldsim.farm.draft import Draft
from fieldsim.farm.machine_parts import Machine, Tractor
from fieldsim.farm.parts import FarmField, Option
from fieldsim.farm.pulling import is_measured, power_in_row, power_needed, speed_held, working_speed
from fieldsim.machines import draft_machines
from fieldsim.quantities import UnitSystem, factor, unit

__all__ = ["check_draft", "check_gates", "check_tractors", "fields_worked"]


def fields_worked(draft: Draft, machine: Machine) -> dict[str, FarmField]:
    """Return the fields on which a machine works."""
    return {
        name: field
        for name, field in draft.fields.items()
        if any(field.crop in draft.operations.get(o, {}) for o in machine.operations)
    }


def check_draft(draft: Draft, name: str, machine: Machine) -> None:
    """Note a draft that cannot be worked out."""
    part, path = machine.draft, f"machines.{name}.draft"
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
        repair = 'write depth = "4 in" or spacing = "9 in" where the draft goes by it'
        draft.fault(path, None, str(error), repair)


def check_gates(draft: Draft, name: str, machine: Machine) -> None:
    """Note gates through which a machine does not pass."""
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
    """Return the power of the tractor that a machine needs [kW]; 0 if one of them can pull it."""
    fields = list(fields_worked(draft, machine).values())
    if machine.tractor_power is not None and machine.draft is None:
        need, slower = machine.tractor_power, False
        return 0.0 if any(t.power >= need for t in tractors) else need
    slower = machine.allow_slower and bool(tractors)
    try:
        needs = [[power_needed(machine, f, t.drive) for f in fields] for t in tractors]
        if (
            not fields
            or slower
            or any(max(need) <= t.power for need, t in zip(needs, tractors, strict=True))
        ):
            return 0.0
        alone = [power_needed(machine, f, "two_wheel") for f in fields]
    except ValueError:  # noted with the machine
        return 0.0
    return min((max(need) for need in needs), default=max(alone))


def _too_weak(draft: Draft, path: str, option: Option, name: str, power: float) -> None:
    """Note a machine that no tractor of an option can pull, with the speed that one could hold."""
    units: UnitSystem = draft.heading.units if draft.heading else "us"
    strongest = max(
        (draft.tractors[t] for t in option.tractors), key=lambda t: t.power, default=None
    )
    need = f"{power * factor('power', units):,.0f} {unit('power', units)}"
    able = [t for t, tractor in draft.tractors.items() if tractor.power >= power]
    repair = f"add {' or '.join(able)}" if able else f"add a tractor of {need} or more"
    if strongest is None:
        problem = f"{name} needs a tractor of {need} and the option has none"
    else:
        has = f"{strongest.power * factor('power', units):,.0f} {unit('power', units)}"
        problem = f"{name} needs {need} and the strongest has {has}"
        machine = draft.machines[name]
        if machine.draft is not None:
            fields = fields_worked(draft, machine).values()
            held = min(speed_held(machine, field, strongest) for field in fields)
            scale, label = factor("speed", units), unit("speed", units)
            problem += (
                f": at {working_speed(machine) * scale:.3g} {label} it is too heavy, "
                f"{held * scale:.2g} {label} could be held"
            )
            repair += f", or write allow_slower = true in machines.{name}"
    draft.fault(f"{path}.tractors", option.tractors or None, problem, repair)
