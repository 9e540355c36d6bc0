from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import matplotlib.pyplot as plt
import pytest
from matplotlib.axes import Axes

import fieldsim
from fieldsim import plots
from fieldsim.demo import demo_folder
from fieldsim.farm.shelf import read_shelf
from fieldsim.plots import gallery
from fieldsim.plots.gallery import pictures, write_gallery
from tests.farms import hand_farm


@pytest.fixture(scope="module")
def drawn() -> dict[str, gallery.Picture]:
    shelf = read_shelf(demo_folder() / "machines.csv")
    return pictures(fieldsim.demo_farm(), shelf, seasons=40)


def test_every_plot_of_the_room_is_in_the_gallery(drawn: dict[str, gallery.Picture]) -> None:
    tree = ast.parse(Path(gallery.__file__).read_text(encoding="utf-8"))
    used = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    assert set(plots.__all__) <= used
    assert len(drawn) == len(plots.__all__)


@pytest.mark.parametrize("name", ["suitable_days", "certainty", "cost_curves", "investment"])
def test_pictures_have_a_title_at_the_left_and_names_with_units_on_their_axes(
    drawn: dict[str, gallery.Picture], name: str
) -> None:
    ax = drawn[name]()
    assert ax.get_title(loc="left")
    assert "[" in ax.get_ylabel()
    assert ax.get_xlabel()
    assert not ax.spines["top"].get_visible()
    plt.close(ax.figure)


def test_files_and_a_montage_are_written(drawn: dict[str, gallery.Picture], tmp_path: Path) -> None:
    some = {name: drawn[name] for name in ("finish_dates", "lost_revenue", "yearly_cost", "season")}
    before = plt.get_fignums()
    written = write_gallery(some, tmp_path / "figures")
    assert [path.name for path in written] == [*(f"{name}.png" for name in some), "montage.png"]
    width = gallery.ABREAST * gallery.PANEL[0] * gallery.DPI
    assert plt.imread(written[-1]).shape[1] == pytest.approx(width, abs=1)  # Matplotlib 3.10.0 cuts
    assert plt.get_fignums() == before


def test_a_farm_with_one_option_and_no_shelf_has_the_other_pictures() -> None:
    found = pictures(hand_farm(), seasons=20)
    assert not {"sizes", "cost_curves", "investment"} & set(found)
    assert isinstance(found["season"](), Axes)


def test_without_its_two_words_the_command_says_what_it_takes() -> None:
    command = [sys.executable, "-m", "fieldsim.plots.gallery"]
    run = subprocess.run(command, capture_output=True, text=True, check=True)
    assert run.stdout == "python -m fieldsim.plots.gallery FARM.toml FOLDER\n"
