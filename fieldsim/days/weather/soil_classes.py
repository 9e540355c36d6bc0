"""Classes of topsoil: how much water they hold, how fast they drain, when they carry work."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from fieldsim.tables import read_table

__all__ = ["SoilClass", "SoilFigure", "soil_class", "soil_classes", "soil_figures"]

TABLE = "soil_classes.csv"


@dataclass(frozen=True)
class SoilClass:
    """A class of topsoil; `dataclasses.replace` makes a user's own of a shipped one.

    Parameters
    ----------
    field_capacity, wilting_point, saturation : float
        Water contents [m3/m3].
    depth : float
        Depth of the layer that has to carry the work [m].
    readily_evaporable : float
        Water that evaporates from the layer at field capacity before the soil slows it: REW of
        FAO Irrigation and Drainage Paper 56, equation 74 [mm].
    drainage : float
        Share of the water above field capacity that drains in a day [0..1].
    workable : float
        The soil carries work up to this share of its water at field capacity [-]; above 1 is
        possible.
    rain_limit : float
        Rain of the day that stops all work [mm].
    least_temperature : float
        The soil carries no work where it is colder [degC].

    Raises
    ------
    ValueError
        If the water contents are not 0 <= wilting point < field capacity < saturation <= 1, a
        depth, share or limit is not positive, drainage is above 1, the readily evaporable water is
        not less than what can evaporate, or the soil carries work up to saturation.

    Examples
    --------
    >>> from dataclasses import replace
    >>> replace(soil_class("clay_loam_untiled"), drainage=0.1).drainage
    0.1
    """

    field_capacity: float
    wilting_point: float
    saturation: float
    depth: float
    readily_evaporable: float
    drainage: float
    workable: float
    rain_limit: float
    least_temperature: float

    def __post_init__(self) -> None:
        if not 0 <= self.wilting_point < self.field_capacity < self.saturation <= 1:
            raise ValueError(
                f"wilting point {self.wilting_point}, field capacity {self.field_capacity} and "
                f"saturation {self.saturation}: they must rise from 0 to 1"
            )
        for name in ("depth", "drainage", "workable", "rain_limit"):
            if not getattr(self, name) > 0:
                raise ValueError(f"{name} = {getattr(self, name)}: a number above 0 is allowed")
        if self.drainage > 1:
            raise ValueError(f"drainage = {self.drainage}: a share of 1 or less is allowed")
        evaporable = 1000 * (self.field_capacity - 0.5 * self.wilting_point) * self.depth
        if not 0 <= self.readily_evaporable < evaporable:
            raise ValueError(
                f"readily_evaporable = {self.readily_evaporable}: from 0 mm to less than the "
                f"{evaporable:.1f} mm that can evaporate from a layer of {self.depth} m"
            )
        if self.workable * self.field_capacity >= self.saturation:
            raise ValueError(f"workable = {self.workable}: saturated soil would carry work")


class SoilFigure(NamedTuple):
    """One figure of a soil class, with its unit, its source, and whether it was read there."""

    quantity: str
    value: float
    unit: str
    source: str
    checked: str


def soil_class(name: str) -> SoilClass:
    """Return a shipped soil class by its name.

    Parameters
    ----------
    name : str
        One of `soil_classes()`.

    Returns
    -------
    SoilClass

    Raises
    ------
    ValueError
        If there is no such class.

    Examples
    --------
    >>> soil_class("silt_loam").field_capacity
    0.33
    """
    return SoilClass(**{figure.quantity: figure.value for figure in soil_figures(name)})


def soil_classes() -> tuple[str, ...]:
    """Return the names of the shipped classes, from sandy loam to clay loam without tiles."""
    return tuple(_figures())


def soil_figures(name: str) -> tuple[SoilFigure, ...]:
    """Return the figures of a shipped soil class, each with its source.

    Parameters
    ----------
    name : str
        One of `soil_classes()`.

    Returns
    -------
    tuple of SoilFigure

    Raises
    ------
    ValueError
        If there is no such class.

    Examples
    --------
    >>> soil_figures("loam")[0][:3]
    ('field_capacity', 0.31, 'm3/m3')
    """
    figures = _figures()
    if name not in figures:
        names = ", ".join(figures)
        raise ValueError(f"there is no soil class {name!r}: {names} are allowed")
    return figures[name]


@cache
def _figures() -> dict[str, tuple[SoilFigure, ...]]:
    """Return the figures by class, read at first use."""
    columns = ("class", "quantity", "value", "unit", "source", "checked")
    table = read_table(files("fieldsim.days.weather") / TABLE, columns, TABLE)
    figures: dict[str, tuple[SoilFigure, ...]] = {}
    for row in table.rows:
        name, quantity, value, *rest = (row.cells[column] for column in columns)
        figure = SoilFigure(quantity, float(value), *rest)
        figures[name] = (*figures.get(name, ()), figure)
    return figures
