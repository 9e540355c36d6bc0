"""What a run draws: weather, warmth, hands, and the years behind it."""

from __future__ import annotations

import numpy as np
import pytest

from fieldsim.decisions import compare
from fieldsim.draws import draw_seasons, replicate_of
from fieldsim.errors import InputError
from fieldsim.farm import parse_farm
from fieldsim.simulation import simulate
from tests.farms import SMALL_TABLES, changed, hand_farm, small_farm
from tests.test_farm.test_day_sources import RECORDS, WEEKS, on_weather, with_days
from tests.weather import records_text

YEARS_OF_TABLE = ("week_correlation = 0.3", "week_correlation = 0.3\nyears = 25")


def test_weather_gives_growing_degrees_that_never_fall_and_a_day_of_warm_soil() -> None:
    farm = on_weather()
    draws = draw_seasons(farm, 40, 0)
    assert draws.suitable.shape == (40, 2, farm.season.days)
    assert (np.diff(draws.degrees, axis=1) >= 0).all()
    assert 800 < draws.degrees[:, -1].mean() < 2500  # degC days, April to July at 42 degrees
    assert (np.diff(np.sort(draws.warm_day)) >= 0).all()
    assert 0 < np.median(draws.warm_day) < 60


def test_without_temperatures_there_are_no_degrees_and_no_wait_for_warmth() -> None:
    draws = draw_seasons(small_farm(), 5, 0)
    assert not draws.degrees.any()
    assert not draws.warm_day.any()


def test_planting_waits_for_warm_soil_in_every_season() -> None:
    waits = on_weather(('kind = "planting"', 'kind = "planting"\nneeds_warm_soil = true'))
    free, waiting = (simulate(farm, 200) for farm in (on_weather(), waits))
    at = {"operation": "plant", "crop": "corn", "option": "one_outfit"}
    finish = [outcomes.finish_date.sel(at) for outcomes in (free, waiting)]
    assert (finish[1].fillna(finish[1].max()) >= finish[0].fillna(finish[0].max())).all()
    assert (finish[1] > finish[0]).any()
    warm = draw_seasons(waits, 200, 0).warm_day
    first = np.datetime64("2026-04-01") + warm.astype("timedelta64[D]")
    assert (
        finish[1].values[~np.isnat(finish[1].values)] >= first[~np.isnat(finish[1].values)]
    ).all()


def test_cultivating_by_growing_degrees_comes_later_in_a_cool_spring() -> None:
    farm = on_weather(
        ('lag = "24 days"', 'lag = "300 degC days"'),
        ('latest_after_planting = { corn = "45 days", soybeans = "50 days" }\n', ""),
    )
    outcomes, draws = simulate(farm, 400), draw_seasons(farm, 400, 0)
    at = {"operation": "cultivate", "crop": "corn", "option": "two_planters"}
    finish = outcomes.finish_date.sel(at).values
    done = ~np.isnat(finish)
    day = (finish[done] - np.datetime64("2026-04-01")).astype("timedelta64[D]").astype(int)
    planted = outcomes.finish_date.sel(at | {"operation": "plant"}).values[done]
    when = (planted - np.datetime64("2026-04-01")).astype("timedelta64[D]").astype(int)
    passed = draws.degrees[done, day] - draws.degrees[done, when]
    assert done.mean() > 0.5
    assert (passed >= 300).all()


@pytest.mark.parametrize("seasons", [7, 40, 41])
def test_seasons_are_shared_out_evenly_over_the_replicates(seasons: int) -> None:
    count = np.bincount(replicate_of(seasons, 7), minlength=7)
    assert count.max() - count.min() <= 1
    assert (np.diff(replicate_of(seasons, 7)) >= 0).all()


def test_helpers_come_each_with_their_own_chance_and_are_added_up() -> None:
    said = '[crew.helpers.neighbor]\nprobability = "40 %"'
    more = "".join(
        f'\n\n[crew.helpers.{name}]\nprobability = "{chance} %"'
        for name, chance in (("always", 100), ("never", 0), ("often", 75))
    )
    farm = small_farm((said, said + more))
    hands = draw_seasons(farm, 200, 0).hands
    assert set(np.unique(hands)) == {1.0, 2.0, 3.0}
    # Of 200 x 122 days the standard error of the mean is 0.0042.
    assert hands.mean() == pytest.approx(1 + 0.4 + 0.75, abs=0.02)
    # Both at once as often as independent chances say.
    assert (hands == 3).mean() == pytest.approx(0.4 * 0.75, abs=0.02)


def test_replicates_rest_on_other_years_and_hands_stay_the_same() -> None:
    farm = with_days(RECORDS)
    plain, parts = draw_seasons(farm, 60, 0), draw_seasons(farm, 60, 0, replicates=6)
    np.testing.assert_array_equal(plain.hands, parts.hands)
    assert parts.suitable.shape == plain.suitable.shape
    assert (parts.suitable != plain.suitable).any()
    again = draw_seasons(farm, 60, 0, replicates=6)
    np.testing.assert_array_equal(parts.suitable, again.suitable)


def test_seasons_of_different_replicates_are_drawn_independently() -> None:
    suitable = draw_seasons(small_farm(YEARS_OF_TABLE), 400, 0, replicates=2).suitable
    one, other = suitable.sum(axis=(1, 2)).reshape(2, 200)
    # The standard error of a correlation of 200 pairs is 0.07.
    assert abs(np.corrcoef(one, other)[0, 1]) < 0.3


@pytest.mark.parametrize(
    "farm",
    [with_days(RECORDS), small_farm(YEARS_OF_TABLE), on_weather()],
    ids=["records", "weekly table with years", "weather"],
)
def test_the_comparison_says_how_sure_the_years_leave_it(farm: object) -> None:
    outcomes = simulate(farm, 400, replicates=20)  # type: ignore[arg-type]
    assert outcomes.replicate.dims == ("season",)
    table = compare(outcomes)
    row = table.loc["two_planters"]
    assert row["lost_revenue_years_error"] >= 0
    assert (
        row["difference_years_error"] < 0.5 * abs(row["difference"])
        or row["cannot_tell_with_these_years"]
    )
    assert table.loc["one_outfit", "difference_years_error"] == 0.0
    assert not table.loc["one_outfit", "cannot_tell_with_these_years"]


def test_few_years_leave_more_unsure_than_many() -> None:
    errors = []
    for years in (6, 60):
        table = {"past.csv": records_text(years=years)}
        outcomes = simulate(with_days(RECORDS, tables=table), 2000, replicates=20)
        errors.append(compare(outcomes).loc["one_outfit", "lost_revenue_years_error"])
    assert errors[0] > 1.5 * errors[1] > 0


def test_replicates_of_a_source_that_hides_its_years_are_refused() -> None:
    for farm in (small_farm(), hand_farm()):
        with pytest.raises(InputError, match="years"):
            simulate(farm, 100, replicates=10)
    generator = on_weather(
        ('table = "weather.csv"', 'table = "weather.csv"\nweather = "generator"')
    )
    with pytest.raises(InputError, match='weather = "years"'):
        simulate(generator, 100, replicates=10)


@pytest.mark.parametrize("replicates", [1, 0, -3, 2.5, True, 10_000])
def test_a_number_of_replicates_out_of_range_is_refused(replicates: object) -> None:
    with pytest.raises(InputError, match="replicates"):
        simulate(with_days(RECORDS), 100, replicates=replicates)  # type: ignore[arg-type]


def test_a_replicate_needs_two_seasons() -> None:
    with pytest.raises(InputError, match="write replicates = 5"):
        simulate(with_days(RECORDS), 10, replicates=6)


def test_a_table_with_years_draws_the_same_seasons_as_without() -> None:
    text = changed((WEEKS, WEEKS + "years = 25\n"))
    few, plain = parse_farm(text, SMALL_TABLES), small_farm()
    np.testing.assert_array_equal(
        draw_seasons(few, 20, 0).suitable, draw_seasons(plain, 20, 0).suitable
    )
