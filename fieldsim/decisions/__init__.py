"""What the outcomes say about which option to choose."""

from fieldsim.decisions.comparison import compare, finish_dates, total_cost
from fieldsim.decisions.summary import summarize

__all__ = ["compare", "finish_dates", "summarize", "total_cost"]
