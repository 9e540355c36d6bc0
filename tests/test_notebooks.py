"""The lessons run from top to bottom, are short, and are kept without outputs."""

from __future__ import annotations

import re
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

NOTEBOOKS = sorted((Path(__file__).parents[1] / "notebooks").glob("*.ipynb"))
MOST_CELLS, MOST_LINES, FEW_SEASONS = 25, 15, 60


@pytest.fixture(params=NOTEBOOKS, ids=lambda path: path.stem)
def lesson(request: pytest.FixtureRequest) -> nbformat.NotebookNode:
    return nbformat.read(request.param, as_version=4)


def test_there_are_lessons() -> None:
    assert NOTEBOOKS


def test_a_lesson_is_short_and_kept_without_outputs(lesson: nbformat.NotebookNode) -> None:
    assert len(lesson.cells) <= MOST_CELLS
    for cell in lesson.cells:
        if cell.cell_type == "code":
            assert len(cell.source.splitlines()) <= MOST_LINES
            assert cell.outputs == []
            assert cell.execution_count is None


def test_a_lesson_uses_the_public_api_only(lesson: nbformat.NotebookNode) -> None:
    code = "\n".join(cell.source for cell in lesson.cells if cell.cell_type == "code")
    imported = re.findall(r"^(?:from|import) (fieldsim\S*)", code, re.MULTILINE)
    assert imported
    assert set(imported) <= {"fieldsim", "fieldsim.plots", "fieldsim.days", "fieldsim.machines"}
    assert not re.search(r"\b_[a-z]\w*\(", code)


def test_a_lesson_runs_with_few_seasons(lesson: nbformat.NotebookNode) -> None:
    setting = re.compile(r"^seasons = \d+", re.MULTILINE)
    cells = [cell for cell in lesson.cells if setting.search(cell.source)]
    assert len(cells) == 1, "a lesson sets the number of seasons in one place"
    cells[0].source = setting.sub(f"seasons = {FEW_SEASONS}", cells[0].source)
    NotebookClient(lesson, timeout=120, kernel_name="python3").execute()
