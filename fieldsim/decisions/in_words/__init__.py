"""The verdict: what the numbers say, and no more."""

from fieldsim.decisions.in_words.leads import leads
from fieldsim.decisions.in_words.verdict import Verdict, summarize, verdict

__all__ = [
    "Verdict",
    "leads",
    "summarize",
    "verdict",
]
