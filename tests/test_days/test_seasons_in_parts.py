"""Every source draws any seasons of a run without those before them."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from fieldsim.days import DailyChain, DaySource, Given
from fieldsim.draws import draw_seasons
from fieldsim.farm import Farm
from fieldsim.season import CalendarDay, Season
from fieldsim.simulation import replay, simulate
from tests.farms import small_farm
from tests.test_farm.test_day_sources import RECORDS, WEATHER, WEEKS, on_weather, with_days

WARM = """
[days.warm_soil]
in_1_year_of_10_by = "5 Apr"
in_5_years_of_10_by = "16 Apr"
in_9_years_of_10_by = "1 May"
wetness_correlation = 0.3
"""
AGAIN = (
    'target_date = "10 May"',
    'target_date = "10 May"\n\n[crops.corn.replanting]\nprobability = "30 %"\nland = "20 %"\n'
    'after = "20 days"\ncost = "$50/acre"',
)
FARMS = {
    "weekly table, warm dates, replanting": with_days(WEEKS + WARM, AGAIN),
    "records": with_days(RECORDS),
    "blocks of records": with_days(RECORDS + 'resampling = "blocks"\n'),
    "weather": on_weather(),
    "weather generator": on_weather(
        days=WEATHER.replace('"weather.csv"\n', '"weather.csv"\nweather = "generator"\n')
    ),
}


@pytest.mark.parametrize("farm", FARMS.values(), ids=FARMS.keys())
def test_any_seasons_of_a_run_are_drawn_alone(farm: Farm) -> None:
    whole = draw_seasons(farm, 2100, 5)
    for part in (range(40), range(990, 1010), range(2099, 2100)):
        alone = draw_seasons(farm, part, 5)
        for drawn, expected in zip(alone, whole, strict=True):
            np.testing.assert_array_equal(drawn, expected[part.start : part.stop])


def test_given_seasons_and_a_chain_are_drawn_alone() -> None:
    april = Season(date(2026, 4, 1), date(2026, 4, 30))
    sources: list[DaySource] = [
        DailyChain((CalendarDay(4, 1),), (0.8,), (0.3,)),
        Given(np.random.default_rng(0).random((1200, 1, 30))),
    ]
    for source in sources:
        whole = source.draw(april, 1200, 0)
        np.testing.assert_array_equal(source.draw(april, range(950, 1050), 0), whole[950:1050])


def test_a_replay_far_into_a_run_is_that_season() -> None:
    outcomes = simulate(small_farm(), 2300).sel(option="one_outfit", season=2222)
    days = replay(small_farm(), "one_outfit", 2222)
    np.testing.assert_allclose(
        days.done_area.sum(("field", "day")).sel(operation="till"),
        outcomes.done_area.sel(operation="till").sum("crop"),
    )
