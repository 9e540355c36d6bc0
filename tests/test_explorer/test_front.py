"""The front: one script without imports, safe with users' names, legible, also in a notebook."""

from __future__ import annotations

import re
from typing import Any

import pytest

from fieldsim.errors import InputError
from fieldsim.explorer import explorer_cell, game_cell
from fieldsim.explorer.front import FOLDER, MODULES, front_script, front_style
from fieldsim.plots import style
from tests.farms import hand_farm

LEGIBLE = 4.5  # contrast of text: W3C, WCAG 2.2 (2023), success criterion 1.4.3, level AA
SEEN = 3.0  # contrast of what is needed to understand a picture: criterion 1.4.11


def luminance(color: str) -> float:
    """Relative luminance of a color: W3C, WCAG 2.2 (2023), definition of relative luminance."""
    parts = [int(color[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def constant(name: str) -> list[str]:
    match = re.search(rf"const {name} = (\[.*?\]|\".*?\");", front_script(), re.DOTALL)
    assert match, name
    return re.findall(r"#[0-9A-Fa-f]{6}", match[1])


def test_contrast_is_that_of_black_on_white() -> None:
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)


def test_the_modules_join_into_one_script_without_imports_or_names_twice() -> None:
    script = front_script()
    assert not re.search(r"^\s*import\b|\bimport\(", script, re.MULTILINE)
    names = re.findall(r"^(?:async )?(?:function|const|let) (\w+)", script, re.MULTILINE)
    assert len(names) == len(set(names))
    assert len(names) > 30
    assert script.count("export default") == 1


def test_texts_of_users_are_never_read_as_markup() -> None:
    for path in FOLDER.glob("*.js"):
        text = path.read_text(encoding="utf-8")
        for way in ("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval("):
            assert way not in text, path.name


def test_nothing_is_fetched_from_elsewhere() -> None:
    for path in FOLDER.iterdir():
        addresses = re.findall(r"https?://[^\"'\s]+", path.read_text(encoding="utf-8"))
        assert set(addresses) <= {"http://www.w3.org/2000/svg"}, path.name


def test_it_stays_small() -> None:
    lines = [(FOLDER / name).read_text(encoding="utf-8").count("\n") for name in MODULES]
    assert sum(lines) < 700
    assert max(lines) <= 300


def test_options_look_as_in_the_figures() -> None:
    assert tuple(constant("COLORS")) == style.COLORS


def test_texts_and_lines_stand_out() -> None:
    for text in (*constant("INK"), *constant("QUIET")):
        assert contrast(text, "#FFFFFF") >= LEGIBLE
    for fill in constant("FILLS"):  # parts carry dark text, and have a dark edge
        assert contrast(constant("INK")[0], fill) >= LEGIBLE
    css = front_style()
    for color in re.findall(r"[{ ;]color: (#[0-9a-f]{6})", css):
        background = "#00568a" if color == "#ffffff" else "#ffffff"
        assert contrast(color, background) >= LEGIBLE
    outline = re.search(r"outline: 3px solid (#[0-9a-f]{6})", css)
    assert outline
    assert contrast(outline[1], "#FFFFFF") >= SEEN


def sent_by(cell: Any, monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """What a cell sends to its front from now on."""
    sent: list[Any] = []
    monkeypatch.setattr(type(cell), "send", lambda _, content: sent.append(content))
    return sent


def test_a_cell_answers_each_question_under_its_number(monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("anywidget")
    cell = game_cell(hand_farm(), seed=3)
    sent = sent_by(cell, monkeypatch)
    cell._handle_custom_msg({"number": "1", "question": "start", "given": {}}, [])
    cell._handle_custom_msg({"number": "2", "question": "game", "given": {"weeks": 1}}, [])
    assert [message["number"] for message in sent] == ["1", "2"]
    assert sent[0]["answer"]["seed"] == 3
    assert "a list of at most" in sent[1]["answer"]["faults"][0]
    with pytest.raises(InputError, match="no such option"):
        game_cell(hand_farm(), "ten_rows")


def test_a_cell_has_the_script_and_style_of_the_page() -> None:
    pytest.importorskip("anywidget")
    cell = explorer_cell(hand_farm())
    assert cell._esm == front_script()
    assert cell._css == front_style()
