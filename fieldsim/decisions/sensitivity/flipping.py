"""Where an input makes another option the cheapest."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldsim.decisions.sampling import mean_error, told_apart
from fieldsim.decisions.sensitivity.inputs import Input, farm_at, own_position, span
from fieldsim.decisions.sensitivity.question import Question, costs
from fieldsim.farm import Farm

__all__ = ["Flip", "cheapest", "find_flips", "flipped"]

CLOSE = 1e-3  # of the range: how near to where the decision flips
NEAR = 0.02  # of the range: over which the slope there is taken

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Flip:
    """Where an input makes another option the cheapest: position, its error, and which option.

    The error is nan where the lead does not change with the input nearby, as with whole numbers.
    """

    position: float
    error: float
    option: str


def cheapest(found: Floats) -> int:
    """Return which contender costs least in the mean; costs have the shape (contender, season)."""
    return int(found.mean(axis=1).argmin())


def flipped(own: Floats, there: Floats) -> bool:
    """Say whether another option is cheapest there than on the farm's own figures, for sure."""
    best, other = cheapest(own), cheapest(there)
    lead = there[best] - there[other]
    return best != other and told_apart(float(lead.mean()), mean_error(lead))


def find_flips(
    farm: Farm, question: Question, item: Input, found: tuple[Floats, Floats, Floats]
) -> tuple[Flip, ...]:
    """Find where the decision flips between the farm's own figure and each end of a range."""
    at_low, own, at_high = found
    best, start, (low, high) = cheapest(own), own_position(farm, item), span(item)
    found_flips = []
    for end, there, other, at_other in ((low, at_low, high, at_high), (high, at_high, low, at_low)):
        # A figure that is not on the scale of its range can only be bracketed by the ends.
        begin = start if start is not None else other if _lead(at_other, best) > 0 else end
        if begin != end and flipped(own, there):
            found_flips.append(_flip(farm, question, item, best, (begin, end)))
    return tuple(found_flips)


def _lead(found: Floats, best: int) -> float:
    """Return by how much an option costs less than the cheapest other [$]; below 0: more."""
    means = found.mean(axis=1)
    return float(np.delete(means, best).min(initial=np.inf) - means[best])


def _flip(
    farm: Farm, question: Question, item: Input, best: int, between: tuple[float, float]
) -> Flip:
    """Find where an option stops being the cheapest, between a figure where it is and an end."""
    from scipy.optimize import brentq

    def found(at: float) -> Floats:
        return costs(question, farm_at(farm, {item: at}))

    def lead(at: float) -> float:
        return _lead(found(at), best)

    begin, end = between
    width = abs(end - begin)
    root = float(brentq(lead, begin, end, xtol=CLOSE * width)) if lead(begin) > 0 else begin
    there = found(root)
    others = there.mean(axis=1)
    others[best] = np.inf
    challenger = int(others.argmin())
    error = mean_error(there[challenger] - there[best])
    before, beyond = (
        float(np.clip(root + step * NEAR * width, min(between), max(between))) for step in (-1, 1)
    )
    slope = abs(lead(beyond) - lead(before)) / (beyond - before)
    return Flip(root, error / slope if slope else np.nan, question.contenders[challenger])
