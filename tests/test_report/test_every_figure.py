"""Whatever figure a farm file gives, the tables of what an answer rests on show it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

import pytest

from fieldsim.farm import Times, changed
from fieldsim.farm.files import read_document
from fieldsim.report.assumptions import assumptions
from tests.test_report.full_farm import FULL_FARM, full_farm

FULL = full_farm()
SHOWN = assumptions(FULL)
DAY = re.compile(r"\d+ [A-Z][a-z]{2}")
# What shows only together with another figure, or stands at the head of the page.
ELSEWHERE = {"name", "units", "crop_year"}


def leaves(holder: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Yield the path and the value of every entry of a farm file."""
    for name, value in holder.items():
        place = f"{path}.{name}" if path else name
        if isinstance(value, dict):
            yield from leaves(value, place)
        else:
            yield place, value


def another(value: Any) -> Any:
    """Return another value of the same sort; None where another might name nothing."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value + 1
    if isinstance(value, float):
        return value * 0.9
    if isinstance(value, str) and DAY.fullmatch(value):
        day = datetime.strptime(f"{value} 2026", "%d %b %Y") + timedelta(days=1)
        return f"{day.day} {day:%b}"
    if isinstance(value, str) and value.endswith((" day", " days")):
        return f"{int(value.split()[0]) + 1} days"
    if isinstance(value, str) and re.match(r"\$?\d", value):
        return Times(0.9)
    return None


FIGURES = [
    (path, new)
    for path, value in leaves(read_document(FULL_FARM))
    if path not in ELSEWHERE and (new := another(value)) is not None
]


def test_the_farm_gives_many_figures() -> None:
    assert len(FIGURES) > 100


@pytest.mark.parametrize(("path", "new"), FIGURES, ids=[path for path, _ in FIGURES])
def test_another_figure_in_the_file_is_another_figure_in_the_tables(path: str, new: Any) -> None:
    assert assumptions(changed(FULL, {path: new})) != SHOWN
