"""How large a machine must be, how much land it covers, and which size costs least."""

from fieldsim.decisions.sizing.by_days import coverable_area, needed_capacity, rows_needed
from fieldsim.decisions.sizing.by_runs import sized_area, sized_capacity
from fieldsim.decisions.sizing.curves import capacity_tradeoff, certainty_curves
from fieldsim.decisions.sizing.sizes import cheapest_sizes, sizes

__all__ = [
    "capacity_tradeoff",
    "certainty_curves",
    "cheapest_sizes",
    "coverable_area",
    "needed_capacity",
    "rows_needed",
    "sized_area",
    "sized_capacity",
    "sizes",
]
