"""Whether each option can do the work: its machines, its tractors, and people to drive them."""

from __future__ import annotations

from fieldsim.farm.draft import Draft
from fieldsim.farm.machine_parts import Machine
from fieldsim.farm.names import listed, unknown
from fieldsim.farm.parts import Option
from fieldsim.farm.pulling_checks import check_draft, check_gates, check_tractors, fields_worked
from fieldsim.machines import machine_classes

__all__ = ["check_crew", "check_machine", "check_option"]


def check_machine(draft: Draft, name: str, machine: Machine) -> None:
    """Note what a machine lacks to work, on the fields on which it works."""
    path = f"machines.{name}"
    for operation in machine.operations:
        unknown(draft, f"{path}.operations", operation, operation, "operations")
    _width(draft, path, machine)
    given = [key for key in ("field_efficiency", "time") if getattr(machine, key) is not None]
    if len(given) != 1 and draft.sound(f"{path}.field_efficiency", f"{path}.time"):
        problem = "give either field_efficiency or the time elements"
        repair = 'write field_efficiency = "65 %", or [machines.NAME.time] with turn = "25 s"'
        draft.fault(path, None, f"{problem}; here: {_here(given)}", repair.replace("NAME", name))
    if machine.speed is None and machine.pattern is None and draft.sound(f"{path}.pattern"):
        draft.fault(f"{path}.speed", None, "is missing", 'write speed = "5 mph"')
    for material in machine.time.fills if machine.time else ():
        draft.check_name(f"{path}.time.fills", material)
    _on_the_fields(draft, name, machine)
    _owning(draft, name, machine)
    check_draft(draft, name, machine)
    check_gates(draft, name, machine)


def _owning(draft: Draft, name: str, machine: Machine) -> None:
    """Note a class that there is not, and what a hired machine cannot have."""
    path = f"machines.{name}"
    if machine.class_ is not None and machine.class_ not in machine_classes():
        repair = f"write one of {', '.join(machine_classes())}"
        draft.fault(f"{path}.class", machine.class_, "there is no such class", repair)
    if machine.custom is not None:
        for key in ("price", "list_price", "tractor_power", "draft"):
            if key in machine.model_fields_set:
                written = draft.entry("machines", name, key)[1]
                problem = "a hired machine comes with its owner, operator and tractor"
                draft.fault(f"{path}.{key}", written, problem, "leave it out")


def _here(given: list[str]) -> str:
    return listed(given) if given else "neither"


def _width(draft: Draft, path: str, machine: Machine) -> None:
    keys = ("rows", "row_spacing", "width")
    given = [key for key in keys if getattr(machine, key) is not None]
    sound = draft.sound(*(f"{path}.{key}" for key in keys))
    if sound and given not in (["rows", "row_spacing"], ["width"]):
        problem = f"give either rows with row_spacing, or width; here: {_here(given)}"
        repair = 'write rows = 6 and row_spacing = "30 in", or width = "15 ft"'
        draft.fault(path, None, problem, repair)


def _on_the_fields(draft: Draft, name: str, machine: Machine) -> None:
    """Note what a machine or a field must tell so that the one can work on the other."""
    worked = fields_worked(draft, machine)
    for field, part in worked.items():
        if machine.time is not None and part.row_length is None:
            problem = "is missing: field efficiency built from time elements depends on it"
            draft.fault(f"fields.{field}.row_length", None, problem, 'write row_length = "1300 ft"')
    far = [field for field, part in worked.items() if part.distance > 0]
    if far and machine.road_speed is None:
        problem = f"is missing, and there is a road to {listed(far)}"
        draft.fault(f"machines.{name}.road_speed", None, problem, 'write road_speed = "15 mph"')


def check_option(draft: Draft, name: str, option: Option) -> None:
    """Note what an option lacks to do the farm's work."""
    path = f"options.{name}"
    known = True
    for section in ("machines", "tractors"):
        for part_name, count in getattr(option, section).items():
            place = f"{path}.{section}.{part_name}"
            known &= not unknown(draft, place, part_name, count, section)
            if count == 0:
                draft.fault(place, 0, "a count of 0 does no work", "leave it out, or write 1")
    if known and draft.sound(f"{path}.machines"):
        _idle_operations(draft, path, option)
    if known and draft.sound(f"{path}.tractors"):
        check_tractors(draft, path, option)


def _idle_operations(draft: Draft, path: str, option: Option) -> None:
    """Note operations that no machine of the option does."""
    if any(m not in draft.machines for m in option.machines):
        return
    done = {operation for m in option.machines for operation in draft.machines[m].operations}
    if not done <= set(draft.operations):  # one of them is noted as unknown
        return
    for operation, by_crop in draft.operations.items():
        if not by_crop or operation in done:
            continue
        able = [m for m, machine in draft.machines.items() if operation in machine.operations]
        repair = f'add a machine with operations = ["{operation}"]'
        if able:
            repair = f"add {' or '.join(able)}"
        draft.fault(f"{path}.machines", option.machines, f"none of them does {operation}", repair)


def check_crew(draft: Draft) -> None:
    """Note days, names and options that leave nobody to work."""
    crew = draft.crew
    if crew is None:
        return
    if len(set(crew.days_off)) == 7:
        draft.fault("crew.days_off", crew.days_off, "no day is left to work", "leave one out")
    for name in crew.helpers:
        draft.check_name("crew.helpers", name)
    if not draft.sound("crew.helpers") or any(h.probability > 0 for h in crew.helpers.values()):
        return
    for name, option in draft.options.items():
        machines = [draft.machines.get(machine) for machine in option.machines]
        if all(machine is not None and machine.custom is not None for machine in machines):
            continue  # hired machines bring their operators
        own = option.operators
        if own == 0 or (own is None and crew.operators == 0):
            path = "crew.operators" if own is None else f"options.{name}.operators"
            draft.fault(path, 0, "nobody is there to work", "write operators = 1, or add a helper")
