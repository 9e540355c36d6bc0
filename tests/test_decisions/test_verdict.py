"""The verdict says no more than the numbers do."""

from __future__ import annotations

import re

import numpy as np
import pandas as pd
import pytest
import xarray as xr
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

import fieldsim
from fieldsim.decisions import compare, leads, summarize, total_cost, verdict
from fieldsim.decisions.break_even.crossing import breakeven
from fieldsim.decisions.in_words.words import springs
from fieldsim.decisions.in_words.worst_years import worst_years
from fieldsim.decisions.sampling import mean_error
from fieldsim.decisions.sensitivity.one_at_a_time import flips
from fieldsim.decisions.sensitivity.usual_inputs import usual_inputs

from .invented import outcomes_of

LOST = np.random.default_rng(1).gamma(2.0, 2000.0, 400)
NOISE = np.random.default_rng(2).normal(0.0, 5000.0, 400)
DOLLARS = re.compile(r"−?\$[\d,]+")


def said_of(**lost: NDArray[np.float64]) -> str:
    return " ".join(summarize(outcomes_of(lost)))


def test_a_clear_winner_is_named_with_its_lead_and_its_years() -> None:
    lead = np.where(np.arange(400) % 10 < 7, 3000.0, -1000.0)  # cheaper in 7 springs of 10
    found = verdict(outcomes_of({"small": LOST + lead, "large": LOST}))
    assert found.best == "large"
    assert found.tied == ()
    assert found.answer == (
        "On these assumptions, least cost in an average year: outfit large, by $1,800 a year "
        "(± $180) before the next, outfit small. It is cheaper than that in about 7 of 10 springs."
    )
    assert found.surety == ()
    bad, *ends = np.sort(LOST)[[359, 347, 371]]  # ranks that a binomial count leaves
    assert found.bad_years[0] == (
        f"With outfit large, late and unfinished work loses ${LOST.mean():,.0f} of revenue in an "
        f"average year and ${bad:,.0f} or more in the bad one in ten "
        f"(${ends[0]:,.0f} to ${ends[1]:,.0f})."
    )
    assert found.limits == ("Prices, days and yields are those of the farm file.",)


def test_a_winner_that_loses_in_most_springs_is_said_to_do_so() -> None:
    lead = np.where(np.arange(400) % 10 < 3, 9000.0, -1000.0)
    answer = verdict(outcomes_of({"small": LOST + lead, "large": LOST})).answer
    assert "least cost in an average year: outfit large" in answer
    assert answer.endswith("in about 3 of 10 springs, by enough to make up for the others.")


def test_springs_that_cost_the_same_are_no_wins() -> None:
    """Cheaper in 3 of 10 and the same in the others: that is no win in 10 of 10."""
    lead = np.where(np.arange(400) % 10 < 3, 2000.0, 0.0)
    answer = verdict(outcomes_of({"small": LOST + lead, "large": LOST})).answer
    assert answer.endswith("It is cheaper than that in about 3 of 10 springs.")


def test_no_winner_is_named_where_none_can_be_told() -> None:
    found = verdict(outcomes_of({"small": LOST, "large": LOST + NOISE}))
    assert found.best == ""
    assert sorted(found.tied) == ["large", "small"]
    assert "they cannot be told apart by what they cost in an average year" in found.answer
    assert "$" not in found.answer
    needed = r"\(± \$\d{3}\) above that of outfit \w+; about [\d,]+ more seasons would part them"
    assert re.search(needed, found.surety[0])


def test_a_third_option_that_loses_clearly_is_not_in_the_tie() -> None:
    found = verdict(outcomes_of({"small": LOST, "large": LOST + NOISE, "none": LOST + 9000}))
    assert "outfit none" not in found.answer
    assert set(found.tied) == {"small", "large"}
    assert re.search(r"Told apart from outfit \w+, and dearer: outfit none\.", found.surety[1])


def test_a_difference_that_nobody_would_act_on_is_called_so() -> None:
    """1 % of a year's cost of about 5,500 is 55: 20 a year is told apart, but too little."""
    found = verdict(outcomes_of({"a": LOST, "b": LOST + 20.0}))
    assert found.best == "a"
    assert found.surety == ("The lead is at most $20 a year: too little to choose by.",)
    close = verdict(outcomes_of({"a": LOST, "b": LOST + NOISE / 500}))
    assert close.best == ""
    assert close.surety[0].endswith("too little to choose by, whatever more seasons would tell.")


def test_options_that_cost_the_same_in_every_season_are_not_said_to_need_more_of_them() -> None:
    found = verdict(outcomes_of({"a": LOST, "b": LOST}))
    assert found.best == ""
    assert found.surety == ("The cost of outfit b: the same as that of outfit a in every season.",)


def test_one_option_has_no_rival() -> None:
    found = verdict(outcomes_of({"only": LOST}))
    assert found.answer.startswith("There is one option only: outfit only. All together it costs $")
    assert (found.best, found.tied) == ("", ())
    assert "worst tenth" not in " ".join(found.bad_years)


def test_few_seasons_are_called_few() -> None:
    assert "50 seasons are few" in said_of(a=LOST[:50], b=LOST[:50] + 900)
    assert "are few" not in said_of(a=LOST, b=LOST + 900)
    assert "worst tenth" not in said_of(a=LOST[:50], b=LOST[:50] + 900)


def test_a_bad_one_in_ten_of_few_seasons_is_called_rough() -> None:
    rough = "is only 5 of these: dates and money of the bad one in ten are rough"
    assert rough in said_of(a=LOST[:50], b=LOST[:50] + 900)
    assert "rough" not in said_of(a=LOST[:100], b=LOST[:100] + 900)
    assert "to no known end)" in said_of(a=LOST[:30], b=LOST[:30] + 900)


def test_an_error_of_years_that_is_not_seen_is_said_not_to_be() -> None:
    replicate = np.repeat(np.arange(5), 80)
    other = outcomes_of({"a": LOST, "b": LOST + 700 + np.tile([-100.0, 100.0], 200)})
    found = verdict(other.assign_coords(replicate=("season", replicate)))
    assert found.best == "a"
    assert "cannot be seen in so few seasons: draw more" in found.surety[0]
    assert "5 replicates say only roughly" in found.surety[1]


def test_ten_seasons_have_no_bad_one_in_ten_to_speak_of() -> None:
    said = said_of(a=LOST[:10], b=LOST[:10] + 900)
    assert "one in ten" not in said
    assert "cheaper than that in each of the 10 springs drawn" in said


def test_one_season_names_no_winner_and_no_average() -> None:
    found = verdict(outcomes_of({"a": LOST[:1], "b": LOST[:1] + 9000}))
    assert found.best == ""
    assert found.answer.endswith("they cannot be told apart by one season.")
    assert found.surety[0] == "The cost of outfit b in that season: $9,000 above that of outfit a."
    assert found.surety[1].startswith("One season is few")
    assert found.bad_years == ()
    assert "nan" not in said_of(a=LOST[:1], b=LOST[:1] + 9000)


def test_another_winner_in_the_worst_years_is_told_with_its_lead() -> None:
    """`calm` costs 1,000 more in every year but those in which `wild` loses 8,000 more."""
    calm = np.full(400, 3000.0)
    wild = np.where(np.arange(400) < 40, 10_000.0 + np.arange(400), 1000.0)
    found = verdict(outcomes_of({"wild": wild, "calm": calm}))
    assert found.best == "wild"
    assert found.bad_years[1].startswith(
        "Over the worst tenth of the years of each, though, least cost: outfit calm, by $7,"
    )
    both = verdict(outcomes_of({"a": LOST, "b": LOST + 900}))
    assert both.bad_years[1] == "Over the worst tenth of the years of each, too, least cost: " + (
        "outfit a."
    )


def test_few_years_on_record_take_the_win_away_and_more_seasons_do_not_bring_it_back() -> None:
    """20 replicates that lie 3,000 apart leave a lead of 500 unsure, however many seasons."""
    replicate = np.repeat(np.arange(20), 20)
    moved = np.random.default_rng(3).normal(0.0, 3000.0, 20)[replicate]
    options = {"a": LOST, "b": LOST + 700.0 + moved - moved.mean()}
    without = outcomes_of(options)
    assert verdict(without).best == "a"
    found = verdict(without.assign_coords(replicate=("season", replicate)))
    assert found.best == ""
    assert found.answer == (
        "Least cost: outfit a or outfit b; with the few years on record they cannot be told apart "
        "by what they cost in an average year."
    )
    assert "$700 a year" in found.surety[0]
    assert "more seasons would not help, more years would" in found.surety[0]
    steady = outcomes_of({"a": LOST, "b": LOST + 700.0})
    said = verdict(steady.assign_coords(replicate=("season", replicate)))
    assert said.best == "a"
    assert "Other years on record would move that lead by up to ± $0" in said.surety[0]


def test_what_is_not_counted_is_said() -> None:
    outcomes = outcomes_of({"a": LOST, "b": LOST + 900}).assign_attrs(not_counted="fuel, weeds")
    assert verdict(outcomes).limits[0] == "Not counted: fuel, weeds."


@settings(max_examples=40, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    options=st.integers(2, 5),
    seasons=st.sampled_from([1, 2, 7, 30, 250]),
    apart=st.sampled_from([0.0, 5.0, 300.0, 3000.0]),
    shared=st.sampled_from([0.0, 0.9, 1.0]),
    replicates=st.booleans(),
)
def test_on_any_outcomes_the_verdict_says_no_more_than_the_numbers(
    seed: int, options: int, seasons: int, apart: float, shared: float, replicates: bool
) -> None:
    rng = np.random.default_rng(seed)
    common = rng.gamma(2.0, 2000.0, seasons)
    lost = {
        f"o{i}": shared * common
        + (1 - shared) * rng.gamma(2.0, 2000.0, seasons)
        + apart * rng.random()
        for i in range(options)
    }
    outcomes = outcomes_of(lost)
    if replicates and seasons >= 10:
        outcomes = outcomes.assign_coords(replicate=("season", np.arange(seasons) * 5 // seasons))
    found, table = verdict(outcomes), compare(outcomes)
    cost = total_cost(outcomes)
    least = str(table.total_cost.idxmin())
    against = compare(outcomes, baseline=least)
    told = ~against.cannot_tell_apart
    if "cannot_tell_with_these_years" in against:
        told &= ~against.cannot_tell_with_these_years.astype(bool)
    rivals = told.drop(index=least)
    assert (found.best == least) == bool(rivals.all())
    assert set(found.tied) == (set() if rivals.all() else {least, *rivals.index[~rivals]})
    assert all((table.label[name] in found.answer) for name in found.tied)
    if not found.best:
        assert "$" not in found.answer
        assert "least cost in an average year:" not in found.answer
    else:
        _check_answer(found.answer, against, cost, least)
    for name, sentence in zip((least, *found.tied[1:]), found.bad_years, strict=False):
        bad = "lost_revenue_1_in_10"
        columns = ("lost_revenue", bad, f"{bad}_from", f"{bad}_to")
        amounts = [float(against[column][name]) for column in columns]
        sums = [f"${amount:,.0f}" for amount in amounts if np.isfinite(amount)]
        assert DOLLARS.findall(sentence) == sums[: len(DOLLARS.findall(sentence))]
    assert "nan" not in " ".join(summarize(outcomes))


def _check_answer(answer: str, against: pd.DataFrame, cost: xr.DataArray, least: str) -> None:
    """Its sums are those of `compare`, and its springs hold the share that was drawn."""
    second = against.drop(index=least).sort_values("difference").iloc[0]
    sums = [f"${second.difference:,.0f}", f"${1.96 * second.difference_error:,.0f}"]
    assert DOLLARS.findall(answer) == sums
    assert answer.index(against.label[least]) < answer.index(second.label)
    won = float((cost.sel(option=least) < cost.sel(option=second.name)).mean())
    words = answer.split("cheaper than that in ")[1]
    match = re.match(r"(?:about |at least |at most )?(\d+)(?: to (\d+))? of 10 springs", words)
    if match:
        low = 0 if words.startswith("at most") else int(match[1])
        high = 10 if words.startswith("at least") else int(match[2] or match[1])
        assert low - 0.5 <= 10 * won <= high + 0.5
    elif words.startswith("each of"):
        assert won == 1
    elif words.startswith("none of"):
        assert won == 0
    elif words.startswith(("nearly all", "hardly any")):
        assert 10 * min(won, 1 - won) < 0.5
    else:
        count = round(won * cost.sizes["season"])
        assert words.startswith(f"{count} of the {cost.sizes['season']} springs drawn")


@pytest.mark.parametrize(
    ("number", "seasons", "words"),
    [
        (1000, 2000, "about 5 of 10 springs"),
        (1100, 2000, "5 to 6 of 10 springs"),  # 0.55 lies between two tenths
        (20, 40, "4 to 6 of 10 springs"),  # 0.5 +- 0.148
        (38, 40, "at least 9 of 10 springs"),
        (1, 40, "at most 1 of 10 springs"),
        (40, 40, "each of the 40 springs drawn"),
        (3, 2000, "hardly any springs"),
    ],
)
def test_springs_are_told_no_finer_than_their_number_allows(
    number: int, seasons: int, words: str
) -> None:
    assert springs(number, seasons) == words


def test_the_worst_years_are_the_means_of_the_highest_tenth() -> None:
    cost = np.random.default_rng(4).gamma(2.0, 2000.0, (3, 500))
    cost += np.array([[0.0], [100.0], [9000.0]])
    found = worst_years(cost)
    means = np.sort(cost, axis=1)[:, 450:].mean(axis=1)
    np.testing.assert_allclose(found.mean, means)
    assert found.least == means.argmin()
    np.testing.assert_allclose(found.more, means - means.min())


def test_stated_intervals_of_the_worst_years_hold_in_about_95_of_100_runs() -> None:
    """Two options with the same worst years, correlated: 400 runs of 300 seasons.

    The standard error of the count is 1.1 of 100; the band is rough at 30 seasons in the tail.
    """
    rng, hits = np.random.default_rng(5), 0
    for _ in range(400):
        common = rng.gamma(2.0, 2000.0, 300)
        cost = 0.7 * common + 0.3 * rng.gamma(2.0, 2000.0, (2, 300))
        found = worst_years(cost)
        other = 1 - found.least
        hits += found.more[other] <= 1.96 * found.more_error[other]
    assert 0.90 <= hits / 400 <= 0.98


@pytest.fixture(scope="module")
def farm() -> fieldsim.Farm:
    return fieldsim.demo_farm()


@pytest.fixture(scope="module")
def outcomes(farm: fieldsim.Farm) -> xr.Dataset:
    return fieldsim.simulate(farm, 300)


@pytest.fixture(scope="module")
def moved(farm: fieldsim.Farm, outcomes: xr.Dataset) -> pd.DataFrame:
    return leads(farm, outcomes)


def test_leads_are_those_of_the_changed_farms(farm: fieldsim.Farm) -> None:
    outcomes = fieldsim.simulate(farm, 120, seed=3)
    table = leads(farm, outcomes)
    best, table = table.attrs, table.set_index("input")
    assert best["seasons"] == 120
    small = fieldsim.changed(farm, {"fields.*.area": fieldsim.Times(0.8)})
    for end, one in (("own", farm), ("low", small)):
        cost = total_cost(fieldsim.simulate(one, 120, seed=3))
        others = cost.drop_sel(option=best["option"])
        next_best = others.option.values[others.mean("season").values.argmin()]
        paired = (cost.sel(option=next_best) - cost.sel(option=best["option"])).values
        row = table.loc["area of all fields"]
        assert row[f"lead_{end}"] == pytest.approx(paired.mean())
        assert row[f"error_{end}"] == pytest.approx(mean_error(paired))
    turned = row.lead_low < -1.96 * row.error_low
    assert row.turns_low == (next_best if turned else "")


def test_one_option_few_seasons_or_given_draws_have_no_leads(
    farm: fieldsim.Farm, outcomes: xr.Dataset, moved: pd.DataFrame
) -> None:
    assert len(moved)
    assert leads(farm, outcomes.isel(option=[0])).empty
    assert leads(farm, outcomes.isel(season=slice(40))).empty
    assert leads(farm, outcomes.assign_attrs(draws="given")).empty


def test_what_turns_the_answer_is_told_as_the_studies_found_it(
    farm: fieldsim.Farm, outcomes: xr.Dataset, moved: pd.DataFrame
) -> None:
    area = [item for item in usual_inputs(farm) if item.name == "field area"]
    found = flips(farm, area, seasons=300)
    level = breakeven(farm, "two_six_rows", "eight_rows", "area", seasons=100)
    turning = verdict(outcomes, leads=moved, flips=found, breakevens=[level]).turning
    flip = found.iloc[0]
    assert turning[0] == (
        f"Unless, each alone: field area beyond {flip.flips_at} ({flip.flips_from} to "
        f"{flip.flips_to}) (now as in the file; then one outfit of 8 rows)."
    )
    assert "area of all fields −20 % (one outfit of 8 rows)" in turning[1]
    assert level.note in turning[2]
    assert verdict(outcomes).turning == ()


def test_studies_of_another_winner_are_not_told(outcomes: xr.Dataset, moved: pd.DataFrame) -> None:
    other = moved.copy()
    other.attrs = moved.attrs | {"option": "four_rows"}
    assert verdict(outcomes, leads=other).turning == ()


def test_where_no_end_turns_the_answer_that_is_all_that_is_said(
    farm: fieldsim.Farm, outcomes: xr.Dataset
) -> None:
    two = outcomes.sel(option=["four_rows", "six_rows"])
    table = leads(farm, two)
    assert verdict(two, leads=table).turning == (
        f"None of {len(table)} figures tried, moved alone to the ends of a usual range, makes "
        "another option the cheapest for sure (300 seasons).",
    )
