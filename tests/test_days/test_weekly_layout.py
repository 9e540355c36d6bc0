import math
from itertools import pairwise, product

import numpy as np
import pytest

from fieldsim.days.layout import (
    PATTERNS,
    calibrate_change_odds,
    expected_persistence,
    lay_out,
    pattern_probabilities,
)
from fieldsim.errors import InputError

Z = 4.0  # standard errors


def chain_given_count(change, before, count, days=7):
    """Distribution over weeks of a chain that changes state with a probability, by enumeration."""
    weights = {}
    for week in product((0, 1), repeat=days):
        if sum(week) != count:
            continue
        weight, state = 1.0, before
        for day in week:
            if state is not None:
                weight *= change if day != state else 1 - change
            state = day
        weights[week] = weight
    total = sum(weights.values())
    return {week: weight / total for week, weight in weights.items()}


def any_chain_given_count_and_last_day(a, b, before, count, last):
    """The same for a chain with P(1|1) = a and P(1|0) = b, given the last day as well."""
    weights = {}
    for week in product((0, 1), repeat=7):
        if sum(week) != count or week[-1] != last:
            continue
        weight, state = 1.0, before
        for day in week:
            suitable = a if state else b
            weight *= suitable if day else 1 - suitable
            state = day
        weights[week] = weight
    total = sum(weights.values())
    return {week: weight / total for week, weight in weights.items()}


def as_week(pattern):
    return tuple(int(pattern) >> day & 1 for day in range(7))


@pytest.mark.parametrize("odds", [0.05, 0.25, 1.0, 3.0])
def test_patterns_have_the_distribution_of_a_chain_given_the_count_and_the_day_before(odds):
    probabilities = pattern_probabilities(odds)
    for index, before in enumerate((0, 1, None)):
        for count in range(8):
            exact = chain_given_count(odds / (1 + odds), before, count)
            got = {
                as_week(pattern): p
                for pattern, p in zip(PATTERNS[count], probabilities[index, count], strict=True)
                if pattern >= 0
            }
            assert got == pytest.approx(exact, abs=1e-12)


def test_patterns_given_the_last_day_are_those_of_any_chain_with_these_odds():
    a, b = 0.85, 0.30
    odds = math.sqrt(b * (1 - a) / (a * (1 - b)))
    probabilities = pattern_probabilities(odds)
    for before, count, last in product((0, 1), (2, 3, 6), (0, 1)):
        exact = any_chain_given_count_and_last_day(a, b, before, count, last)
        weeks = [as_week(pattern) for pattern in PATTERNS[count] if pattern >= 0]
        mine = dict(zip(weeks, probabilities[before, count], strict=False))
        total = sum(mine[week] for week in exact)
        assert {week: mine[week] / total for week in exact} == pytest.approx(exact, abs=1e-12)


def test_drawn_patterns_have_their_probabilities():
    # Two weeks of whole days: the first ends suitable or not, and the second is held, for both,
    # against the chain's distribution with Pearson's chi-square (34 degrees of freedom; the 99.99 %
    # point is 75.0, by scipy.stats.chi2.ppf).
    odds, seasons = 0.25, 40_000
    uniforms = np.random.default_rng(1).random((seasons, 2, 2))
    days = lay_out(np.full((seasons, 2), 4.0), odds, uniforms).astype(int)
    for before in (0, 1):
        weeks, counts = np.unique(days[days[:, 0, 6] == before, 1], axis=0, return_counts=True)
        drawn = {tuple(week.tolist()): n for week, n in zip(weeks, counts, strict=True)}
        exact = chain_given_count(odds / (1 + odds), before, 4)
        expected = {week: p * counts.sum() for week, p in exact.items()}
        assert set(drawn) <= set(expected)
        chi_square = sum((drawn.get(w, 0) - e) ** 2 / e for w, e in expected.items())
        assert chi_square < 75.0


def random_totals(seasons, weeks):
    """Totals of every kind: any fraction, tenths, whole days, none and seven."""
    rng = np.random.default_rng(7)
    totals = rng.uniform(0, 7, (seasons, weeks))
    totals[:, 1::4] = np.round(totals[:, 1::4], 1)
    totals[:, 2::4] = np.round(totals[:, 2::4])
    totals[: seasons // 10, 3] = 0.0
    totals[-seasons // 10 :, 3] = 7.0
    return totals


def test_the_days_of_a_week_add_up_to_its_total():
    totals = random_totals(2000, 12)
    shares = lay_out(totals, 0.25, np.random.default_rng(0).random((2000, 12, 2)))
    assert np.abs(shares.sum(axis=-1) - totals).max() < 1e-12
    assert shares.min() >= 0
    assert shares.max() <= 1


def test_at_most_one_day_of_a_week_is_partial_and_it_carries_the_fraction():
    totals = random_totals(2000, 12)
    shares = lay_out(totals, 0.25, np.random.default_rng(0).random((2000, 12, 2)))
    partial = (shares > 0) & (shares < 1)
    assert partial.sum(axis=-1).max() == 1
    fractional = totals % 1 > 0
    assert (partial.any(axis=-1) == fractional).all()
    assert shares[partial] == pytest.approx(totals[fractional] % 1, abs=1e-12)


def test_the_partial_day_stands_at_any_edge_of_a_run_and_never_inside_one():
    seasons = 20_000
    rng = np.random.default_rng(2)
    weeks = lay_out(np.full((seasons, 1), 4.3), 0.25, rng.random((seasons, 1, 2)))[:, 0]
    places = {}
    for week in weeks:
        partial = int(np.flatnonzero((week > 0) & (week < 1))[0])
        works = [False, *(week > 0), False]
        assert not (works[partial] and works[partial + 2])
        places.setdefault(tuple(week > 0), []).append(partial)
    # One run of five days from the second: its two ends carry the fraction equally often.
    ends = np.array(places[(False, True, True, True, True, True, False)])
    assert set(ends) == {1, 5}
    assert abs((ends == 1).mean() - 0.5) < Z * 0.5 / np.sqrt(len(ends))


def test_a_run_that_goes_on_from_the_week_before_has_no_edge_on_the_first_day():
    seasons = 5000
    totals = np.tile([7.0, 3.5], (seasons, 1))
    week = lay_out(totals, 0.25, np.random.default_rng(3).random((seasons, 2, 2)))[:, 1]
    longer_run = (week[:, 0] > 0) & (week[:, 1] > 0)
    assert longer_run.sum() > 1000
    assert (week[longer_run, 0] == 1).all()


def test_a_partial_day_below_half_leaves_the_next_week_after_an_unsuitable_day():
    # 0.4 of one day on the last day of the first week, and one whole day in the second.
    seasons = 20_000
    totals = np.tile([0.4, 1.0], (seasons, 1))
    days = lay_out(totals, 0.25, np.random.default_rng(4).random((seasons, 2, 2)))
    after = days[days[:, 0, 6] > 0, 1]
    exact = chain_given_count(0.2, 0, 1)[(1, 0, 0, 0, 0, 0, 0)]
    band = Z * np.sqrt(exact * (1 - exact) / len(after))
    assert after[:, 0].mean() == pytest.approx(exact, abs=band)


def persistence_by_enumeration(totals, change):
    """P(suitable | suitable) over all layouts of one season, in plain loops."""
    states = {None: 1.0}
    pairs = followed = 0.0
    for index, total in enumerate(totals):
        count = math.ceil(total)
        small = count > 0 and total - (count - 1) < 0.5
        after = {0: 0.0, 1: 0.0}
        for before, share in states.items():
            for week, p in chain_given_count(change, before, count).items():
                edges = [
                    day
                    for day in range(7)
                    if week[day]
                    and (not (week[day - 1] if day else before) or day == 6 or not week[day + 1])
                ]
                for edge in edges or [None]:
                    days = [int(bool(w and not (small and d == edge))) for d, w in enumerate(week)]
                    weight = share * p / max(len(edges), 1)
                    run = days if before is None else [before, *days]
                    pairs += weight * sum(a and b for a, b in pairwise(run))
                    last_week = index == len(totals) - 1
                    followed += weight * sum(days[:-1] if last_week else days)
                    after[days[-1]] += weight
        states = after
    return pairs / followed


@pytest.mark.parametrize(
    "totals", [[4.0, 3.0], [2.3, 5.7], [2.3, 5.7, 0.0, 6.2], [0.4, 0.5, 7.0, 6.9, 1.2]]
)
@pytest.mark.parametrize("odds", [0.1, 1.0, 4.0])
def test_expected_persistence_is_that_of_all_layouts_enumerated(totals, odds):
    exact = persistence_by_enumeration(totals, odds / (1 + odds))
    assert expected_persistence(np.array([totals]), odds) == pytest.approx(exact, abs=1e-12)


def test_expected_persistence_is_that_of_drawn_layouts():
    seasons, odds = 20_000, 0.3
    totals = random_totals(seasons, 12)
    shares = lay_out(totals, odds, np.random.default_rng(5).random((seasons, 12, 2)))
    days = shares.reshape(seasons, -1) >= 0.5
    pairs, followed = (days[:, 1:] & days[:, :-1]).sum(axis=1), days[:, :-1].sum(axis=1)
    drawn = pairs.sum() / followed.sum()
    # Standard error of a ratio of sums over independent seasons.
    error = np.std(pairs - drawn * followed) / (followed.mean() * np.sqrt(seasons))
    assert drawn == pytest.approx(expected_persistence(totals, odds), abs=Z * error)


@pytest.mark.parametrize("persistence", [0.5, 0.65, 0.8])
def test_calibrated_odds_give_the_persistence(persistence):
    totals = random_totals(500, 12)
    odds = calibrate_change_odds(totals, persistence)
    assert expected_persistence(totals, odds) == pytest.approx(persistence, abs=1e-9)


def test_a_persistence_out_of_reach_is_refused_with_the_range():
    weeks = [4.0] * 20
    totals = np.array([weeks])
    most = persistence_by_enumeration(weeks, change=1e-6)
    least = persistence_by_enumeration(weeks, change=1 - 1e-6)
    with pytest.raises(InputError) as error:
        calibrate_change_odds(totals, 0.95)
    assert str(error.value) == (
        "weekly table: persistence = 0.95: the weeks of this table allow from "
        f"{least:.3f} to {most:.3f}; "
        f"write persistence = {most:.3f} or another number in that range"
    )
    with pytest.raises(InputError, match=f"write persistence = {least:.3f} or another"):
        calibrate_change_odds(totals, 0.1)


def test_the_printed_ends_of_the_range_can_be_asked_for():
    totals = np.full((1, 20), 4.0)
    for end, log_odds in ((0.1, 12.0), (0.95, -12.0)):
        with pytest.raises(InputError) as error:
            calibrate_change_odds(totals, end)
        printed = float(str(error.value).split("persistence = ")[-1].split()[0])
        reached = expected_persistence(totals, calibrate_change_odds(totals, printed))
        assert reached == pytest.approx(expected_persistence(totals, math.exp(log_odds)), abs=1e-3)


@pytest.mark.parametrize(("persistence", "log_odds"), [(0.1, 12.0), (0.95, -12.0)])
def test_the_nearest_persistence_is_that_of_the_most_and_of_the_fewest_changes(
    persistence, log_odds
):
    odds = calibrate_change_odds(np.full((1, 20), 4.0), persistence, nearest=True)
    assert odds == math.exp(log_odds)


def test_where_no_day_is_ever_suitable_any_persistence_will_do():
    assert calibrate_change_odds(np.zeros((10, 4)), 0.8) == 1.0
    assert math.isnan(expected_persistence(np.zeros((10, 4)), 1.0))
