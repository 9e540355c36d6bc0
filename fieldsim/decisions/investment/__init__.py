"""Moving from one option to another, over the years owned."""

from fieldsim.decisions.investment.investing import invest
from fieldsim.decisions.investment.loan import Loan
from fieldsim.decisions.investment.table import cash_by_year, investment_table
from fieldsim.decisions.investment.words import describe_investment

__all__ = [
    "Loan",
    "cash_by_year",
    "describe_investment",
    "invest",
    "investment_table",
]
