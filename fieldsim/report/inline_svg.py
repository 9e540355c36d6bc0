"""A figure as SVG that stands inside a page: no scripts, no links, the same bytes each time."""

from __future__ import annotations

import io
import re
from xml.etree import ElementTree

from markupsafe import Markup
from matplotlib import rc_context
from matplotlib.figure import Figure

__all__ = ["inline_svg"]

REFERENCE = re.compile(r"^#|(?<=url\()#")
NO_METADATA = dict.fromkeys(("Creator", "Date", "Format", "Type"))


def inline_svg(figure: Figure, name: str, title: str, description: str) -> Markup:
    """Return a figure as an SVG element with a title and a description for screen readers.

    Parameters
    ----------
    figure : Figure
    name : str
        Goes before every id, so that several figures can stand on one page: letters, digits and
        dashes.
    title, description : str
        Plain text.

    Returns
    -------
    Markup
        Without namespaces, which a page in HTML does not need.
    """
    file = io.BytesIO()
    # Text as outlines: a page looks the same whatever fonts its reader has.
    with rc_context({"svg.hashsalt": "fieldsim", "svg.fonttype": "path"}):
        figure.savefig(file, format="svg", metadata=NO_METADATA)
    root = ElementTree.fromstring(file.getvalue())
    for element in root.iter():
        element.tag = _local(element.tag)
        attributes = {_local(key): value for key, value in element.attrib.items()}
        element.attrib.clear()
        for key, value in attributes.items():
            element.set(key, f"{name}-{value}" if key == "id" else _prefixed(value, name))
    for metadata in root.findall("metadata"):
        root.remove(metadata)
    root.set("role", "img")
    root.set("aria-labelledby", f"{name}-title {name}-text")
    for place, (tag, text) in enumerate((("title", title), ("desc", description))):
        label = ElementTree.Element(tag, id=f"{name}-{'text' if place else 'title'}")
        label.text = text
        root.insert(place, label)
    return Markup(ElementTree.tostring(root, encoding="unicode"))


def _local(name: str) -> str:
    return name.rpartition("}")[2]


def _prefixed(value: str, name: str) -> str:
    return REFERENCE.sub(f"#{name}-", value)
