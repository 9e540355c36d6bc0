"""Machines: how fast they work, what stops them, what they cost to own, what delay costs."""

from __future__ import annotations

from fieldsim.machines.capacity import field_capacity, required_capacity, theoretical_capacity
from fieldsim.machines.classes import (
    MachineClass,
    machine_class,
    machine_classes,
    tractor_class,
)
from fieldsim.machines.cost import (
    capital_recovery,
    capital_recovery_factor,
    custom_hire_cost,
    labor_cost,
    ownership_cost,
    ownership_percentage,
)
from fieldsim.machines.patterns import PlantingPattern, planting_pattern, planting_patterns
from fieldsim.machines.remaining_value import mean_yearly_hours, remaining_share
from fieldsim.machines.repair import (
    accumulated_repair_share,
    mean_yearly_repairs,
    repair_cost,
    yearly_repairs,
)
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
from fieldsim.machines.yearly_cost import (
    MachineCost,
    OwnedMachine,
    cost_per_area,
    cost_per_hour,
    machine_cost,
    trade_in_value,
)

__all__ = [
    "Fill",
    "MachineClass",
    "MachineCost",
    "OwnedMachine",
    "PlantingPattern",
    "TimeBreakdown",
    "TimeElements",
    "accumulated_repair_share",
    "area_per_fill",
    "block_setup_time",
    "built_efficiency",
    "capital_recovery",
    "capital_recovery_factor",
    "cost_per_area",
    "cost_per_hour",
    "custom_hire_cost",
    "field_capacity",
    "labor_cost",
    "least_cost_width",
    "machine_class",
    "machine_classes",
    "machine_cost",
    "mean_yearly_hours",
    "mean_yearly_repairs",
    "ownership_cost",
    "ownership_percentage",
    "planting_pattern",
    "planting_patterns",
    "remaining_share",
    "repair_cost",
    "required_capacity",
    "theoretical_capacity",
    "time_per_area",
    "timeliness_cost",
    "tractor_class",
    "trade_in_value",
    "yearly_repairs",
]
