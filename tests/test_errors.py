"""Faults: what is told of a name that is not there, the same wherever it was written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

import fieldsim
from fieldsim.decisions import invest
from fieldsim.decisions.break_even.crossing import breakeven
from fieldsim.decisions.sensitivity.marginal import worth_of_one_more
from fieldsim.decisions.sensitivity.question import ask
from fieldsim.decisions.sizing.by_runs import sized_capacity
from fieldsim.decisions.sizing.shelf_pattern import pattern_of
from fieldsim.errors import InputError, no_such
from fieldsim.explorer import answer, deal, sliders_of
from tests.farms import small_farm
from tests.test_cli import call
from tests.test_cli_size import farm_in

FARM = small_farm()
OUTCOMES = fieldsim.simulate(FARM, 20)
WRONG, NAMES = "one_outfi", "one_outfit, two_planters"
TOLD = f"'{WRONG}': there is no such option; perhaps one_outfit is meant; options are {NAMES}"


def test_the_nearest_name_is_meant_and_all_are_told() -> None:
    fault = no_such("soil", "--soil", "crek", ["hill", "creek"])
    assert str(fault) == (
        "--soil = 'crek': there is no such soil; perhaps creek is meant; soils are hill, creek"
    )


def test_where_no_name_is_near_none_is_meant() -> None:
    assert no_such("soil", "soil", "peat", ["hill", "creek"]).repair == "soils are hill, creek"


@pytest.mark.parametrize("value", [7, None, ["one_outfit"], {"one_outfit": 1}])
def test_what_is_no_text_is_no_name(value: object) -> None:
    fault = no_such("option", "option", value, FARM.options)
    assert (fault.value, fault.repair) == (repr(value), f"options are {NAMES}")


WAYS: dict[str, Callable[[], object]] = {
    "baseline": lambda: fieldsim.compare(OUTCOMES, baseline=WRONG),
    "replay": lambda: fieldsim.replay(FARM, WRONG, 0),
    "breakeven": lambda: breakeven(FARM, WRONG, "two_planters", "area", seasons=20),
    "breakeven against": lambda: breakeven(FARM, "two_planters", WRONG, "area", seasons=20),
    "sensitivity": lambda: ask(FARM, WRONG, None, 20, 0),
    "sensitivity against": lambda: ask(FARM, None, WRONG, 20, 0),
    "one more": lambda: worth_of_one_more(FARM, WRONG, seasons=20),
    "size": lambda: sized_capacity(FARM, WRONG, "plant", "20 May", "corn", [0.8], seasons=20),
    "shelf": lambda: pattern_of(FARM, WRONG),
    "from": lambda: invest(FARM, OUTCOMES, WRONG, "two_planters"),
    "to": lambda: invest(FARM, OUTCOMES, "two_planters", WRONG),
    "explorer": lambda: answer(FARM, {"option": WRONG}),
    "sliders": lambda: sliders_of(FARM, WRONG),
    "game": lambda: deal(FARM, WRONG, 7),
}


@pytest.mark.parametrize("way", WAYS)
def test_an_option_that_is_not_there_is_told_alike_in_python(way: str) -> None:
    with pytest.raises(InputError) as raised:
        WAYS[way]()
    (fault,) = raised.value.faults
    assert str(fault).endswith(f"{fault.field} = {TOLD}")


@pytest.mark.parametrize(
    "words",
    [
        ["compare", "--baseline"],
        *(["breakeven", option] for option in ("--option", "--against")),
        *(["sensitivity", option] for option in ("--option", "--against")),
        *(
            ["invest", "--to", "two_planters", "--from"],
            ["invest", "--from", "two_planters", "--to"],
        ),
        *([command, "--option"] for command in ("size", "sizes", "game")),
    ],
    ids=" ".join,
)
def test_an_option_that_is_not_there_is_told_alike_on_the_command_line(
    tmp_path: Path, words: list[str]
) -> None:
    command, *options = words
    result = call(command, farm_in(tmp_path), *options, WRONG)
    assert (result.exit_code, result.output) == (2, f"{options[-1]} = {TOLD}\n1 fault.\n")
