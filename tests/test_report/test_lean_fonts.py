from __future__ import annotations

import io
import re
import zlib

import pytest
from fontTools import subset
from fontTools.ttLib import TTFont
from matplotlib import rc_context
from matplotlib.figure import Figure

from fieldsim.report.lean_fonts import LAYOUT, lean_fonts


def fonts_of(pdf: bytes) -> list[TTFont]:
    """The fonts that stand in a PDF file."""
    streams = [
        zlib.decompress(s) for s in re.findall(rb"stream\r?\n(x.*?)\r?\nendstream", pdf, re.S)
    ]
    return [TTFont(io.BytesIO(s)) for s in streams if s[:4] == b"\x00\x01\x00\x00"]


def printed() -> bytes:
    figure, file = Figure(), io.BytesIO()
    figure.text(0.5, 0.5, "Finished first")
    with rc_context({"pdf.fonttype": 42, "font.family": "DejaVu Sans"}):
        figure.savefig(file, format="pdf", metadata={"CreationDate": None})
    return file.getvalue()


def test_fonts_keep_their_letters_and_lose_what_lays_them_out() -> None:
    whole = fonts_of(printed())
    with lean_fonts():
        lean = fonts_of(printed())
    assert len(lean) == len(whole) >= 1
    assert any({"F", "i", "n", "s"} <= set(mine.getGlyphOrder()) for mine in lean)
    for mine, usual in zip(lean, whole, strict=True):
        assert set(LAYOUT) & set(usual.keys())
        assert set(mine.keys()) == set(usual.keys()) - set(LAYOUT)
        for name in mine.getGlyphOrder():
            assert mine["glyf"][name] == usual["glyf"][name]
            assert mine["hmtx"][name] == usual["hmtx"][name]


def test_other_documents_are_as_before() -> None:
    usual = subset.load_font
    with pytest.raises(RuntimeError), lean_fonts():
        raise RuntimeError
    assert subset.load_font is usual
