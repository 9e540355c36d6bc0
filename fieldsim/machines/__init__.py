"""Machines: how fast they work, what stops them, what they cost to own, what delay costs."""

from __future__ import annotations

from fieldsim.machines.capacity import field_capacity, required_capacity, theoretical_capacity
from fieldsim.machines.cost import (
    capital_recovery,
    capital_recovery_factor,
    labor_cost,
    ownership_cost,
    ownership_percentage,
)
from fieldsim.machines.patterns import PlantingPattern, planting_pattern, planting_patterns
from fieldsim.machines.time_elements import (
    Fill,
    TimeBreakdown,
    TimeElements,
    area_per_fill,
    block_setup_time,
    built_efficiency,
    time_per_area,
)
from fieldsim.machines.timeliness import least_cost_width, timeliness_cost

__all__ = [
    "Fill",
    "PlantingPattern",
    "TimeBreakdown",
    "TimeElements",
    "area_per_fill",
    "block_setup_time",
    "built_efficiency",
    "capital_recovery",
    "capital_recovery_factor",
    "field_capacity",
    "labor_cost",
    "least_cost_width",
    "ownership_cost",
    "ownership_percentage",
    "planting_pattern",
    "planting_patterns",
    "required_capacity",
    "theoretical_capacity",
    "time_per_area",
    "timeliness_cost",
]
