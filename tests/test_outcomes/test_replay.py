from __future__ import annotations

import numpy as np
import pytest
import xarray as xr

from fieldsim.errors import InputError
from fieldsim.farm import Farm
from fieldsim.simulation import replay, simulate
from tests.farms import hand_farm, small_farm

SEASONS = range(12)
SEED = 5


@pytest.fixture(scope="module")
def farm() -> Farm:
    return small_farm(
        ('area = "200 acre"', 'area = "600 acre"'),
        ('area = "150 acre"', 'area = "300 acre"'),
        ('"1 Jun"', '"25 May"'),
    )


@pytest.fixture(scope="module")
def outcomes(farm: Farm) -> xr.Dataset:
    return simulate(farm, len(SEASONS), SEED)


def test_a_replayed_season_is_told_field_by_field_and_day_by_day(farm: Farm) -> None:
    season = replay(farm, "one_outfit", 0)
    assert season.done_area.dims == ("field", "operation", "day")
    assert season.done_area.attrs["units"] == "acre"
    assert season.field.values.tolist() == ["home", "river"]
    assert season.crop.values.tolist() == ["corn", "soybeans"]
    assert str(season.day.values[0])[:10] == "2026-04-01"
    assert season.sizes["day"] == farm.season.days
    assert set(np.unique(season.hands)) <= {1.0, 2.0}


@pytest.mark.parametrize("option", ["one_outfit", "two_planters"])
def test_a_replayed_season_does_what_its_simulation_did(
    farm: Farm, outcomes: xr.Dataset, option: str
) -> None:
    for number in SEASONS:
        season = replay(farm, option, number, seed=SEED)
        simulated = outcomes.sel(option=option, season=number)
        done = season.done_area.sum(["field", "day"])
        np.testing.assert_allclose(done, simulated.done_area.sum("crop"), rtol=1e-9)
        worked = season.done_area.sum("field") > 0
        for operation in farm.operations:
            dates = simulated.finish_date.sel(operation=operation)
            land = simulated.done_area.sel(operation=operation) > 0
            if dates.where(land, drop=True).notnull().all() and land.any():
                last = season.day.values[worked.sel(operation=operation)][-1]
                assert dates.max().values == last


def test_the_day_by_day_work_of_the_season_worked_out_by_hand() -> None:
    done = replay(hand_farm(), "usual", 0).done_area.sel(field="north")
    assert done.sel(operation="till").values[:7].tolist() == [20, 0, 0, 20, 0, 0, 0]
    assert done.sel(operation="plant").values[:7].tolist() == [0, 10, 10, 0, 10, 10, 0]


CULTIVATING = (
    ("[machines.disk]", '[operations.cultivate]\nkind = "cultivating"\nfollows = "plant"\n'
     'hours_per_day = "10 h"\nearliest = "10 Apr"\nlatest_after_planting = "5 days"\n\n'
     "[machines.disk]"),
    ('operations = ["plant"]', 'operations = ["plant", "cultivate"]'),
    ('["plant", "till"]', '["plant", "till", "cultivate"]'),
)  # fmt: skip


def by_day_of_april(areas: xr.DataArray) -> dict[int, float]:
    cultivating = areas.sel(field="north", operation="cultivate").values
    return {number: float(area) for number, area in enumerate(cultivating, 1) if area}


def test_land_that_grew_too_tall_is_missed() -> None:
    # Planted on 2, 3, 5 and 6 April, 10 ha each; the fifth day after it is the last. Cultivating
    # begins on the 10th, when the land of the 2nd and 3rd is too tall, and does 10 ha that day,
    # those of the 5th, and on the 11th those of the 6th.
    season = replay(hand_farm(*CULTIVATING), "usual", 0)
    assert by_day_of_april(season.done_area) == pytest.approx({10: 10.0, 11: 10.0})
    assert sum(by_day_of_april(season.missed_area).values()) == pytest.approx(20.0)


def test_land_that_grew_too_tall_is_missed_on_its_day() -> None:
    # By rule 1b on the morning of the sixth day after planting: the 8th and the 9th.
    season = replay(hand_farm(*CULTIVATING), "usual", 0)
    assert by_day_of_april(season.missed_area) == pytest.approx({8: 10.0, 9: 10.0})


def test_an_unknown_option_is_told_and_what_there_is() -> None:
    with pytest.raises(InputError, match="option = 'best': there is no such option; options are"):
        replay(hand_farm(), "best", 0)


@pytest.mark.parametrize(("season", "seed"), [(-1, 0), (10**7, 0), (0, -1)])
def test_a_season_or_seed_out_of_range_is_refused(season: int, seed: int) -> None:
    with pytest.raises(InputError, match="a whole number from"):
        replay(hand_farm(), "usual", season, seed=seed)
