from __future__ import annotations

from typing import get_args

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from fieldsim.machines import (
    available_drawbar_power,
    draft_coefficients,
    draft_machines,
    drawbar_power,
    drawbar_pto_ratio,
    equivalent_pto_power,
    greatest_speed,
    implement_draft,
    pto_power_of_engine,
)
from fieldsim.machines.draft import Texture
from fieldsim.machines.power import Drive, Surface

MACHINES = st.sampled_from(draft_machines())
TEXTURES = st.sampled_from(get_args(Texture))
DRIVES = st.sampled_from(get_args(Drive))
SURFACES = st.sampled_from(get_args(Surface))


def depth_of(machine: str) -> float | None:
    return 0.1 if draft_coefficients(machine).uses_depth else None


def test_a_kilonewton_at_3_6_km_h_takes_a_kilowatt() -> None:
    np.testing.assert_allclose(drawbar_power([1.0, 2.0], 3.6), [1.0, 2.0])
    assert drawbar_power(1.0, 0.0) == 0


def test_softer_ground_lets_less_power_through_and_more_driven_wheels_more() -> None:
    ratios = np.array(
        [
            [drawbar_pto_ratio(drive, surface) for surface in get_args(Surface)]
            for drive in get_args(Drive)
        ]
    )
    assert np.all(np.diff(ratios[:3], axis=1) < 0)
    assert np.all(np.diff(ratios, axis=0) >= 0)
    assert np.all((ratios > 0.5) & (ratios < 0.9))


def test_pto_power_is_nine_tenths_of_the_engine() -> None:
    np.testing.assert_allclose(pto_power_of_engine([50, 100]), [45, 90])


@given(
    drive=DRIVES,
    surface=SURFACES,
    power=st.floats(0, 500),
    driven=st.floats(0, 100),
    reserve=st.floats(0, 0.5),
)
def test_power_at_hand_is_what_the_tractor_needs_turned_round(
    drive: Drive, surface: Surface, power: float, driven: float, reserve: float
) -> None:
    pulled = available_drawbar_power(power, drive, surface, pto_driven=driven, reserve=reserve)
    needed = float(equivalent_pto_power(pulled, drive, surface, pto_driven=driven))
    assert needed == pytest.approx(max(power * (1 - reserve), driven))


@given(
    machine=MACHINES,
    texture=TEXTURES,
    power=st.floats(1e-3, 5000),
    size=st.floats(0.1, 100),
)
def test_at_the_greatest_speed_the_implement_takes_the_power_there_is(
    machine: str, texture: Texture, power: float, size: float
) -> None:
    depth = depth_of(machine)
    speed = greatest_speed(power, machine, texture, size, depth)
    taken = drawbar_power(implement_draft(machine, texture, speed, size, depth), speed)
    assert float(taken) == pytest.approx(power, rel=1e-12)


@pytest.mark.parametrize("machine", draft_machines())
def test_greatest_speed_is_the_root_that_bracketing_finds(machine: str) -> None:
    depth = depth_of(machine)

    def excess(speed: float) -> float:
        draft = implement_draft(machine, "medium", speed, 6.0, depth)
        return float(drawbar_power(draft, speed)) - 60.0

    root = brentq(excess, 0.0, 1000.0, xtol=1e-10)
    assert greatest_speed(60.0, machine, "medium", 6.0, depth) == pytest.approx(root, abs=1e-8)


def test_greatest_speed_broadcasts_powers_against_sizes() -> None:
    speeds = greatest_speed([[0.0], [40.0], [80.0]], "moldboard_plow", "fine", [1.5, 3.0], 0.2)
    assert speeds.shape == (3, 2)
    assert np.all(speeds[0] == 0)
    assert np.all(np.diff(speeds, axis=0) > 0)
    assert np.all(speeds[1:, 0] > speeds[1:, 1])
    assert greatest_speed(40.0, "rotary_hoe", "fine", 6.0).shape == ()


def test_a_machine_whose_own_drive_takes_all_power_stands_still() -> None:
    left = available_drawbar_power([20.0, 60.0], "tracks", "firm", pto_driven=30.0, reserve=0.1)
    speeds = greatest_speed(left, "planter_no_till", "medium", 12)
    assert speeds[0] == 0
    assert speeds[1] > 0


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: drawbar_power(-1, 5), r"draft = -1 kN"),
        (lambda: drawbar_power(1, -5), r"speed = -5 km/h"),
        (lambda: drawbar_pto_ratio("wings", "firm"), r"drive = 'wings', surface = 'firm': the dri"),  # type: ignore[arg-type]
        (lambda: drawbar_pto_ratio("tracks", "ice"), r"surfaces concrete, firm, tilled, soft are"),  # type: ignore[arg-type]
        (lambda: pto_power_of_engine(-1), r"engine_power = -1 kW"),
        (lambda: equivalent_pto_power(-1, "tracks", "firm"), r"drawbar = -1 kW"),
        (lambda: equivalent_pto_power(1, "tracks", "firm", pto_driven=-2), r"pto_driven = -2 kW"),
        (lambda: available_drawbar_power(-1, "tracks", "firm"), r"pto_power = -1 kW"),
        (
            lambda: available_drawbar_power(1, "tracks", "firm", reserve=1),
            r"reserve = 1: .*below 1",
        ),
        (lambda: greatest_speed(-1, "rotary_hoe", "fine", 4), r"drawbar = -1 kW"),
    ],
)
def test_what_power_cannot_be_worked_out_of_is_named(make: object, message: str) -> None:
    assert callable(make)
    with pytest.raises(ValueError, match=message):
        make()
