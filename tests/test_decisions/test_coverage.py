"""Of stated 95 % bands, how many hold a truth that is known exactly.

Costs of seasons are skewed and partly the same in many seasons, so the samples here are: normal,
exponential, lognormal, and 0 in six or eight seasons of ten with an exponential or lognormal rest.
Of 1,000 samples a share of 95 % has a standard error of 0.7 points; `HELD` is what was measured of
the methods over many more samples (93.5 to 96.5 %, see the docstrings) and 2 such errors. A normal
figure whose error is understated by 15 % holds the truth in 90.4 of 100 samples, outside of it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import binom, expon, lognorm, norm

from fieldsim.decisions.sampling import Z, mean_error, quantile, share_error, years_error
from fieldsim.decisions.skewed import Estimate, standard_deviation
from fieldsim.decisions.under_risk.certainty import certain_cost_absolute
from fieldsim.decisions.under_risk.risk import expected_shortfall

Floats = NDArray[np.float64]

SAMPLES = 1000
HELD = 0.921, 0.979
UNDERSTATED = 0.85
AVERSION = 0.25
COMMON = 0.7  # of what a season costs one option, what it costs the other

INVERSES: dict[str, Callable[[Floats], Floats]] = {
    "normal": norm.ppf,
    "exponential": expon.ppf,
    "lognormal": lognorm(0.5).ppf,
    "6 in 10 without loss": lambda u: np.where(u < 0.6, 0.0, expon.ppf(_rest(u, 0.6))),
    "8 in 10 without loss": lambda u: np.where(u < 0.8, 0.0, lognorm(0.5).ppf(_rest(u, 0.8))),
}


def _rest(u: Floats, share: float) -> Floats:
    return np.clip(u - share, 0.0, None) / (1 - share)


@cache
def samples(name: str, seasons: int) -> Floats:
    """Samples of a distribution, shape (sample, season)."""
    random = np.random.default_rng([*name.encode(), seasons])
    return INVERSES[name](random.random((SAMPLES, seasons)))


@cache
def middles(name: str) -> Floats:
    """A sample without sampling error."""
    return INVERSES[name]((np.arange(1_000_000) + 0.5) / 1_000_000)


def truth(name: str, figure: str) -> float:
    """The figure of the distribution, by its middles: right to 0.1 % of a standard deviation."""
    values = middles(name)
    if figure == "standard deviation":
        return float(values.std())
    if figure == "certainty equivalent":
        return math.log(float(np.exp(AVERSION * values).mean())) / AVERSION
    if figure.startswith("shortfall"):
        share = float(figure.split()[1])
        return float(values[round(share * values.size) :].mean())
    mean = float(values.mean())
    return (1 - COMMON) * mean - 1.0 if figure == "paired difference" else mean


def symmetric(values: Floats) -> Estimate:
    """A mean with its band, as wherever one is shown: so many errors to either side."""
    mean, error = float(values.mean()), mean_error(values)
    return Estimate(mean, error, mean - Z * error, mean + Z * error, math.nan)


FIGURES: dict[str, Callable[[Floats], Estimate]] = {
    "standard deviation": standard_deviation,
    "shortfall 0.9": lambda values: expected_shortfall(values, 0.9),
    "shortfall 0.95": lambda values: expected_shortfall(values, 0.95),
    "certainty equivalent": lambda values: certain_cost_absolute(values, AVERSION),
    "mean": symmetric,
    "paired difference": symmetric,
}


@cache
def estimates(figure: str, name: str, seasons: int) -> list[Estimate]:
    """The figure of every sample; of pairs the other option has most of the season in common."""
    values = samples(name, seasons)
    if figure == "paired difference":
        other = np.random.default_rng(4).normal(1.0, 0.2, values.shape) + COMMON * values
        values = values - other
    return [FIGURES[figure](sample) for sample in values]


def held(bands: Iterator[tuple[float, float]] | list[tuple[float, float]], true: float) -> float:
    return float(np.mean([low <= true <= high for low, high in bands]))


def narrowed(found: Estimate, to: float = UNDERSTATED) -> tuple[float, float]:
    """The band of an error that is understated."""
    return found.value + to * (found.low - found.value), found.value + to * (
        found.high - found.value
    )


@pytest.mark.parametrize("seasons", [200, 1000])
@pytest.mark.parametrize("name", INVERSES)
@pytest.mark.parametrize("figure", FIGURES)
def test_bands_hold_the_truth(figure: str, name: str, seasons: int) -> None:
    true, found = truth(name, figure), estimates(figure, name, seasons)
    share = held([(of.low, of.high) for of in found], true)
    assert HELD[0] < share < HELD[1]
    # Were the error understated by 15 %, it would show: fewer than 100 - 1.33 x 5 in 100 hold it.
    assert held([narrowed(of) for of in found], true) < share - 0.018


@pytest.mark.parametrize("figure", FIGURES)
def test_an_error_understated_by_15_per_cent_leaves_the_band_of_this_test(figure: str) -> None:
    """On average over the distributions, whose errors here lie within 0.3 points."""
    shares, short = [], []
    for name in INVERSES:
        true, found = truth(name, figure), estimates(figure, name, 1000)
        shares.append(held([(of.low, of.high) for of in found], true))
        short.append(held([narrowed(of) for of in found], true))
    assert 0.94 < np.mean(shares) < 0.965
    assert np.mean(short) < 0.93


@pytest.mark.parametrize("seasons", [36, 100, 200, 1000])
@pytest.mark.parametrize("share", [0.5, 0.9, 0.95, 0.99])
def test_bands_of_quantiles_hold_what_the_binomial_count_says(share: float, seasons: int) -> None:
    """At least 95 %, and no more than whole ranks leave; a shorter band would hold less."""
    sample = np.arange(1.0, seasons + 1)  # the value is the rank
    band = quantile(sample, share)
    low = 0 if math.isinf(band.low) else int(band.low)
    high = seasons + 1 if math.isinf(band.high) else int(band.high)
    chance = binom.cdf(high - 1, seasons, share) - binom.cdf(low - 1, seasons, share)
    assert chance >= 0.95
    for shorter in ((low + 1, high), (low, high - 1)):
        beyond = binom.cdf(shorter[0] - 1, seasons, share), binom.sf(shorter[1] - 1, seasons, share)
        assert max(beyond) > 0.025


@pytest.mark.parametrize("share", [0.5, 0.9, 0.95])
def test_bands_of_finish_days_hold_the_truth(share: float) -> None:
    """Whole days, some seasons not finished at all (NaT): bands hold at least 95 in 100."""
    random = np.random.default_rng(9)
    first = np.datetime64("2026-05-01")
    number = random.negative_binomial(4, 0.2, (SAMPLES, 200))
    days = first + number.astype("timedelta64[D]")
    days[number > 40] = np.datetime64("NaT")
    whole = np.sort(np.random.default_rng(10).negative_binomial(4, 0.2, 2_000_000))
    true = first + np.timedelta64(int(whole[math.ceil(share * whole.size) - 1]), "D")
    bands = [quantile(sample, share) for sample in days]
    inside = [band.low <= true and (np.isnat(band.high) or true <= band.high) for band in bands]
    assert np.mean(inside) > 0.94


@pytest.mark.parametrize("seasons", [50, 100, 200, 1000])
def test_bands_of_chances_hold_the_truth(seasons: int) -> None:
    """Exactly, by the binomial; of 0.9 to 0.98 the usual error held as few as 76 in 100."""
    counts = np.arange(seasons + 1)
    margins = np.array([Z * share_error(count / seasons, seasons) for count in counts])
    chances = []
    for true in np.linspace(0.5, 0.98, 100):
        inside = np.abs(counts / seasons - true) <= margins
        chances.append(binom.pmf(counts, seasons, true)[inside].sum())
    assert min(chances) > 0.91
    assert 0.935 < np.mean(chances) < 0.965


@pytest.mark.parametrize(
    ("years", "replicates", "least", "most"), [(30, 40, 0.91, 0.97), (8, 20, 0.84, 0.94)]
)
def test_bands_of_few_years_hold_the_truth(
    years: int, replicates: int, least: float, most: float
) -> None:
    """Seasons of a mean drawn from a bootstrap of a record of few years, as `simulate` draws them.

    A bootstrap of n years is too narrow by the root of 1 - 1 / n, and its spread is known from n
    years: 94 % with 30 years (Student's t, 29 degrees of freedom, at 1.96 sqrt(29 / 30)), 89 % with
    8. That is why few years are said to be few.
    """
    random = np.random.default_rng(12)
    inside, each = [], 50
    replicate = np.repeat(np.arange(replicates), each)
    for _ in range(400):
        record = random.normal(100.0, 20.0, years)
        chosen = random.integers(0, years, (replicates, years))
        picked = random.integers(0, years, (replicates, each))
        seasons = record[np.take_along_axis(chosen, picked, axis=1)].ravel()
        unsure = years_error(seasons, replicate)
        both = math.hypot(0.0 if math.isnan(unsure) else unsure, mean_error(seasons))
        inside.append(abs(seasons.mean() - 100.0) <= Z * both)
    assert least < np.mean(inside) < most
