"""Whether the operations of a farm fit each other, the crops and the season."""

from __future__ import annotations

from fieldsim.days.weather import SoilWater
from fieldsim.farm.chains import chain_of, circle_of, is_whole, planting_of
from fieldsim.farm.draft import Draft
from fieldsim.farm.entries import Wait
from fieldsim.farm.names import listed, outside_season, unknown
from fieldsim.farm.parts import Operation
from fieldsim.season import Season

__all__ = ["chains_read", "check_operations", "check_planting", "check_priority"]


def chains_read(draft: Draft) -> bool:
    """Say whether it could be read which operations are done on which crop, and in what order."""
    return all(
        f"operations.{name}" not in draft.unread
        and draft.sound(*(f"operations.{name}.{key}" for key in ("kind", "crops", "follows")))
        for name in draft.named("operations")
    )


def check_operations(draft: Draft) -> None:
    """Note what is wrong with the chain and the window of each operation on each crop."""
    for name, by_crop in draft.operations.items():
        for crop, operation in by_crop.items():
            _predecessor(draft, name, crop, operation)
            _chain(draft, name, crop, operation)
            _window(draft, name, crop, operation)
            _warmth(draft, name, crop, operation)


def check_planting(draft: Draft) -> None:
    """Note crops that are planted by no operation, or by several."""
    if not draft.operations or not chains_read(draft):
        return
    grown = {field.crop for field in draft.fields.values()}
    crops: dict[tuple[str, ...], list[str]] = {}
    for crop in draft.named("crops"):
        if crop in grown:
            crops.setdefault(tuple(planting_of(draft.operations, crop)), []).append(crop)
    for planting, planted in crops.items():
        if not planting:
            problem = f"no operation plants {listed(planted)}"
            repair = 'write kind = "planting" in the operation that does'
            draft.fault("operations", None, problem, repair)
        elif len(planting) > 1:
            together = "both" if len(planting) == 2 else "all"
            problem = f"{listed(planting)} {together} plant {listed(planted)}"
            repair = 'keep kind = "planting" in one of them'
            draft.fault("operations", None, problem, repair)


def check_priority(draft: Draft) -> None:
    """Note operations that are missing, unknown or doubled in the order of service."""
    if draft.heading is None or draft.heading.priority == ["loss"]:
        return
    ordered, known = draft.heading.priority, draft.named("operations")
    for place, name in enumerate(ordered, 1):
        unknown(draft, f"priority (item {place})", name, name, "operations")
    missing = [name for name in known if name not in ordered]
    if missing:
        repair = f"add {listed(missing)}, the work served first standing first"
        draft.fault("priority", ordered, f"no place for {listed(missing)}", repair)
    for name in dict.fromkeys(ordered):
        if ordered.count(name) > 1:
            draft.fault("priority", ordered, f"{name} stands there twice", "name each once")


def _predecessor(draft: Draft, name: str, crop: str, operation: Operation) -> None:
    """Note an operation that follows one that is not there, or none where it must."""
    path, before = draft.entry("operations", name, "follows", crop)
    if operation.follows is None:
        if operation.kind == "cultivating":
            problem = "is missing: cultivating between the rows comes after planting"
            draft.fault(path, None, problem, f"write follows = {_planting_name(draft, crop)}")
        elif operation.lag != Wait():
            lag_path, lag = draft.entry("operations", name, "lag", crop)
            problem = "a lag is counted from the operation before, and this one follows none"
            draft.fault(lag_path, lag, problem, "add follows, or leave the lag out")
    elif (
        not unknown(draft, path, operation.follows, before, "operations")
        and crop not in draft.operations.get(operation.follows, {crop: None})
        and chains_read(draft)
    ):
        problem = f"{operation.follows} is not done on {crop}"
        repair = f'add "{crop}" to operations.{operation.follows}.crops'
        draft.fault(path, before, problem, repair)


def _chain(draft: Draft, name: str, crop: str, operation: Operation) -> None:
    """Note chains that go in a circle, or whose operations come in the wrong order."""
    path, before = draft.entry("operations", name, "follows", crop)
    circle = circle_of(draft.operations, crop, name)
    if circle:
        problem = f"{listed(circle)} follow each other in a circle"
        if len(circle) == 1:
            problem = "an operation cannot follow itself"
        draft.fault(path, before, problem, "leave follows out of the one that is done first")
    chain = chain_of(draft.operations, crop, name)
    if chain is None or not is_whole(draft.operations, crop, chain) or len(chain) == 1:
        return
    planted = [o for o in chain[:-1] if draft.operations[o][crop].kind == "planting"]
    if operation.kind == "cultivating" and not planted and planting_of(draft.operations, crop):
        problem = "no planting comes before it"
        draft.fault(path, before, problem, f"write follows = {_planting_name(draft, crop)}")
    if operation.kind == "tillage" and planted:
        problem = "tillage comes before planting"
        repair = 'let planting follow it, or write kind = "cultivating"'
        draft.fault(path, before, problem, repair)
    if operation.latest_after_planting is not None and planted:
        _too_tall(draft, name, crop, chain[chain.index(planted[0]) + 1 :])


def _planting_name(draft: Draft, crop: str) -> str:
    return f'"{next(iter(planting_of(draft.operations, crop)), "plant")}"'


def _too_tall(draft: Draft, name: str, crop: str, after_planting: list[str]) -> None:
    """Note an operation whose time is over before it may begin."""
    path, latest = draft.entry("operations", name, "latest_after_planting", crop)
    most = draft.operations[name][crop].latest_after_planting
    wait = sum(draft.operations[operation][crop].lag.days for operation in after_planting)
    if most is not None and most.degrees is None and wait > most.days:
        problem = f"its time is over before it may begin, {wait} days after planting"
        draft.fault(path, latest, problem, "write more days, or a shorter lag")


def _window(draft: Draft, name: str, crop: str, operation: Operation) -> None:
    """Note days outside the season or in the wrong order."""
    for key in ("earliest", "latest", "wet_from"):
        path, written = draft.entry("operations", name, key, crop)
        outside_season(draft, path, getattr(operation, key), written)
    if operation.latest_after_planting is not None and operation.kind != "cultivating":
        path, written = draft.entry("operations", name, "latest_after_planting", crop)
        problem = "only work after planting can have it"
        draft.fault(path, written, problem, 'leave it out, or write latest = "20 Jun"')
    for key, kind, allowed in (
        ("weed_control", "cultivating", "work after planting"),
        ("wet_from", "planting", "planting"),
    ):
        if key in operation.model_fields_set and operation.kind != kind:
            path, written = draft.entry("operations", name, key, crop)
            draft.fault(path, written, f"only {allowed} can have it", "leave it out")
    season, first, last = draft.season, operation.earliest, operation.latest
    if season is None or last is None:
        return
    path, written = draft.entry("operations", name, "latest", crop)
    if first and season.index(last) < season.index(first):
        draft.fault(path, written, f"comes before earliest ({first})", "write a later day")
    elif season.index(last) < (opens := _opens(draft, season, name, crop)):
        ready = f"{season.date(opens).day} {season.date(opens):%b}"
        problem = f"comes before the work ahead of it may be done ({ready})"
        draft.fault(path, written, problem, "write a later day, or let that begin earlier")
    wet = operation.wet_from
    if wet and season.index(wet) > season.index(last):
        path, written = draft.entry("operations", name, "wet_from", crop)
        draft.fault(path, written, f"comes after latest ({last})", "write an earlier day")


def _opens(draft: Draft, season: Season, name: str, crop: str) -> int:
    """Return the first day on which an operation may be done if all before it is done at once."""
    chain = chain_of(draft.operations, crop, name)
    if chain is None or not chains_read(draft):
        return 0
    opens = 0
    for operation in chain:
        part = draft.operations[operation][crop]
        earliest = 0 if part.earliest is None else season.index(part.earliest)
        opens = max(opens + part.lag.days, earliest)
    return opens


def _warmth(draft: Draft, name: str, crop: str, operation: Operation) -> None:
    """Note work that waits for a warmth that the farm's source of days does not know."""
    if draft.source is None or isinstance(draft.source, SoilWater):
        return
    for key in ("lag", "latest_after_planting"):
        wait = getattr(operation, key)
        if wait is not None and wait.degrees is not None:
            path, written = draft.entry("operations", name, key, crop)
            problem = 'growing degrees need temperatures: source = "soil_water" has them'
            draft.fault(path, written, problem, 'write days, as "21 days"')
    if operation.needs_warm_soil and draft.warm_dates is None:
        path, written = draft.entry("operations", name, "needs_warm_soil", crop)
        problem = "the farm does not say when its soil is warm"
        draft.fault(path, written, problem, "add [days.warm_soil] with its dates")
