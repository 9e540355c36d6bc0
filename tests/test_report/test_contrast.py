"""Colors of the page and its figures can be told from what they stand on."""

from __future__ import annotations

import re

import pytest

from fieldsim.plots import style

# WCAG 2.2, success criteria 1.4.3 (text, level AA) and 1.4.11 (parts of graphics).
TEXT, GRAPHICS = 4.5, 3.0
WHITE = "#ffffff"


def luminance(color: str) -> float:
    """Relative luminance of #rgb or #rrggbb: WCAG 2.2, glossary."""
    digits = color[1:] if len(color) == 7 else "".join(2 * sign for sign in color[1:])
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(first: str, second: str) -> float:
    dark, light = sorted((luminance(first), luminance(second)))
    return (light + 0.05) / (dark + 0.05)


def rules(html: str) -> dict[str, dict[str, str]]:
    """Declarations of the page's style by selector; of a selector's several rules the last."""
    css = html.split("<style>")[1].split("</style>")[0]
    found: dict[str, dict[str, str]] = {}
    for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", css):
        pairs = (line.split(":", 1) for line in body.split(";") if ":" in line)
        declared = {name.strip(): value.strip() for name, value in pairs}
        for selector in selectors.split(","):
            found.setdefault(selector.strip(), {}).update(declared)
    return found


def test_black_on_white_has_the_largest_contrast() -> None:
    assert contrast("#000", WHITE) == pytest.approx(21.0)
    assert contrast("#777777", WHITE) == pytest.approx(4.48, abs=0.01)


def test_all_text_of_the_page_can_be_read_on_every_ground(html: str) -> None:
    style_of = rules(html)
    grounds = {rule["background"] for rule in style_of.values() if "background" in rule}
    inks = {rule["color"] for rule in style_of.values() if "color" in rule}
    assert len(grounds) >= 2
    assert len(inks) >= 3
    for ink in inks:
        for ground in grounds:
            assert contrast(ink, ground) >= TEXT, (ink, ground)


def test_lines_that_carry_a_meaning_can_be_seen(html: str) -> None:
    style_of = rules(html)
    marks = [style_of[".warning"]["border"], style_of[".answer"]["border-left"]]
    marks += [rule["outline"] for rule in style_of.values() if "outline" in rule]
    for mark in marks:
        (color,) = re.findall(r"#[0-9a-f]{3,6}", mark)
        assert contrast(color, WHITE) >= GRAPHICS


def test_text_and_lines_of_figures_can_be_seen() -> None:
    for color in (style.INK, style.QUIET, style.MISSED):
        assert contrast(color, WHITE) >= TEXT
    for color in (*style.COLORS, *style.CROP_COLORS):
        assert contrast(color, WHITE) >= GRAPHICS, color


def test_figures_on_the_page_use_no_pale_ink(html: str) -> None:
    """Strokes and fills of shapes: pale ones are the grid and the white edges of dots."""
    svg = "".join(re.findall(r"<svg.*?</svg>", html, re.DOTALL))
    used = set(re.findall(r"(?:stroke|fill): (#[0-9a-f]{6})", svg))
    pale = {color for color in used if contrast(color, WHITE) < GRAPHICS}
    assert pale <= {style.GRID.lower(), "#ffffff"}
