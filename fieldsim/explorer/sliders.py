"""What can be moved in the explorer: each slider's range, step and value, in the farm's units."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from fieldsim.errors import Fault, InputError, no_such
from fieldsim.farm import Farm
from fieldsim.farm.chains import planting_of
from fieldsim.farm.machine_parts import Machine
from fieldsim.farm.parts import LONG_DAY
from fieldsim.farm.pulling import working_speed
from fieldsim.quantities import factor, several, unit
from fieldsim.running import own_operators

__all__ = ["Slider", "check_settings", "planter_of", "sliders_of"]

NUMBER, DAY = "number", "day"
EARLIER, LATER = 21, 42  # days by which planting may be moved to begin
MOST_ROWS, MOST_HANDS, MOST_HOURS = 24, 8, 18.0
SPEEDS = {"us": (2.0, 10.0, 0.25), "metric": (3.0, 16.0, 0.5)}
WIDTH_STEPS = {"us": 1.0, "metric": 0.25}


@dataclass(frozen=True)
class Slider:
    """One thing that can be moved.

    Parameters
    ----------
    name : str
        Its name in the settings: ``rows``, ``width``, ``speed``, ``hands``, ``hours``, ``area``,
        ``price.CROP`` or ``planting.CROP``.
    label, unit : str
        As people read them.
    least, most, step, value : float
        In `unit`; `value` is that of the farm file. Days of planting are counted from the first day
        of the season, 0.
    kind : "number" or "day"
    caution_above : float or None
        Beyond this a caution is shown.
    """

    name: str
    label: str
    unit: str
    least: float
    most: float
    step: float
    value: float
    kind: str = NUMBER
    caution_above: float | None = None


def sliders_of(farm: Farm, option: str) -> dict[str, Slider]:
    """Return the sliders of a farm: those of one option's outfit, and those of all options.

    Parameters
    ----------
    farm : Farm
    option : str
        The option whose outfit can be changed.

    Returns
    -------
    dict
        By name of the slider.

    Raises
    ------
    InputError
        If there is no such option.

    Examples
    --------
    >>> import fieldsim
    >>> sliders = sliders_of(fieldsim.demo_farm(), "six_rows")
    >>> sliders["rows"].value, sliders["speed"].unit, round(sliders["area"].value)
    (6.0, 'mph', 902)
    """
    if option not in farm.options:
        raise InputError([no_such("option", "option", option, farm.options)])
    found = [*_of_outfit(farm, option), *_of_farm(farm)]
    return {slider.name: slider for slider in found}


def planter_of(farm: Farm, option: str) -> str | None:
    """Return the name of the option's own planter, the first that it has; None if all are hired."""
    planting = {planting_of(farm.operations, crop)[0] for crop in farm.grown_crops}
    for name in farm.options[option].machines:
        machine = farm.machines[name]
        if machine.custom is None and planting & set(machine.operations):
            return name
    return None


def check_settings(sliders: Mapping[str, Slider], settings: Mapping[str, object]) -> None:
    """Raise unless every setting is a number within its slider's range.

    Parameters
    ----------
    sliders : mapping
        By name.
    settings : mapping
        Values by name of the slider.

    Raises
    ------
    InputError
        With a fault for each setting that has no slider or lies outside its range.
    """
    faults = []
    for name, value in settings.items():
        slider = sliders.get(name)
        if slider is None:
            repair = f"sliders are {', '.join(sliders)}"
            faults.append(Fault("", name, repr(value), "there is no such slider", repair))
            continue
        whole = slider.kind == DAY or slider.name in ("rows", "hands")
        number = isinstance(value, int | float) and not isinstance(value, bool)
        fits = number and slider.least <= value <= slider.most  # type: ignore[operator]
        if not fits or (whole and value != int(value)):  # type: ignore[call-overload]
            kind = "whole number" if whole else "number"
            allowed = f"a {kind} from {slider.least:g} to {slider.most:g} is allowed"
            faults.append(Fault("", name, repr(value), allowed, f"write {slider.value:g}"))
    if faults:
        raise InputError(faults)


def _of_outfit(farm: Farm, option: str) -> list[Slider]:
    """Return the sliders of one option's planter and hands."""
    sliders = []
    name = planter_of(farm, option)
    if name is not None:
        machine = farm.machines[name]
        sliders += [_size(farm, machine), _speed(farm, machine)]
    hands = own_operators(farm, option)
    most = max(MOST_HANDS, hands)
    sliders.append(Slider("hands", "hands who drive", "people", min(1, hands), most, 1, hands))
    return sliders


def _size(farm: Farm, machine: Machine) -> Slider:
    if machine.rows is not None:
        rows = float(machine.rows)
        step = 2.0 if machine.rows % 2 == 0 else 1.0
        return Slider("rows", "rows of the planter", "rows", step, max(MOST_ROWS, rows), step, rows)
    shown, step = factor("width", farm.units), WIDTH_STEPS[farm.units]
    width = machine.working_width * shown
    label, name = "width of the planter", unit("width", farm.units)
    return Slider("width", label, name, *_around(width, 0.4, 3.0, step), step, width)


def _speed(farm: Farm, machine: Machine) -> Slider:
    least, most, step = SPEEDS[farm.units]
    speed = round(working_speed(machine) * factor("speed", farm.units), 6)
    name = unit("speed", farm.units)
    label = "speed of the planter"
    return Slider("speed", label, name, min(least, speed), max(most, speed), step, speed)


def _of_farm(farm: Farm) -> list[Slider]:
    """Return the sliders that change every option alike."""
    hours = farm.crew.hours_per_day
    most = max(MOST_HOURS, hours)
    sliders = [
        Slider("hours", "hours a day", "h", min(4.0, hours), most, 0.5, hours, NUMBER, LONG_DAY)
    ]
    area = math.fsum(part.area for part in farm.fields.values()) * factor("area", farm.units)
    step = _round_step(area / 100)
    name = several(unit("area", farm.units))
    sliders.append(Slider("area", "land", name, *_around(area, 0.4, 2.0, step), step, area))
    for crop in farm.grown_crops:
        sliders += [_price(farm, crop), _planting_start(farm, crop)]
    return sliders


def _price(farm: Farm, crop: str) -> Slider:
    part = farm.crops[crop]
    bushels = farm.units == "us" and part.test_weight is not None
    units = farm.units if bushels else "metric"
    price = round(part.price * factor("price", units, test_weight=part.test_weight), 6)
    step = _round_step(price / 100)
    label = f"price of {crop.replace('_', ' ')}"
    bounds = _around(price, 0.5, 2.0, step)
    return Slider(f"price.{crop}", label, unit("price", units), *bounds, step, price)


def _planting_start(farm: Farm, crop: str) -> Slider:
    operation = planting_of(farm.operations, crop)[0]
    earliest = farm.operations[operation][crop].earliest
    last = farm.season.days - 1
    day = 0 if earliest is None else min(max(farm.season.index(earliest), 0), last)
    label = f"{crop.replace('_', ' ')} planted from"
    bounds = max(0, day - EARLIER), min(last, day + LATER)
    return Slider(f"planting.{crop}", label, "", *bounds, 1, day, DAY)


def _around(value: float, least: float, most: float, step: float) -> tuple[float, float]:
    """Return the ends of a range around a value, on whole steps."""
    low = max(step, math.floor(value * least / step) * step)
    return round(low, 9), round(math.ceil(value * most / step) * step, 9)


def _round_step(about: float) -> float:
    """Return 1, 2 or 5 times a power of ten, the largest of at most `about`.

    Examples
    --------
    >>> _round_step(9.0), _round_step(0.043)
    (5.0, 0.02)
    """
    power = 10.0 ** math.floor(math.log10(about))
    return round(max(m for m in (1.0, 2.0, 5.0) if m * power <= about * (1 + 1e-9)) * power, 9)
