from __future__ import annotations

from xml.etree import ElementTree

import matplotlib as mpl
from matplotlib.figure import Figure

from fieldsim.report.inline_svg import inline_svg


def drawing() -> Figure:
    figure = Figure()
    ax = figure.add_subplot()
    ax.plot([0, 2], [0, 2], marker="o")
    ax.set_xlim(0, 1)
    ax.set_title("a -- b -")
    return figure


def test_title_and_description_are_text() -> None:
    root = ElementTree.fromstring(inline_svg(drawing(), "f1", "<b>", 'a & "b" </svg>'))
    assert root.tag == "svg"
    assert [child.tag for child in root][:2] == ["title", "desc"]
    assert root[0].text == "<b>"
    assert root[1].text == 'a & "b" </svg>'
    assert root.get("aria-labelledby") == f"{root[0].get('id')} {root[1].get('id')}"


def test_ids_and_references_carry_the_name() -> None:
    svg = inline_svg(drawing(), "f1", "t", "d")
    root = ElementTree.fromstring(svg)
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert ids
    assert all(name.startswith("f1-") for name in ids)
    hrefs = [element.get("href") for element in root.iter() if element.get("href")]
    assert hrefs
    assert {href[1:] for href in hrefs} <= set(ids)
    clips = [element.get("clip-path") for element in root.iter() if element.get("clip-path")]
    assert clips
    assert {clip.removeprefix("url(#").removesuffix(")") for clip in clips} <= set(ids)


def test_it_is_the_same_each_time_and_leaves_settings_alone() -> None:
    before = dict(mpl.rcParams)
    assert inline_svg(drawing(), "f", "t", "d") == inline_svg(drawing(), "f", "t", "d")
    assert dict(mpl.rcParams) == before
    assert "http" not in inline_svg(drawing(), "f", "t", "d")
