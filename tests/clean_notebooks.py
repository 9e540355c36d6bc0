"""Keep the lessons without outputs: ``python -m tests.clean_notebooks`` after editing them."""

from __future__ import annotations

from pathlib import Path

import nbformat

NOTEBOOKS = sorted((Path(__file__).parents[1] / "notebooks").glob("*.ipynb"))
KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}


def cleaned(text: str) -> str:
    """Text of a notebook without outputs, counts, and what an editor says of itself and its Python.

    Cells are numbered in order, so that a difference between two versions shows what was changed.
    """
    notebook = nbformat.reads(text, as_version=4)
    notebook.metadata = {"kernelspec": KERNEL, "language_info": {"name": "python"}}
    for number, cell in enumerate(notebook.cells, 1):
        cell.id, cell.metadata = f"cell-{number:02}", {}
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    return nbformat.writes(notebook).rstrip("\n") + "\n"


def main() -> None:
    for path in NOTEBOOKS:
        text = path.read_text(encoding="utf-8")
        if cleaned(text) != text:
            path.write_text(cleaned(text), encoding="utf-8")
            print(f"cleaned {path.name}")


if __name__ == "__main__":
    main()
