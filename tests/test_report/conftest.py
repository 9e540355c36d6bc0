"""The demo farm's outcomes and page, and a way to read a page."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest
import xarray as xr

import fieldsim
from fieldsim.report import render_report

VOID = {"meta", "br", "img", "link", "input", "hr"}


class Page(HTMLParser):
    """What stands on a page: its tags with their attributes, the rows of its tables, its text."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.rows: list[list[str]] = []
        self.inside: list[str] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()
        self.text = " ".join(" ".join(self.words).split())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.inside.append(tag)
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.inside.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.inside:
            self.words.append(data)
        if "td" in self.inside or "th" in self.inside:
            self.rows[-1][-1] = f"{self.rows[-1][-1]} {data}".strip()

    def named(self, tag: str) -> list[dict[str, str | None]]:
        return [attrs for name, attrs in self.tags if name == tag]

    def row(self, start: str, number: int = 0) -> list[str]:
        """Return the cells of a row by how its first cell starts; the first such row is 0."""
        return [row for row in self.rows if row and row[0].startswith(start)][number][1:]


@pytest.fixture(scope="session")
def farm() -> fieldsim.Farm:
    return fieldsim.demo_farm()


@pytest.fixture(scope="session")
def outcomes(farm: fieldsim.Farm) -> xr.Dataset:
    return fieldsim.simulate(farm, seasons=300)


@pytest.fixture(scope="session")
def html(farm: fieldsim.Farm, outcomes: xr.Dataset) -> str:
    return render_report(farm, outcomes)


@pytest.fixture(scope="session")
def page(html: str) -> Page:
    return Page(html)
