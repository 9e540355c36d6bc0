"""Risk measures of distributions with closed forms, and the coverage of their errors.

Shortfalls of normal, exponential and uniform: Norton, Khokhlov and Uryasev (2021), Calculating CVaR
and bPOE for common probability distributions, Annals of Operations Research 299; from memory, and
each checked here against numerical integration.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pandas as pd
import pytest
from scipy.integrate import quad
from scipy.stats import expon, norm, uniform

import fieldsim
from fieldsim.decisions.skewed import Estimate
from fieldsim.decisions.under_risk.certainty import certain_cost_absolute, certain_cost_relative
from fieldsim.decisions.under_risk.risk import expected_shortfall, risk
from fieldsim.errors import InputError

from .invented import outcomes_of

MIDDLES = (np.arange(200_000) + 0.5) / 200_000  # a sample without sampling error
LOST = np.arange(100.0) * 100


@pytest.mark.parametrize("share", [0.0, 0.5, 0.9, 0.95, 0.99])
def test_shortfall_has_its_closed_forms(share: float) -> None:
    z = norm.ppf(share)
    closed = {
        norm(): norm.pdf(z) / (1 - share),
        expon(): 1 - math.log(1 - share),
        uniform(): (1 + share) / 2,
    }
    for distribution, value in closed.items():
        integral = quad(distribution.ppf, share, 1)[0] / (1 - share)
        assert value == pytest.approx(integral, abs=1e-6)
        found = expected_shortfall(distribution.ppf(MIDDLES), share).value
        assert found == pytest.approx(value, abs=2e-3)


def test_the_worst_seasons_need_not_be_a_whole_number() -> None:
    # The worst 2.5 of 10: 10, 9 and half of 8.
    assert expected_shortfall(np.arange(1.0, 11.0), 0.75).value == pytest.approx(23 / 2.5)
    assert expected_shortfall(np.arange(1.0, 11.0), 0.0).value == pytest.approx(5.5)


def test_the_error_of_a_shortfall_is_that_of_the_published_formula() -> None:
    values = np.random.default_rng(4).gamma(2.0, 1000.0, 1000)
    worst = np.sort(values)[900:]
    beyond = np.sort(values)[899]
    # Manistre and Hancock (2005): (Var(X | X > q) + share (CTE - q)^2) / (n (1 - share))
    variance = (worst.var() + 0.9 * (worst.mean() - beyond) ** 2) / (1000 * 0.1)
    widened = math.sqrt(variance * 100 / 99)  # for the 100 seasons beyond that it rests on
    assert expected_shortfall(values, 0.9).error == pytest.approx(widened, rel=1e-3)


def test_absolute_aversion_has_its_closed_forms() -> None:
    # Normal: mean + a variance / 2 (Freund 1956, The introduction of risk into a programming
    # model, Econometrica 24; from memory). Exponential with mean 1: -ln(1 - a) / a.
    sure = certain_cost_absolute(50 + 10 * norm.ppf(MIDDLES), 0.02).value
    assert sure == pytest.approx(50 + 0.02 * 100 / 2, abs=1e-2)
    sure = certain_cost_absolute(expon.ppf(MIDDLES), 0.3).value
    assert sure == pytest.approx(-math.log(0.7) / 0.3, abs=1e-3)


def test_relative_aversion_has_its_closed_forms() -> None:
    # What is left is uniform on 1 to 3; the amounts of equal utility are the identric mean, the
    # logarithmic mean and, for r = 3, the root of the harmonic mean of squares.
    cost = 4 - (1 + 2 * MIDDLES)
    for aversion, left in (
        (0.0, 2.0),
        (1.0, 3**1.5 / math.e),
        (2.0, 2 / math.log(3)),
        (3.0, math.sqrt(3.0)),  # mean of 1 / W^2 over 1 to 3 is 1/3
    ):
        assert certain_cost_relative(cost, aversion, 4.0).value == pytest.approx(4 - left, abs=1e-8)


def test_the_two_aversions_agree_for_small_risks() -> None:
    cost = 10 * norm.ppf(MIDDLES)
    relative = certain_cost_relative(cost, 2.0, 10_000.0).value
    assert relative == pytest.approx(certain_cost_absolute(cost, 2 / 10_000).value, abs=1e-4)
    assert relative == pytest.approx(2 / 10_000 * 100 / 2, rel=1e-2)  # Pratt (1964): r variance / 2


def test_large_costs_and_aversions_stay_finite() -> None:
    cost = np.array([1e6, 2e6, 3e6])
    assert certain_cost_absolute(cost, 1.0).value == pytest.approx(3e6 - math.log(3))
    assert certain_cost_relative(cost, 200.0, 3.5e6).value == pytest.approx(3e6, rel=2e-3)
    with pytest.raises(ValueError, match="above the highest cost"):
        certain_cost_relative(cost, 2.0, 3e6)


@pytest.mark.parametrize(
    ("figure", "truth"),
    [
        (lambda cost: expected_shortfall(cost, 0.9), 1 - math.log(0.1)),
        (lambda cost: certain_cost_absolute(cost, 0.2), -math.log(0.8) / 0.2),
        (lambda cost: certain_cost_relative(cost, 2.0, 40.0), None),
    ],
    ids=["shortfall", "absolute", "relative"],
)
def test_errors_hold_the_truth_in_95_of_100_samples(
    figure: Callable[[np.ndarray], Estimate], truth: float | None
) -> None:
    if truth is None:
        truth = 40 - 1 / quad(lambda cost: math.exp(-cost) / (40 - cost), 0, 39.99)[0]
    found = [figure(sample) for sample in np.random.default_rng(8).exponential(size=(1500, 1000))]
    held = np.mean([abs(sure.value - truth) <= 1.96 * sure.error for sure in found])
    assert 0.93 < held < 0.97


def risk_of_two(wealth: float | None, **more: Any) -> pd.DataFrame:
    outcomes = outcomes_of({"a": LOST, "b": LOST + np.where(LOST > 5000, 900.0, 0.0)})
    outcomes["potential_revenue"] = ("crop", [50_000.0])
    return risk(outcomes, wealth=wealth, **more)


def test_the_table_holds_each_figure_with_its_error() -> None:
    table = risk_of_two(20_000.0, shares=(0.9,), risk_aversion=(2,))
    cost = LOST + 1000 + 300 + 200
    row = table.loc["a"]
    assert row["mean"] == pytest.approx(cost.mean())
    assert row["mean_error"] == pytest.approx(cost.std(ddof=1) / 10)
    assert row["standard_deviation"] == pytest.approx(cost.std(ddof=1))
    assert row["quantile_0.9"] == 8900 + 1500
    assert (row["quantile_0.9_from"], row["quantile_0.9_to"]) == (8300 + 1500, 9500 + 1500)
    assert row["shortfall_0.9"] == pytest.approx(9450 + 1500)
    assert row["certain_relative_2"] == pytest.approx(70_000 - 1 / np.mean(1 / (70_000 - cost)))
    assert row["certain_absolute_2"] == pytest.approx(1e4 * np.log(np.mean(np.exp(cost / 1e4))))
    assert row["shortfall_0.9_from"] < row["shortfall_0.9"] - 1.96 * row["shortfall_0.9_error"] / 2
    assert table.attrs == {"seasons": 100, "units": "$", "wealth": 20_000.0, "rough": []}
    assert not table.isna().any(axis=None)


def test_the_error_of_a_standard_deviation_is_that_of_normal_numbers() -> None:
    outcomes = outcomes_of({"a": 5000 + 100 * norm.ppf(MIDDLES[::20])})
    row = risk(outcomes).iloc[0]
    assert row.standard_deviation_error == pytest.approx(100 / math.sqrt(2 * 10_000), rel=0.01)


def test_without_wealth_nothing_is_said_of_certainty() -> None:
    assert not [name for name in risk_of_two(None).columns if name.startswith("certain")]


def test_aversion_to_risk_may_turn_the_choice() -> None:
    calm = outcomes_of({"risky": LOST, "calm": np.full(100, 5100.0)})
    calm["potential_revenue"] = ("crop", [0.0])
    table = risk(calm, risk_aversion=(0, 2), wealth=20_000.0)
    assert table["certain_relative_0"].idxmin() == "risky"
    assert table["certain_relative_2"].idxmin() == "calm"
    assert table.loc["calm", "standard_deviation_error"] == 0


def test_one_season_has_figures_without_errors() -> None:
    row = risk(outcomes_of({"a": LOST[:1]})).iloc[0]
    assert row["quantile_0.5"] == 1500
    assert math.isnan(row.mean_error)
    assert math.isnan(row.standard_deviation)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"shares": (0.5, 1.0)}, "shares = 1.0"),
        ({"risk_aversion": (-1.0,)}, "risk_aversion = -1.0"),
        ({"wealth": 0.0}, "wealth = 0.0"),
        ({"wealth": math.nan}, "wealth = nan"),
    ],
)
def test_numbers_out_of_range_are_faults(words: dict[str, Any], said: str) -> None:
    with pytest.raises(InputError, match=said):
        risk(fieldsim.simulate(fieldsim.demo_farm(), 3), **words)


def test_wealth_must_carry_the_worst_season() -> None:
    outcomes = outcomes_of({"a": LOST})
    outcomes["potential_revenue"] = ("crop", [5000.0])
    with pytest.raises(InputError, match="a season costs 11,400"):
        risk(outcomes, wealth=1000.0)


def test_of_the_two_cheapest_options_the_larger_varies_less() -> None:
    # De Toro (2005), Influences on timeliness costs and their variability on arable farms,
    # Biosystems Engineering 92(1), abstract: several machinery sets share the least cost, and the
    # larger of them varies less from year to year. On the demo farm the two cheapest lie within
    # 5 % of each other.
    table = risk(fieldsim.simulate(fieldsim.demo_farm(), 1000)).sort_values("mean")
    larger, smaller = table.loc["two_six_rows"], table.loc["eight_rows"]
    assert set(table.index[:2]) == {"two_six_rows", "eight_rows"}
    assert table["mean"].iloc[1] < 1.05 * table["mean"].iloc[0]
    assert larger["standard_deviation"] + 2 * larger["standard_deviation_error"] < (
        smaller["standard_deviation"] - 2 * smaller["standard_deviation_error"]
    )
    assert larger["shortfall_0.9"] < smaller["shortfall_0.9"]
