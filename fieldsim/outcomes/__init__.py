"""Arrays -> Datasets: what every option did in every season, with units and provenance."""

from fieldsim.outcomes.condensed import condense, finish_dates_of, over_seasons
from fieldsim.outcomes.dataset import make_outcomes
from fieldsim.outcomes.files import read_outcomes, write_outcomes
from fieldsim.outcomes.replay import make_replay

__all__ = [
    "condense",
    "finish_dates_of",
    "make_outcomes",
    "make_replay",
    "over_seasons",
    "read_outcomes",
    "write_outcomes",
]
