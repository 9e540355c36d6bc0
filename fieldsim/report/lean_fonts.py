"""Fonts in a PDF without their tables of kerning and ligatures."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from fontTools import subset

__all__ = ["lean_fonts"]

LAYOUT = ("GDEF", "GPOS", "GSUB", "kern")


@contextmanager
def lean_fonts() -> Iterator[None]:
    """Embed fonts without the tables that lay letters out.

    In a PDF every letter has its place already, and to cut those tables down to the letters of two
    pages takes longer than to draw the pages. Matplotlib has no setting for it.
    """
    usual = subset.load_font

    def load_font(*args: Any, **kwargs: Any) -> Any:
        font = usual(*args, **kwargs)
        for table in LAYOUT:
            if table in font:
                del font[table]
        return font

    subset.load_font = load_font
    try:
        yield
    finally:
        subset.load_font = usual
