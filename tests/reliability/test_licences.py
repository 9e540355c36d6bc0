"""Whoever runs fieldsim may: every licence of what it needs asks for no more than a notice."""

from __future__ import annotations

import re
from importlib.metadata import distribution

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.reliability.commands import ROOT
from tests.reliability.licences import EXTRAS, licence_of, needed, not_allowed

HEADS = {"licence", "---"}


@pytest.mark.parametrize("extra", EXTRAS, ids=lambda extra: extra or "fieldsim")
def test_every_licence_is_permissive(extra: str) -> None:
    found = {name: licence_of(held) for name, held in needed(extra).items()}
    assert {"numpy", "llvmlite", "click"} <= set(found)
    wrong = {name: told for name, told in found.items() if not_allowed(told)}
    assert not wrong, f"read them, and add them to ALLOWED or do without: {wrong}"


def test_what_is_needed_of_what_is_needed_is_found() -> None:
    assert {"kiwisolver", "annotated-types", "llvmlite"} <= set(needed())
    assert "tornado" in needed("cluster")
    assert "tornado" not in needed()
    assert "pytest" not in needed("notebooks")


@pytest.mark.parametrize(
    ("expression", "wrong"),
    [
        ("MIT", []),
        ("(GPL-3.0-only OR MIT)", []),
        ("BSD-3-Clause AND GPL-3.0-only", ["GPL-3.0-only"]),
        ("Apache-2.0 WITH LLVM-exception", []),
        ("none told", ["none told"]),
        ("BSD-3-Clause AND (LGPL-2.1-only OR MIT)", []),
    ],
)
def test_an_expression_is_read(expression: str, wrong: list[str]) -> None:
    assert not_allowed(expression) == wrong


def test_the_page_shows_what_is_installed() -> None:
    """Packages come and go with the versions of others; those that fieldsim names itself do not."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("\n## Licences\n")[1]
    rows = dict(re.findall(r"^\| ([^|]+) \| ([^|]+) \|$", text.split("\n## ")[0], re.MULTILINE))
    named = {part.split()[0] for names in rows.values() for part in names.split(", ")}
    assert len(named) > 50
    own = {Requirement(line) for line in distribution("fieldsim").requires or ()}
    shown = {canonicalize_name(part.name) for part in own if part.marker is None}
    assert len(shown) > 10
    assert shown <= named
    wrong = [licence for licence in rows if licence not in HEADS and not_allowed(licence)]
    assert not wrong
