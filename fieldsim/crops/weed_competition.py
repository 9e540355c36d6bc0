"""What weeds cost by the day of their removal: published tables and lines between their points."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsim.ranges import in_range
from fieldsim.tables import Row, read_table

__all__ = [
    "WeedCompetition",
    "published_weed_competition",
    "published_weed_competitions",
    "weed_loss",
]

TABLE = "weed_removal.csv"
NEVER = "season"  # stands in the table in place of a day


@dataclass(frozen=True)
class WeedCompetition:
    """Yield that weeds have cost by the day on which all of them are removed.

    Parameters
    ----------
    days : tuple of float
        Days after the crop's emergence [day], rising, the first above 0.
    losses : tuple of float
        Share of weed-free yield lost where weeds are removed on each day [1], rising from above 0.
    season_long : float
        Share lost where weeds are never removed [1], at least the last of `losses`, at most 1.
    pressure : float
        Share of all these losses that the land's weeds cause [1], 0 to 1; herbicides lower it.
    name : str
    source : str
        Where the table comes from, and how sure it is.

    Raises
    ------
    ValueError
        If the table breaks these rules.
    """

    days: tuple[float, ...]
    losses: tuple[float, ...]
    season_long: float
    pressure: float = 1.0
    name: str = ""
    source: str = ""

    def __post_init__(self) -> None:
        if not self.days or len(self.days) != len(self.losses):
            raise ValueError(
                f"{len(self.days)} days and {len(self.losses)} losses: "
                "at least one day with one loss each are allowed"
            )
        for name, numbers in (("days", self.days), ("losses", self.losses)):
            for number, later in itertools.pairwise((0.0, *in_range(name, numbers))):
                if later <= number:
                    raise ValueError(f"{name} = {later:g} after {number:g}: rising from above 0")
        in_range("season_long", self.season_long, at_least=self.losses[-1], at_most=1.0)
        in_range("pressure", self.pressure, at_least=0.0, at_most=1.0)


def weed_loss(weeds: WeedCompetition, days_after_emergence: ArrayLike) -> NDArray[np.float64]:
    """Return the share of yield lost where all weeds are removed on a day.

    Straight lines join the points of the table, from 0 at the crop's emergence. Past the last point
    the line through the last two goes on up to the season-long loss and stays there: an
    extrapolation, as holding the last value would flatter late work.

    Parameters
    ----------
    weeds : WeedCompetition
    days_after_emergence : array_like, any shape
        Day of removal [day after the crop's emergence]; below 0 counts as 0, infinity as never.

    Returns
    -------
    ndarray of float64, shape of `days_after_emergence`
        [1], 0 to ``pressure * season_long``.

    Raises
    ------
    ValueError
        If a day is not a number.

    Examples
    --------
    >>> weeds = published_weed_competition("corn_ontario_high")
    >>> weed_loss(weeds, [-5, 11, 14, float("inf")])
    array([0.   , 0.05 , 0.075, 0.5  ])
    """
    asked = np.asarray(days_after_emergence, dtype=np.float64)
    if np.isnan(asked).any():
        raise ValueError("days_after_emergence: only numbers are allowed")
    days, losses = [0.0, *weeds.days], [0.0, *weeds.losses]
    if weeds.season_long > losses[-1]:
        slope = (losses[-1] - losses[-2]) / (days[-1] - days[-2])
        days.append(days[-1] + (weeds.season_long - losses[-1]) / slope)
        losses.append(weeds.season_long)
    return np.asarray(weeds.pressure * np.interp(asked, days, losses), dtype=np.float64)


def published_weed_competitions() -> tuple[str, ...]:
    """Return the names of the published tables."""
    return tuple(_published())


def published_weed_competition(name: str) -> WeedCompetition:
    """Return a published table by its name, at full pressure.

    `dataclasses.replace` sets another pressure.

    Parameters
    ----------
    name : str
        One of `published_weed_competitions()`.

    Returns
    -------
    WeedCompetition

    Raises
    ------
    ValueError
        If there is no such table.

    Examples
    --------
    >>> published_weed_competition("soybean_ontario_low").days
    (24.0, 30.0, 37.0, 53.0)
    """
    tables = _published()
    if name not in tables:
        names = ", ".join(tables)
        raise ValueError(f"there is no table of weed removal {name!r}: {names} are allowed")
    return tables[name]


@cache
def _published() -> dict[str, WeedCompetition]:
    """Return the published tables by name, read at first use."""
    columns = ("name", "days_after_emergence", "loss_percent", "source", "status")
    rows = read_table(files("fieldsim.crops") / TABLE, columns, TABLE).rows
    names = dict.fromkeys(row.cells["name"] for row in rows)
    return {name: _table(name, [r for r in rows if r.cells["name"] == name]) for name in names}


def _table(name: str, rows: list[Row]) -> WeedCompetition:
    """Return one table from its rows, the last of them for weeds that are never removed."""
    *removed, never = rows
    if never.cells["days_after_emergence"] != NEVER:
        raise ValueError(f"{TABLE}: {name} does not end with the season-long loss")
    return WeedCompetition(
        days=tuple(float(row.cells["days_after_emergence"]) for row in removed),
        losses=tuple(float(row.cells["loss_percent"]) / 100 for row in removed),
        season_long=float(never.cells["loss_percent"]) / 100,
        name=name,
        source="; ".join(
            f"{row.cells['source']} ({row.cells['status']})" for row in (removed[-1], never)
        ),
    )
