"""Whether inputs and their ranges are sound, by themselves and on a farm; every fault at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from fieldsim.decisions.sensitivity.inputs import Input, farm_at, figure_of, is_curve, span
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm

__all__ = ["check_inputs", "input_faults"]

KINDS = ("factor", "figure")
MOST_FACTOR = 1000.0


def input_faults(item: Input) -> list[Fault]:
    """Return what is wrong with an input by itself; its paths need a farm to be checked."""
    place = f"input {item.name!r}"
    faults = []
    if not item.name.strip() or not item.name.isprintable():
        repair = 'give it a short, plain name, as "corn price"'
        faults.append(Fault("", place, "", "an input needs a name", repair))
    if not item.paths or not all(path.strip() for path in item.paths):
        repair = 'write a path of the farm file, as "crops.corn.price"'
        faults.append(Fault("", f"{place}: paths", "", "an input needs a path", repair))
    if item.kind not in KINDS:
        repair = 'write "factor" or "figure"'
        faults.append(Fault("", f"{place}: kind", repr(item.kind), "no such kind", repair))
        return faults
    ends = {side: figure_of(getattr(item, side)) for side in ("low", "high")}
    for side, end in ends.items():
        written = f'"{getattr(item, side)}"'
        factor = end is not None and not (end.before or end.after)
        if item.kind == "factor" and not (end and factor and end.number <= MOST_FACTOR):
            problem = f"a factor is a number from 0 to {MOST_FACTOR:,.0f}"
            faults.append(Fault("", f"{place}: {side}", written, problem, "write it as 0.8"))
        elif end is None:
            repair = 'write it as in the farm file, as "$3.60/bu"'
            faults.append(Fault("", f"{place}: {side}", written, "not a figure", repair))
    low, high = ends["low"], ends["high"]
    if faults or low is None or high is None:
        return faults
    if (low.before, low.after) != (high.before, high.after):
        written = f'"{item.low}" to "{item.high}"'
        problem, repair = "the two ends have different units", "write both in one unit"
        faults.append(Fault("", f"{place}: low, high", written, problem, repair))
    elif low.number >= high.number:
        written = f"{item.low} to {item.high}"
        problem, repair = "low must lie below high", "write the smaller one first"
        faults.append(Fault("", f"{place}: low, high", written, problem, repair))
    if item.kind == "figure" and any(is_curve(path) for path in item.paths):
        problem, repair = "losses by planting date take a factor", 'write kind "factor"'
        faults.append(Fault("", f"{place}: kind", "figure", problem, repair))
    return faults


def check_inputs(farm: Farm, inputs: Sequence[Input]) -> None:
    """Raise unless every input is sound, and the farm is at both ends of each.

    Raises
    ------
    InputError
        With every fault found.
    """
    faults = [fault for item in inputs for fault in input_faults(item)]
    if not inputs:
        faults.append(Fault("", "inputs", "", "there is none", "name one or more"))
    for what, found in (
        ("inputs have this name", [item.name for item in inputs]),
        ("inputs move this figure", [path for item in inputs for path in item.paths]),
    ):
        faults += [
            Fault("", repr(name), "", f"{count} {what}", "leave all but one out")
            for name, count in Counter(found).items()
            if count > 1
        ]
    for item in inputs if not faults else ():
        for side, position in zip(("low", "high"), span(item), strict=True):
            try:
                farm_at(farm, {item: position})
            except InputError as error:
                place = f"input {item.name!r}: {side}: "
                faults += [replace(f, file="", field=place + f.field) for f in error.faults]
    if faults:
        raise InputError(dict.fromkeys(faults))
