"""Reading operations: one entry serves several crops, and where they differ a field holds a table.

``earliest = { corn = "18 Apr", soybeans = "1 May" }`` gives each crop its own day.
"""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

from fieldsim.farm.draft import Draft
from fieldsim.farm.messages import as_written, meant
from fieldsim.farm.parts import Operation

__all__ = ["read_operations"]


def read_operations(draft: Draft) -> dict[str, dict[str, Operation]]:
    """Return ``operations[operation][crop]``; note every fault in the draft."""
    usual = _crops_of_the_farm(draft)
    operations: dict[str, dict[str, Operation]] = {}
    for name, entry in draft.entries("operations"):
        path = f"operations.{name}"
        if not isinstance(entry, Mapping):
            draft.part(Operation, entry, path)
            continue
        entry = _known(draft, entry, path)
        crops = _crops(draft, entry, path, usual)
        tables = {
            key: value
            for key, value in entry.items()
            if isinstance(value, Mapping) and key in Operation.model_fields
        }
        for key, table in tables.items():
            _check_table(draft, table, f"{path}.{key}", crops if "crops" in entry else None)
        parts = {crop: _operation(draft, entry, tables, path, crop) for crop in crops}
        if not crops:  # read all the same, for its faults
            _operation(draft, entry, tables, path, None)
        operations[name] = {crop: part for crop, part in parts.items() if part is not None}
    return operations


def _known(draft: Draft, entry: Mapping[str, Any], path: str) -> dict[str, Any]:
    """Return the fields that an operation may have; note the others."""
    allowed = [*Operation.model_fields, "crops"]
    for key, value in entry.items():
        if key not in allowed:
            draft.misread(
                f"{path}.{key}", value, "there is no such field here", meant(key, allowed)
            )
            draft.unread.update(f"{path}.{near}" for near in get_close_matches(key, allowed, 1))
    return {key: value for key, value in entry.items() if key in allowed}


def _crops_of_the_farm(draft: Draft) -> list[str]:
    """Return the crops of the fields and those they may be switched to, as far as they are named.

    Where no field tells its crop, all crops count.
    """
    grown = [draft.entry("fields", name, "crop")[1] for name in draft.named("fields")]
    known = [crop for crop in draft.named("crops") if crop in grown]
    grown += [draft.entry("crops", crop, "late", "switch_to")[1] for crop in known]
    return [crop for crop in draft.named("crops") if crop in grown] or [*draft.named("crops")]


def _crops(draft: Draft, entry: Mapping[str, Any], path: str, usual: list[str]) -> list[str]:
    """Return the crops of an operation; those that are not on the farm are noted."""
    crops, place = entry.get("crops", usual), f"{path}.crops"
    if not isinstance(crops, list) or not all(isinstance(crop, str) for crop in crops):
        draft.misread(place, crops, "not a list of crops", f"write crops = {as_written(usual)}")
        return usual
    if "crops" in entry and not crops:
        draft.misread(place, crops, "empty, but at least one is needed", "leave the line out")
    known = [*draft.named("crops")]
    for crop in crops:
        if crop not in known and "crops" not in draft.unread:
            draft.misread(place, crop, "there is no such crop", meant(crop, known))
    return [crop for crop in dict.fromkeys(crops) if crop in known]


def _check_table(
    draft: Draft, table: Mapping[str, Any], path: str, crops: list[str] | None
) -> None:
    """Check the crops of a table with a value for each; `crops`: those listed, if any are."""
    known = [*draft.named("crops")]
    if not table:
        draft.misread(path, table, "the table is empty", 'write a value, or { corn = "..." }')
    for crop, value in table.items():
        place = f"{path}.{crop}"
        if "crops" in draft.unread:
            return
        if crop not in known:
            draft.misread(place, value, "there is no such crop", meant(crop, known))
        elif crops is not None and crop not in crops:
            problem, repair = f"not done on {crop}", f'leave it out, or add "{crop}" to crops'
            draft.misread(place, value, problem, repair)


def _operation(
    draft: Draft, entry: Mapping[str, Any], tables: Mapping[str, Any], path: str, crop: str | None
) -> Operation | None:
    """Read an operation as it is on one crop; None: on the first that a table names."""
    own = {key: value for key, value in entry.items() if key not in tables and key != "crops"}
    for key, table in tables.items():
        named = next(iter(table), "") if crop is None else crop
        if named in table:
            own[key] = table[named]
    within = {} if crop is None else dict.fromkeys(tables, crop)
    return draft.part(Operation, own, path, within)
