"""The inputs of a farm that are least sure, each with a usual range."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import chain

from fieldsim.decisions.inputs import COMMON_PRACTICE, Input, farm_at
from fieldsim.errors import InputError
from fieldsim.farm import Farm
from fieldsim.farm.entries import Part
from fieldsim.farm.machine_parts import Machine

__all__ = ["planters", "usual_inputs"]

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
CUT = "one end is as far as this farm file allows"


def usual_inputs(farm: Farm) -> tuple[Input, ...]:
    """Return the inputs that a farm has, with ranges to begin from.

    Parameters
    ----------
    farm : Farm

    Returns
    -------
    tuple of Input
        Factors of the farm's own figures. Where the farm would not be sound at an end, as when a
        day would have more than 24 hours, that end is the farm's own figure, and `basis` says so.

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
        if farm.crops[crop].weeds is not None:
            yield f"{crop} weed pressure", (f"crops.{crop}.weeds.pressure",), WEEDS
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
    yield "hours a day", ("crew.hours_per_day", "operations.*.hours_per_day"), HOURS
    going = [name for name, part in planters(farm).items() if part.speed and "." not in name]
    speeds = tuple(f"machines.{name}.speed" for name in going)
    yield "planter speed", speeds, SPEED
    yield "field area", ("fields.*.area",), AREA
    if farm.crew.helpers:
        yield "help turning up", ("crew.helpers.*.probability",), HELP


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
