"""Inputs of a farm that may be other than its file says: figures by their paths, with a range."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fnmatch import fnmatchcase
from typing import Literal

from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm, Times, changed, figure_at

__all__ = [
    "COMMON_PRACTICE",
    "Figure",
    "Input",
    "farm_at",
    "figure_of",
    "is_curve",
    "own_position",
    "shown_at",
    "span",
]

COMMON_PRACTICE = "common practice, no source"
CURVE = "yield_by_planting_date"  # a factor on it multiplies the losses of the curve
FIGURE = re.compile(r"(?P<before>\$?\s*)(?P<number>\d[\d,]*(?:\.\d+)?|\.\d+)(?P<after>.*)")


@dataclass(frozen=True)
class Input:
    """A named input of a farm, and between which two values it may lie.

    Parameters
    ----------
    name : str
    paths : tuple of str
        The figures that move together, by their paths in the farm file, as
        ``"crops.corn.price"``; ``*`` stands for any name. A path that ends with
        ``yield_by_planting_date`` stands for all losses of that curve, and takes a factor.
    low, high : float, int or str
        Ends of the range, `low` below `high`: factors of the farm's own figures, or figures as in
        the file, both in one unit (``"$3.60/bu"``). Whole numbers at both ends of a figure keep it
        whole.
    kind : "factor" or "figure"
    basis : str
        Where the range comes from.
    """

    name: str
    paths: tuple[str, ...]
    low: float | str
    high: float | str
    kind: Literal["factor", "figure"] = "factor"
    basis: str = COMMON_PRACTICE


@dataclass(frozen=True)
class Figure:
    """A figure taken apart: what stands before its number, the number, and its unit."""

    before: str
    number: float
    after: str


def figure_of(value: object) -> Figure | None:
    """Take a figure apart: a number, or text as in a farm file; None if it is neither.

    Examples
    --------
    >>> figure_of("$3.60/bu")
    Figure(before='$', number=3.6, after='/bu')
    """
    if isinstance(value, bool):
        return None
    if isinstance(value, int | float):
        return Figure("", float(value), "") if math.isfinite(value) else None
    match = FIGURE.fullmatch(value.strip()) if isinstance(value, str) else None
    if match is None:
        return None
    number = float(match["number"].replace(",", ""))
    return Figure(match["before"].strip(), number, match["after"].strip())


def span(item: Input) -> tuple[float, float]:
    """Return the ends of an input's range as numbers: factors, or figures without their unit.

    Examples
    --------
    >>> span(Input("corn price", ("crops.corn.price",), "$3.60/bu", "$5.00/bu", "figure"))
    (3.6, 5.0)
    """
    ends = []
    for side, written in (("low", item.low), ("high", item.high)):
        figure = figure_of(written)
        if figure is None:
            place, repair = f"input {item.name!r}: {side}", "write it as 0.8 or $3.60/bu"
            raise InputError([Fault("", place, f'"{written}"', "not a figure", repair)])
        ends.append(figure.number)
    return ends[0], ends[1]


def farm_at(farm: Farm, positions: Mapping[Input, float]) -> Farm:
    """Return a farm with inputs moved.

    Parameters
    ----------
    farm : Farm
    positions : mapping
        Where in its range each input lies: factor, or figure without its unit.

    Returns
    -------
    Farm
        Its `text` does not tell of losses by planting date that were multiplied, so that moving
        inputs of it again begins without them.

    Raises
    ------
    InputError
        If a path leads nowhere, or the farm is not sound there.

    Examples
    --------
    >>> import fieldsim
    >>> wage = Input("wage", ("money.wage",), "$20/h", "$30/h", "figure")
    >>> farm_at(fieldsim.demo_farm(), {wage: 27.5}).money.wage
    27.5
    """
    moved = [(path, item, at) for item, at in positions.items() for path in item.paths]
    values = {path: _written(item, at) for path, item, at in moved if not is_curve(path)}
    farm = changed(farm, values) if values else farm
    crops = dict(farm.crops)
    for path, _, factor in moved:
        if is_curve(path):
            for crop in _crops_of(farm, path):
                loss = factor * crops[crop].planting_loss
                crops[crop] = crops[crop].model_copy(update={"planting_loss": loss})
    return replace(farm, crops=crops)


def shown_at(farm: Farm, item: Input, position: float | None = None) -> str:
    """Return what people read for a position of an input; for none, for the farm's own figure.

    That is the figure where the input is one figure, and else the change in per cent.

    Examples
    --------
    >>> import fieldsim
    >>> farm, area = fieldsim.demo_farm(), Input("area", ("fields.*.area",), 0.8, 1.2)
    >>> price = Input("price", ("crops.corn.price",), 0.8, 1.2)
    >>> shown_at(farm, area, 0.8), shown_at(farm, price, 0.8), shown_at(farm, price)
    ('−20 %', '$3.44/bu', '$4.30/bu')
    """
    own = _own(farm, item)
    if position is None:
        return "as in the file" if own is None else str(own)
    figure = figure_of(own if item.kind == "factor" else item.low)
    if figure is None:
        return f"{100 * (position - 1):+.3g} %".replace("-", "−").replace("+0 %", "±0 %")
    number = position * figure.number if item.kind == "factor" else position
    if item.kind == "figure" and _whole(item):
        number = round(number)
    unit = f" {figure.after}" if figure.after[:1] not in ("", "/") else figure.after
    cents = figure.before == "$" and abs(number) < 100
    rounded = f"{number:.2f}" if cents else f"{float(f'{number:.4g}'):,.10g}"
    return f"{figure.before}{rounded}{unit}"


def own_position(farm: Farm, item: Input) -> float | None:
    """Return where an input lies in the farm's own file; None if that is not on its range's scale.

    Examples
    --------
    >>> import fieldsim
    >>> own_position(fieldsim.demo_farm(), Input("w", ("money.wage",), "$20/h", "$30/h", "figure"))
    24.0
    """
    if item.kind == "factor":
        return 1.0
    own, low = figure_of(_own(farm, item)), figure_of(item.low)
    if own is None or low is None or (own.before, own.after) != (low.before, low.after):
        return None
    return own.number


def _own(farm: Farm, item: Input) -> object:
    """Return the farm's own figure; None where an input is several figures, or a curve."""
    path = item.paths[0]
    if len(item.paths) > 1 or "*" in path or is_curve(path):
        return None
    try:
        return figure_at(farm, path)
    except InputError:  # a figure may be left out of the file
        return "not given"


def _written(item: Input, position: float) -> object:
    """Return an input at a position as `changed` takes it."""
    if item.kind == "factor":
        return Times(position)
    if _whole(item):
        return round(position)
    figure = figure_of(item.low)
    if figure is None or not (figure.before or figure.after):
        return position
    return f"{figure.before}{position!r} {figure.after}".strip()


def _whole(item: Input) -> bool:
    """Say whether both ends are whole numbers without a unit."""
    return isinstance(item.low, int) and isinstance(item.high, int)


def is_curve(path: str) -> bool:
    """Say whether a path stands for all losses of a curve by planting date."""
    return path.endswith(f".{CURVE}")


def _crops_of(farm: Farm, path: str) -> Iterator[str]:
    """Yield the crops whose curve a path names."""
    found = [crop for crop in farm.curves if fnmatchcase(f"crops.{crop}.{CURVE}", path)]
    if not found:
        problem, repair = "there is no such crop", f'write it as "crops.corn.{CURVE}"'
        raise InputError([Fault("", path, "", problem, repair)])
    yield from found
