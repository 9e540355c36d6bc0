"""Print how much each drawn season tells, and whether stated intervals hold, as Markdown tables.

``python -m tests.benchmarks.seasons``: about four minutes. Figures of the demo farm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any, ClassVar

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri
from scipy.stats import qmc

import fieldsim
import tests.conftest  # noqa: F401 - keeps compiled code where the tests do
from fieldsim.days import WeeklyTable
from fieldsim.days.copula import weekly_quantiles
from fieldsim.days.layout import lay_out
from fieldsim.days.weekly_table import change_odds
from fieldsim.decisions import total_cost
from fieldsim.decisions.sampling import Z
from fieldsim.randomness import stream
from fieldsim.season import Season

SEASONS = 512  # a power of 2, which a Sobol' sequence needs for its balance
RUNS = 100  # of which the spread of a mean is taken: known to 7 %, a ratio of variances to 14 %
REPETITIONS, EACH = 500, (1000, 200)  # of the coverage
TRUTH = 40, 5000  # runs and seasons of the true values; other seeds
WEALTH = 1_000_000.0


@dataclass(frozen=True)
class Spread:
    """A weekly table whose seasons are spread evenly over what they may be.

    Either the wetness of the season lies once in each of as many strata of equal chance, or the
    wetness and all weeks follow a scrambled Sobol' sequence (Owen 1998, Scrambling Sobol' and
    Niederreiter-Xing points, J. Complexity 14; cited from memory).
    """

    table: WeeklyTable
    sobol: bool
    soils: ClassVar[tuple[str, ...]] = ("any",)

    def draw(self, season: Season, seasons: int, seed: int) -> NDArray[np.float64]:
        table, weeks = self.table, len(self.table.week_starts)
        random = stream(seed, "benchmark.scores")
        if self.sobol:
            even = qmc.Sobol(1 + weeks, rng=random).random(seasons)
        else:
            even = random.random((seasons, 1 + weeks))
            even[:, 0] = (random.permutation(seasons) + even[:, 0]) / seasons
        normal = ndtri(np.clip(even, 1e-12, 1 - 1e-12))
        r = table.week_correlation
        for week in range(2, 1 + weeks):
            normal[:, week] = r * normal[:, week - 1] + np.sqrt(1 - r * r) * normal[:, week]
        share = table.season_share
        scores = np.sqrt(share) * normal[:, :1] + np.sqrt(1 - share) * normal[:, 1:]
        percentiles, days = np.array(table.percentiles), np.array(table.days)
        totals = weekly_quantiles(ndtr(scores), percentiles, days, table.tails)
        layout = stream(seed, "days.layout").random((*totals.shape, 2))
        shares = lay_out(totals, change_odds(table), layout).reshape(seasons, 1, -1)
        first = (season.day_of_year[0] - table.week_starts[0].day_of_year) % 365
        return shares[:, :, first : first + season.days]


def efficiency() -> Iterator[str]:
    """Yield the seasons that independent draws need for each one of other draws, pair by pair."""
    farm = fieldsim.demo_farm()
    assert isinstance(farm.day_source, WeeklyTable)
    cost = total_cost(fieldsim.simulate(farm, 20_000, seed=1)).values
    spread = {}
    for name, sobol in (("stratified", False), ("sobol", True)):
        source: Any = Spread(farm.day_source, sobol)
        runs = [_mean_costs(replace(farm, day_source=source), run) for run in range(RUNS)]
        spread[name] = np.array(runs)
    head = ("same seasons", "and wetness in strata", "and weeks by Sobol'")
    yield "Standard error of the mean difference of 1,000 seasons, and what one season is worth in"
    yield "seasons drawn for each option by itself.\n"
    yield f"| pair | independent draws | same seasons | {' | '.join(f'{h}: worth' for h in head)} |"
    yield "|---|---|---|---|---|---|"
    for i, j in combinations(range(len(cost)), 2):
        variance = float((cost[i] - cost[j]).var())
        apart = float(cost[i].var() + cost[j].var())
        ratios = [apart / variance]
        ratios += [apart / SEASONS / (m[:, i] - m[:, j]).var(ddof=1) for m in spread.values()]
        pair = " − ".join(list(farm.options)[k] for k in (i, j))
        errors = " | ".join(f"${np.sqrt(v / 1000):,.0f}" for v in (apart, variance))
        yield f"| {pair} | {errors} | {' | '.join(f'{ratio:.1f}' for ratio in ratios)} |"


def _mean_costs(farm: fieldsim.Farm, run: int) -> NDArray[np.float64]:
    means: NDArray[np.float64] = (
        total_cost(fieldsim.simulate(farm, SEASONS, seed=1000 + run)).mean("season").values
    )
    return means


def coverage() -> Iterator[str]:
    """Yield how many of the stated 95 % intervals hold the truth, least and most over options."""
    farm = fieldsim.demo_farm()
    many = [fieldsim.simulate(farm, TRUTH[1], seed=10_000 + run) for run in range(TRUTH[0])]
    costs = np.concatenate([total_cost(outcomes).values for outcomes in many], axis=1)
    whole = many[0].isel(season=np.zeros(costs.shape[1], dtype=int))
    lost = whole.lost_revenue
    whole = whole.assign(lost_revenue=(lost.dims, _as_loss(whole, costs), lost.attrs))
    true = dict(_figures(whole))
    for each in EACH:
        held: dict[tuple[str, str], list[bool]] = {}
        for run in range(REPETITIONS):
            for key, (_, low, high) in _figures(fieldsim.simulate(farm, each, seed=20_000 + run)):
                held.setdefault(key, []).append(low <= true[key][0] <= high)
        yield f"| figure | intervals that hold the truth, {REPETITIONS} runs of {each:,} seasons |"
        yield "|---|---|"
        table = pd.Series({key: 100 * np.mean(hits) for key, hits in held.items()})
        for name, shares in table.groupby(level=0, sort=False):
            yield f"| {name} | {shares.min():.1f} to {shares.max():.1f} % |"
        yield ""


def _as_loss(outcomes: Any, costs: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return lost revenue by crop with which the total costs are those given."""
    lost = np.zeros(outcomes.lost_revenue.shape)
    lost[..., 0] = costs - (total_cost(outcomes) - outcomes.lost_revenue.sum("crop")).values
    return lost


Interval = tuple[float, float, float]


def _figures(outcomes: Any) -> Iterator[tuple[tuple[str, str], Interval]]:
    """Yield name and option of each figure, with its value and the ends of its interval."""
    spread = fieldsim.risk(outcomes, wealth=WEALTH)
    for option, row in spread.iterrows():
        for name in spread.columns:
            if f"{name}_from" in spread:
                yield (name, str(option)), (row[name], row[f"{name}_from"], row[f"{name}_to"])
            elif f"{name}_error" in spread:
                value, margin = row[name], Z * row[f"{name}_error"]
                yield (name, str(option)), (value, value - margin, value + margin)
    for row in fieldsim.pairwise(outcomes).to_dict("records"):
        pair = f"{row['option']} {row['against']}"
        for name in ("difference", "seasons_won"):
            value, margin = row[name], Z * row[f"{name}_error"]
            yield (name, pair), (value, value - margin, value + margin)
        worst = (row[f"worst_1_in_100{end}"] for end in ("", "_from", "_to"))
        yield ("worst_1_in_100", pair), tuple(worst)  # type: ignore[misc]


def main() -> None:
    for table in (efficiency, coverage):
        for line in table():
            print(line, flush=True)
        print()


if __name__ == "__main__":
    main()
