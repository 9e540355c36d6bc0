"""A farm with the sliders moved: settings -> a checked farm."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldsim.explorer.sliders import Slider, check_settings, planter_of, sliders_of
from fieldsim.farm import Farm
from fieldsim.farm.chains import planting_of
from fieldsim.farm.files import farm_of, read_document
from fieldsim.farm.machine_parts import Machine
from fieldsim.quantities import split, unit
from fieldsim.season import CalendarDay

__all__ = ["farm_with"]

LEAST_HOURS, MOST_HOURS = 0.5, 24.0
LONGEST_NAME, LONGEST_LABEL = 40, 60  # letters that a farm file allows
OUTFIT = ("rows", "width", "speed", "hands")


def farm_with(farm: Farm, option: str, settings: Mapping[str, float]) -> Farm:
    """Return a farm with the sliders moved.

    Rows (or width), speed and hands change one option; the rest changes every option. Machines of
    as many rows as the planter change with it. Price, tractor power, hoppers and the time to fill
    them go in proportion to the width. Hours of each operation move by as much as those of the
    crew; all fields grow or shrink in proportion.

    Parameters
    ----------
    farm : Farm
    option : str
        The option whose outfit is changed.
    settings : mapping
        Values by name of the slider, in its unit; see `fieldsim.explorer.sliders.Slider`. What is
        not there stays as it is.

    Returns
    -------
    Farm

    Raises
    ------
    InputError
        If a setting is out of range, or the farm is not sound with it, as where no tractor of the
        option pulls the planter.

    Examples
    --------
    >>> import fieldsim
    >>> farm = farm_with(fieldsim.demo_farm(), "six_rows", {"rows": 8, "hours": 12})
    >>> farm.options["six_rows"].label, farm.crew.hours_per_day
    ('yours: 8 rows', 12.0)
    """
    sliders = sliders_of(farm, option)
    check_settings(sliders, settings)
    moved = {name: float(v) for name, v in settings.items() if float(v) != sliders[name].value}
    if not moved:
        return farm
    document = read_document(farm.text)
    if any(name in moved for name in OUTFIT):
        _change_outfit(farm, document, option, moved, sliders)
    if "hours" in moved:
        _change_hours(farm, document, moved["hours"] - farm.crew.hours_per_day)
    if "area" in moved:
        ratio = moved["area"] / sliders["area"].value
        for name, field in farm.fields.items():
            document["fields"][name]["area"] = f"{field.area * ratio!r} ha"
    for name, value in moved.items():
        kind, _, crop = name.partition(".")
        if kind == "price":
            document["crops"][crop]["price"] = f"${value!r}{sliders[name].unit.lstrip('$')}"
        elif kind == "planting":
            _change_start(farm, document, crop, int(value))
    return farm_of(document, farm.tables)


def _change_outfit(
    farm: Farm,
    document: dict[str, Any],
    option: str,
    moved: Mapping[str, float],
    sliders: Mapping[str, Slider],
) -> None:
    """Give one option machines of its own, its hands, and a label that says so."""
    entry = document["options"][option]
    size = next((name for name in ("rows", "width") if name in moved), None)
    planter = planter_of(farm, option)
    machines = {}
    for name, count in entry["machines"].items():
        machine = farm.machines[name]
        alike = machine.rows is not None and machine.custom is None
        alike = alike and machine.rows == farm.machines[planter or name].rows
        grows = size is not None and (name == planter or (size == "rows" and alike))
        if not grows and not (name == planter and "speed" in moved):
            machines[name] = count
            continue
        own = dict(document["machines"][name])
        if grows and size is not None:
            own |= _of_size(machine, own, size, moved[size] / sliders[size].value)
        if name == planter and "speed" in moved:
            own["speed"] = f"{moved['speed']!r} {unit('speed', farm.units)}"
        own_name = f"your {name}"[:LONGEST_NAME]
        document["machines"][own_name] = own
        machines[own_name] = count
    entry["machines"] = machines
    if "hands" in moved:
        entry["operators"] = int(moved["hands"])
    told = [f"{moved[n]:g} {sliders[n].unit}" for n in OUTFIT if n in moved]
    entry["label"] = f"yours: {', '.join(told)}"[:LONGEST_LABEL]


def _of_size(machine: Machine, own: Mapping[str, Any], size: str, ratio: float) -> dict[str, Any]:
    """Return the entries of a machine that is wider by a ratio."""
    entries: dict[str, Any] = {"price": f"${machine.price * ratio!r}"}
    if size == "rows":
        assert machine.rows is not None
        entries["rows"] = round(machine.rows * ratio)
    else:
        entries["width"] = f"{machine.working_width * ratio!r} m"
    if machine.list_price is not None:
        entries["list_price"] = f"${machine.list_price * ratio!r}"
    if machine.tractor_power is not None:
        entries["tractor_power"] = f"{machine.tractor_power * ratio!r} kW"
    if machine.time is not None and machine.time.fills:
        fills = {
            material: dict(own["time"]["fills"][material])
            | {"hopper": _times(fill.hopper, ratio), "time": f"{fill.time * ratio!r} h"}
            for material, fill in machine.time.fills.items()
        }
        entries["time"] = dict(own["time"]) | {"fills": fills}
    return entries


def _times(text: str, ratio: float) -> str:
    quantity = split(text)
    return f"{float(quantity.magnitude) * ratio!r} {quantity.units}"


def _change_hours(farm: Farm, document: dict[str, Any], more: float) -> None:
    """Let the crew and each operation work so many hours a day more [h]."""
    document["crew"]["hours_per_day"] = f"{farm.crew.hours_per_day + more!r} h"
    for name, by_crop in farm.operations.items():
        document["operations"][name]["hours_per_day"] = {
            crop: f"{min(max(part.hours_per_day + more, LEAST_HOURS), MOST_HOURS)!r} h"
            for crop, part in by_crop.items()
        }


def _change_start(farm: Farm, document: dict[str, Any], crop: str, day: int) -> None:
    """Let planting of a crop begin on a day of the season."""
    operation = planting_of(farm.operations, crop)[0]
    own = document["operations"][operation].get("earliest")
    starts = dict(own) if isinstance(own, dict) else {}
    if isinstance(own, str):
        starts = dict.fromkeys(farm.operations[operation], own)
    date = farm.season.date(day)
    starts[crop] = str(CalendarDay(date.month, date.day))
    document["operations"][operation]["earliest"] = starts
