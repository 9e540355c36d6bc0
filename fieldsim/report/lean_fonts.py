"""Fonts in a PDF without their tables of kerning and ligatures."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from fontTools import subset

__all__ = ["lean_fonts"]

LAYOUT = ("GDEF", "GPOS", "GSUB")


class LeanOptions(subset.Options):  # type: ignore[misc]  # fontTools has no types
    """What matplotlib keeps of a font, less the tables that lay its letters out."""

    def __init__(self, **kept: Any) -> None:
        super().__init__(**kept)
        self.drop_tables += LAYOUT


@contextmanager
def lean_fonts() -> Iterator[None]:
    """Embed fonts without the tables that lay letters out.

    In a PDF every letter has its place already, and to cut those tables down to the letters of two
    pages takes longer than to draw the pages. Matplotlib has no setting for it.
    """
    usual = subset.Options
    subset.Options = LeanOptions
    try:
        yield
    finally:
        subset.Options = usual
