from __future__ import annotations

import subprocess
import sys

import pytest

from fieldsim.machines import planting_pattern, planting_patterns
from fieldsim.quantities import parse


def test_three_patterns_are_known() -> None:
    assert planting_patterns() == ("check_row", "hill_drop", "drill")


def test_drilling_goes_5_mph_without_set_up() -> None:
    drill = planting_pattern("drill")
    assert drill.speed == pytest.approx(parse("5 mph", "speed"))
    assert drill.setup == 0


def test_the_more_a_pattern_asks_for_the_slower_it_is() -> None:
    check_row, hill_drop, drill = (planting_pattern(name) for name in planting_patterns())
    assert 0 < check_row.speed < hill_drop.speed <= drill.speed
    assert check_row.setup == pytest.approx(0.5)
    assert hill_drop.setup == 0


def test_no_pattern_claims_a_source_it_does_not_have() -> None:
    for name in planting_patterns():
        pattern = planting_pattern(name)
        assert pattern.source == "common practice, no source"
        assert not pattern.checked


def test_an_unknown_pattern_is_answered_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"pattern 'broadcast': check_row, hill_drop, drill are"):
        planting_pattern("broadcast")


def test_importing_the_room_reads_no_table() -> None:
    program = (
        "import fieldsim.machines.patterns as patterns;"
        "assert patterns._patterns.cache_info().currsize == 0;"
        "patterns.planting_pattern('drill');"
        "assert patterns._patterns.cache_info().currsize == 1"
    )
    subprocess.run([sys.executable, "-c", program], check=True)
