"""What an answer hangs on: each input moved alone between the ends of its range."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from fieldsim.decisions.sampling import Z, mean_error
from fieldsim.decisions.sensitivity.flipping import Flip, cheapest, find_flips, flipped
from fieldsim.decisions.sensitivity.input_checks import check_inputs
from fieldsim.decisions.sensitivity.inputs import Input, farm_at, own_position, shown_at, span
from fieldsim.decisions.sensitivity.question import Question, answer, ask, attributes, costs
from fieldsim.decisions.sensitivity.usual_inputs import usual_inputs
from fieldsim.farm import Farm

__all__ = ["flips", "ranges"]

Floats = NDArray[np.float64]
Progress = Callable[[float], None]
FLIP_COLUMNS = (
    *("input", "own", "flips_at", "flips_from", "flips_to", "then", "position", "position_error"),
    *("of_range", "basis"),
)


@dataclass(frozen=True, eq=False)
class _Swing:
    """An input moved between its ends: costs there, shape (contender, season), and the flips."""

    item: Input
    low: Floats
    high: Floats
    flips: tuple[Flip, ...]


def ranges(
    farm: Farm,
    inputs: Sequence[Input] | None = None,
    *,
    option: str | None = None,
    against: str | None = None,
    seasons: int = 1000,
    seed: int = 0,
    progress: Progress | None = None,
) -> pd.DataFrame:
    """Move each input alone from one end of its range to the other, on the same seasons.

    Parameters
    ----------
    farm : Farm
    inputs : sequence of Input, optional
        Default: `usual_inputs`.
    option : str, optional
        Default: the option that costs least.
    against : str, optional
        Ask for the difference of total cost between the two in place of the cost of `option`.
    seasons, seed : int
        See `simulate`.
    progress : callable, optional
        Called now and then with the share that is done, 0..1.

    Returns
    -------
    pandas.DataFrame
        A row for each input, the largest effect first:

        - ``low``, ``own``, ``high``: the figures, as people read them;
        - ``at_low``, ``at_own``, ``at_high``: mean total cost of a year, or the mean difference
          (below 0: `option` is cheaper), and the standard error ``at_own_error`` [$];
        - ``effect``, ``at_high`` less ``at_low``, with its paired standard error in
          ``effect_error`` [$];
        - ``best_low``, ``best_high``: which of the options costs least there (of the two, where
          `against` is given);
        - ``flips``: at an end another option costs least than on the farm's own figures, by more
          than its Monte Carlo error; ``flips_at``: the figure from which on it does;
        - ``basis``: where the range comes from.

        ``attrs`` holds `option`, `against`, ``best`` (on the farm's own figures), ``seasons``,
        ``seed``, ``units`` and ``labels``, what people call each option.

    Raises
    ------
    InputError
        If an input, an option or a number is at fault.

    Examples
    --------
    >>> import fieldsim
    >>> wage = Input("wage", ("money.wage",), 0.8, 1.25)
    >>> table = ranges(fieldsim.demo_farm(), [wage], option="six_rows", seasons=50)
    >>> table.loc["wage", ["low", "own", "high"]].tolist()
    ['$19.20/h', '$24/h', '$30.00/h']
    """
    question, own, swings = _study(farm, inputs, option, against, (seasons, seed), progress)
    table = pd.DataFrame([_row(farm, question, own, swing) for swing in swings])
    table = table.set_index("input").sort_values(
        "effect", key=np.abs, ascending=False, kind="stable"
    )
    table.attrs = attributes(question) | {"best": question.contenders[cheapest(own)]}
    return table


def _row(farm: Farm, question: Question, own: Floats, swing: _Swing) -> dict[str, Any]:
    """Return what `ranges` tells of one input."""
    item, (low, high) = swing.item, span(swing.item)
    at_low, at_own, at_high = (answer(question, c) for c in (swing.low, own, swing.high))
    return {
        "input": item.name,
        "low": shown_at(farm, item, low),
        "own": shown_at(farm, item),
        "high": shown_at(farm, item, high),
        "at_low": at_low.mean(),
        "at_own": at_own.mean(),
        "at_own_error": mean_error(at_own),
        "at_high": at_high.mean(),
        "effect": (at_high - at_low).mean(),
        "effect_error": mean_error(at_high - at_low),
        "best_low": question.contenders[cheapest(swing.low)],
        "best_high": question.contenders[cheapest(swing.high)],
        "flips": flipped(own, swing.low) or flipped(own, swing.high),
        "flips_at": " and ".join(shown_at(farm, item, flip.position) for flip in swing.flips),
        "basis": item.basis,
    }


def flips(
    farm: Farm,
    inputs: Sequence[Input] | None = None,
    *,
    option: str | None = None,
    against: str | None = None,
    seasons: int = 1000,
    seed: int = 0,
    progress: Progress | None = None,
) -> pd.DataFrame:
    """Say what would have to be true for another option to cost least, one input at a time.

    Each flip is looked for between the farm's own figure and the ends of the range where another
    option costs less by more than its Monte Carlo error; a flip there and back is not seen.

    Parameters
    ----------
    farm, inputs, option, against, seasons, seed, progress
        See `ranges`. Without `against` all options contend.

    Returns
    -------
    pandas.DataFrame
        A row for each flip, the nearest first:

        - ``input``, ``own``, ``flips_at`` and the ends of its 95 % Monte Carlo band,
          ``flips_from`` and ``flips_to``, as people read them;
        - ``then``: the option that costs least beyond it;
        - ``position`` and its standard error ``position_error``: the factor, or the figure;
        - ``of_range``: how far it lies from the farm's own figure to the end of the range [0..1];
        - ``basis``: where the range comes from.

        ``attrs`` as in `ranges`.

    Raises
    ------
    InputError
        If an input, an option or a number is at fault.

    Notes
    -----
    The error of the position is that of the mean difference there, divided by its slope.

    Examples
    --------
    >>> import fieldsim
    >>> area = Input("area", ("fields.*.area",), 0.3, 1.5)
    >>> flips(fieldsim.demo_farm(), [area], seasons=100).then.tolist()
    ['eight_rows']
    """
    question, own, swings = _study(farm, inputs, option, against, (seasons, seed), progress)
    rows = [_flip_row(farm, swing.item, flip) for swing in swings for flip in swing.flips]
    table = pd.DataFrame(rows, columns=FLIP_COLUMNS)
    table = table.sort_values("of_range", ignore_index=True, kind="stable")
    table.attrs = attributes(question) | {"best": question.contenders[cheapest(own)]}
    return table


def _flip_row(farm: Farm, item: Input, flip: Flip) -> dict[str, Any]:
    """Return what `flips` tells of one flip."""
    start, margin = own_position(farm, item), Z * flip.error
    band = [flip.position - margin, flip.position + margin]
    low, high = ("" if np.isnan(end) else shown_at(farm, item, end) for end in band)
    of_range = np.nan
    if start is not None:
        end = span(item)[int(flip.position > start)]
        of_range = (flip.position - start) / (end - start)
    return {
        "input": item.name,
        "own": shown_at(farm, item),
        "flips_at": shown_at(farm, item, flip.position),
        "flips_from": low,
        "flips_to": high,
        "then": flip.option,
        "position": flip.position,
        "position_error": flip.error,
        "of_range": of_range,
        "basis": item.basis,
    }


def _study(
    farm: Farm,
    inputs: Sequence[Input] | None,
    option: str | None,
    against: str | None,
    drawn: tuple[int, int],
    progress: Progress | None,
) -> tuple[Question, Floats, list[_Swing]]:
    """Work the farm as it stands and with each input at both of its ends."""
    question, own = ask(farm, option, against, *drawn)
    if inputs is not None:
        check_inputs(farm, inputs)
    chosen = usual_inputs(farm) if inputs is None else tuple(inputs)
    swings = []
    for number, item in enumerate(chosen, 1):
        low, high = (costs(question, farm_at(farm, {item: at})) for at in span(item))
        swings.append(_Swing(item, low, high, find_flips(farm, question, item, (low, own, high))))
        if progress is not None:
            progress(number / len(chosen))
    return question, own, swings
