"""README says what is so."""

from __future__ import annotations

import contextlib
import io
import re
from pathlib import Path

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def block_after(mark: str) -> str:
    match = re.search(rf"<!-- {re.escape(mark)} -->\n```\w+\n(.*?)```", README, re.DOTALL)
    assert match, mark
    return match[1]


def test_the_python_example_prints_what_stands_below_it() -> None:
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        exec(compile(block_after("python"), "README.md", "exec"), {})
    lines = [line.rstrip() for line in printed.getvalue().splitlines()]
    assert lines == [line.rstrip() for line in block_after("its output").splitlines()]


def test_the_commands_that_ci_takes_are_there() -> None:
    for name in ("demo", "test"):
        command = block_after(f"command: {name}")
        assert command.count("\n") == 1
        assert "pip install" in command


def test_every_file_that_is_named_exists() -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        assert (ROOT / target).exists(), target


def test_the_job_stands_in_the_first_paragraph() -> None:
    first = README.split("\n\n")[1]
    for word in ("suitable", "fieldwork", "planting", "planter", "average year", "one out of ten"):
        assert word in " ".join(first.split())
