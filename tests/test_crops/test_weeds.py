from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim.crops import (
    WeedCompetition,
    loss_after_passes,
    loss_avoided,
    published_weed_competition,
    published_weed_competitions,
    weed_loss,
)

WEEDS = WeedCompetition(days=(10, 20), losses=(0.1, 0.3), season_long=0.5)
share = st.floats(0, 1)


def plain_loss(losses: Sequence[float], controls: Sequence[float], season_long: float) -> float:
    """The story told stretch by stretch, from the losses at the passes."""
    standing, before, total = 1.0, 0.0, 0.0
    for at_pass, control in zip(losses, controls, strict=True):
        total += standing * (at_pass - before)
        standing, before = standing * (1 - control), at_pass
    return total + standing * (season_long - before)


def test_loss_rises_by_straight_lines_from_nothing_at_emergence() -> None:
    np.testing.assert_allclose(
        weed_loss(WEEDS, [-3, 0, 5, 10, 15, 20]), [0, 0, 0.05, 0.1, 0.2, 0.3]
    )


def test_past_the_table_the_last_slope_goes_on_to_the_season_long_loss_and_stays() -> None:
    np.testing.assert_allclose(weed_loss(WEEDS, [25, 30, 31, 1e6, np.inf]), [0.4, *[0.5] * 4])


def test_a_table_that_ends_at_the_season_long_loss_stays_there() -> None:
    weeds = replace(WEEDS, season_long=0.3)
    np.testing.assert_allclose(weed_loss(weeds, [20, 21, np.inf]), 0.3)


def test_a_table_of_one_point_goes_on_in_the_line_from_emergence() -> None:
    weeds = WeedCompetition((10,), (0.1,), 0.35)
    np.testing.assert_allclose(weed_loss(weeds, [5, 20, 50]), [0.05, 0.2, 0.35])


@pytest.mark.parametrize("name", published_weed_competitions())
def test_published_loss_never_falls_and_never_exceeds_the_season_long_loss(name: str) -> None:
    weeds = published_weed_competition(name)
    losses = weed_loss(weeds, np.arange(-10, 200, 0.5))
    assert (np.diff(losses) >= 0).all()
    assert losses[0] == 0
    assert losses[-1] == weeds.season_long


def test_pressure_scales_every_loss() -> None:
    light = replace(WEEDS, pressure=0.3)
    days = [4, 15, 28, np.inf]
    np.testing.assert_allclose(weed_loss(light, days), 0.3 * weed_loss(WEEDS, days))
    np.testing.assert_allclose(
        loss_avoided(light, 2, days, 0.7), 0.3 * loss_avoided(WEEDS, 2, days, 0.7)
    )
    one, both = loss_after_passes(light, [8], 0.7), loss_after_passes(WEEDS, [8], 0.7)
    assert one == pytest.approx(0.3 * both)
    assert weed_loss(replace(WEEDS, pressure=0), np.inf) == 0


# By hand: L(5) = 0.05, L(15) = 0.2. The passes avoid 0.8 x (0.5 - 0.05) and
# 0.2 x 0.5 x (0.5 - 0.2); 0.05 + 0.2 x (0.2 - 0.05) + 0.2 x 0.5 x (0.5 - 0.2) is lost.
def test_two_passes_worked_by_hand() -> None:
    assert loss_avoided(WEEDS, 1, 5, [0.8, 0.5]) == pytest.approx(0.36)
    assert loss_avoided(WEEDS, 2, 15, [0.8, 0.5]) == pytest.approx(0.03)
    assert loss_after_passes(WEEDS, [5, 15], [0.8, 0.5]) == pytest.approx(0.11)


@given(
    st.sampled_from([WEEDS, *map(published_weed_competition, published_weed_competitions())]),
    st.lists(st.tuples(st.floats(-10, 150), share), max_size=6),
    share,
)
def test_what_the_passes_avoid_adds_up_to_the_loss(
    weeds: WeedCompetition, passes: list[tuple[float, float]], pressure: float
) -> None:
    weeds = replace(weeds, pressure=pressure)
    days = sorted(day for day, _ in passes)
    controls = [control for _, control in passes]
    season_long = float(weed_loss(weeds, np.inf))
    loss = loss_after_passes(weeds, days, controls)
    told = plain_loss([float(weed_loss(weeds, day)) for day in days], controls, season_long)
    avoided = [loss_avoided(weeds, k, day, controls) for k, day in enumerate(days, 1)]
    assert loss == pytest.approx(told, abs=1e-12)
    assert season_long - sum(avoided) == pytest.approx(loss, abs=1e-12)
    assert -1e-12 <= loss <= season_long + 1e-12


def test_one_control_stands_for_every_pass() -> None:
    days = [6, 13, 22]
    assert loss_after_passes(WEEDS, days, 0.6) == loss_after_passes(WEEDS, days, [0.6] * 3)
    assert loss_avoided(WEEDS, 3, 22, 0.6) == loss_avoided(WEEDS, 3, 22, [0.6, 0.6, 0.6, 0.1])


def test_land_that_is_never_worked_bears_the_season_long_loss() -> None:
    assert loss_after_passes(WEEDS, [], 0.7) == 0.5
    assert loss_avoided(WEEDS, 1, np.inf, 0.7) == 0
    assert loss_after_passes(WEEDS, [np.inf], 0.7) == pytest.approx(0.5)


def test_a_missed_pass_avoids_nothing_and_the_next_counts_as_the_one_before() -> None:
    missed_first = 0.5 - loss_avoided(WEEDS, 1, 15, 0.6)
    assert loss_after_passes(WEEDS, [15], 0.6) == pytest.approx(float(missed_first))


def test_full_control_leaves_the_loss_up_to_the_first_pass() -> None:
    assert loss_after_passes(WEEDS, [15, 25], 1.0) == pytest.approx(0.2)
    assert loss_avoided(WEEDS, 2, 25, 1.0) == 0


@pytest.mark.parametrize("name", published_weed_competitions())
def test_later_fewer_or_weaker_passes_cost_more(name: str) -> None:
    weeds = published_weed_competition(name)
    for early, late in itertools.pairwise([0, 7, 14, 21, 28]):
        in_time = loss_after_passes(weeds, [early, early + 10], 0.6)
        assert in_time < loss_after_passes(weeds, [late, late + 10], 0.6)
        assert in_time < loss_after_passes(weeds, [early], 0.6)
        assert in_time < loss_after_passes(weeds, [early, early + 10], 0.5)


# The kernel adds, on each day, area x weight(day - planting day) for each pass. A block planted on
# two days and cultivated on three, with a part that the second pass misses.
def test_weights_by_pass_and_day_add_up_over_the_land_of_a_block() -> None:
    weeds = published_weed_competition("corn_ontario_high")
    emergence, control = 9, 0.7
    lag = np.arange(80)  # days from planting to the pass
    weights = [loss_avoided(weeds, k, lag - emergence, control) for k in (1, 2)]
    pieces = [  # area, planted, passes
        (10.0, 0, (20, 31)),
        (4.0, 0, (22, 31)),
        (6.0, 3, (22, 33)),
        (5.0, 3, (24,)),
        (2.0, 3, ()),
    ]
    avoided = sum(
        area * weights[k][day - planted]
        for area, planted, days in pieces
        for k, day in enumerate(days)
    )
    land = sum(area for area, _, _ in pieces)
    by_piece = sum(
        area * loss_after_passes(weeds, [day - planted - emergence for day in days], control)
        for area, planted, days in pieces
    )
    assert land * weeds.season_long - avoided == pytest.approx(by_piece)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"days": (), "losses": ()}, "0 days and 0 losses"),
        ({"days": (10,)}, "1 days and 2 losses"),
        ({"days": (0, 20)}, "days = 0 after 0: rising from above 0"),
        ({"days": (20, 20)}, "days = 20 after 20: rising"),
        ({"days": (10, np.nan)}, "days = nan: a finite number is allowed"),
        ({"losses": (0.3, 0.1)}, "losses = 0.1 after 0.3: rising"),
        ({"season_long": 0.2}, "season_long = 0.2: a number from 0.3 to 1 is allowed"),
        ({"season_long": 1.1}, "season_long = 1.1: a number from 0.3 to 1 is allowed"),
        ({"pressure": -0.1}, "pressure = -0.1: a number from 0 to 1 is allowed"),
    ],
)
def test_a_table_that_cannot_be_is_refused(change: dict[str, object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        replace(WEEDS, **change)


def test_passes_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="pass_number = 0: 1 for the first pass"):
        loss_avoided(WEEDS, 0, 10, 0.5)
    with pytest.raises(ValueError, match=r"control = 1.5: a number from 0 to 1 is allowed"):
        loss_avoided(WEEDS, 1, 10, 1.5)
    with pytest.raises(ValueError, match="one number, or one for each of 3 passes"):
        loss_avoided(WEEDS, 3, 10, [0.5, 0.5])
    with pytest.raises(ValueError, match="days that do not fall"):
        loss_after_passes(WEEDS, [15, 10], 0.5)
    with pytest.raises(ValueError, match="days_after_emergence: only numbers"):
        weed_loss(WEEDS, [1, np.nan])


def test_an_unknown_table_is_answered_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"'corn_mars': corn_ontario_low, .* are allowed"):
        published_weed_competition("corn_mars")


@pytest.mark.parametrize("name", published_weed_competitions())
def test_every_published_table_says_where_it_was_read(name: str) -> None:
    weeds = published_weed_competition(name)
    assert weeds.name == name
    assert "Soltani, Shropshire & Sikkema 2022" in weeds.source
    assert "(read in the source)" in weeds.source
