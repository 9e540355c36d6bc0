"""Whether the crops of a farm fit its season and its operations."""

from __future__ import annotations

from fieldsim.farm.chains import chain_of, is_whole, planting_of
from fieldsim.farm.crop_parts import Crop
from fieldsim.farm.draft import Draft
from fieldsim.farm.names import outside_season, unknown
from fieldsim.farm.operation_checks import chains_read

__all__ = ["check_crop"]


TOGETHER = (
    ("switch_to", "switch_from", '"1 Jun"'),
    ("switch_from", "switch_to", '"soybeans"'),
    ("unplanted_revenue", "unplanted_from", '"20 Jun"'),
)


def check_crop(draft: Draft, crop: str, part: Crop) -> None:
    """Note what is wrong with a crop's dates, planting and late rule."""
    path, written = draft.entry("crops", crop, "target_date")
    outside_season(draft, path, part.target_date, written)
    grown = crop in {field.crop for field in draft.fields.values()}
    _late_entries(draft, crop, part)
    if grown and part.late.switch_to in draft.named("crops"):
        _switch(draft, crop, part.late.switch_to)
    if grown:
        _late_order(draft, crop, part)


def _late_entries(draft: Draft, crop: str, part: Crop) -> None:
    """Note entries of the late rule that miss each other, or days outside the season."""
    late, path = part.late, f"crops.{crop}.late"
    for key in ("switch_from", "unplanted_from"):
        place, written = draft.entry("crops", crop, "late", key)
        outside_season(draft, place, getattr(late, key), written)
    for key, other, example in TOGETHER:
        lacking = getattr(late, key) and getattr(late, other) is None
        if lacking and draft.sound(path, f"{path}.{other}"):
            problem, repair = f"is missing beside {key}", f"write {other} = {example}"
            draft.fault(f"{path}.{other}", None, problem, repair)
    if late.switch_to == crop:
        problem, repair = "a crop cannot switch to itself", "name another crop"
        draft.fault(f"{path}.switch_to", crop, problem, repair)
    elif late.switch_to is not None:
        unknown(draft, f"{path}.switch_to", late.switch_to, late.switch_to, "crops")


def _switch(draft: Draft, crop: str, other: str) -> None:
    """Note land that cannot change its crop."""
    path = f"crops.{crop}.late.switch_to"
    planting = planting_of(draft.operations, other)
    if other == crop or not chains_read(draft):
        return
    if not planting and other not in {field.crop for field in draft.fields.values()}:
        problem = f"no operation plants {other}"
        repair = f'add "{other}" to the crops of the planting operation'
        draft.fault(path, other, problem, repair)
    own = planting_of(draft.operations, crop)
    if len(planting) != 1 or len(own) != 1:
        return
    mine = chain_of(draft.operations, crop, own[0])
    others = chain_of(draft.operations, other, planting[0])
    whole = is_whole(draft.operations, crop, mine) and is_whole(draft.operations, other, others)
    if whole and (mine or [])[:-1] != (others or [])[:-1]:
        problem = f"the work ahead of planting differs between {crop} and {other}"
        repair = "let both follow the same operations, so that land can change its crop"
        draft.fault(path, other, problem, repair)


def _late_order(draft: Draft, crop: str, part: Crop) -> None:
    """Note a late rule that comes when no land is left for it."""
    planting = planting_of(draft.operations, crop)
    if len(planting) != 1 or draft.season is None:
        return
    late, latest = part.late, draft.operations[planting[0]][crop].latest
    index = draft.season.index
    if late.switch_from and late.unplanted_from:
        path, written = draft.entry("crops", crop, "late", "switch_from")
        if index(late.switch_from) > index(late.unplanted_from):
            problem = f"comes after unplanted_from ({late.unplanted_from}): no land is left then"
            draft.fault(path, written, problem, "write an earlier day")
    for key in ("switch_from", "unplanted_from"):
        day = getattr(late, key)
        path, written = draft.entry("crops", crop, "late", key)
        if day and latest and index(day) > index(latest) + 1:
            problem = f"planting has ended before, on {latest}, and what was left is missed"
            repair = f"write an earlier day, or leave latest out of operations.{planting[0]}"
            draft.fault(path, written, problem, repair)
