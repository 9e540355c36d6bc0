"""Names and days that must be found elsewhere in the farm."""

from __future__ import annotations

from collections.abc import Sequence

from fieldsim.farm.draft import Draft
from fieldsim.farm.messages import meant
from fieldsim.season import CalendarDay

__all__ = ["listed", "outside_season", "unknown"]

ONE_OF = {
    "crops": "crop",
    "machines": "machine",
    "operations": "operation",
    "tractors": "tractor",
}


def listed(names: Sequence[str]) -> str:
    """Return names as a sentence holds them.

    Examples
    --------
    >>> listed(["till", "plant", "cultivate"])
    'till, plant and cultivate'
    """
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last


def unknown(draft: Draft, path: str, name: str, value: object, section: str) -> bool:
    """Note a name that does not stand in a section; say whether it was so.

    Where the section itself could not be read, that has been said already.
    """
    names = draft.named(section)
    if name in names:
        return False
    if section not in draft.unread:
        repair = meant(name, [*names]) if names else f"add [{section}.{name}]"
        draft.fault(path, value, f"there is no {ONE_OF[section]} {name}", repair)
    return True


def outside_season(draft: Draft, path: str, day: CalendarDay | None, written: object) -> None:
    """Note a day that is not in the season."""
    season = draft.season
    if day is None or season is None or 0 <= season.index(day) < season.days:
        return
    first, last = (f"{date.day} {date:%b}" for date in (season.first_day, season.last_day))
    repair = f"write a day from {first} to {last}, or change first_day and last_day"
    draft.fault(path, written or str(day), "this day is not in the season", repair)
