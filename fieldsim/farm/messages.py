"""Pydantic's errors as faults: the place in the farm file, what is allowed, what to write."""

from __future__ import annotations

import json
from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from fieldsim.errors import Fault

__all__ = ["as_written", "from_validation"]

PROBLEMS = {
    "string_type": ("not text", "write text in quotes"),
    "int_type": ("not a whole number", "write a whole number such as 1"),
    "float_type": ("not a number", "write a number such as 0.3"),
    "bool_type": ("not true or false", "write true or false"),
    "list_type": ("not a list", 'write a list such as ["plant"]'),
    "dict_type": ("not a table of names and values", "write { name = value }"),
    "model_type": ("not a table of names and values", "write { name = value }"),
    "model_attributes_type": ("not a table of names and values", "write { name = value }"),
    "too_short": ("empty, but at least one is needed", "add one"),
    "finite_number": ("not a finite number", "write a number such as 0.3"),
}


def as_written(value: object) -> str:
    """Return a value the way it would stand in the file, shortened."""
    if isinstance(value, bool):
        return "true" if value else "false"
    text = json.dumps(value, ensure_ascii=False, default=str)
    return text if len(text) <= 60 else text[:57] + "..."


def _field(model: type[BaseModel], name: object) -> FieldInfo | None:
    for key, field in model.model_fields.items():
        if name in (key, field.alias):
            return field
    return None


def _model_in(annotation: Any) -> type[BaseModel] | None:
    """Return the part that an annotation such as ``dict[str, Fill]`` or ``Late | None`` holds."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for a in get_args(annotation) if (found := _model_in(a))), None)


def _model_at(model: type[BaseModel], location: tuple[int | str, ...]) -> type[BaseModel] | None:
    """Return the part that holds the last step of `location`."""
    current: type[BaseModel] | None = model
    for step in location[:-1]:
        field = _field(current, step) if current else None
        if field is not None:
            current = _model_in(field.annotation)
    return current


def _unknown(model: type[BaseModel] | None, name: str) -> tuple[str, str]:
    names = [f.alias or key for key, f in model.model_fields.items()] if model else []
    near = get_close_matches(name, names, 1)
    repair = f"perhaps {near[0]} is meant" if near else f"allowed are {', '.join(names)}"
    return "there is no such field here", repair


def _missing(model: type[BaseModel] | None, name: str) -> tuple[str, str]:
    field = _field(model, name) if model else None
    examples = field.examples if field else None
    repair = f"write {name} = {str(examples[0]).split(' or ')[0]}" if examples else f"add {name}"
    return "is missing", repair


def _explain(error: Mapping[str, Any], model: type[BaseModel]) -> tuple[str, str]:
    """Return what is wrong and what to write, for one error of pydantic's."""
    kind, context = error["type"], error.get("ctx", {})
    location = error["loc"]
    if kind == "fieldsim":
        return context["problem"], context["repair"]
    if kind in ("extra_forbidden", "missing"):
        tell = _unknown if kind == "extra_forbidden" else _missing
        return tell(_model_at(model, location), str(location[-1]))
    if kind == "literal_error":
        return "not one of the words allowed", f"write {context['expected']}"
    if kind in PROBLEMS:
        return PROBLEMS[kind]
    limits = {
        "greater_than": "above {gt}",
        "greater_than_equal": "{ge} or more",
        "less_than": "below {lt}",
        "less_than_equal": "{le} or less",
        "string_too_short": "text of at least {min_length} letters",
        "string_too_long": "text of at most {max_length} letters",
    }
    allowed = limits.get(kind, "").format(**context)
    return (f"must be {allowed}", f"write a value {allowed}") if allowed else (error["msg"], "")


def from_validation(
    error: ValidationError, model: type[BaseModel], file: str, path: str
) -> list[Fault]:
    """Return the faults in one part.

    Parameters
    ----------
    error : pydantic.ValidationError
    model : type
        The part that was read.
    file, path : str
        The file, and the path of the part in it.

    Returns
    -------
    list of Fault
        At least one.
    """
    faults = []
    for item in error.errors(include_url=False):
        location = item["loc"]
        steps = [path, *map(str, location)]
        problem, repair = _explain(item, model)
        shown = "" if item["type"] == "missing" or not location else as_written(item["input"])
        faults.append(Fault(file, ".".join(steps), shown, problem, repair))
    return faults
