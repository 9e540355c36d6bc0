from __future__ import annotations

import pytest

from fieldsim.machines import unusual, usual_work, usual_work_machines


def test_typical_figures_lie_in_their_ranges() -> None:
    for machine in usual_work_machines():
        usual = usual_work(machine)
        assert 0 < usual.efficiency[0] < usual.typical_efficiency < usual.efficiency[1] < 1
        assert 0 < usual.speed[0] < usual.typical_speed < usual.speed[1]
        assert usual.source
        assert usual.status in ("read", "from memory")
        assert not unusual(machine, speed=usual.typical_speed, efficiency=usual.typical_efficiency)


def test_the_ends_of_a_range_are_usual_and_what_lies_past_them_is_not() -> None:
    (least, most), efficiencies = (
        usual_work("rotary_hoe").speed,
        usual_work("rotary_hoe").efficiency,
    )
    assert not unusual("rotary_hoe", speed=least, efficiency=efficiencies[1])
    assert unusual("rotary_hoe", speed=most + 1) == (
        "a speed of 23.5 km/h is above the 13 to 22.5 km/h usual for a rotary hoe",
    )
    assert unusual("rotary_hoe", speed=8.0, efficiency=0.6) == (
        "a speed of 8 km/h is below the 13 to 22.5 km/h usual for a rotary hoe",
        "an efficiency of 60 % is below the 70 to 85 % usual for a rotary hoe",
    )
    assert unusual("rotary_hoe") == ()


def test_machines_and_figures_that_cannot_be_are_named() -> None:
    with pytest.raises(ValueError, match=r"no usual work of 'spade': moldboard_plow, heavy_disk, "):
        usual_work("spade")
    with pytest.raises(ValueError, match=r"speed = 0 km/h"):
        unusual("planter", speed=0)
    with pytest.raises(ValueError, match=r"efficiency = 1.2"):
        unusual("planter", efficiency=1.2)
