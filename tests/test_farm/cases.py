"""Reading the lists of bad input: what is changed in the small farm, and what is said of it.

A case begins with ``== its name``. Lines with ``-`` stand in the farm once and give place to the
lines with ``+`` below them (or to nothing, and then they go with their line end). What follows are
the messages, all of them, in order.
"""

from __future__ import annotations

from itertools import groupby, pairwise
from pathlib import Path
from typing import NamedTuple


class Case(NamedTuple):
    name: str
    changes: tuple[tuple[str, str], ...]
    messages: list[str]


def read_cases(file: str) -> list[Case]:
    """Return the cases of a file in this folder."""
    text = (Path(__file__).parent / file).read_text(encoding="utf-8")
    return [_case(block) for block in text.removeprefix("== ").split("\n== ")]


def _case(block: str) -> Case:
    name, *lines = block.rstrip("\n").split("\n")
    groups = [
        (sign, "\n".join(line[2:] if sign else line for line in group))
        for sign, group in groupby(lines, key=lambda line: line[0] if line[:1] in "-+" else "")
    ]
    changes = []
    for (sign, old), (following, new) in pairwise(groups):
        if sign == "-":
            changes.append((old, new) if following == "+" else (f"{old}\n", ""))
    messages = next(text for sign, text in groups if not sign)
    return Case(name, tuple(changes), messages.split("\n"))
