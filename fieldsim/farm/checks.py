"""Do the parts of a farm fit each other? Each check notes its faults in the draft."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from fieldsim.farm.crop_parts import Crop
from fieldsim.farm.draft import Draft
from fieldsim.farm.machine_parts import Machine
from fieldsim.farm.parts import Operation, Option
from fieldsim.season import CalendarDay

Chains = Mapping[str, Mapping[str, Operation]]

__all__ = ["chain_of", "check", "planting_of"]


def chain_of(operations: Chains, crop: str, last: str) -> list[str] | None:
    """Return the operations on `crop` up to `last`, first done first; None if they go in a circle.

    A predecessor that is not there ends the chain.
    """
    chain = [last]
    while (before := operations[chain[0]][crop].follows) is not None:
        if before in chain:
            return None
        if crop not in operations.get(before, {}):
            break
        chain.insert(0, before)
    return chain


def planting_of(operations: Chains, crop: str) -> list[str]:
    """Return the planting operations on `crop`; a sound farm has just one."""
    return [name for name, by in operations.items() if crop in by and by[crop].kind == "planting"]


def check(draft: Draft) -> None:
    """Check the parts of a draft against each other and note every fault in it."""
    _fields(draft)
    for crop, part in draft.crops.items():
        _target_date(draft, crop, part)
        _planting(draft, crop)
        _late_rule(draft, crop, part)
    for name, by_crop in draft.operations.items():
        for crop, operation in by_crop.items():
            _chain(draft, name, crop, operation)
            _window(draft, name, operation)
    _priority(draft)
    for name, machine in draft.machines.items():
        _machine(draft, name, machine)
    for name, option in draft.options.items():
        _option(draft, name, option)


def _names(names: Iterable[str]) -> str:
    return ", ".join(names) or "none"


def _unknown(draft: Draft, path: str, name: str, section: str, what: str) -> bool:
    """Note a name that does not stand in a section; say whether it was so."""
    if name in draft.named(section):
        return False
    repair = f"{section} are {_names(draft.named(section))}"
    draft.fault(path, name, f"there is no such {what}", repair)
    return True


def _fields(draft: Draft) -> None:
    for name, part in draft.fields.items():
        _unknown(draft, f"fields.{name}.crop", part.crop, "crops", "crop")
        soils = draft.soils
        if soils is None or len(soils) == 1:
            continue
        if part.soil not in soils:
            problem = "the days table has no such soil" if part.soil else "the soil is missing"
            draft.fault(f"fields.{name}.soil", part.soil, problem, f"soils are {_names(soils)}")


def _in_season(draft: Draft, path: str, day: CalendarDay | None) -> None:
    if day is None or draft.season is None:
        return
    if not 0 <= draft.season.index(day) < draft.season.days:
        season = f"{draft.season.first_day:%-d %b} to {draft.season.last_day:%-d %b}"
        repair = f"choose a day from {season}, or change first_day and last_day"
        draft.fault(path, str(day), "this day is not in the season", repair)


def _target_date(draft: Draft, crop: str, part: Crop) -> None:
    _in_season(draft, f"crops.{crop}.target_date", part.target_date)


def _planting(draft: Draft, crop: str) -> None:
    if crop not in {field.crop for field in draft.fields.values()} or not draft.operations:
        return
    planting = planting_of(draft.operations, crop)
    if len(planting) != 1 and draft.sound("operations"):
        problem = f"{crop} has {len(planting)} planting operations ({_names(planting)})"
        repair = f'give {crop} just one operation with kind = "planting"'
        draft.fault("operations", None, problem, repair)


def _late_rule(draft: Draft, crop: str, part: Crop) -> None:
    late, path = part.late, f"crops.{crop}.late"
    _in_season(draft, f"{path}.switch_from", late.switch_from)
    _in_season(draft, f"{path}.unplanted_from", late.unplanted_from)
    if late.switch_to is None or _unknown(
        draft, f"{path}.switch_to", late.switch_to, "crops", "crop"
    ):
        return
    if late.switch_to == crop:
        draft.fault(f"{path}.switch_to", crop, "a crop cannot switch to itself", "name another")
        return
    both = [planting_of(draft.operations, name) for name in (crop, late.switch_to)]
    if [len(planting) for planting in both] != [1, 1]:
        if draft.sound("operations"):
            problem = "no operation plants this crop"
            repair = f'add "{late.switch_to}" to the crops of the planting operation'
            draft.fault(f"{path}.switch_to", late.switch_to, problem, repair)
        return
    chains = [
        chain_of(draft.operations, name, planting[0])
        for name, planting in zip((crop, late.switch_to), both, strict=True)
    ]
    if None not in chains and (chains[0] or [])[:-1] != (chains[1] or [])[:-1]:
        problem = f"the work ahead of planting differs between {crop} and {late.switch_to}"
        repair = "let both follow the same operations, so that land can change its crop"
        draft.fault(f"{path}.switch_to", late.switch_to, problem, repair)


def _chain(draft: Draft, name: str, crop: str, operation: Operation) -> None:
    path, before = f"operations.{name}", operation.follows
    if before is None:
        if operation.lag:
            problem = "a lag needs an operation to follow"
            draft.fault(f"{path}.lag", None, problem, 'add follows = "plant"')
        if operation.kind == "cultivating":
            problem = "cultivating between the rows follows planting"
            draft.fault(f"{path}.follows", None, problem, 'add follows = "plant"')
        return
    if _unknown(draft, f"{path}.follows", before, "operations", "operation"):
        return
    if before not in draft.operations:
        return
    if crop not in draft.operations[before]:
        if draft.sound("operations"):
            repair = f'add "{crop}" to operations.{before}.crops'
            draft.fault(f"{path}.follows", before, f"it is not done on {crop}", repair)
        return
    chain = chain_of(draft.operations, crop, name)
    if chain is None:
        problem = "the operations follow each other in a circle"
        draft.fault(f"{path}.follows", before, problem, "let the first operation follow none")
        return
    planted = any(draft.operations[o][crop].kind == "planting" for o in chain[:-1])
    if operation.kind == "cultivating" and not planted:
        problem = "no planting comes before it"
        draft.fault(f"{path}.follows", before, problem, 'let it follow "plant"')
    if operation.kind == "tillage" and planted:
        problem = "tillage comes ahead of planting"
        draft.fault(f"{path}.follows", before, problem, 'or write kind = "cultivating"')


def _window(draft: Draft, name: str, operation: Operation) -> None:
    path = f"operations.{name}"
    if operation.hours_per_day == 0:
        repair = 'write hours_per_day = "10 h"'
        draft.fault(f"{path}.hours_per_day", "0 h", "no work is done in 0 hours", repair)
    _in_season(draft, f"{path}.earliest", operation.earliest)
    _in_season(draft, f"{path}.latest", operation.latest)
    if operation.latest_after_planting is not None:
        if operation.kind != "cultivating":
            problem = "only work after planting can have it"
            draft.fault(f"{path}.latest_after_planting", None, problem, "write latest instead")
        elif operation.lag > operation.latest_after_planting:
            problem = f"the crop is too tall before the lag ({operation.lag} days) is over"
            value = f"{operation.latest_after_planting} days"
            draft.fault(f"{path}.latest_after_planting", value, problem, "shorten the lag")
    season, first, last = draft.season, operation.earliest, operation.latest
    if season and first and last and season.index(last) < season.index(first):
        problem = f"comes before earliest ({first})"
        draft.fault(f"{path}.latest", str(last), problem, "choose a later day")


def _priority(draft: Draft) -> None:
    if draft.heading is None or draft.heading.priority == ["loss"]:
        return
    listed, known = draft.heading.priority, draft.named("operations")
    for name in listed:
        _unknown(draft, "priority", name, "operations", "operation")
    missing = [name for name in known if name not in listed]
    if missing:
        repair = f"add {_names(missing)}, the work served first standing first"
        draft.fault("priority", listed, "not every operation has its place", repair)
    if len(set(listed)) != len(listed):
        draft.fault("priority", listed, "an operation stands there twice", "name each once")


def _machine(draft: Draft, name: str, machine: Machine) -> None:
    path = f"machines.{name}"
    for operation in machine.operations:
        _unknown(draft, f"{path}.operations", operation, "operations", "operation")
    worked = [
        field_name
        for field_name, part in draft.fields.items()
        if any(part.crop in draft.operations.get(o, {}) for o in machine.operations)
    ]
    for field_name in worked:
        part = draft.fields[field_name]
        if machine.time is not None and part.row_length is None:
            problem = f"is needed: {name} has its field efficiency built from time elements"
            draft.fault(f"fields.{field_name}.row_length", None, problem, 'write "1300 ft"')
    far = [field_name for field_name in worked if draft.fields[field_name].distance > 0]
    if far and machine.road_speed is None:
        problem = f"is needed: {_names(far)} lie at a distance"
        draft.fault(f"{path}.road_speed", None, problem, 'write road_speed = "15 mph"')


def _option(draft: Draft, name: str, option: Option) -> None:
    path = f"options.{name}"
    for section, what in (("machines", "machine"), ("tractors", "tractor")):
        for part_name, count in getattr(option, section).items():
            place = f"{path}.{section}.{part_name}"
            if not _unknown(draft, place, part_name, section, what) and count == 0:
                draft.fault(place, 0, "none of it does no work", "leave it out, or write 1")
    owned = [draft.machines[m] for m in option.machines if m in draft.machines]
    if len(owned) == len(option.machines):
        done = {operation for machine in owned for operation in machine.operations}
        idle = [o for o in draft.operations if draft.operations[o] and o not in done]
        if idle:
            problem = f"no machine of the option does {_names(idle)}"
            draft.fault(f"{path}.machines", list(option.machines), problem, "add one that does")
    _tractors_fit(draft, path, option)
    if draft.crew is not None:
        hands = draft.crew.operators if option.operators is None else option.operators
        if hands == 0 and not draft.crew.helpers:
            draft.fault(f"{path}.operators", 0, "nobody is there to work", "write operators = 1")


def _tractors_fit(draft: Draft, path: str, option: Option) -> None:
    if any(t not in draft.tractors for t in option.tractors):
        return
    strongest = max((draft.tractors[t].power for t in option.tractors), default=0.0)
    for name in option.machines:
        need = draft.machines[name].tractor_power if name in draft.machines else None
        if need is not None and need > strongest:
            problem = f"{name} needs {need:.0f} kW and the strongest has {strongest:.0f} kW"
            repair = "add a stronger tractor"
            draft.fault(f"{path}.tractors", list(option.tractors), problem, repair)
