from __future__ import annotations

from typing import get_args

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim.machines import (
    draft_coefficients,
    draft_machines,
    draft_polynomial,
    draft_size,
    implement_draft,
)
from fieldsim.machines.draft import Texture

MACHINES = st.sampled_from(draft_machines())
TEXTURES = st.sampled_from(get_args(Texture))
SPEEDS = st.floats(0, 30)


def depth_of(machine: str) -> float | None:
    return 0.1 if draft_coefficients(machine).uses_depth else None


# Worked out from the coefficients by hand: 12 rows at 9 km/h; 8 rows at 8 km/h and 5 cm.
@pytest.mark.parametrize(
    ("machine", "texture", "speed", "size", "depth", "expected"),
    [
        ("planter_drawn_seed_only", "fine", 9, 12, None, 12 * 0.900),
        ("planter_drawn_seed_fertilizer_herbicide", "coarse", 9, 12, None, 12 * 1.550),
        ("planter_no_till", "medium", 9, 12, None, 12 * 1.820 * 0.96),
        ("row_cultivator_c_shank", "medium", 8, 8, 0.05, 12.376),
        ("row_cultivator_s_tine", "medium", 8, 8, 0.05, 6.664),
        ("moldboard_plow", "coarse", 7, 2.0, 0.2, 0.45 * (0.652 + 0.0051 * 49) * 2 * 20),
    ],
)
def test_draft_is_what_the_equation_gives_by_hand(
    machine: str, texture: Texture, speed: float, size: float, depth: float | None, expected: float
) -> None:
    assert implement_draft(machine, texture, speed, size, depth) == pytest.approx(expected)


@given(machine=MACHINES, texture=TEXTURES, speed=SPEEDS, size=st.floats(0.1, 100))
def test_draft_is_the_value_of_its_polynomial_and_goes_with_size(
    machine: str, texture: Texture, speed: float, size: float
) -> None:
    depth = depth_of(machine)
    terms = [float(term) for term in draft_polynomial(machine, texture, size, depth)]
    draft = float(implement_draft(machine, texture, speed, size, depth))
    assert draft == pytest.approx(np.polynomial.polynomial.polyval(speed, terms))
    assert implement_draft(machine, texture, speed, 3 * size, depth) == pytest.approx(3 * draft)


@given(machine=MACHINES, slow=SPEEDS, faster=SPEEDS)
def test_draft_never_falls_with_speed_nor_with_clay(
    machine: str, slow: float, faster: float
) -> None:
    depth = depth_of(machine)
    drafts = [
        implement_draft(machine, texture, sorted([slow, faster]), 1.0, depth)
        for texture in get_args(Texture)
    ]
    assert all(draft[0] <= draft[1] for draft in drafts)
    assert np.all(drafts[0] >= drafts[1])
    assert np.all(drafts[1] >= drafts[2])


def test_draft_broadcasts_speeds_against_depths() -> None:
    depths = np.array([[0.1], [0.2]])
    drafts = implement_draft("chisel_plow", "medium", [6.0, 8.0, 10.0], 11, depths)
    assert drafts.shape == (2, 3)
    np.testing.assert_allclose(drafts[1], 2 * drafts[0])
    assert implement_draft("rotary_hoe", "medium", 12, 6.0).shape == ()


def test_size_counts_rows_tools_or_metres_by_the_machine() -> None:
    assert draft_size("planter_drawn_seed_only", count=12) == 12
    assert draft_size("planter_drawn_seed_only", width=9.144, spacing=0.762) == pytest.approx(12)
    assert draft_size("chisel_plow", width=[3.0, 6.0], spacing=0.3) == pytest.approx([10, 20])
    assert draft_size("moldboard_plow", count=5, spacing=0.45) == pytest.approx(2.25)
    assert draft_size("tandem_disk_primary", width=7.3) == 7.3


@pytest.mark.parametrize(
    ("machine", "given_sizes", "message"),
    [
        ("chisel_plow", {}, r"goes by tools: nothing is given; give count, or width and spacing"),
        ("chisel_plow", {"width": 3}, r"goes by tools: width is given"),
        ("chisel_plow", {"count": 3, "spacing": 1}, r"spacing, count is given; give count, or"),
        ("rotary_hoe", {"count": 3}, r"goes by metres of width: count is given; give width, or"),
        ("rotary_hoe", {"width": 3, "count": 3}, r"width, count is given"),
        ("rotary_hoe", {"width": 0}, r"width = 0 m: a number above 0 m is allowed"),
        ("spade", {"count": 1}, r"there is no draft of 'spade': planter_mounted_seed_only, "),
    ],
)
def test_a_size_that_the_draft_does_not_go_by_is_refused(
    machine: str, given_sizes: dict[str, float], message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        draft_size(machine, **given_sizes)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("rotary_hoe", "sandy", 10, 4), r"texture = 'sandy': fine, medium, coarse are allowed"),
        (("rotary_hoe", "fine", -1, 4), r"speed = -1 km/h"),
        (("rotary_hoe", "fine", 10, 0), r"size = 0 m: a number above 0 m"),
        (("chisel_plow", "fine", 10, 0, 0.2), r"size = 0: a number above 0 is"),
        (("chisel_plow", "fine", 10, 4), r"draft of chisel_plow goes by depth: give one"),
        (("chisel_plow", "fine", 10, 4, 0), r"depth = 0 m"),
        (("rotary_hoe", "fine", 10, 4, 0.1), r"rotary_hoe does not go by depth: give none"),
    ],
)
def test_what_draft_cannot_be_worked_out_of_is_named(
    arguments: tuple[object, ...], message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        implement_draft(*arguments)  # type: ignore[arg-type]


def test_every_row_is_usable_and_says_where_it_comes_from() -> None:
    for machine in draft_machines():
        row = draft_coefficients(machine)
        assert row.per in ("rows", "tools", "m")
        assert row.constant > 0  # the greatest speed is sought from it
        assert min(row.linear, row.quadratic) >= 0
        assert row.texture_factors["fine"] == 1
        assert 0 < row.plus_minus <= 0.5
        assert row.source
        assert row.status in ("read", "partly read", "from memory")
