"""Arrays -> Datasets: what every option did in every season, with units and provenance."""

from fieldsim.outcomes.dataset import make_outcomes
from fieldsim.outcomes.files import read_outcomes, write_outcomes
from fieldsim.outcomes.replay import make_replay

__all__ = ["make_outcomes", "make_replay", "read_outcomes", "write_outcomes"]
