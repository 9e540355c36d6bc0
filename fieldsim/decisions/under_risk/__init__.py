"""Pairs of options, bad years, certainty and dominance, each with its error."""

from fieldsim.decisions.under_risk.dominance import dominance, efficient
from fieldsim.decisions.under_risk.enough import simulate_enough
from fieldsim.decisions.under_risk.pairs import pairwise
from fieldsim.decisions.under_risk.risk import expected_shortfall, risk

__all__ = [
    "dominance",
    "efficient",
    "expected_shortfall",
    "pairwise",
    "risk",
    "simulate_enough",
]
