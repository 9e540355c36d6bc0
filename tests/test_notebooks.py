"""The lessons run from top to bottom, are short, and are kept without outputs."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import nbformat
import pytest
from matplotlib import pyplot as plt
from nbclient import NotebookClient

from tests.clean_notebooks import NOTEBOOKS, cleaned

MOST_CELLS, MOST_LINES, FEW_SEASONS = 25, 15, 60
NUMBERED = [f"{number:02}" for number in range(1, len(NOTEBOOKS) + 1)]
PUBLIC = {
    "fieldsim",
    *("fieldsim.crops", "fieldsim.days", "fieldsim.days.records", "fieldsim.days.weather"),
    *("fieldsim.decisions", "fieldsim.farm", "fieldsim.machines", "fieldsim.plots"),
    "fieldsim.quantities",
}
OTHERS = {"numpy", "pandas", "matplotlib", "dataclasses", "io", "pathlib", "textwrap"}
EXERCISE = re.compile(r"^## (Exercise \d+: .+)$", re.MULTILINE)
ANSWER = "# Your answer: "


def read(number: str) -> nbformat.NotebookNode:
    (path,) = (path for path in NOTEBOOKS if path.stem.startswith(number))
    return nbformat.read(path, as_version=4)


@pytest.fixture(params=NUMBERED)
def lesson(request: pytest.FixtureRequest) -> nbformat.NotebookNode:
    return read(request.param)


def code_cells(lesson: nbformat.NotebookNode) -> list[str]:
    return [cell.source for cell in lesson.cells if cell.cell_type == "code"]


def words(lesson: nbformat.NotebookNode) -> list[str]:
    return [cell.source for cell in lesson.cells if cell.cell_type == "markdown"]


def with_few_seasons(lesson: nbformat.NotebookNode) -> nbformat.NotebookNode:
    setting = re.compile(r"^seasons = \d+", re.MULTILINE)
    cells = [cell for cell in lesson.cells if setting.search(cell.source)]
    assert len(cells) == 1, "a lesson sets the number of seasons in one place"
    cells[0].source = setting.sub(f"seasons = {FEW_SEASONS}", cells[0].source)
    return lesson


def imported(code: str) -> Iterator[tuple[str, str]]:
    """Module of each import, and the name that is taken from it."""
    for node in ast.walk(ast.parse(code)):
        if isinstance(node, ast.Import):
            yield from ((alias.name, "") for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from ((str(node.module), alias.name) for alias in node.names)


def run(cells: list[str]) -> None:
    """Run cells one after the other as a kernel would, without the seconds that one takes to start.

    The last line of each is shown as text, and every figure is drawn.
    """
    space = {"__name__": "__main__"}
    for number, source in enumerate(cells, 1):
        body, shown = ast.parse(source).body, None
        if body and isinstance(body[-1], ast.Expr):
            shown = ast.Expression(body.pop().value)
        name = f"code cell {number}"
        exec(compile(ast.Module(body, []), name, "exec"), space)
        if shown is not None:
            repr(eval(compile(shown, name, "eval"), space))
        for figure in map(plt.figure, plt.get_fignums()):
            figure.canvas.draw()
        plt.close("all")


def test_the_lessons_are_numbered() -> None:
    assert len(NOTEBOOKS) >= 8
    assert [path.name[:3] for path in NOTEBOOKS] == [f"{number}_" for number in NUMBERED]


def test_a_lesson_is_short_and_kept_without_outputs(lesson: nbformat.NotebookNode) -> None:
    assert len(lesson.cells) <= MOST_CELLS
    for source in code_cells(lesson):
        assert len(source.splitlines()) <= MOST_LINES
    for cell in lesson.cells:
        assert cell.source.strip()


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_lessons_are_kept_as_the_cleaner_leaves_them(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert cleaned(text) == text, "run python -m tests.clean_notebooks"


def test_the_cleaner_takes_off_outputs_and_whose_computer_it_was() -> None:
    notebook = nbformat.v4.new_notebook(
        metadata={"language_info": {"name": "python", "version": "3"}}
    )
    cell = nbformat.v4.new_code_cell("1 + 1", execution_count=7, metadata={"collapsed": True})
    cell.outputs = [nbformat.v4.new_output("execute_result", {"text/plain": "2"})]
    notebook.cells = [cell]
    left = nbformat.reads(cleaned(nbformat.writes(notebook)), as_version=4)
    assert left.cells == [
        {
            "cell_type": "code",
            "id": "cell-01",
            "metadata": {},
            "source": "1 + 1",
            "outputs": [],
            "execution_count": None,
        }
    ]
    assert "version" not in left.metadata.language_info


def test_a_lesson_uses_the_public_api_only(lesson: nbformat.NotebookNode) -> None:
    found = list(imported("\n".join(code_cells(lesson))))
    own = {module for module, _ in found if module.split(".")[0] == "fieldsim"}
    assert "fieldsim" in own
    assert own <= PUBLIC
    assert {module.split(".")[0] for module, _ in found} <= OTHERS | {"fieldsim"}
    assert not any(name.startswith("_") for _, name in found)
    assert not re.search(r"\b_[a-z]\w*\(", "\n".join(code_cells(lesson)))


def test_a_lesson_says_what_it_is_how_long_it_takes_and_asks_at_its_end(
    lesson: nbformat.NotebookNode,
) -> None:
    first, *_, last = lesson.cells
    assert re.match(r"# \d\. ", first.source)
    assert "invented" in first.source + lesson.cells[2].source
    assert last.cell_type == "markdown"
    assert "?" in last.source


@pytest.mark.filterwarnings("error")
def test_a_lesson_runs_with_few_seasons_and_without_a_warning(
    lesson: nbformat.NotebookNode, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    run(code_cells(with_few_seasons(lesson)))


def test_the_first_lesson_runs_in_a_kernel_and_shows_its_figures(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MPLBACKEND", "module://matplotlib_inline.backend_inline")
    lesson = with_few_seasons(read("01"))
    where = {"metadata": {"path": str(tmp_path)}}
    NotebookClient(lesson, timeout=120, kernel_name="python3", resources=where).execute()
    outputs = [output for cell in lesson.cells for output in cell.get("outputs", [])]
    assert not [output for output in outputs if output.get("name") == "stderr"]
    assert len([output for output in outputs if "image/png" in output.get("data", {})]) >= 5


def test_the_leaders_part_has_the_exercises_of_the_participants_part() -> None:
    asked, answered = ("\n".join(words(read(number))) for number in ("06", "07"))
    assert len(EXERCISE.findall(asked)) == 6
    assert EXERCISE.findall(answered) == EXERCISE.findall(asked)
    assert answered.count("**Usually wrong:**") == 6


def test_the_participants_part_leaves_every_answer_empty() -> None:
    answers = [source for source in code_cells(read("06")) if source.startswith(ANSWER)]
    assert len(answers) == 6
    for source in answers:
        assert not ast.parse(source).body
        assert "..." in source
        assert not re.search(r"= ?\d|\d ?%|\d\.\d", source)


def test_the_leaders_answers_are_held_to_what_is_computed() -> None:
    asserted = [source for source in code_cells(read("07")) if "assert " in source]
    assert len(asserted) >= 6


def test_published_figures_stand_beside_their_source() -> None:
    lesson = read("08")
    sources = [cell.source for cell in lesson.cells if "**Source:**" in cell.source]
    assert len(sources) == 3
    for printed in ("192.8 acres a day", "13.8 acres an hour", "18.2", "about 8 more hours"):
        assert any(f"**{printed}**" in source for source in sources)
