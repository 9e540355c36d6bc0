"""Internal numbers as text with the unit of the farm's own unit system."""

from __future__ import annotations

from fieldsim.farm.entries import Wait
from fieldsim.quantities import UnitSystem, factor, unit, with_unit

__all__ = ["hours_text", "range_text", "share_text", "shown", "wait_text"]

CENTS = ("price", "wage", "money_per_area", "fuel_price")  # kinds with two decimals throughout


def shown(kind: str, number: float, units: UnitSystem, test_weight: float | None = None) -> str:
    """Return a number with its unit.

    Parameters
    ----------
    kind : str
        One of `quantities.KINDS`.
    number : float
        In the internal unit of the kind.
    units : "us" or "metric"
    test_weight : float, optional
        [t/m3]; without it yields and prices are shown in tonnes.

    Returns
    -------
    str

    Examples
    --------
    >>> shown("width", 6.4008, "us"), shown("share", 0.4, "us"), shown("money", 98000.0, "us")
    ('21 ft', '40 %', '$98,000')
    """
    system = _system(kind, units, test_weight)
    scaled = number * factor(kind, system, test_weight=test_weight)
    label = unit(kind, system)
    digits = 2 if kind in CENTS else _decimals(scaled)
    text = f"{scaled:,.{digits}f}"
    if digits and kind not in CENTS:
        text = text.rstrip("0").rstrip(".")
    return f"${text}{label[1:]}" if label.startswith("$") else with_unit(text, label)


def range_text(kind: str, numbers: list[float], units: UnitSystem) -> str:
    """Return the least and the greatest of some numbers with their unit.

    Examples
    --------
    >>> range_text("time", [1.0, 2.5, 2.0], "us"), range_text("time", [1.0, 1.0], "us")
    ('1 to 2.5 h', '1 h')
    """
    low, high = (shown(kind, number, units) for number in (min(numbers), max(numbers)))
    return high if low == high else f"{low.rpartition(' ')[0]} to {high}"


def wait_text(wait: Wait, units: UnitSystem) -> str:
    """Return a time to wait in words.

    Examples
    --------
    >>> wait_text(Wait(days=1), "us"), wait_text(Wait(degrees=120.0), "us")
    ('1 day', '216 degF days')
    """
    if wait.degrees is not None:
        return shown("growing_degrees", wait.degrees, units).replace("_day", " days")
    return "1 day" if wait.days == 1 else f"{wait.days} days"


def hours_text(hours: float) -> str:
    """Return a time in hours, minutes or seconds, whichever reads best.

    Examples
    --------
    >>> hours_text(25 / 3600), hours_text(0.2), hours_text(1.5)
    ('25 s', '12 min', '1.5 h')
    """
    if hours >= 1:
        return f"{hours:.3g} h"
    return f"{60 * hours:.3g} min" if hours >= 1 / 30 else f"{3600 * hours:.3g} s"


def share_text(share: float) -> str:
    """Return a share in whole per cent, with a decimal below 1 %.

    Examples
    --------
    >>> share_text(0.126), share_text(0.006), share_text(0.0)
    ('13 %', '0.6 %', '0 %')
    """
    return f"{100 * share:.1f} %" if 0 < share < 0.01 else f"{100 * share:.0f} %"


def _system(kind: str, units: UnitSystem, test_weight: float | None) -> UnitSystem:
    return "metric" if kind in ("yield", "price") and test_weight is None else units


def _decimals(number: float) -> int:
    return 0 if abs(number) >= 100 else 1 if abs(number) >= 10 else 2
