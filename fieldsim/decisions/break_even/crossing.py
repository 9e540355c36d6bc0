"""Where one option becomes cheaper than another: the figure at which their costs are equal."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from fieldsim.decisions.break_even.result import Breakeven, Crossing, said_of
from fieldsim.decisions.comparison import total_cost
from fieldsim.decisions.sampling import Z, mean_error, told_apart
from fieldsim.decisions.sizing.search import largest_allowed
from fieldsim.decisions.studied_figures import (
    StudiedFigure,
    at_factor,
    figure_text,
    same_seasons,
    studied,
)
from fieldsim.draws import draw_seasons
from fieldsim.errors import Fault, InputError, no_such
from fieldsim.farm import Farm
from fieldsim.simulation import simulate

__all__ = ["breakeven"]

STEPS = 13  # factors at which the two are compared before the crossings are closed in on
FEWEST = 2  # seasons: one has no error


class Paired(NamedTuple):
    """Mean cost of an option less that of the other, and its standard error [$]."""

    difference: float
    error: float


Differences = Callable[[float], Paired]


def breakeven(
    farm: Farm,
    option: str,
    against: str,
    path: str | StudiedFigure,
    bounds: tuple[float, float] | None = None,
    *,
    seasons: int = 1000,
    seed: int = 0,
    tolerance: float = 1e-3,
) -> Breakeven:
    """Return the figure at which an option costs as much in a year as another.

    Both are run on the same seasons with the figure multiplied by factors between the bounds. Where
    the mean of the paired differences of total cost changes its sign, root finding closes in on the
    crossing, and on the ends of the stretch around it in which the difference lies inside its
    Monte Carlo error.

    Parameters
    ----------
    farm : Farm
    option, against : str
    path : str or StudiedFigure
        A word of `studied`, as ``"area"``, or a path, as ``"crops.corn.price"``.
    bounds : tuple of float, optional
        Factors of what the file says.
    seasons, seed : int
    tolerance : float
        Of the factor.

    Returns
    -------
    Breakeven

    Raises
    ------
    InputError
        If there is no such option or figure, or a number is out of range.

    Notes
    -----
    Crossings that lie two within one of the 12 steps between the bounds are not seen.

    Examples
    --------
    >>> import fieldsim
    >>> found = breakeven(fieldsim.demo_farm(), "eight_rows", "six_rows", "area", seasons=50)
    >>> found.crossings[0].cheaper_above
    'eight_rows'
    """
    _check(farm, option, against, seasons, tolerance)
    figure = path
    if not isinstance(figure, StudiedFigure):
        figure = studied(farm, figure, option=option, against=against)
    low, high = _bounds(farm, figure, bounds)
    differences = _differences(farm, option, against, figure, seasons, seed)
    factors = np.linspace(low, high, STEPS) if low == 0 else np.geomspace(low, high, STEPS)
    steps = sorted({low, high, *map(float, factors[1:-1]), *([1.0] if low < 1 < high else [])})
    roots = _roots(lambda f: differences(f).difference, steps, tolerance)
    crossings = tuple(
        _crossing(farm, option, against, figure, differences, root, [*steps, *roots], tolerance)
        for root in roots
    )
    found = min(crossings, key=lambda c: abs(c.factor - 1), default=None)
    now = differences(1.0)
    cheaper = "" if crossings else _throughout(option, against, differences, steps)
    result = Breakeven(
        option=option,
        against=against,
        figure=figure,
        now=figure_text(farm, figure.paths, 1.0),
        difference_now=now.difference,
        difference_now_error=now.error,
        bounds=(low, high),
        value=found.value if found else "",
        factor=found.factor if found else math.nan,
        low=found.low if found else math.nan,
        high=found.high if found else math.nan,
        crossings=crossings,
        cheaper=cheaper,
        note="",
    )
    hidden = [bound for bound in (low, high) if not told_apart(*differences(bound))]
    return replace(result, note=said_of(farm, result, hidden))


def _check(farm: Farm, option: str, against: str, seasons: int, tolerance: float) -> None:
    faults = []
    for name, value in (("option", option), ("against", against)):
        if value not in farm.options:
            faults.append(no_such("option", name, value, farm.options))
    if option == against:
        faults.append(Fault("", "against", against, "is the option itself", "name another option"))
    if seasons < FEWEST:
        problem = f"a whole number of at least {FEWEST} is allowed"
        faults.append(Fault("", "seasons", str(seasons), problem, "write 1000"))
    if not 0 < tolerance < 1:
        problem = "a number between 0 and 1 is allowed"
        faults.append(Fault("", "tolerance", f"{tolerance:g}", problem, "write 0.001"))
    if faults:
        raise InputError(faults)


def _bounds(
    farm: Farm, figure: StudiedFigure, bounds: tuple[float, float] | None
) -> tuple[float, float]:
    """Return the factors between which is searched; usual ones give way to what a farm allows."""
    low, high = figure.bounds if bounds is None else bounds
    if not 0 <= low < high < math.inf:
        problem = "two rising factors of at least 0 are allowed"
        raise InputError([Fault("", "bounds", f"{low:g}, {high:g}", problem, "write (0.5, 2.0)")])
    if bounds is not None:
        for bound in bounds:
            at_factor(farm, figure.paths, bound)
        return low, high
    return low, largest_allowed(lambda factor: at_factor(farm, figure.paths, factor), high)[0]


def _differences(
    farm: Farm, option: str, against: str, figure: StudiedFigure, seasons: int, seed: int
) -> Differences:
    """Return the paired difference as a function of the factor; each is worked out once."""
    drawn, known = draw_seasons(farm, seasons, seed), dict[float, Paired]()
    same = same_seasons(figure.paths)

    def difference(factor: float) -> Paired:
        if factor not in known:
            other = at_factor(farm, figure.paths, factor)
            pair = replace(other, options={name: other.options[name] for name in (option, against)})
            draws = drawn if same else draw_seasons(other, seasons, seed)
            cost = total_cost(simulate(pair, seasons, seed, draws=draws))
            paired = (cost.sel(option=option) - cost.sel(option=against)).values
            known[factor] = Paired(float(paired.mean()), mean_error(paired))
        return known[factor]

    return difference


def _roots(function: Callable[[float], float], steps: list[float], tolerance: float) -> list[float]:
    """Return where a function changes its sign between steps, rising."""
    values = [function(step) for step in steps]
    roots = []
    for i in range(len(steps) - 1):
        if values[i] * values[i + 1] < 0:
            roots.append(_root(function, steps[i], steps[i + 1], tolerance))
        elif values[i] == 0 and i > 0 and values[i - 1] * values[i + 1] < 0:
            roots.append(steps[i])
    return roots


def _root(function: Callable[[float], float], low: float, high: float, tolerance: float) -> float:
    from scipy.optimize import brentq

    root: float = brentq(function, low, high, xtol=tolerance * high / 2, rtol=1e-12)
    return root


def _crossing(
    farm: Farm,
    option: str,
    against: str,
    figure: StudiedFigure,
    differences: Differences,
    root: float,
    steps: list[float],
    tolerance: float,
) -> Crossing:
    """Return a crossing with its interval."""

    def beyond_error(factor: float) -> float:
        paired = differences(factor)
        return abs(paired.difference) - Z * paired.error

    ends = []
    for side in (sorted(s for s in steps if s < root)[::-1], sorted(s for s in steps if s > root)):
        inside = root
        for step in side:
            if beyond_error(step) > 0:
                near, far = sorted((inside, step))
                exact = beyond_error(inside) >= 0  # there is no error at all
                ends.append(inside if exact else _root(beyond_error, near, far, tolerance))
                break
            inside = step
        else:
            ends.append(side[-1])
    before = differences(max(s for s in steps if s < root)).difference
    below, above = (option, against) if before < 0 else (against, option)
    texts = [figure_text(farm, figure.paths, factor) for factor in (root, *ends)]
    return Crossing(root, ends[0], ends[1], texts[0], texts[1], texts[2], below, above)


def _throughout(option: str, against: str, differences: Differences, steps: list[float]) -> str:
    """Return the option that costs less at every step; empty where they cost the same."""
    total = math.fsum(differences(step).difference for step in steps)
    return "" if total == 0 else option if total < 0 else against
