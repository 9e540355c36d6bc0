"""What an answer hangs on, and what one more of something is worth."""

from fieldsim.decisions.sensitivity.inputs import Input
from fieldsim.decisions.sensitivity.marginal import worth_of_one_more
from fieldsim.decisions.sensitivity.one_at_a_time import flips, ranges
from fieldsim.decisions.sensitivity.range_files import read_ranges
from fieldsim.decisions.sensitivity.together import sobol
from fieldsim.decisions.sensitivity.usual_inputs import usual_inputs

__all__ = [
    "Input",
    "flips",
    "ranges",
    "read_ranges",
    "sobol",
    "usual_inputs",
    "worth_of_one_more",
]
