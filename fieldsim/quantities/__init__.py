"""Units at the edges: text with units -> one internal set of numbers, and back for people."""

from fieldsim.quantities.kinds import KINDS, UNIT_SYSTEMS, Kind, UnitSystem
from fieldsim.quantities.labels import area_text, several, unit, with_unit
from fieldsim.quantities.text import (
    NO_TEST_WEIGHT,
    area_covered,
    factor,
    parse,
    split,
)

__all__ = [
    "KINDS",
    "NO_TEST_WEIGHT",
    "UNIT_SYSTEMS",
    "Kind",
    "UnitSystem",
    "area_covered",
    "area_text",
    "factor",
    "parse",
    "several",
    "split",
    "unit",
    "with_unit",
]
