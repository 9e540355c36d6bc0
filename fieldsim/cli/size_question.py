"""What ``fieldsim size`` is asked: the work, its window and its land, from options and farm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import timedelta
from typing import cast

from fieldsim.cli.options import option_faults
from fieldsim.cli.size_input import SizeOptions
from fieldsim.decisions.sizing.work_done import Scale, check_work, work_capacity
from fieldsim.errors import Fault, InputError, no_such
from fieldsim.farm import Farm
from fieldsim.quantities import area_text, factor
from fieldsim.season import CalendarDay, parse_calendar_day

__all__ = ["Work", "asked", "one_row", "with_hours"]

MORE_HOURS = 2.0  # that a longer or shorter day has
SHORTEST, LONGEST = 1.0, 24.0
LATER = timedelta(days=7)


@dataclass(frozen=True)
class Work:
    """The work that is to be finished, as text with units.

    Parameters
    ----------
    option, operation, crop : str
    first, by : str
        Days between which it is done.
    later : str
        A later start, to compare with.
    hours, shorter, longer : str
        Hours a day, and those to compare with.
    area : str
        Land of the crop.
    soil : str
        That of most of the land.
    after_dark : bool
    certainty : tuple of float
        Shares of seasons, rising.
    scale : "width" or "speed"
    """

    option: str
    operation: str
    crop: str
    first: str
    later: str
    by: str
    hours: str
    shorter: str
    longer: str
    area: str
    soil: str
    after_dark: bool
    certainty: tuple[float, ...]
    scale: Scale


def asked(farm: Farm, options: SizeOptions) -> Work:
    """Return the work that is asked about.

    Parameters
    ----------
    farm : Farm
    options : SizeOptions

    Returns
    -------
    Work

    Raises
    ------
    InputError
        If an option names what the farm has not, or cannot be read.
    """
    certainty = _shares(options.certainty)
    crop = options.crop or farm.grown_crops[0]
    if crop not in farm.grown_crops:
        raise InputError([no_such("crop", "--crop", crop, farm.grown_crops)])
    operation = options.operation or _planting(farm, crop)
    option = options.option or next(iter(farm.options))
    by = options.by or str(farm.crops[crop].target_date)
    try:
        check_work(farm, option, operation, by, crop)
    except InputError as error:
        raise option_faults(error) from None
    part = farm.operations[operation][crop]
    start = farm.season.first_day
    if part.earliest is not None:
        start = farm.season.date(farm.season.index(part.earliest))
    first = CalendarDay(start.month, start.day)
    end = farm.season.date(farm.season.index(parse_calendar_day(by)))
    if end < start:
        problem = f"comes before {first}, the first day on which the work may be done"
        raise InputError([Fault("", "--by", by, problem, "write a later day")])
    later = min(start + LATER, end)
    hours = min(part.hours_per_day, farm.crew.hours_per_day)
    land = {name: f.area for name, f in farm.fields.items() if f.crop == crop}
    return Work(
        option=option,
        operation=operation,
        crop=crop,
        first=str(first),
        later=str(CalendarDay(later.month, later.day)),
        by=by,
        hours=f"{hours:g} h",
        shorter=f"{max(hours - MORE_HOURS, SHORTEST):g} h",
        longer=f"{min(hours + MORE_HOURS, LONGEST):g} h",
        area=area_text(math.fsum(land.values()), farm.units),
        soil=_soil(farm, land),
        after_dark=part.after_dark,
        certainty=certainty,
        scale=cast(Scale, options.scale),
    )


def _shares(text: str) -> tuple[float, ...]:
    """Read shares of seasons written in per cent."""
    try:
        shares = tuple(sorted({float(word.strip(" %")) / 100 for word in text.split(",")}))
    except ValueError:
        shares = ()
    if not shares or not all(0 < share < 1 for share in shares):
        problem = "numbers between 0 and 100, with commas, are allowed"
        raise InputError([Fault("", "--certainty", text, problem, 'write "80, 90"')])
    return shares


def _planting(farm: Farm, crop: str) -> str:
    return next(
        name
        for name, by_crop in farm.operations.items()
        if crop in by_crop and by_crop[crop].kind == "planting"
    )


def _soil(farm: Farm, land: dict[str, float]) -> str:
    """Return the soil on which most of the land lies."""
    if len(farm.day_source.soils) == 1:
        return farm.day_source.soils[0]
    areas = dict.fromkeys(farm.day_source.soils, 0.0)
    for name, area in land.items():
        areas[farm.fields[name].soil or farm.day_source.soils[0]] += area
    return max(areas, key=lambda soil: areas[soil])


def one_row(farm: Farm, work: Work) -> float | None:
    """Return the capacity of one row of the option's machine, in the farm's units.

    None for a machine that is not counted in rows, or where several kinds of machine do the work.
    """
    machines = farm.options[work.option].machines
    doing = [name for name in machines if work.operation in farm.machines[name].operations]
    rows = farm.machines[doing[0]].rows
    if len(doing) != 1 or rows is None:
        return None
    together = work_capacity(farm, work.option, work.operation, work.crop)
    return together / (rows * machines[doing[0]]) * factor("field_capacity", farm.units)


def with_hours(hours: str) -> dict[str, object]:
    """Return the changes that give all work and the crew so many hours a day."""
    return {"operations.*.hours_per_day": hours, "crew.hours_per_day": hours}
