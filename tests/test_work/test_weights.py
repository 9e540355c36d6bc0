"""What land counts by its planting day, on the farm worked out by hand.

Its season begins on 1 April (day 91); full yield to 10 April, then 1 % less each day.
"""

from __future__ import annotations

import numpy as np
import pytest

from fieldsim.work.tasks import tasks_of
from fieldsim.work.weights import Floats, weight_arrays
from tests.farms import hand_farm
from tests.test_farm.test_late_costs import DRYING, INSURED, crop

WEED = (
    ("[machines.disk]", '[operations.weed]\nkind = "cultivating"\nfollows = "plant"\n'
     'weed_control = "75 %"\nhours_per_day = "10 h"\n\n[machines.disk]'),
    ('operations = ["plant"]', 'operations = ["plant", "weed"]'),
    ('["plant", "till"]', '["plant", "weed", "till"]'),
)  # fmt: skip
FALLING = [1.0] * 10 + [1 - 0.01 * late for late in range(1, 21)]


def arrays(*changes: tuple[str, str]) -> dict[str, Floats]:
    """Return the arrays of the tasks till and plant (and weed) of the one field."""
    farm = hand_farm(*changes)
    return weight_arrays(farm, tasks_of(farm))


def test_land_of_which_nothing_more_is_said_counts_its_yield_and_all_its_insurance() -> None:
    found = arrays()
    assert found["weight"][1] == pytest.approx(FALLING)
    np.testing.assert_array_equal(found["second_weight"], found["weight"])
    assert found["insured"][1].tolist() == [1.0] * 30
    assert found["drying"].sum() == found["weeds_ahead"].sum() == 0


def test_only_planting_tasks_count_by_their_day() -> None:
    found = arrays(crop(DRYING), crop_replanted("8 days"), *WEED)
    for name in ("weight", "second_weight", "insured", "drying"):
        assert not found[name][[0, 2]].any(), name
        assert found[name][1].any(), name


def crop_replanted(after: str) -> tuple[str, str]:
    part = f'replanting = {{ probability = 1, land = 1, after = "{after}", cost = "$0/ha", '
    return 'price = "$100/t"', f'price = "$100/t"\n{part}yield_kept = "90 %" }}'


def test_land_planted_again_counts_the_later_day_and_what_is_kept() -> None:
    second = arrays(crop_replanted("8 days"))["second_weight"][1]
    # Of 2 April on the 10th: in full, times 0.9. Of 1 April + 20 on the 29th: 19 % less.
    assert second[1] == pytest.approx(0.9)
    assert second[20] == pytest.approx(0.9 * (1 - 0.19))
    # Also past the end of the season: of 30 April on 8 May, 28 % less.
    assert second[29] == pytest.approx(0.9 * (1 - 0.28))


def test_grain_planted_late_is_dried_by_its_points_and_its_wet_mass() -> None:
    dried = arrays(crop(DRYING))["drying"][1]
    # Planted on 14 April: 4 days x 0.5 points = 2 above 15.5 %; 10 t/ha x 96 % at 15.5 % weigh
    # 9.6 x 84.5 / 82.5 t at 17.5 %; $2 a point and tonne.
    assert dried[13] == pytest.approx(2 * 2 * 9.6 * 84.5 / 82.5)
    assert not dried[:10].any()


def test_the_insured_share_is_that_of_the_day() -> None:
    # Nebraska corn loses 1 % a day from 26 May on.
    later = ('last_day = "30 Apr"', 'last_day = "31 May"')
    insured = arrays(crop(INSURED), later)["insured"][1]
    assert insured[54:57] == pytest.approx([1.0, 0.99, 0.98])  # 25, 26, 27 May


def test_weeds_ahead_are_what_the_rest_of_the_season_costs_by_the_days_since_planting() -> None:
    weeds = 'weeds = { table = "corn_ontario_high", pressure = "50 %", emergence = "5 days" }'
    ahead = arrays(crop(weeds), *WEED)["weeds_ahead"]
    assert not ahead[:2].any()
    # At half pressure 25 % are lost in a season; 5 % by the 17th day after emergence, the 22nd
    # after planting, so that 20 % are still ahead; before emergence all of it is.
    assert ahead[2][22] == pytest.approx(0.25 - 0.05)
    assert ahead[2][:6] == pytest.approx([0.25] * 6)
    assert (np.diff(ahead[2]) <= 0).all()


def test_weeding_without_weeds_saves_nothing() -> None:
    assert not arrays(*WEED)["weeds_ahead"].any()
