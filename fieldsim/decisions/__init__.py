"""What the outcomes say about which option to choose."""

from fieldsim.decisions.break_even import (
    Breakeven,
    breakeven,
    breakeven_table,
    cost_curve,
    curve_crossings,
)
from fieldsim.decisions.cautions import Caution, cautions
from fieldsim.decisions.comparison import compare, total_cost
from fieldsim.decisions.equipment_costs import equipment_costs, people_and_fuel
from fieldsim.decisions.finishing import finish_dates
from fieldsim.decisions.in_words import Verdict, leads, summarize, verdict
from fieldsim.decisions.investment import (
    Loan,
    cash_by_year,
    describe_investment,
    invest,
    investment_table,
)
from fieldsim.decisions.sensitivity import (
    Input,
    flips,
    ranges,
    read_ranges,
    sobol,
    usual_inputs,
    worth_of_one_more,
)
from fieldsim.decisions.sizing import (
    capacity_tradeoff,
    certainty_curves,
    cheapest_sizes,
    coverable_area,
    needed_capacity,
    rows_needed,
    sized_area,
    sized_capacity,
    sizes,
)
from fieldsim.decisions.under_risk import (
    dominance,
    efficient,
    expected_shortfall,
    pairwise,
    risk,
    simulate_enough,
)

__all__ = [
    "Breakeven",
    "Caution",
    "Input",
    "Loan",
    "Verdict",
    "breakeven",
    "breakeven_table",
    "capacity_tradeoff",
    "cash_by_year",
    "cautions",
    "certainty_curves",
    "cheapest_sizes",
    "compare",
    "cost_curve",
    "coverable_area",
    "curve_crossings",
    "describe_investment",
    "dominance",
    "efficient",
    "equipment_costs",
    "expected_shortfall",
    "finish_dates",
    "flips",
    "invest",
    "investment_table",
    "leads",
    "needed_capacity",
    "pairwise",
    "people_and_fuel",
    "ranges",
    "read_ranges",
    "risk",
    "rows_needed",
    "simulate_enough",
    "sized_area",
    "sized_capacity",
    "sizes",
    "sobol",
    "summarize",
    "total_cost",
    "usual_inputs",
    "verdict",
    "worth_of_one_more",
]
