"""Arrays -> Datasets: what every option did in every season, with units and provenance."""

from fieldsim.outcomes.condensed import condense, finish_dates_of, over_seasons
from fieldsim.outcomes.dataset import make_outcomes
from fieldsim.outcomes.files import read_outcomes, write_outcomes
from fieldsim.outcomes.prices import at_prices_of
from fieldsim.outcomes.replay import make_replay
from fieldsim.outcomes.seasons import fill_in, new_values

__all__ = [
    "at_prices_of",
    "condense",
    "fill_in",
    "finish_dates_of",
    "make_outcomes",
    "make_replay",
    "new_values",
    "over_seasons",
    "read_outcomes",
    "write_outcomes",
]
