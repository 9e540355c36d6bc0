"""A farm with some of its figures changed, by their paths in the farm file."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from fieldsim.errors import Fault, InputError
from fieldsim.farm.farm import Farm
from fieldsim.farm.files import farm_of, read_document
from fieldsim.farm.messages import as_written

__all__ = ["Times", "changed", "figure_at"]

ANY = "*"
NUMBER = re.compile(r"[+-]?\$?\s*(?P<number>\d[\d,]*\.?\d*(?:[eE][+-]?\d+)?|\.\d+)")


@dataclass(frozen=True)
class Times:
    """Multiply a figure by a factor, whatever its unit.

    Parameters
    ----------
    factor : float
        0 or more.

    Examples
    --------
    >>> import fieldsim
    >>> changed(fieldsim.demo_farm(), {"money.wage": Times(1.5)}).money.wage
    36.0
    """

    factor: float


def changed(farm: Farm, values: Mapping[str, object]) -> Farm:
    """Return a farm with figures changed; it is checked like any other.

    Parameters
    ----------
    farm : Farm
    values : mapping
        New figures by their path in the farm file, as ``"crops.corn.price"``; ``*`` stands for any
        name, as in ``"fields.*.area"``. A figure is written as in the file (``"$4.00/bu"``), or
        `Times`: the figure there times a factor. A last name that is not there is added.

    Returns
    -------
    Farm

    Raises
    ------
    InputError
        If a path leads nowhere, a figure cannot be multiplied, or the farm is not sound with it.

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> dear = changed(farm, {"money.wage": "$30/h", "fields.*.area": Times(2)})
    >>> dear.money.wage, round(dear.fields["home_80"].area / farm.fields["home_80"].area, 9)
    (30.0, 2.0)
    """
    document, faults = read_document(farm.text), []
    for path, value in values.items():
        places = list(_places(document, path.split(".")))
        if not places:
            repair = 'write a path of the farm file, as "crops.corn.price" or "fields.*.area"'
            faults.append(Fault("", path, "", "there is no such figure in the farm", repair))
        for holder, name in places:
            try:
                holder[name] = _times(holder.get(name), value) if _is_times(value) else value
            except ValueError as error:
                repair = "give the new figure itself, as it stands in the file"
                faults.append(Fault("", path, as_written(holder.get(name)), str(error), repair))
    if faults:
        raise InputError(faults)
    return farm_of(document, farm.tables)


def figure_at(farm: Farm, path: str) -> object:
    """Return a figure of a farm as it stands in its file, the first that the path names.

    Parameters
    ----------
    farm : Farm
    path : str
        See `changed`.

    Returns
    -------
    str, int, float, bool, list or dict
        As it is written.

    Raises
    ------
    InputError
        If there is none.

    Examples
    --------
    >>> import fieldsim
    >>> figure_at(fieldsim.demo_farm(), "crops.corn.price")
    '$4.30/bu'
    """
    for holder, name in _places(read_document(farm.text), path.split(".")):
        if name in holder:
            return holder[name]
    problem, repair = "there is no such figure in the farm", "write a path of the farm file"
    raise InputError([Fault("", path, "", problem, repair)])


def _places(holder: Any, steps: list[str]) -> Iterator[tuple[dict[str, Any], str]]:
    """Yield the tables and names that a path leads to."""
    if not isinstance(holder, dict):
        return
    first, rest = steps[0], steps[1:]
    names = list(holder) if first == ANY else [first]
    for name in names:
        if not rest:
            yield holder, name
        elif name in holder:
            yield from _places(holder[name], rest)


def _is_times(value: object) -> bool:
    return isinstance(value, Times)


def _times(figure: object, value: Any) -> object:
    """Return a figure times a factor: a number, text with a unit, or a table of such by crop."""
    factor = float(value.factor)
    if isinstance(figure, bool) or figure is None:
        raise ValueError("no figure that can be multiplied")
    if isinstance(figure, dict):
        return {name: _times(inner, value) for name, inner in figure.items()}
    if isinstance(figure, int | float):
        product = figure * factor
        return round(product) if isinstance(figure, int) else product
    if not isinstance(figure, str):
        raise ValueError("no figure that can be multiplied")
    match = NUMBER.match(figure)
    if match is None:
        raise ValueError("no figure that can be multiplied")
    number = float(match["number"].replace(",", "")) * factor
    return f"{figure[: match.start('number')]}{number!r}{figure[match.end('number') :]}"
