import numpy as np
import pytest

from fieldsim.days import DailyChain, daily_probabilities, parse_daily_chain
from fieldsim.days.records import fit, fit_daily_chain, from_seasons
from fieldsim.errors import InputError
from fieldsim.season import CalendarDay
from tests.test_records.made import CHAIN, SPRING, record_of, spring_table, weekly_records


def true_values(fitted):
    after_suitable, after_unsuitable = daily_probabilities(CHAIN, SPRING)
    at = [SPRING.index(day) for day in fitted.source.dates]
    return np.concatenate([after_suitable[at], after_unsuitable[at]])


def simulated(years, seed):
    return from_seasons(CHAIN.draw(SPRING, years, seed)[:, 0], SPRING)


def test_a_large_record_gives_its_chain_back():
    fitted = fit(simulated(3000, 0), kind="daily_chain")
    assert fitted.table.value.to_numpy() == pytest.approx(true_values(fitted), abs=0.02)
    assert [str(day) for day in fitted.source.dates[:4]] == ["8 Apr", "23 Apr", "8 May", "24 May"]


def test_intervals_of_200_records_hold_the_true_chain():
    # 16 figures a record; those of neighboring periods hang together, so the band of the mean is
    # that of about 200 x 5 independent ones, on the safe side above: errors are never taken for
    # less than those of independent days.
    held, pulls = [], []
    for seed in range(200):
        fitted = fit(simulated(20, seed), kind="daily_chain")
        rows, true = fitted.table, true_values(fitted)
        held.append((rows.low <= true) & (true <= rows.high))
        pulls.append((rows.value - true) / rows.standard_error)
    assert 0.93 <= np.mean(held) <= 0.99
    assert np.mean(held, axis=0).min() >= 0.90
    assert np.sqrt(np.mean(np.square(pulls))) == pytest.approx(1.0, abs=0.15)


def test_days_that_hang_together_over_whole_years_widen_the_errors():
    rng = np.random.default_rng(0)
    years = np.where(rng.random(30) < 0.5, 0.6, 0.9)
    suitable = np.array(
        [
            DailyChain((CalendarDay(5, 1),), (a,), (0.3,)).draw(SPRING, 1, seed)[0, 0]
            for seed, a in enumerate(years)
        ]
    )
    rows = fit(from_seasons(suitable, SPRING), kind="daily_chain").table
    rows = rows[rows.probability == "suitable_after_suitable"]
    independent = np.sqrt(rows.own * (1 - rows.own) / rows.trials)
    own = fit_daily_chain(from_seasons(suitable, SPRING), neighbor_years=0.0).table
    own = own[own.probability == "suitable_after_suitable"]
    assert (own.standard_error > 1.3 * independent).mean() > 0.5


def test_the_text_reads_back_as_the_chain():
    fitted = fit(simulated(12, 0), kind="daily_chain")
    assert parse_daily_chain(fitted.text, "f") == fitted.source
    assert "# Fitted to 12 years (1 to 12) of: seasons" in fitted.text
    assert "#   8 May (12): " in fitted.text
    assert fitted.settings == {}


def test_counts_without_smoothing_are_those_of_the_days():
    suitable = np.tile([1.0, 1.0, 0.4, 0.5, 0.0], (3, 24))[:, : SPRING.days]
    season = SPRING.of_year(2026, CalendarDay(4, 1), CalendarDay(7, 29))
    fitted = fit_daily_chain(from_seasons(suitable, season), period="month", neighbor_years=0.0)
    rows = fitted.table.set_index(["probability", "date"])
    april = suitable[0, :30] >= 0.5
    pairs = april[:-1] & april[1:]
    assert rows.value["suitable_after_suitable", "16 Apr"] == pytest.approx(
        pairs.sum() / april[:-1].sum(), abs=6e-4
    )
    assert rows.trials["suitable_after_suitable", "16 Apr"] == 3 * april[:-1].sum()


def test_missing_days_are_in_no_pair():
    suitable = CHAIN.draw(SPRING, 40, 0)[:, 0]
    holed = suitable.copy()
    holed[:, 10] = np.nan
    whole, some = (fit_daily_chain(from_seasons(x, SPRING)).table for x in (suitable, holed))
    assert whole.trials.sum() - some.trials.sum() == 2 * 40
    assert np.abs(whole.value - some.value).max() < 0.03


def test_a_first_period_without_suitable_days_takes_the_value_beside_it():
    suitable = CHAIN.draw(SPRING, 10, 0)[:, 0]
    suitable[:, :15] = 0.0
    rows = fit_daily_chain(from_seasons(suitable, SPRING)).table
    assert rows.trials[0] == 0
    assert np.isnan(rows.own[0])
    assert rows.value[0] == pytest.approx(rows.value[1], abs=0.02)
    assert rows.standard_error[0] > 0


def test_a_share_of_one_is_not_taken_for_certain():
    suitable = CHAIN.draw(SPRING, 5, 0)[:, 0]
    suitable[:, 75:] = 1.0
    rows = fit_daily_chain(from_seasons(suitable, SPRING)).table
    last = rows[rows.probability == "suitable_after_suitable"].iloc[-1]
    assert last.own == 1.0
    assert last.value < 1.0
    assert last.standard_error > 0.0


@pytest.mark.parametrize(("share", "word"), [(1.0, "unsuitable"), (0.0, "suitable")])
def test_days_that_are_all_alike_make_no_chain(share, word):
    with pytest.raises(InputError) as error:
        fit_daily_chain(from_seasons(np.full((3, SPRING.days), share), SPRING))
    assert str(error.value) == (
        f"seasons: days: no {word} day is followed by another day; "
        "a chain is fitted to records with suitable and unsuitable days"
    )


def test_weekly_records_ask_for_the_persistence():
    with pytest.raises(InputError) as error:
        fit(record_of(spring_table(), 20), kind="daily_chain")
    assert str(error.value) == (
        "records: daily chain: weekly records do not say how suitable days follow one another; "
        "fit a weekly table, or give persistence, as 0.80, P(suitable | suitable before)"
    )


def test_with_a_persistence_weekly_records_give_a_chain_with_their_means():
    records = record_of(spring_table(), 40)
    fitted = fit(records, kind="daily_chain", persistence=0.85)
    assert set(fitted.source.after_suitable) == {0.85}
    assert parse_daily_chain(fitted.text, "f") == fitted.source
    season = SPRING.of_year(2026, CalendarDay(4, 1), CalendarDay(8, 4))
    weeks = fitted.source.draw(season, 4000, 0)[:, 0].reshape(4000, 18, 7).sum(axis=-1)
    assert weeks.mean(axis=0) == pytest.approx(records.days.mean(axis=0), abs=0.6)
    assert weeks.mean() == pytest.approx(records.days.mean(), abs=0.12)
    assert fitted.warnings == (
        "records: the persistence is given, not fitted, and the spread of weeks follows from it",
    )


def test_a_persistence_below_what_the_means_need_is_refused():
    records = weekly_records(np.full((10, 5), 5.6))
    with pytest.raises(InputError) as error:
        fit(records, kind="daily_chain", persistence=0.6)
    assert str(error.value) == (
        "records: persistence = 0.6: a week with the mean of the records needs more than this; "
        "write persistence = 0.75 or more"
    )


@pytest.mark.parametrize(
    ("parameter", "message"),
    [
        ({"neighbor_years": -1.0}, "neighbor_years is 0 or more"),
        ({"period": "week"}, 'period "half_month" or "month"'),
        ({"persistence": 0.8}, "daily records have their own"),
    ],
)
def test_parameters_out_of_bounds_are_refused(parameter, message):
    with pytest.raises(ValueError, match=message):
        fit_daily_chain(simulated(3, 0), **parameter)


@pytest.mark.parametrize("persistence", [0.0, 1.0])
def test_a_given_persistence_is_between_none_and_one(persistence):
    with pytest.raises(ValueError, match="between 0 and 1 is allowed"):
        fit_daily_chain(record_of(spring_table(), 5), persistence=persistence)
