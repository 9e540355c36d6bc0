"""Simulated finish days and losses against their exact distribution.

Planting alone, on days that follow a two-state chain: the k-th suitable day plants the k-th day's
worth of land. A forward recursion over day x count of suitable days x state gives the distribution
of the day on which planting ends, and the mean and variance of the loss. It is written here from
the definition of the chain and shares no code with fieldsim.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache

import numpy as np
import pytest
import xarray as xr
from scipy import stats

import fieldsim
from tests.one_field import AREA_A_DAY, PRICE, YIELD, one_field

SEASONS = 50_000
Z = 4.0  # standard errors
ALPHA = 1e-4  # chance that a sound simulation leaves the band around the distribution

# Largest distance between the distribution of n draws and their true one, but for a chance alpha:
# sqrt(ln(2 / alpha) / (2 n)). Massart (1990), The tight constant in the Dvoretzky-Kiefer-Wolfowitz
# inequality, Annals of Probability 18:1269-1283.
BAND = np.sqrt(np.log(2 / ALPHA) / (2 * SEASONS))

FIRST_DAY = date(2026, 4, 1)
Curve = Callable[[date], float]


def parabola(day: date) -> float:
    return 1 - 0.0004 * (day - date(2026, 4, 25)).days ** 2


def straight_between_rows(day: date) -> float:
    rows = {date(2026, 4, 10): 0.92, date(2026, 4, 28): 1.00, date(2026, 5, 31): 0.70}
    return float(
        np.interp(day.toordinal(), [d.toordinal() for d in rows], list(rows.values()))
    )  # flat outside


PARABOLA = '{ quadratic = { best_day = "25 Apr", loss_per_day_squared = 0.0004 } }'
ROWS = "planted,percent_of_maximum\n10 Apr,92\n28 Apr,100\n31 May,70\n"


@dataclass(frozen=True)
class Case:
    """A farm of one field and the chain of its days: what is known of it on paper."""

    chain: dict[date, tuple[float, float]]  # P(suitable | suitable), P(suitable | unsuitable)
    area: float  # [ha]
    earliest: date
    last_day: date
    curve: str
    relative_yield: Curve
    day_off: str = ""  # the weekday on which nobody works


CASES = {
    "constant chain, five whole days": Case(
        chain={FIRST_DAY: (0.75, 0.30)},
        area=5 * AREA_A_DAY,
        earliest=date(2026, 4, 10),
        last_day=date(2026, 5, 31),
        curve=PARABOLA,
        relative_yield=parabola,
    ),
    "chain that varies by date, Sundays off": Case(
        chain={
            date(2026, 4, 5): (0.60, 0.15),
            date(2026, 5, 1): (0.80, 0.30),
            date(2026, 5, 20): (0.90, 0.45),
        },
        area=8 * AREA_A_DAY,
        earliest=date(2026, 4, 8),
        last_day=date(2026, 5, 31),
        curve='{ table = "yield.csv" }',
        relative_yield=straight_between_rows,
        day_off="Sunday",
    ),
    "partial last day, often unfinished": Case(
        chain={date(2026, 4, 15): (0.65, 0.20), date(2026, 5, 15): (0.80, 0.35)},
        area=9.3 * AREA_A_DAY,
        earliest=date(2026, 4, 18),
        last_day=date(2026, 5, 12),
        curve=PARABOLA,
        relative_yield=parabola,
    ),
}
every_case = pytest.mark.parametrize("name", CASES)


@dataclass(frozen=True)
class Exact:
    """Chance of finishing on each day of the season, and mean and variance of the loss [$]."""

    finish: list[float]
    mean: float
    variance: float


def exact(
    days: list[date],
    after_suitable: list[float],
    after_unsuitable: list[float],
    works: list[bool],
    pieces: list[float],
    loss: list[float],
) -> Exact:
    """Follow probability, mean loss and mean squared loss from day to day.

    `pieces` is the land of the first, second, ... suitable day of work [ha]; `loss` what a hectare
    planted on each day loses [$/ha]. Land never planted loses all.
    """
    n = len(pieces)
    # moments[k][s]: probability, and expected loss and squared loss on the paths that are there, of
    # k days' work done and the last day unsuitable (s = 0) or suitable (s = 1).
    start = after_unsuitable[0] / (1 - after_suitable[0] + after_unsuitable[0])
    finish = []
    moments = np.zeros((n + 1, 2, 3))
    for d in range(len(days)):
        after = np.zeros((n + 1, 2, 3))
        for k in range(n + 1):
            for before in (0, 1):
                if d == 0:
                    chance, reached = start, np.array([1.0, 0.0, 0.0]) * (k == 0 and before == 0)
                else:
                    chance = (after_unsuitable, after_suitable)[before][d]
                    reached = moments[k, before]
                after[k, 0] += (1 - chance) * reached
                if works[d] and k < n:
                    after[k + 1, 1] += chance * later(reached, pieces[k] * loss[d])
                else:
                    after[k, 1] += chance * reached
        finish.append(after[n, :, 0].sum() - moments[n, :, 0].sum())
        moments = after
    unplanted = [sum(pieces[k:]) * YIELD * PRICE for k in range(n + 1)]
    ended = sum(later(moments[k].sum(axis=0), unplanted[k]) for k in range(n + 1))
    assert ended[0] == pytest.approx(1)
    return Exact(finish, ended[1], ended[2] - ended[1] ** 2)


def later(moments: np.ndarray, lost: float) -> np.ndarray:
    """Probability, mean and mean square of the loss on paths on which `lost` [$] is added."""
    probability, mean, square = moments
    return np.array(
        [probability, mean + lost * probability, square + 2 * lost * mean + lost**2 * probability]
    )


def on_paper(case: Case) -> Exact:
    days = [FIRST_DAY + timedelta(i) for i in range((case.last_day - FIRST_DAY).days + 1)]
    at = [d.toordinal() for d in case.chain]
    suitable, unsuitable = (
        [float(np.interp(d.toordinal(), at, [pair[i] for pair in case.chain.values()]))
         for d in days]
        for i in (0, 1)
    )  # fmt: skip
    works = [d >= case.earliest and d.strftime("%A") != case.day_off for d in days]
    whole = int(case.area // AREA_A_DAY)
    pieces = [AREA_A_DAY] * whole
    if case.area > whole * AREA_A_DAY:
        pieces.append(case.area - whole * AREA_A_DAY)
    loss = [(1 - case.relative_yield(d)) * YIELD * PRICE for d in days]
    return exact(days, suitable, unsuitable, works, pieces, loss)


@cache
def simulated(name: str) -> xr.Dataset:
    case = CASES[name]
    text = one_field(
        area=case.area,
        curve=case.curve,
        earliest=f"{case.earliest:%-d %b}",
        last_day=f"{case.last_day:%-d %b}",
        days_off=(case.day_off,) if case.day_off else (),
    )
    rows = "".join(f"{d:%-d %b},{s},{u}\n" for d, (s, u) in case.chain.items())
    chain = "date,suitable_after_suitable,suitable_after_unsuitable\n" + rows
    tables = {"days.csv": chain, "yield.csv": ROWS}
    return fieldsim.simulate(fieldsim.parse_farm(text, tables), seasons=SEASONS, seed=0)


def simulated_finish(name: str) -> np.ndarray:
    """Share of seasons that end on each day of the season."""
    dates = simulated(name).finish_date.squeeze().to_numpy()
    ended = dates[~np.isnat(dates)] - np.datetime64(FIRST_DAY)
    index = (ended / np.timedelta64(1, "D")).astype(int)
    days = (CASES[name].last_day - FIRST_DAY).days + 1
    return np.bincount(index, minlength=days) / SEASONS


@every_case
def test_finish_day_has_its_exact_distribution(name: str) -> None:
    expected, found = on_paper(CASES[name]).finish, simulated_finish(name)
    assert np.abs(np.cumsum(found) - np.cumsum(expected)).max() < BAND


@every_case
def test_no_season_ends_on_a_day_that_cannot_be_the_last(name: str) -> None:
    expected, found = np.array(on_paper(CASES[name]).finish), simulated_finish(name)
    assert not found[expected == 0].any()


@every_case
def test_share_of_seasons_that_finish_is_exact(name: str) -> None:
    share = sum(on_paper(CASES[name]).finish)
    error = np.sqrt(share * (1 - share) / SEASONS)
    assert simulated_finish(name).sum() == pytest.approx(share, abs=Z * error + 1e-12)


@every_case
def test_mean_loss_is_exact(name: str) -> None:
    expected = on_paper(CASES[name])
    error = np.sqrt(expected.variance / SEASONS)
    assert error < 0.02 * expected.mean
    found = float(simulated(name).lost_revenue.mean())
    assert found == pytest.approx(expected.mean, abs=Z * error)


@every_case
def test_spread_of_the_loss_is_exact(name: str) -> None:
    losses = simulated(name).lost_revenue.squeeze().to_numpy()
    squares = (losses - losses.mean()) ** 2
    error = squares.std() / np.sqrt(SEASONS)
    assert error < 0.05 * squares.mean()
    assert squares.mean() == pytest.approx(on_paper(CASES[name]).variance, abs=Z * error)


def test_the_cases_are_unlike_each_other() -> None:
    # Else a farm that hardly ever, or always, finishes would agree with little said.
    finishing = [sum(on_paper(case).finish) for case in CASES.values()]
    assert finishing[0] > 0.99
    assert 0.2 < finishing[2] < 0.8


def test_the_recursion_gives_the_negative_binomial_of_independent_days() -> None:
    # The day of the n-th success in independent trials (any textbook of probability).
    p, n, days = 0.4, 6, [FIRST_DAY + timedelta(i) for i in range(60)]
    found = exact(days, [p] * 60, [p] * 60, [True] * 60, [1.0] * n, [0.0] * 60).finish
    np.testing.assert_allclose(found, stats.nbinom(n, p).pmf(np.arange(60) + 1 - n), atol=1e-15)
