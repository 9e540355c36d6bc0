"""What passes against weeds save: yield lost and avoided by the days on which they are made.

The model is fieldsim's own, on published inputs. Weeds that stand until day T after the crop's
emergence have cost the share L(T) of yield (`weed_loss`). The first pass, on day T1, kills the
share c1 of them, whose competition ends at L(T1); the rest compete on until the second pass on day
T2 kills the share c2 of what is left, and so on to the season-long loss L_end:

    loss = L(T1) + (1-c1) [L(T2) - L(T1)] + ... + (1-c1)...(1-cn) [L_end - L(Tn)]

Written by pass instead of by stretch of time, the same sum is

    loss = L_end - A1 - A2 - ... - An,   Ak = ck (1-c1)...(1-c(k-1)) [L_end - L(Tk)]

so that the k-th pass avoids Ak, whatever the days of the others. A simulation can therefore count
the area worked by each pass with a weight that depends only on that pass, the day and the planting
day (day of the pass - planting day - days from planting to emergence), and add the weights up. A
pass that is missed avoids nothing; a later one counts by the number of passes that were made before
it.

What the model leaves out: weeds that emerge after a pass, so that it has the earliest pass save
most (begin the operation where enough weeds are up); weeds of more than 10 to 15 cm, which escape
(end it before they are taller); weeds in the row, unless `control` is that of all weeds; rain after
the pass, which lets weeds root again. Loss is taken in proportion to the weeds that stand, while
fewer weeds cost more apiece (rectangular hyperbola, Cousens 1985, from memory): on weedy land what
survives a pass costs more than is counted here.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.crops.weed_competition import WeedCompetition, weed_loss
from fieldsim.ranges import in_range

__all__ = ["loss_after_passes", "loss_avoided"]


def loss_avoided(
    weeds: WeedCompetition,
    pass_number: int,
    days_after_emergence: ArrayLike,
    control: float | Sequence[float],
) -> NDArray[np.float64]:
    """Return the share of yield that one pass saves, against not making it and none after it.

    Parameters
    ----------
    weeds : WeedCompetition
    pass_number : int
        1 for the first pass that is made on the land, 2 for the second, and so on; passes that were
        missed do not count.
    days_after_emergence : array_like, any shape
        Day of this pass [day after the crop's emergence]. A pass ahead of emergence counts as one
        on the day of emergence, infinity as none.
    control : float or sequence of float
        Share of the standing weeds that a pass kills [1], 0 to 1: one number for every pass, or
        those of the passes in the order in which they are made, at least `pass_number` of them.

    Returns
    -------
    ndarray of float64, shape of `days_after_emergence`
        Ak of the head of this module [1].

    Raises
    ------
    ValueError
        If `pass_number` is below 1, a control is out of range or missing, or a day is no number.

    Examples
    --------
    >>> from fieldsim.crops import published_weed_competition
    >>> weeds = published_weed_competition("corn_ontario_high")
    >>> loss_avoided(weeds, 1, [11, 17], control=0.5)
    array([0.225, 0.2  ])
    >>> loss_avoided(weeds, 2, [11, 17], control=0.5)
    array([0.1125, 0.1   ])
    """
    if pass_number < 1:
        raise ValueError(f"pass_number = {pass_number}: 1 for the first pass, or more, is allowed")
    controls = _controls(control, pass_number)
    killed = controls[-1] * np.prod(1.0 - controls[:-1])
    season_long = weeds.pressure * weeds.season_long
    saved = killed * (season_long - weed_loss(weeds, days_after_emergence))
    return np.asarray(saved, dtype=np.float64)


def loss_after_passes(
    weeds: WeedCompetition, pass_days: Sequence[float], control: float | Sequence[float]
) -> float:
    """Return the share of yield lost on land with passes on given days.

    Parameters
    ----------
    weeds : WeedCompetition
    pass_days : sequence of float
        Days of the passes that are made [day after the crop's emergence], not falling; none where
        the land is never worked.
    control : float or sequence of float
        As in `loss_avoided`.

    Returns
    -------
    float
        [1], the first sum of the head of this module.

    Raises
    ------
    ValueError
        If the days fall, or with those of `loss_avoided`.

    Examples
    --------
    >>> from fieldsim.crops import published_weed_competition
    >>> weeds = published_weed_competition("corn_ontario_high")
    >>> round(loss_after_passes(weeds, [11, 17], control=0.5), 6)
    0.175
    """
    if any(later < day for day, later in itertools.pairwise(pass_days)):
        raise ValueError(f"pass_days = {pass_days}: days that do not fall are allowed")
    until = weed_loss(weeds, [*pass_days, np.inf])
    controls = _controls(control, len(pass_days)) if len(pass_days) else np.empty(0)
    standing = np.cumprod([1.0, *(1.0 - controls)])
    return float(np.sum(standing * np.diff(until, prepend=0.0)))


def _controls(control: float | Sequence[float], passes: int) -> NDArray[np.float64]:
    """Return the control of each of the first passes, shape (passes,)."""
    given = in_range("control", control, at_least=0.0, at_most=1.0)
    if given.ndim == 0:
        return np.full(passes, float(given))
    if given.ndim > 1 or len(given) < passes:
        raise ValueError(f"control = {control}: one number, or one for each of {passes} passes")
    return given[:passes]
