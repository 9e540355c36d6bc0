"""Where the hours of a machine go: in the row, at turns and fills, on the road, in the morning."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import pandas as pd

from fieldsim.farm import Farm
from fieldsim.farm.machine_parts import Machine
from fieldsim.farm.parts import FarmField
from fieldsim.machines import time_per_area
from fieldsim.quantities import factor, unit
from fieldsim.work.outfit import block_capacity, block_setup, morning_hours, time_elements
from fieldsim.work.slots import block_speed, fitting_tractors

__all__ = ["day_use", "time_use"]

KEYS = ["option", "machine", "units", "element", "material"]


class Piece(NamedTuple):
    """Time of one unit for one purpose: hours an area [h/ha], once a field, or a day [h]."""

    per: str
    element: str
    hours: float
    material: str = ""


def time_use(farm: Farm) -> pd.DataFrame:
    """Return where the time of each machine goes on each field that it works.

    Parameters
    ----------
    farm : Farm

    Returns
    -------
    pandas.DataFrame
        A row for each option, machine, field and piece of time: `per` says whether its `hours` [h]
        are those of an ``"area"`` (an acre or a hectare, by the farm's units), are spent once a
        ``"field"`` by each unit, or on each ``"day"``; `element` is ``"row"``, ``"turn"``,
        ``"adjustment"``, ``"fill"`` (of a `material`), ``"stops"`` (all of them, where a field
        efficiency is given), ``"setup"`` (road, folding, pattern) or ``"morning"`` (daily service,
        the drive out and home). `share` is that of an hour at work in the field [1], so that the
        shares of a field add up to 1; missing for what is not done at work. `units` counts the
        option's units of the machine; `area` is that of the field. ``attrs["units"]`` names the
        unit of the area.

    Examples
    --------
    >>> import fieldsim
    >>> table = time_use(fieldsim.demo_farm())
    >>> on = table[(table.machine == "planter_4_rows") & (table.field == "home_80")]
    >>> float(on[on.per == "area"].share.sum().round(9))
    1.0
    """
    acres = factor("area", farm.units)
    rows = []
    for option, chosen in farm.options.items():
        pulling = fitting_tractors(farm, option)
        for (name, units), tractors in zip(chosen.machines.items(), pulling, strict=True):
            machine = farm.machines[name]
            for field_name, field in _worked(farm, machine):
                pieces = list(_pieces(machine, field, block_speed(machine, field, tractors)))
                at_work = math.fsum(piece.hours for piece in pieces if piece.per == "area")
                for piece in pieces:
                    of_area = piece.per == "area"
                    rows.append(
                        {
                            "option": option,
                            "machine": name,
                            "units": units,
                            "field": field_name,
                            "area": field.area * acres,
                            **piece._asdict(),
                            "hours": piece.hours / acres if of_area else piece.hours,
                            "share": piece.hours / at_work if of_area else float("nan"),
                        }
                    )
    table = pd.DataFrame(rows)
    table.attrs = {"units": unit("area", farm.units)}
    return table


def day_use(farm: Farm) -> pd.DataFrame:
    """Return what share of its days each machine spends on what, over all its fields.

    Days are as long as the operation and the operators allow, and suitable to their end; where
    several units work one field, each of them drives there and sets up.

    Parameters
    ----------
    farm : Farm

    Returns
    -------
    pandas.DataFrame
        A row for each option, machine and element, as in `time_use`; the `share` [1] of a machine's
        rows add up to 1. `day` is the length of its day [h].

    Examples
    --------
    >>> import fieldsim
    >>> table = day_use(fieldsim.demo_farm()).query("option == 'six_rows' and machine == 'disk'")
    >>> dict(zip(table.element, table.share.round(2)))["row"]
    0.77
    """
    table = time_use(farm)
    shares = []
    for (_, name), own in table.groupby(["option", "machine"], sort=False):
        in_morning, day = own.per == "day", _day(farm, str(name))
        spent = (own.hours * own.area.where(own.per == "area", own.units)).mask(in_morning, 0.0)
        on_field = spent.groupby(own.field).sum()
        mornings = own[in_morning].set_index("field").hours
        lost = min(1.0, float((mornings * on_field).sum() / on_field.sum()) / day)
        share = (spent / spent.sum() * (1.0 - lost)).mask(in_morning, lost / in_morning.sum())
        shares.append(own[KEYS].assign(share=share, day=day))
    return pd.concat(shares).groupby([*KEYS, "day"], sort=False).share.sum().reset_index()


def _worked(farm: Farm, machine: Machine) -> Iterator[tuple[str, FarmField]]:
    """Yield the fields on which a machine works."""
    crops = {crop for name in machine.operations for crop in farm.operations.get(name, {})}
    yield from ((name, field) for name, field in farm.fields.items() if field.crop in crops)


def _pieces(machine: Machine, field: FarmField, speed: float) -> Iterator[Piece]:
    """Yield the pieces of a machine's time on a field."""
    elements = time_elements(machine)
    if elements is None:
        hours, efficiency = 1.0 / block_capacity(machine, field, speed), machine.field_efficiency
        assert efficiency is not None
        yield Piece("area", "row", hours * efficiency)
        yield Piece("area", "stops", hours * (1.0 - efficiency))
    else:
        assert field.row_length is not None
        spent = time_per_area(speed, machine.working_width, field.row_length, elements)
        yield Piece("area", "row", spent.row)
        yield Piece("area", "turn", spent.turn)
        yield from (Piece("area", "fill", hours, name) for name, hours in spent.fills.items())
        yield Piece("area", "adjustment", spent.adjustment)
    yield Piece("field", "setup", block_setup(machine, field))
    yield Piece("day", "morning", morning_hours(machine, field))


def _day(farm: Farm, machine: str) -> float:
    """Return the hours of a machine's day: those of its longest operation, or the operator's."""
    part = farm.machines[machine]
    hours = max(
        operation.hours_per_day
        for name in part.operations
        for operation in farm.operations[name].values()
    )
    return hours if part.custom is not None else min(hours, farm.crew.hours_per_day)
