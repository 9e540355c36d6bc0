"""What the outcomes say about which option to choose."""

from fieldsim.decisions.cautions import Caution, cautions
from fieldsim.decisions.comparison import compare, finish_dates, total_cost
from fieldsim.decisions.dominance import dominance, efficient
from fieldsim.decisions.enough import simulate_enough
from fieldsim.decisions.equipment_costs import equipment_costs, people_and_fuel
from fieldsim.decisions.investment import invest
from fieldsim.decisions.investment_table import cash_by_year, investment_table
from fieldsim.decisions.investment_words import describe_investment
from fieldsim.decisions.leads import leads
from fieldsim.decisions.loan import Loan
from fieldsim.decisions.pairs import pairwise
from fieldsim.decisions.risk import risk
from fieldsim.decisions.verdict import Verdict, summarize, verdict

__all__ = [
    "Caution",
    "Loan",
    "Verdict",
    "cash_by_year",
    "cautions",
    "compare",
    "describe_investment",
    "dominance",
    "efficient",
    "equipment_costs",
    "finish_dates",
    "invest",
    "investment_table",
    "leads",
    "pairwise",
    "people_and_fuel",
    "risk",
    "simulate_enough",
    "summarize",
    "total_cost",
    "verdict",
]
