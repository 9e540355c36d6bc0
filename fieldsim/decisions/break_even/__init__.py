"""Where two options cost the same."""

from fieldsim.decisions.break_even.cost_curves import cost_curve, curve_crossings
from fieldsim.decisions.break_even.crossing import breakeven
from fieldsim.decisions.break_even.result import Breakeven, breakeven_table

__all__ = [
    "Breakeven",
    "breakeven",
    "breakeven_table",
    "cost_curve",
    "curve_crossings",
]
