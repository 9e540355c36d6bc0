"""The front as one script: its modules joined, for hosts that take a single one."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

__all__ = ["FOLDER", "front_script", "front_style"]

FOLDER = Path(__file__).parent / "front"
MODULES = ("draw.js", "pictures.js", "explorer.js", "game.js", "start.js")
IMPORT = re.compile(r"^import .*;\n", re.MULTILINE)
EXPORT = re.compile(r"^export (?!default)", re.MULTILINE)
LAST_EXPORTS = "export { mount, pageHost, notebookHost };\n"


@cache
def front_script() -> str:
    """Return the front as one ES module, which imports nothing.

    Its default export has the `render` that anywidget calls; `mount` and `pageHost` are for the
    page.
    """
    texts = [(FOLDER / name).read_text(encoding="utf-8") for name in MODULES]
    joined = "\n".join(EXPORT.sub("", IMPORT.sub("", text)) for text in texts)
    return joined + LAST_EXPORTS


@cache
def front_style() -> str:
    """Return the style sheet of both hosts."""
    return (FOLDER / "style.css").read_text(encoding="utf-8")
