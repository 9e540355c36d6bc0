"""Figures of a farm file by their paths: found, multiplied, and rounded to be read."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from typing import Any

from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm
from fieldsim.farm.files import read_document
from fieldsim.season import parse_calendar_day

__all__ = [
    "FIGURE",
    "UNWRITTEN",
    "figure_times",
    "figures_named",
    "is_number",
    "number_in",
    "rounded",
]

UNWRITTEN = {"planting_loss": "100 %"}  # figures that hold where the file says nothing
FIGURE = re.compile(
    r"(?P<before>\s*\$?\s*)(?P<number>\d[\d,]*\.?\d*(?:[eE][+-]?\d+)?)(?P<after>.*)"
)


def figures_named(farm: Farm, paths: Sequence[str]) -> list[tuple[str, object]]:
    """Return each figure that paths of the farm file name, with its own path.

    Tables by crop are opened.

    Parameters
    ----------
    farm : Farm
    paths : sequence of str
        See `fieldsim.changed`.

    Returns
    -------
    list of (str, object)

    Raises
    ------
    InputError
        If a path leads nowhere.

    Examples
    --------
    >>> import fieldsim
    >>> figures_named(fieldsim.demo_farm(), ["crops.*.price"])
    [('crops.corn.price', '$4.30/bu'), ('crops.soybeans.price', '$10.40/bu')]
    """
    document = read_document(farm.text)
    found: list[tuple[str, object]] = []
    for path in paths:
        here = list(_walk(document, path.split("."), ""))
        if not here:
            repair = 'write a path of the farm file, as "crops.corn.price" or "fields.*.area"'
            raise InputError([Fault("", path, "", "there is no such figure in the farm", repair)])
        found += here
    return found


def _walk(holder: Any, steps: list[str], above: str) -> Iterator[tuple[str, object]]:
    if not steps:
        if isinstance(holder, dict):
            for name, inner in holder.items():
                yield from _walk(inner, [], f"{above}.{name}")
        else:
            yield above, holder
        return
    if not isinstance(holder, dict):
        return
    for name in holder if steps[0] == "*" else [steps[0]]:
        inner = holder.get(name, UNWRITTEN.get(name) if len(steps) == 1 else None)
        if inner is not None:
            yield from _walk(inner, steps[1:], f"{above}.{name}".lstrip("."))


def figure_times(figure: object, factor: float, *, shown: bool = False) -> str:
    """Return a figure times a factor as text: exact, or rounded to be shown.

    Examples
    --------
    >>> figure_times("$4.30/bu", 1.111, shown=True), figure_times("2 mile", 0.5)
    ('$4.78/bu', '1.0 mile')
    """
    match = FIGURE.fullmatch(str(figure))
    if isinstance(figure, bool) or match is None:
        return str(figure)
    number = number_in(match) * factor
    text = repr(number)
    if shown:
        cents = "$" in match["before"] and abs(number) < 1000
        text = f"{number:.2f}" if cents else rounded(number)
    return f"{match['before']}{text}{match['after']}"


def is_number(figure: object) -> bool:
    """Say whether a figure can be multiplied: text that begins with a number, but no day."""
    try:
        parse_calendar_day(str(figure))
    except ValueError:
        return not isinstance(figure, bool) and FIGURE.fullmatch(str(figure)) is not None
    return False


def number_in(match: re.Match[str]) -> float:
    """Return the number of a figure that matches `FIGURE`."""
    return float(match["number"].replace(",", ""))


def rounded(number: float) -> str:
    """Return a number with three digits that count, whole numbers whole."""
    if number == 0 or not math.isfinite(number):
        return f"{number:g}"
    places = max(0, 2 - math.floor(math.log10(abs(number))))
    text = f"{number:,.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
