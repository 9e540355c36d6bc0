"""The inputs of a farm that are least sure, each with a usual range."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import chain

from fieldsim.decisions.sensitivity.inputs import COMMON_PRACTICE, Input, farm_at
from fieldsim.errors import InputError
from fieldsim.farm import Farm
from fieldsim.farm.entries import Part
from fieldsim.farm.machine_parts import Machine

__all__ = ["LONGEST_DAY", "planters", "usual_inputs"]

# Factors between which a figure may lie. All of them: common practice, no source.
PRICE = (0.8, 1.25)
YIELD = (0.9, 1.1)
LOSS = (0.5, 1.5)  # by planting date: places and years differ as much as published tables do
WEEDS = (0.5, 1.5)
MACHINES = (0.85, 1.15)
WAGE = (0.8, 1.25)
INTEREST = (0.5, 1.5)
FUEL = (0.7, 1.4)
HOURS = (0.85, 1.15)
SPEED = (0.8, 1.2)
AREA = (0.8, 1.2)
HELP = (0.5, 1.25)
HIRE = (0.8, 1.25)
LONGEST_DAY = 24.0  # h
CUT = "the farm's own figure is the end where no more is allowed"


def usual_inputs(farm: Farm) -> tuple[Input, ...]:
    """Return the inputs that a farm has, with ranges to begin from.

    Parameters
    ----------
    farm : Farm

    Returns
    -------
    tuple of Input
        Factors of the farm's own figures. No day gets more than 24 hours, and no share more than
        100 %. Where the farm would not be sound at an end, as when tractors could not pull a faster
        planter, that end is the farm's own figure, and `basis` says so.

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> [item.name for item in usual_inputs(farm)][:4]
    ['corn price', 'corn yield', 'corn planting loss', 'corn weed pressure']
    """
    inputs = []
    for name, paths, (low, high) in _named(farm):
        if not paths:
            continue
        least, most = _sound(farm, paths, low), _sound(farm, paths, high)
        if least < most:
            cut = "" if (least, most) == (low, high) else f"; {CUT}"
            inputs.append(Input(name, paths, least, most, basis=COMMON_PRACTICE + cut))
    return tuple(inputs)


Named = tuple[str, tuple[str, ...], tuple[float, float]]


def _named(farm: Farm) -> Iterator[Named]:
    """Yield name, paths and range of each input that the farm has."""
    for crop in farm.grown_crops:
        if "." in crop:  # a path could not name it
            continue
        yield f"{crop} price", (f"crops.{crop}.price",), PRICE
        yield f"{crop} yield", (f"crops.{crop}.yield",), YIELD
        yield f"{crop} planting loss", (f"crops.{crop}.yield_by_planting_date",), LOSS
        weeds = farm.crops[crop].weeds
        if weeds is not None:
            within = _capped(WEEDS, 1.0, weeds.pressure)
            yield f"{crop} weed pressure", (f"crops.{crop}.weeds.pressure",), within
    prices = (
        _paths(section, parts, field)
        for section, parts in (("machines", farm.machines), ("tractors", farm.tractors))
        for field in ("price", "list_price")
    )
    yield "machine prices", tuple(chain.from_iterable(prices)), MACHINES
    yield "hired rates", _paths("machines", farm.machines, "custom", ".rate"), HIRE
    yield "wage", ("money.wage",), WAGE
    if farm.money.interest > 0:
        yield "interest", ("money.interest",), INTEREST
    if farm.money.fuel_price is not None:
        yield "fuel price", ("money.fuel_price",), FUEL
    worked = [part for crops in farm.operations.values() for part in crops.values()]
    longest = max([farm.crew.hours_per_day, *(part.hours_per_day for part in worked)])
    hours = ("crew.hours_per_day", "operations.*.hours_per_day")
    yield "hours a day", hours, _capped(HOURS, LONGEST_DAY, longest)
    going = [name for name, part in planters(farm).items() if part.speed and "." not in name]
    speeds = tuple(f"machines.{name}.speed" for name in going)
    yield "planter speed", speeds, SPEED
    yield "field area", ("fields.*.area",), AREA
    if farm.crew.helpers:
        surest = max(helper.probability for helper in farm.crew.helpers.values())
        yield "help turning up", ("crew.helpers.*.probability",), _capped(HELP, 1.0, surest)


def _capped(ends: tuple[float, float], most: float, own: float) -> tuple[float, float]:
    """Return a range whose high end leaves a figure at most so large."""
    low, high = ends
    return low, max(1.0, min(high, math.floor(1e4 * most / own) / 1e4 if own > 0 else high))


def _paths(section: str, parts: Mapping[str, Part], field: str, rest: str = "") -> tuple[str, ...]:
    """Return the paths of a field in the parts whose entry in the file has it."""
    having = [name for name, part in parts.items() if field in part.model_fields_set]
    if having and len(having) == len(parts):
        return (f"{section}.*.{field}{rest}",)
    return tuple(f"{section}.{name}.{field}{rest}" for name in having if "." not in name)


def planters(farm: Farm) -> dict[str, Machine]:
    """Return the machines that plant."""
    planting = {
        operation
        for operation, crops in farm.operations.items()
        if any(part.kind == "planting" for part in crops.values())
    }
    return {name: m for name, m in farm.machines.items() if planting & set(m.operations)}


def _sound(farm: Farm, paths: tuple[str, ...], factor: float) -> float:
    """Return a factor, or 1 where the farm would not be sound with it."""
    try:
        farm_at(farm, {Input("", paths, factor, factor): factor})
    except InputError:
        return 1.0
    return factor
