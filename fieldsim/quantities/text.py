"""Units at the edges: text with units -> one internal set of numbers, and back for people.

Inside fieldsim every number is in the unit of its kind's `Kind.internal`: hectares, metres,
kilometres an hour, hours, tonnes, kilowatts, dollars. Text is read here, and written in `labels`.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

from fieldsim.quantities.kinds import DEFINITIONS, KINDS, UnitSystem

if TYPE_CHECKING:
    import pint

__all__ = [
    "NO_TEST_WEIGHT",
    "area_covered",
    "factor",
    "parse",
    "split",
]

NUMBER = r"[+-]?(?:\d{1,3}(?:,\d{3})+|\d+)?(?:\.\d+)?(?:[eE][+-]?\d{1,3})?"
QUANTITY = re.compile(rf"\s*(?P<dollar>\$)?\s*(?P<number>{NUMBER})\s*(?P<unit>[A-Za-z%/][^\n]*)?")
LONGEST_UNIT = 60  # letters
# Bushels are a volume: these become a mass through the test weight.
VOLUMES = {"yield": "meter**3/hectare", "price": "dollar/meter**3"}
NO_TEST_WEIGHT = "bushels need the crop's test weight"
# Growing degrees are written with a blank: "240 degF days".
DEGREES = re.compile(r"deg([CF])[ _-]days?")
# A power of one digit: powers of powers would take all memory.
NO_POWER = re.compile(r"(?:\*\*|\^)(?!\s*\d(?![\w%])(?!\s*(?:\*\*|\^)))")
UNIT = re.compile(r"[A-Za-z_%][A-Za-z0-9_% ]*(?:\s*(?:[/*]|\*\*|\^)\s*[A-Za-z0-9_% ]+){0,6}")


@cache
def _registry() -> pint.UnitRegistry[Any]:
    """Return pint's registry with the trade's units; made at first use.

    It counts in fractions: a factor rounded once is the same by every path that pint may take.

    Pint keeps what it has read of its own units in the user's cache folder, where that can be: to
    read them anew takes ten times as long.
    """
    import pint

    options: dict[str, Any] = {
        "non_int_type": Fraction,
        "on_redefinition": "ignore",
        "preprocessors": [lambda text: text.replace("%", " percent ")],
    }
    registry: pint.UnitRegistry[Any]
    try:
        registry = pint.UnitRegistry(cache_folder=":auto:", **options)
    except Exception:  # no such folder, a full disk, or a damaged file, which breaks in many ways
        registry = pint.UnitRegistry(**options)
    for definition in DEFINITIONS:
        registry.define(definition)
    return registry


def split(text: str) -> pint.Quantity[Any]:
    """Read a number and its unit, whatever the kind.

    Parameters
    ----------
    text : str
        A number, a space and a unit, as ``"5 mph"``, ``"80 %"``, ``"$4.50/bu"``, ``"1,200 acre"``.

    Returns
    -------
    pint.Quantity
        Its number is a fraction, exactly as written.

    Raises
    ------
    ValueError
        If the text is no finite number with a known unit.
    """
    import pint

    match = QUANTITY.fullmatch(text)
    if match is None or not re.search(r"\d", match["number"]):
        raise ValueError("not a number with a unit")
    unit_text = (match["unit"] or "").strip()
    unit_text = DEGREES.sub(r"deg\1_day", unit_text)
    if match["dollar"]:
        if unit_text and not unit_text.startswith("/"):
            raise ValueError(f'"{unit_text}" does not follow a sum of money')
        unit_text = "dollar " + unit_text
    if not unit_text:
        raise ValueError("the unit is missing")
    named = UNIT.fullmatch(unit_text) and not NO_POWER.search(unit_text)
    if len(unit_text) > LONGEST_UNIT or not named:
        raise ValueError(f'"{unit_text[:LONGEST_UNIT]}" is not a unit')
    number = match["number"].replace(",", "")
    if not math.isfinite(float(number)):
        raise ValueError("the number is too large")
    try:
        return _registry().Quantity(Fraction(number), unit_text)
    except pint.UndefinedUnitError as error:
        names = error.unit_names
        shown = names if isinstance(names, str) else ", ".join(names)
        raise ValueError(f'there is no unit "{shown}"') from None
    except Exception:  # odd text breaks pint's parser in many ways
        raise ValueError(f'"{unit_text}" is not a unit') from None


def parse(text: object, kind: str, *, test_weight: float | None = None) -> float:
    """Read text with a unit into the internal unit of its kind.

    Parameters
    ----------
    text : str
        A number and a unit.
    kind : str
        One of `KINDS`.
    test_weight : float, optional
        Mass of a volume of grain [t/m3]; needed to read bushels for the kinds yield and price.

    Returns
    -------
    float
        In ``KINDS[kind].internal``.

    Raises
    ------
    ValueError
        If the text is no quantity of that kind; the message says what is wrong.

    Examples
    --------
    >>> round(parse("600 acre", "area"), 3)
    242.811
    >>> parse("5", "speed")
    Traceback (most recent call last):
    ...
    ValueError: the unit is missing
    """
    if not isinstance(text, str):
        raise ValueError(_not_text(text))
    return _read(text, kind, test_weight)


@lru_cache(maxsize=10_000)  # studies read a farm again for each of its changes
def _read(text: str, kind: str, test_weight: float | None) -> float:
    quantity = split(text)
    if kind in VOLUMES and _fits(quantity, VOLUMES[kind]):
        if test_weight is None:
            raise ValueError(NO_TEST_WEIGHT)
        weight = _registry().Quantity(Fraction(test_weight), "tonne/meter**3")
        quantity = quantity * weight if kind == "yield" else quantity / weight
    if not _fits(quantity, KINDS[kind].internal):
        raise ValueError(f'"{_unit_as_written(text)}" is not a unit of {kind.replace("_", " ")}')
    try:
        return float(quantity.to(KINDS[kind].internal).magnitude)
    except OverflowError:
        raise ValueError("the number is too large") from None


def _not_text(value: object) -> str:
    """Return what is wrong with a value that is no text."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return "not text with a unit"
    if isinstance(value, float) and not math.isfinite(value):
        return "not a finite number"
    return "the unit is missing"


def _fits(quantity: pint.Quantity[Any], unit: str) -> bool:
    """Say whether a quantity can be had in a unit."""
    try:
        quantity.to(unit)
    except Exception:  # odd units, as decibels, break pint's conversion in many ways
        return False
    return True


def _unit_as_written(text: str) -> str:
    match = QUANTITY.fullmatch(text)
    assert match is not None
    return ("$" if match["dollar"] else "") + (match["unit"] or "").strip()


@cache
def area_covered(hopper: object, rate: object) -> float:
    """Read how much land one hopper or tank covers at a rate an area.

    Parameters
    ----------
    hopper : str
        What it holds, as ``"900 lb"``, ``"300 gal"`` or ``"480,000 seeds"``.
    rate : str
        In a unit of the same kind an area, as ``"200 lb/acre"``.

    Returns
    -------
    float
        Area [ha].

    Raises
    ------
    ValueError
        If either is not above 0 or the two do not belong together.

    Examples
    --------
    >>> round(area_covered("900 lb", "200 lb/acre") * factor("area", "us"), 6)
    4.5
    """
    if not isinstance(hopper, str) or not isinstance(rate, str):
        raise ValueError("a hopper and its rate are text with units")
    held, spread = split(hopper), split(rate)
    if held.magnitude <= 0 or spread.magnitude <= 0:
        raise ValueError("a hopper and its rate are above 0")
    try:
        return float((held / spread).to("hectare").magnitude)
    except Exception:  # odd units break pint's conversion in many ways
        raise ValueError(f'"{hopper}" at "{rate}" covers no area') from None


@cache
def factor(kind: str, units: UnitSystem, *, test_weight: float | None = None) -> float:
    """Return what an internal number is multiplied by to be shown.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    units : "us" or "metric"
    test_weight : float, optional
        [t/m3]; needed to show the kinds yield and price in bushels.

    Returns
    -------
    float
        Shown unit per internal unit.

    Examples
    --------
    >>> round(factor("area", "us"), 4)
    2.4711
    """
    shown = KINDS[kind].us if units == "us" else KINDS[kind].metric
    one = _registry().Quantity(Fraction(1), KINDS[kind].internal)
    if kind in ("yield", "price") and units == "us":
        if test_weight is None:
            raise ValueError(NO_TEST_WEIGHT)
        weight = _registry().Quantity(Fraction(test_weight), "tonne/meter**3")
        one = one / weight if kind == "yield" else one * weight
    return float(one.to(shown).magnitude)
