"""What is harvested, read piece by piece of land from replayed seasons, against what is lost."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from fieldsim.crops import loss_after_passes
from fieldsim.farm import Farm
from fieldsim.simulation import replay, simulate
from tests.farms import always, work_farm
from tests.test_farm.test_late_costs import DRYING, INSURED
from tests.test_outcomes.test_revenue import REPLANTED
from tests.test_outcomes.test_weed_losses import HIGH, WEEDS, weeding

SECTIONS = {
    "weeds": WEEDS,
    "drying": DRYING,
    "replanting": REPLANTED,
    "insurance": INSURED,
    "wet_soil_loss": 'wet_soil_loss = "15 %"',
}
FAST = settings(
    max_examples=30, deadline=None, phases=[phase for phase in Phase if phase is not Phase.explain]
)


def harvested(farm: Farm, chosen: set[str], number: int) -> float:
    """Return the revenue of a season, added up over the pieces of planted land [$].

    Reads the days of the season from its replay; only for farms on which no land is missed.
    """
    days = replay(farm, "usual", number)
    dry = days.suitable_share.values[0] > 0
    land, worth, second, wet, weedy, dried = (0.0,) * 6
    for field in days.field.values:
        done = [days.done_area.sel(field=field, operation=name).values for name in PASSES]
        for area, day, *weeded in pieces(*done):
            kept = 1 - 0.01 * max(0, day - 9)
            points = 0.5 * max(0, day - 9)
            land += area
            worth += area * kept
            second += area * (1 - 0.01 * max(0, day + 10 - 9)) * 0.9
            wet += 0.0 if dry[day] else area * kept
            weedy += area * kept * loss_after_passes(HIGH, [d - day - 5 for d in weeded], CONTROL)
            dried += area * 2 * points * 10 * kept * 84.5 / (84.5 - points)
    if land == 0:
        return 0.0
    left, cost = worth, 0.0
    if "replanting" in chosen:
        left, cost = 0.75 * worth + 0.25 * second, 0.25 * 60 * land
    if "wet_soil_loss" in chosen:
        left *= 1 - 0.15 * wet / worth
    if "weeds" in chosen:
        left *= 1 - weedy / worth
    if "drying" in chosen:
        cost += dried * left / worth
    return 1000 * left - cost


PASSES, CONTROL = ("plant", "first", "second"), 0.75


def pieces(*done: NDArray[np.float64]) -> list[tuple[Any, ...]]:
    """Return stretches of a field's land: area, the day of planting, and those of its weedings.

    `done`: area by day of each operation, all of which work along the field from one end.
    """
    ends = [np.cumsum(by_day) for by_day in done]
    cuts = sorted({0.0, *(float(reached) for end in ends for reached in end)})
    found = []
    for low, high in pairwise(cuts):
        days = [int(np.searchsorted(end, (low + high) / 2)) for end in ends if end[-1] >= high]
        found.append((high - low, *days))
    return found


@FAST
@given(
    st.sets(st.sampled_from(sorted(SECTIONS))),
    st.lists(st.floats(2.0, 60.0), min_size=1, max_size=2),
    st.tuples(st.floats(0.0, 1.0), st.floats(0.05, 1.0)),
    st.booleans(),
)
def test_what_is_harvested_and_what_is_lost_make_the_potential(
    chosen: set[str], lands: list[float], chain: tuple[float, float], forced: bool
) -> None:
    wet = 'lag = "1 day"\nwet_from = "14 Apr"' if forced else 'lag = "1 day"'
    farm = work_farm(
        [("corn", area) for area in lands],
        chain=always(*chain),
        changes=(
            ('price = "$100/t"', "\n".join(['price = "$100/t"', *map(SECTIONS.get, chosen)])),
            ('lag = "1 day"', wet),
            *weeding(
                ("first", "plant", "20 Apr", 0.75, ""), ("second", "first", "1 May", 0.75, "")
            ),
        ),
    )
    outcomes = simulate(farm, 3, threads=1).isel(option=0)
    lost = outcomes.lost_revenue_by_cause.sel(crop="corn")
    np.testing.assert_allclose(lost.sum("cause"), outcomes.lost_revenue.sel(crop="corn"), rtol=1e-9)
    for number in range(3):
        revenue = harvested(farm, chosen, number)
        by_hand = 1000 * sum(lands) - revenue
        assert float(lost.sel(season=number).sum()) == pytest.approx(by_hand, rel=1e-7, abs=1e-4)
