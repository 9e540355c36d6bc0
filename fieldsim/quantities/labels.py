"""Labels of the units that people see, and numbers with their unit behind them."""

from __future__ import annotations

from fieldsim.quantities.kinds import KINDS, UnitSystem
from fieldsim.quantities.text import factor

__all__ = ["area_text", "several", "unit", "with_unit"]


def unit(kind: str, units: UnitSystem) -> str:
    """Return the short label of the unit that people see, as ``acre`` or ``$/bu``."""
    name = KINDS[kind].us if units == "us" else KINDS[kind].metric
    return name.replace("dollar", "$")


def several(label: str) -> str:
    """Return the label of a unit as it stands behind any number but 1; metric ones stay.

    Examples
    --------
    >>> several("acre"), several("ha"), several("acre/h")
    ('acres', 'ha', 'acre/h')
    """
    return "acres" if label == "acre" else label


def with_unit(number: str, label: str) -> str:
    """Return a number with its unit behind it, as people read it.

    Parameters
    ----------
    number : str
        As it is written; also several, as ``"300 to 600"``.
    label : str
        As `unit` gives it.

    Returns
    -------
    str

    Examples
    --------
    >>> with_unit("1", "acre"), with_unit("462", "acre"), with_unit("187", "ha")
    ('1 acre', '462 acres', '187 ha')
    """
    return f"{number} {label if number == '1' else several(label)}"


def area_text(area: float, units: UnitSystem) -> str:
    """Return an area as people write it, from hectares: below 100 with a decimal that is not 0.

    Examples
    --------
    >>> area_text(40.0, "us"), area_text(40.0, "metric"), area_text(187.4, "metric")
    ('98.8 acres', '40 ha', '187 ha')
    """
    shown = area * factor("area", units)
    number = f"{shown:,.0f}" if round(shown, 1) >= 100 else f"{shown:.1f}".removesuffix(".0")
    return with_unit(number, unit("area", units))
