"""Work that hardly ever gets done is told, in every answer that people hand on."""

from __future__ import annotations

import pytest
import xarray as xr
from rich.console import Console

import fieldsim
from fieldsim.cli.tables import print_answer
from fieldsim.decisions import total_cost
from fieldsim.decisions.in_words.undone import hardly_done
from fieldsim.report import render_report
from fieldsim.report.handout import make_handout
from tests.test_report.conftest import Page

TEXT = fieldsim.demo_farm().text


def demo(*changes: tuple[str, str]) -> tuple[fieldsim.Farm, xr.Dataset]:
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    farm = fieldsim.parse_farm(text, fieldsim.demo_farm().tables)
    return farm, fieldsim.simulate(farm, 100)


@pytest.fixture(scope="module")
def slip() -> tuple[fieldsim.Farm, xr.Dataset]:
    """The rows show on the day on which the crop is too tall."""
    return demo(('lag = "24 days" ', 'lag = "42 days" '))


def test_only_what_most_land_is_left_without_is_told_with_its_share(
    slip: tuple[fieldsim.Farm, xr.Dataset],
) -> None:
    _, outcomes = slip
    (said,) = hardly_done(outcomes)
    best = outcomes.isel(option=int(total_cost(outcomes).mean("season").values.argmin()))
    assert said.startswith(f"With {best.option_label.item()}, most land is left without ")
    undone = (best.missed_area + best.unfinished_area).sum("crop").mean("season")
    share = 100 * undone / float(best.crop_area.sum())
    first, second = (float(share.sel(operation=f"{n}_cultivation")) for n in ("first", "second"))
    assert first < 50 < second
    assert f"without second cultivation ({second:.0f} % ± " in said
    assert "first cultivation" not in said
    assert "latest_after_planting" in said


def test_what_is_mostly_done_is_not_told() -> None:
    assert hardly_done(demo()[1]) == []


def test_a_season_alone_has_no_band(slip: tuple[fieldsim.Farm, xr.Dataset]) -> None:
    (said,) = hardly_done(fieldsim.simulate(slip[0], 1))
    assert "±" not in said


def test_page_handout_and_terminal_tell_it(slip: tuple[fieldsim.Farm, xr.Dataset]) -> None:
    farm, outcomes = slip
    (said,) = hardly_done(outcomes)
    assert said in Page(render_report(farm, outcomes, {})).text
    first = make_handout(farm, outcomes, None)[0]
    assert said in " ".join(" ".join(text.get_text() for text in first.texts).split())
    console = Console(width=80, highlight=False)
    with console.capture() as capture:
        print_answer(farm, outcomes, console)
    assert said in " ".join(capture.get().split())
