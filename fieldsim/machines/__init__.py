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
from fieldsim.machines.draft import (
    DraftCoefficients,
    draft_coefficients,
    draft_machines,
    draft_polynomial,
    draft_size,
    implement_draft,
)
from fieldsim.machines.field_efficiency import (
    UsualWork,
    unusual,
    usual_work,
    usual_work_machines,
)
from fieldsim.machines.fuel import (
    average_fuel_per_hour,
    fuel_per_area,
    fuel_per_hour,
    lubricant_cost,
    specific_consumption,
)
from fieldsim.machines.patterns import PlantingPattern, planting_pattern, planting_patterns
from fieldsim.machines.power import (
    available_drawbar_power,
    drawbar_power,
    drawbar_pto_ratio,
    equivalent_pto_power,
    greatest_speed,
    pto_power_of_engine,
)
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
    "DraftCoefficients",
    "Fill",
    "MachineClass",
    "MachineCost",
    "OwnedMachine",
    "PlantingPattern",
    "TimeBreakdown",
    "TimeElements",
    "UsualWork",
    "accumulated_repair_share",
    "area_per_fill",
    "available_drawbar_power",
    "average_fuel_per_hour",
    "block_setup_time",
    "built_efficiency",
    "capital_recovery",
    "capital_recovery_factor",
    "cost_per_area",
    "cost_per_hour",
    "custom_hire_cost",
    "draft_coefficients",
    "draft_machines",
    "draft_polynomial",
    "draft_size",
    "drawbar_power",
    "drawbar_pto_ratio",
    "equivalent_pto_power",
    "field_capacity",
    "fuel_per_area",
    "fuel_per_hour",
    "greatest_speed",
    "implement_draft",
    "labor_cost",
    "least_cost_width",
    "lubricant_cost",
    "machine_class",
    "machine_classes",
    "machine_cost",
    "mean_yearly_hours",
    "mean_yearly_repairs",
    "ownership_cost",
    "ownership_percentage",
    "planting_pattern",
    "planting_patterns",
    "pto_power_of_engine",
    "remaining_share",
    "repair_cost",
    "required_capacity",
    "specific_consumption",
    "theoretical_capacity",
    "time_per_area",
    "timeliness_cost",
    "tractor_class",
    "trade_in_value",
    "unusual",
    "usual_work",
    "usual_work_machines",
    "yearly_repairs",
]
