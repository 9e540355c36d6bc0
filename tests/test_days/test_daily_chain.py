import itertools
from datetime import date

import numpy as np
import pytest

from fieldsim.days import (
    DailyChain,
    check_draw,
    daily_probabilities,
    parse_daily_chain,
    read_daily_chain,
    stationary_share,
)
from fieldsim.errors import InputError
from fieldsim.season import CalendarDay, Season

SEASONS = 20_000
Z = 4.5  # standard errors: a true band is left once in 150,000 comparisons
APRIL, MAY, JULY = CalendarDay(4, 10), CalendarDay(5, 15), CalendarDay(7, 10)


@pytest.fixture(scope="module")
def chain():
    return DailyChain((APRIL, MAY, JULY), (0.70, 0.80, 0.88), (0.15, 0.30, 0.45))


@pytest.fixture(scope="module")
def drawn(chain, spring):
    return chain.draw(spring, SEASONS, seed=21)[:, 0] == 1.0


def exact_probabilities(day):
    """The chain's probabilities by hand: straight lines between the dates, flat outside."""
    days = [(9, 0.70, 0.15), (44, 0.80, 0.30), (100, 0.88, 0.45)]  # indices from 1 April
    if day <= days[0][0]:
        return days[0][1:]
    for (d0, a0, b0), (d1, a1, b1) in itertools.pairwise(days):
        if day <= d1:
            w = (day - d0) / (d1 - d0)
            return a0 + w * (a1 - a0), b0 + w * (b1 - b0)
    return days[-1][1:]


def exact_counts(days):
    """P(number of suitable days = k) after each day: forward over day x count x state."""
    a, b = exact_probabilities(0)
    start = b / (1 - a + b)
    now = {(1, 1): start, (0, 0): 1 - start}
    by_day = []
    for day in range(days):
        if day > 0:
            a, b = exact_probabilities(day)
            after = {}
            for (count, state), p in now.items():
                suitable = a if state else b
                for next_state, share in ((1, suitable), (0, 1 - suitable)):
                    key = (count + next_state, next_state)
                    after[key] = after.get(key, 0.0) + p * share
            now = after
        by_day.append([now.get((k, 0), 0.0) + now.get((k, 1), 0.0) for k in range(days + 1)])
    return by_day


def test_probabilities_are_straight_lines_between_the_dates(chain, spring):
    expected = np.array([exact_probabilities(day) for day in range(spring.days)]).T
    assert np.array(daily_probabilities(chain, spring)) == pytest.approx(expected, abs=1e-12)


def test_the_first_day_goes_by_its_own_probabilities(spring):
    # Alike on 1 April, so that the share is 1/4; on the 2nd all are suitable.
    chain = DailyChain((CalendarDay(4, 1), CalendarDay(4, 2)), (0.25, 1.0), (0.25, 0.9))
    drawn = chain.draw(spring, SEASONS, seed=3)[:, 0, 0]
    assert drawn.mean() == pytest.approx(0.25, abs=Z * np.sqrt(0.25 * 0.75 / SEASONS))


def test_days_of_a_chain_without_memory_are_independent():
    drawn = DailyChain((APRIL,), (0.4,), (0.4,)).draw(
        Season(date(2026, 4, 1), date(2026, 4, 5)), SEASONS, seed=4
    )[:, 0]
    correlations = np.corrcoef(drawn.T)[~np.eye(5, dtype=bool)]
    assert np.abs(correlations).max() < Z / np.sqrt(SEASONS)


@pytest.mark.parametrize("other", [0.0, 0.5])
def test_probabilities_are_taken_from_0_to_1(other):
    for pair in ((0.0, other), (other, 1.0)):
        DailyChain((APRIL,), pair[:1], pair[1:])
    for wrong in (-1e-9, 1 + 1e-9):
        for pair in ((wrong, other), (other, wrong)):
            with pytest.raises(ValueError, match="0 to 1 is allowed"):
                DailyChain((APRIL,), pair[:1], pair[1:])


def test_a_file_at_fault_is_called_by_its_path_or_by_its_name(tmp_path):
    path = tmp_path / "chain.csv"
    path.write_text("date,suitable_after_suitable,suitable_after_unsuitable\n1 Apr,2,0.3\n")
    for name, told in ((None, str(path)), ("my chain", "my chain")):
        with pytest.raises(InputError) as error:
            read_daily_chain(path, name)
        assert error.value.faults[0].file == told


def test_dates_may_stand_in_any_order(chain, spring):
    mixed = DailyChain((JULY, APRIL, MAY), (0.88, 0.70, 0.80), (0.45, 0.15, 0.30))
    assert daily_probabilities(mixed, spring)[0].tolist() == (
        daily_probabilities(chain, spring)[0].tolist()
    )


def test_probabilities_follow_the_calendar_over_new_year():
    chain = DailyChain((CalendarDay(12, 1), CalendarDay(1, 30)), (0.8, 0.2), (0.3, 0.3))
    season = Season(date(2026, 11, 20), date(2027, 2, 10))
    after_suitable, _ = daily_probabilities(chain, season)
    assert after_suitable[season.index(CalendarDay(12, 31))] == pytest.approx(0.5)
    assert after_suitable[[0, -1]] == pytest.approx([0.8, 0.2])


def test_a_leap_day_stands_between_its_neighbours():
    chain = DailyChain((CalendarDay(2, 28), CalendarDay(3, 1)), (0.6, 0.8), (0.3, 0.3))
    leap = daily_probabilities(chain, Season(date(2028, 2, 28), date(2028, 3, 1)))[0]
    common = daily_probabilities(chain, Season(date(2027, 2, 28), date(2027, 3, 1)))[0]
    assert leap == pytest.approx([0.6, 0.7, 0.8])
    assert common == pytest.approx([0.6, 0.8])


def test_each_day_is_suitable_with_its_exact_share(drawn, spring):
    a, b = exact_probabilities(0)
    share = b / (1 - a + b)
    for day in range(spring.days):
        if day > 0:
            a, b = exact_probabilities(day)
            share = share * a + (1 - share) * b
        band = Z * np.sqrt(share * (1 - share) / SEASONS)
        assert drawn[:, day].mean() == pytest.approx(share, abs=band)


@pytest.mark.parametrize("state", [True, False])
def test_each_day_follows_the_day_before_as_the_chain_says(drawn, spring, state):
    for day in range(1, spring.days):
        expected = exact_probabilities(day)[0 if state else 1]
        after = drawn[drawn[:, day - 1] == state, day]
        band = Z * np.sqrt(expected * (1 - expected) / len(after))
        assert after.mean() == pytest.approx(expected, abs=band)


def test_the_number_of_suitable_days_by_each_day_has_its_exact_distribution(drawn, spring):
    # Dvoretzky-Kiefer-Wolfowitz with Massart's constant (Massart 1990, Ann. Probab. 18, Corollary
    # 1; from memory): the largest difference of the two distribution functions passes the band
    # with probability 2 exp(-2 n band^2), here 1e-4 a day; taking counts only makes it rarer.
    band = np.sqrt(np.log(2 / 1e-4) / (2 * SEASONS))
    counts = drawn.cumsum(axis=1)
    for day, exact in enumerate(exact_counts(spring.days)):
        drawn_shares = np.bincount(counts[:, day], minlength=spring.days + 1) / SEASONS
        assert np.abs(drawn_shares.cumsum() - np.cumsum(exact)).max() < band


def test_a_chain_of_one_date_keeps_its_stationary_share_from_the_first_day(spring):
    chain = DailyChain((MAY,), (0.9,), (0.3,))
    days = chain.draw(spring, SEASONS, seed=1)[:, 0]
    band = Z * np.sqrt(0.75 * 0.25 / SEASONS)
    assert days.mean(axis=0) == pytest.approx(0.75, abs=band)


@pytest.mark.parametrize(
    ("after_suitable", "after_unsuitable", "share"),
    [
        (0.8, 0.2, 0.5),
        (0.9, 0.3, 0.75),
        (0.5, 0.5, 0.5),
        (0.0, 1.0, 0.5),
        (0.4, 0.0, 0.0),
        (1, 1, 1),
    ],
)
def test_stationary_shares(after_suitable, after_unsuitable, share):
    assert stationary_share(after_suitable, after_unsuitable) == pytest.approx(share)


def test_a_chain_that_never_changes_state_has_no_stationary_share():
    with pytest.raises(ValueError, match="a day is never unlike the day before"):
        stationary_share(1.0, 0.0)


def test_the_draw_keeps_to_the_contract(chain, spring):
    suitable = chain.draw(spring, 50, seed=0)
    assert suitable.shape == (50, 1, 122)
    assert suitable.dtype == np.float64
    assert set(np.unique(suitable)) == {0.0, 1.0}
    check_draw(suitable, chain.soils)


def test_the_first_seasons_of_a_long_draw_are_those_of_a_short_one(chain, spring):
    assert (chain.draw(spring, 1000, seed=0)[:10] == chain.draw(spring, 10, seed=0)).all()


def test_seeds_are_different_and_repeatable_and_zero_is_one(chain, spring):
    zero, one, again = (chain.draw(spring, 20, seed=seed) for seed in (0, 1, 0))
    assert (zero != one).any(axis=(1, 2)).all()
    assert (zero == again).all()


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (((), (), ()), "at least one date, and both probabilities for each"),
        (((MAY,), (0.8,), ()), "at least one date, and both probabilities for each"),
        (((MAY, MAY), (0.8, 0.8), (0.2, 0.2)), "each day of the calendar once"),
        (
            ((CalendarDay(2, 28), CalendarDay(2, 29)), (0.8, 0.8), (0.2, 0.2)),
            "each day of the calendar once",
        ),
        (((MAY,), (80,), (0.2,)), r"15 May: probabilities \[80, 0\.2\]; 0 to 1 is allowed"),
        (((MAY,), (0.8,), (float("nan"),)), "0 to 1 is allowed"),
        (((MAY,), (1.0,), (0.0,)), "15 May: a day is never unlike the day before"),
    ],
)
def test_a_chain_that_is_none_is_refused(arguments, message):
    with pytest.raises(ValueError, match=message):
        DailyChain(*arguments)


HEADER = "date,suitable_after_suitable,suitable_after_unsuitable\n"


def faults(text):
    with pytest.raises(InputError) as error:
        parse_daily_chain(text, "chain.csv")
    return [str(fault) for fault in error.value.faults]


def test_a_chain_is_read_from_a_table(chain, tmp_path):
    text = HEADER + "10 Apr,0.70,0.15\n15 May,0.80,0.30\n# summer\n10 Jul,0.88,0.45\n"
    assert parse_daily_chain(text, "chain.csv") == chain
    path = tmp_path / "chain.csv"
    path.write_text(text, encoding="utf-8")
    assert read_daily_chain(path) == chain


@pytest.mark.parametrize(
    ("cell", "rest"),
    [
        ("80", "a number from 0 to 1 is allowed; write 0.80 for 80 %"),
        ("80 %", "not a bare number; one from 0 to 1 is needed; write 0.80 for 80 %"),
        ("101", "a number from 0 to 1 is allowed; write a probability, as 0.80"),
        ("-0.1", "a number from 0 to 1 is allowed; write a probability, as 0.80"),
        ("often", "not a bare number; one from 0 to 1 is needed; write a probability, as 0.80"),
        ("", "the cell is empty; a number from 0 to 1 is needed; write a probability, as 0.80"),
    ],
)
def test_a_cell_that_is_no_probability_is_refused(cell, rest):
    assert faults(f"{HEADER}1 Apr,{cell},0.2\n") == [
        f'chain.csv: line 2, suitable_after_suitable = "{cell}": {rest}'
    ]


def test_every_fault_of_a_chain_is_reported_at_once():
    text = (
        "date,suitable_after_suitable,suitable_after_unsuitable,remarks\n"
        "1 Apr,70,0.2,\n"
        "31 Apr,0.7,-1,\n"
        "1 April,1,0,\n"
    )
    assert faults(text) == [
        "chain.csv: column remarks: not a column of a chain; leave it out",
        'chain.csv: line 2, suitable_after_suitable = "70": a number from 0 to 1 is allowed; '
        "write 0.70 for 70 %",
        'chain.csv: line 3, date = "31 Apr": April has no day 31; write a day, as 1 Apr',
        'chain.csv: line 3, suitable_after_unsuitable = "-1": a number from 0 to 1 is allowed; '
        "write a probability, as 0.80",
        'chain.csv: line 4, date = "1 April": the date stands there twice; give it once',
        "chain.csv: line 4, suitable_after_suitable and suitable_after_unsuitable = 1 and 0: "
        "a day is never unlike the day before, so the share of suitable days has no value; "
        "write a first number below 1 or a second above 0",
    ]


def test_a_chain_without_a_column_is_refused():
    assert faults("date,suitable_after_suitable\n1 Apr,0.8\n") == [
        "chain.csv: line 1: the column 'suitable_after_unsuitable' is missing; "
        "add suitable_after_unsuitable"
    ]
