"""Crops: the yield of land by the date on which it was planted."""

from __future__ import annotations

from fieldsim.crops.curve_tables import (
    parse_curve,
    published_curve,
    published_curves,
    read_curve,
)
from fieldsim.crops.yield_by_date import plateau_yield, quadratic_yield, table_yield
from fieldsim.crops.yield_curve import (
    PlateauCurve,
    QuadraticCurve,
    TableCurve,
    YieldCurve,
    relative_yield,
)

__all__ = [
    "PlateauCurve",
    "QuadraticCurve",
    "TableCurve",
    "YieldCurve",
    "parse_curve",
    "plateau_yield",
    "published_curve",
    "published_curves",
    "quadratic_yield",
    "read_curve",
    "relative_yield",
    "table_yield",
]
