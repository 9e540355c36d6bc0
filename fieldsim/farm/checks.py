"""Whether the parts of a farm fit each other; each check notes its faults in the draft."""

from __future__ import annotations

from fieldsim.farm.chains import chain_of, planting_of
from fieldsim.farm.crop_checks import check_crop
from fieldsim.farm.draft import Draft
from fieldsim.farm.names import unknown
from fieldsim.farm.operation_checks import check_operations, check_planting, check_priority
from fieldsim.farm.outfit_checks import check_crew, check_machine, check_option

__all__ = ["chain_of", "check", "planting_of"]


def check(draft: Draft) -> None:
    """Check the parts of a draft against each other and note every fault in it."""
    _fields(draft)
    for crop, part in draft.crops.items():
        check_crop(draft, crop, part)
    check_planting(draft)
    check_operations(draft)
    check_priority(draft)
    check_crew(draft)
    for name, machine in draft.machines.items():
        check_machine(draft, name, machine)
    for name, option in draft.options.items():
        check_option(draft, name, option)


def _fields(draft: Draft) -> None:
    """Note crops and soils of fields that are not there."""
    soils = draft.soils or ()
    for name, part in draft.fields.items():
        unknown(draft, f"fields.{name}.crop", part.crop, part.crop, "crops")
        if len(soils) > 1 and part.soil not in soils:
            problem = "the days table has no such soil" if part.soil else "is missing"
            repair = f"write one of {', '.join(soils)}"
            draft.fault(f"fields.{name}.soil", part.soil, problem, repair)
