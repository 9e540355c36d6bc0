"""Pydantic's errors as faults: the place in the farm file, what is allowed, what to write."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from fieldsim.errors import Fault

__all__ = [
    "MISSING",
    "as_written",
    "entries_needed",
    "example_of",
    "from_validation",
    "meant",
    "misspelt",
    "place_of",
]

Step = int | str
MISSING = "is missing"
LONGEST_SHOWN = 60  # letters of a value in a message

PROBLEMS = {
    "bool_type": "neither true nor false",
    "string_type": "not text in quotes",
    "int_type": "not a whole number",
    "float_type": "not a number",
    "list_type": "not a list",
    "dict_type": "not a section of named entries",
    "model_type": "not a section",
    "too_short": "empty, but at least one is needed",
    "finite_number": "not a finite number",
}
LIMITS = {"ge": "at least", "gt": "above", "le": "at most", "lt": "below"}


def as_written(value: object) -> str:
    """Return a value the way it would stand in the file, shortened.

    Examples
    --------
    >>> as_written({"disk": 1, "price": float("nan"), "on": True})
    '{ disk = 1, price = nan, on = true }'
    """
    text = _toml(value)
    return text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 3] + "..."


def _toml(value: object) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            return json.dumps(value, ensure_ascii=False)
        case Mapping():
            entries = ", ".join(f"{key} = {_toml(entry)}" for key, entry in value.items())
            return f"{{ {entries} }}" if entries else "{}"
        case list() | tuple():
            return f"[{', '.join(map(_toml, value))}]"
        case _:
            return str(value)


def meant(name: str, names: list[str]) -> str:
    """Return what to write where a name is not one of those allowed."""
    near = get_close_matches(name, names, 1)
    return f"perhaps {near[0]} is meant" if near else f"allowed are {', '.join(names)}"


def _entry_names(model: type[BaseModel]) -> list[str]:
    return [field.alias or key for key, field in model.model_fields.items()]


def misspelt(error: ValidationError, model: type[BaseModel]) -> set[tuple[Step, ...]]:
    """Return the locations of fields that seem to be meant by unknown ones."""
    return {
        (*location[:-1], near)
        for item in error.errors(include_url=False)
        if item["type"] == "extra_forbidden"
        for location in [item["loc"]]
        for near in get_close_matches(str(location[-1]), _entry_names(_find(model, location)[0]), 1)
    }


def example_of(field: FieldInfo | None) -> str:
    """Return an example of what to write in a field; empty if it has none."""
    for info in _infos(field):
        if info.examples:
            return str(info.examples[0]).split(" or ")[0]
    return ""


def entries_needed(model: type[BaseModel]) -> str:
    """Return the lines that a part cannot do without, with an example in each."""
    needed = [
        f"{field.alias or key} = {example_of(field)}"
        for key, field in model.model_fields.items()
        if field.is_required()
    ]
    return " and ".join(needed)


def _infos(field: FieldInfo | None) -> Iterator[FieldInfo]:
    """Yield the descriptions of a field: its own and, as in ``Speed | None``, those within it."""
    if field is not None:
        yield field
        yield from _infos_in(field.annotation)


def _infos_in(annotation: Any) -> Iterator[FieldInfo]:
    for part in get_args(annotation):
        if isinstance(part, FieldInfo):
            yield part
        else:
            yield from _infos_in(part)


def _field(model: type[BaseModel] | None, name: Step) -> FieldInfo | None:
    for key, field in model.model_fields.items() if model else ():
        if name in (key, field.alias):
            return field
    return None


def _model_in(annotation: Any) -> type[BaseModel] | None:
    """Return the part that an annotation such as ``dict[str, Fill]`` or ``Late | None`` holds."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for a in get_args(annotation) if (found := _model_in(a))), None)


def _find(
    model: type[BaseModel], location: tuple[Step, ...]
) -> tuple[type[BaseModel], FieldInfo | None]:
    """Return the part that holds the last step of a location, and the field it lies in."""
    holder, field, inner = model, None, model
    for step in location:
        found = _field(inner, step)
        if found is not None:
            holder, field = inner, found
            inner = _model_in(found.annotation) or inner
        else:  # a name in a table, or a place in a list, of the field found before
            holder = inner
    return holder, field


def _allowed(field: FieldInfo | None) -> str:
    """Return the bounds of a number as words."""
    bounds = [
        f"{word} {getattr(bound, name):g}"
        for info in _infos(field)
        for bound in info.metadata
        for name, word in LIMITS.items()
        if hasattr(bound, name)
    ]
    return " and ".join(dict.fromkeys(bounds))


def _explain(
    error: Mapping[str, Any], model: type[BaseModel], place: str, name: str
) -> tuple[str, str]:
    """Return what is wrong and what to write, for one error of pydantic's."""
    kind, context, location = error["type"], error.get("ctx", {}), error["loc"]
    if kind == "fieldsim":
        return context["problem"], context["repair"]
    holder, field = _find(model, location)
    example = example_of(field)
    repair = f"write {name} = {example}" if example else f"add {name}"
    match kind:
        case "missing":
            return MISSING, repair
        case "extra_forbidden":
            names = _entry_names(holder)
            return "there is no such field here", meant(str(location[-1]), names)
        case "literal_error":
            words = str(context["expected"]).replace("'", '"')
            return "not one of the words allowed", f"write {words}"
        case "model_type" | "dict_type" if not example:
            inner = _model_in(field.annotation) if field and location else model
            named = place if kind == "model_type" else f"{place}.a_name"
            lines = f" and below it {entries_needed(inner)}" if inner else ""
            return PROBLEMS[kind], f"write [{named}]{lines}"
    if kind in PROBLEMS:
        return PROBLEMS[kind], repair
    allowed = _allowed(field)
    return (f"must be {allowed}", repair) if allowed else (error["msg"], repair)


def place_of(path: str, location: tuple[Step, ...]) -> str:
    """Return the path of a field in the file; places in a list count from 1."""
    for step in location:
        if isinstance(step, int):
            path += f" (item {step + 1})"
        else:
            path += f".{step}" if path else step
    return path


def from_validation(
    error: ValidationError,
    model: type[BaseModel],
    file: str,
    path: str,
    within: Mapping[str, str] | None = None,
) -> list[Fault]:
    """Return the faults in one part.

    Parameters
    ----------
    error : pydantic.ValidationError
    model : type
        The part that was read.
    file, path : str
        The file, and the path of the part in it; empty for the lines at the top.
    within : mapping, optional
        Fields whose value comes from a table, with its name there, as ``{"earliest": "corn"}``.

    Returns
    -------
    list of Fault
        At least one.
    """
    faults = []
    for item in error.errors(include_url=False):
        location = item["loc"]
        inner = (within or {}).get(str(location[0])) if location else None
        steps = location if inner is None else (location[0], inner, *location[1:])
        name = next((step for step in reversed(steps) if isinstance(step, str)), path)
        place = place_of(path, steps)
        problem, repair = _explain(item, model, place, name)
        whole = not location and isinstance(item["input"], Mapping)
        shown = "" if item["type"] == "missing" or whole else as_written(item["input"])
        faults.append(Fault(file, place, shown, problem, repair))
    return faults
