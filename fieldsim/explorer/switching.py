"""Which land of a farm may go to another crop, and the farm with that crop's work beside."""

from __future__ import annotations

from typing import Any

from fieldsim.errors import InputError
from fieldsim.farm import Farm
from fieldsim.farm.files import farm_of, read_document
from fieldsim.season import CalendarDay

__all__ = ["farm_with_switches"]


def farm_with_switches(farm: Farm) -> Farm:
    """Return a farm in which every crop that can be switched names the crop that takes its land.

    That is the crop of its own late rule; else the first crop of the farm whose target date is
    later and whose work ahead of planting is the same.

    Parameters
    ----------
    farm : Farm

    Returns
    -------
    Farm
        Land is switched from the first day of the season on: the days are for others to set.

    Examples
    --------
    >>> import fieldsim
    >>> farm_with_switches(fieldsim.demo_farm()).crops["corn"].late.switch_to
    'soybeans'
    """
    document, found = read_document(farm.text), farm
    for crop in farm.grown_crops:
        for other in _others(farm, crop):
            entry = document["crops"][crop].get("late", {})
            day = farm.season.first_day
            first = CalendarDay(day.month, day.day)
            late = dict(entry) | {"switch_to": other, "switch_from": str(first)}
            changed = _with(document, crop, late)
            try:
                found = farm_of(changed, farm.tables)
            except InputError:  # their work ahead of planting differs
                continue
            document = changed
            break
    return found


def _others(farm: Farm, crop: str) -> list[str]:
    """Return the crops that might take the land of a crop, the first choice first."""
    own, index = farm.crops[crop], farm.season.index
    if own.late.switch_to is not None:
        return [own.late.switch_to]
    target = index(own.target_date)
    return [name for name, part in farm.crops.items() if index(part.target_date) > target]


def _with(document: dict[str, Any], crop: str, late: dict[str, Any]) -> dict[str, Any]:
    crops = dict(document["crops"])
    crops[crop] = dict(crops[crop]) | {"late": late}
    return dict(document) | {"crops": crops}
