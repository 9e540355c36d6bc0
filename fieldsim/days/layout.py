"""Laying a week's suitable days out over its seven days, in runs and with their fraction.

A week with a total of T days has ceil(T) days that carry work, one of which carries only what is
left over. Which days they are is drawn from the distribution that a two-state chain has, given
their count and whether the day before the week is suitable. A day counts as *suitable* when at
least half of its hours are.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from numpy.typing import NDArray

from fieldsim.errors import Fault, InputError

__all__ = ["calibrate_change_odds", "expected_persistence", "lay_out", "pattern_probabilities"]

DAYS = 7
HALF = 0.5
NO_DAY = 2  # index of "no day before" after 0, an unsuitable day, and 1, a suitable one
WIDEST_LOG_ODDS = 12.0  # beyond it the patterns with fewest (most) changes have all the weight
CLOSE_ENOUGH = 0.0005  # half the last digit of the range that the error message prints

# Pattern c of 128 carries work on day d where bit d of c is set.
BITS = (np.arange(2**DAYS)[:, None] >> np.arange(DAYS)) % 2 == 1


def _patterns_by_count() -> NDArray[np.intp]:
    """Return the patterns with each count of days, shape (count, 35), filled up with -1."""
    counts = BITS.sum(axis=1)
    table = np.full((DAYS + 1, math.comb(DAYS, DAYS // 2)), -1)
    for count in range(DAYS + 1):
        patterns = np.flatnonzero(counts == count)
        table[count, : len(patterns)] = patterns
    return table


def _changes() -> NDArray[np.intp]:
    """Return each pattern's changes from day to day, shape (day before, pattern)."""
    inside = (BITS[:, 1:] != BITS[:, :-1]).sum(axis=1)
    return np.stack([inside + BITS[:, 0], inside + ~BITS[:, 0], inside])


def _edges() -> NDArray[np.bool_]:
    """Return the days at an edge of a run, shape (day before, pattern, day).

    The week after is not laid out yet: a run that reaches the last day of the week ends there.
    """
    after = np.pad(BITS[:, 1:], ((0, 0), (0, 1)))
    edges = [
        BITS & ~np.column_stack([np.full(len(BITS), suitable), BITS[:, :-1]]) | BITS & ~after
        for suitable in (False, True, False)
    ]
    return np.stack(edges)


PATTERNS = _patterns_by_count()
CHANGES = _changes()
EDGES = _edges()
EDGE_COUNT = EDGES.sum(axis=-1)
EDGE_DAY = np.argsort(~EDGES, axis=-1, kind="stable")  # the edge days first


def pattern_probabilities(change_odds: float) -> NDArray[np.float64]:
    """Return how likely each pattern of a week is, given its count and the day before.

    A chain that changes between suitable and unsuitable with the odds r a day gives a week with k
    changes, the one into the first day included, a probability proportional to r^k. This is also
    the distribution, given the last day of the week as well, of any two-state chain that has
    r^2 = b (1 - a) / (a (1 - b)), where a = P(suitable | suitable), b = P(suitable | unsuitable).

    Parameters
    ----------
    change_odds : float
        Odds that a day differs from the day before [-]; 1 scatters the days, 0.25 makes a change
        four times less likely than none.

    Returns
    -------
    ndarray, shape (day before, count, pattern)
        Day before: unsuitable, suitable, none. Patterns in the order of `PATTERNS`; each
        distribution sums to 1.

    Examples
    --------
    >>> one_day_after_a_suitable_one = pattern_probabilities(0.25)[1, 1, :7]
    >>> one_day_after_a_suitable_one.round(3).tolist()
    [0.64, 0.04, 0.04, 0.04, 0.04, 0.04, 0.16]
    """
    weights = np.where(PATTERNS >= 0, np.power(change_odds, CHANGES[:, PATTERNS], dtype=float), 0.0)
    probabilities: NDArray[np.float64] = weights / weights.sum(axis=-1, keepdims=True)
    return probabilities


def lay_out(
    totals: NDArray[np.float64], change_odds: float, uniforms: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Lay weekly totals out over days.

    Parameters
    ----------
    totals : ndarray, shape (season, week)
        Suitable days of each week [days, 0..7], fractions and all.
    change_odds : float
        Odds that a day differs from the day before [-]; see `pattern_probabilities`.
    uniforms : ndarray, shape (season, week, 2)
        Uniform random numbers [0..1): for the pattern, and for the edge of a run on which the day
        that is only partly suitable falls.

    Returns
    -------
    ndarray, shape (season, week, 7)
        Share of each day [0..1]; the shares of a week add up to its total.

    Examples
    --------
    >>> lay_out(np.array([[2.5]]), 0.25, np.array([[[0.0, 0.9]]])).tolist()
    [[[1.0, 1.0, 0.5, 0.0, 0.0, 0.0, 0.0]]]
    """
    cumulative = pattern_probabilities(change_odds).cumsum(axis=-1)
    # Exactly 1 from the last pattern of each count on: rounding must not let a draw pass it.
    cumulative[:, np.arange(PATTERNS.shape[1]) >= (PATTERNS >= 0).sum(axis=-1)[:, None] - 1] = 1.0
    shares = np.empty((*totals.shape, DAYS))
    before = np.full(len(totals), NO_DAY)
    counts = np.ceil(totals).astype(int)
    for week in range(totals.shape[1]):
        count = counts[:, week]
        place = (cumulative[before, count] <= uniforms[:, week, :1]).sum(axis=-1)
        pattern = PATTERNS[count, place]
        edge = (uniforms[:, week, 1] * EDGE_COUNT[before, pattern]).astype(int)
        days = BITS[pattern].astype(float)
        some = np.flatnonzero(count)
        partial = EDGE_DAY[before, pattern, edge][some]
        days[some, partial] = totals[some, week] - (count[some] - 1)
        shares[:, week] = days
        before = (days[:, -1] >= HALF).astype(int)
    return shares


@cache
def _mean_over_edges() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return what each pattern holds, on average over the edges its partial day may fall on.

    Both arrays have the shape (partial day unsuitable, day before, pattern): the number of suitable
    days that follow a suitable day, and the share of cases in which the last day is suitable.
    """
    without_one_day = BITS[:, None] & ~np.eye(DAYS, dtype=bool)
    days = np.stack([np.broadcast_to(BITS[:, None], without_one_day.shape), without_one_day])
    inside = (days[..., 1:] & days[..., :-1]).sum(axis=-1)
    pairs = np.stack([inside, inside + days[..., 0], inside], axis=1)
    weights = EDGES / np.maximum(EDGE_COUNT, 1)[..., None]
    return (pairs * weights).sum(axis=-1), (days[:, None, ..., -1] * weights).sum(axis=-1)


def expected_persistence(totals: NDArray[np.float64], change_odds: float) -> float:
    """Return P(day suitable | day before suitable) over all layouts of given weekly totals.

    Exact for the totals: the probability that the last day of a week is suitable is carried from
    week to week, over every pattern and every edge.

    Parameters
    ----------
    totals : ndarray, shape (season, week)
        Suitable days of each week [days, 0..7].
    change_odds : float
        Odds that a day differs from the day before [-].

    Returns
    -------
    float
        Pooled over all days of all seasons [0..1]; nan where no suitable day is followed by a day.

    Examples
    --------
    >>> expected_persistence(np.full((1, 10), 7.0), 0.25)
    1.0
    """
    return _persistence(*_cases(totals), change_odds)


def _cases(totals: NDArray[np.float64]) -> tuple[NDArray[np.intp], int]:
    """Return the kind of each week, shape (week, season), and how many days are suitable.

    A week's kind is its count of days, and `DAYS` + 1 more where its partial day is unsuitable.
    """
    counts = np.ceil(totals).astype(np.intp)
    small = totals - (counts - 1) < HALF
    return np.ascontiguousarray((counts + (DAYS + 1) * small).T), int((counts - small).sum())


def _persistence(cases: NDArray[np.intp], suitable: int, change_odds: float) -> float:
    """Return what `expected_persistence` does, of weeks by their kind."""
    probabilities = pattern_probabilities(change_odds)
    pairs, ends = (
        (probabilities * mean[:, :, PATTERNS]).sum(axis=-1).swapaxes(0, 1).reshape(3, -1)
        for mean in _mean_over_edges()
    )
    more_pairs, more_ends = pairs[1] - pairs[0], ends[1] - ends[0]  # after a suitable day
    in_pairs = pairs[NO_DAY].take(cases[0]).sum()
    end = ends[NO_DAY].take(cases[0])
    for case in cases[1:]:
        in_pairs += (pairs[0].take(case) + end * more_pairs.take(case)).sum()
        end = ends[0].take(case) + end * more_ends.take(case)
    followed = suitable - end.sum()
    return float(in_pairs / followed) if followed > 0 else math.nan


def calibrate_change_odds(
    totals: NDArray[np.float64],
    persistence: float,
    *,
    nearest: bool = False,
    file: str = "weekly table",
) -> float:
    """Find the odds of a change for which given weekly totals have a persistence.

    Parameters
    ----------
    totals : ndarray, shape (season, week)
        Suitable days of each week [days, 0..7], many seasons of them.
    persistence : float
        P(day suitable | day before suitable), pooled over all days [0..1].
    nearest : bool
        Take the nearest persistence that can be had where this one cannot.
    file : str
        What to call the source of the totals in the message.

    Returns
    -------
    float
        Odds that a day differs from the day before [-]; 1 where no day is ever suitable.

    Raises
    ------
    InputError
        If no layout of these totals has that persistence and `nearest` is false; the message
        states the range that can be had.

    Examples
    --------
    >>> totals = np.full((1, 20), 4.0)
    >>> odds = calibrate_change_odds(totals, 0.8)
    >>> round(expected_persistence(totals, odds), 6)
    0.8
    """
    low, high = -WIDEST_LOG_ODDS, WIDEST_LOG_ODDS
    weeks = _cases(totals)
    most, least = (_persistence(*weeks, math.exp(end)) for end in (low, high))
    if math.isnan(most):
        return 1.0
    if not least - CLOSE_ENOUGH <= persistence <= most + CLOSE_ENOUGH:
        closest = least if persistence < least else most
        if nearest:
            return math.exp(high if persistence < least else low)
        problem = f"the weeks of this table allow from {least:.3f} to {most:.3f}"
        repair = f"write persistence = {closest:.3f} or another number in that range"
        raise InputError([Fault(file, "persistence", f"{persistence:g}", problem, repair)])
    for _ in range(40):
        middle = (low + high) / 2
        if _persistence(*weeks, math.exp(middle)) > persistence:
            low = middle
        else:
            high = middle
    return math.exp((low + high) / 2)
