"""A part with faults, as far as it is right, so that it can still be held against the others."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any, TypeVar

from pydantic import ValidationError

from fieldsim.farm.entries import Part
from fieldsim.farm.messages import example_of

__all__ = ["without_faults"]

SomePart = TypeVar("SomePart", bound=Part)

# What other parts are held against: here nothing can stand in for what is missing.
REFERENCES = ("crop", "kind", "machine", "machines", "operations", "published", "source", "table")


def without_faults(model: type[SomePart], entry: object, error: ValidationError) -> SomePart | None:
    """Return a part without its faulty entries, with examples in place of those it needs.

    Parameters
    ----------
    model : type
    entry : object
        The part as it stands in the file.
    error : pydantic.ValidationError
        What is wrong with it.

    Returns
    -------
    Part or None
        None where nothing can stand in.
    """
    if not isinstance(entry, Mapping):
        return None
    places = [item["loc"] for item in error.errors() if item["loc"]]
    for depth in (None, 1):  # the faulty entry alone; failing that, the field it lies in
        rest: Any = entry
        for place in places:
            rest = _without(rest, place[:depth])
        for key, field in model.model_fields.items():
            name = field.alias or key
            if field.is_required() and name not in rest and name not in REFERENCES:
                rest = {**rest, name: tomllib.loads(f"it = {example_of(field)}")["it"]}
        try:
            return model.model_validate(rest)
        except ValidationError:
            continue
    return None


def _without(entry: Any, place: tuple[int | str, ...]) -> Any:
    """Return a table without the entry at a place; a list in which it lies goes as a whole."""
    if not isinstance(entry, Mapping) or not place or place[0] not in entry:
        return entry
    first, inner = place[0], entry[place[0]]
    rest = {key: value for key, value in entry.items() if key != first}
    if len(place) == 1 or not isinstance(inner, Mapping):
        return rest
    return {**rest, first: _without(inner, place[1:])}
