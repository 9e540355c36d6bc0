"""Units at the edges: text with units -> one internal set of numbers, and back for people."""

from fieldsim.quantities.kinds import KINDS, UNIT_SYSTEMS, Kind, UnitSystem
from fieldsim.quantities.text import (
    NO_TEST_WEIGHT,
    area_covered,
    area_text,
    factor,
    parse,
    split,
    unit,
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
    "split",
    "unit",
]
