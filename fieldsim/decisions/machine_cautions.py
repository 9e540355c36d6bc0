"""What a farm's machines call for care about: their width on roads, fertilizer with the seed."""

from __future__ import annotations

from collections.abc import Iterator

from fieldsim.farm import Farm
from fieldsim.farm.machine_parts import Fill, Machine
from fieldsim.farm.names import listed
from fieldsim.machines.seed_placement import seed_placement_crops, seed_placement_limit
from fieldsim.quantities import factor, split, unit

__all__ = ["plain", "roads", "seed_placement"]

ROAD_WIDTH = 2.6  # [m], 8.5 ft: where codes begin to ask for more; common practice, no source
USUAL_SPACING = 0.762  # [m], 30 in: taken where a planter gives no row spacing


def plain(name: str) -> str:
    """Return a name of the farm file as words."""
    return name.replace("_", " ")


def roads(farm: Farm) -> tuple[str, str] | None:
    """Return what is wide on roads: the text and where it stands; None where nothing is."""
    own = {name: part for name, part in _in_use(farm).items() if part.custom is None}
    widths = {name: _road_width(part) for name, part in own.items() if _goes_by_road(farm, part)}
    wide = {name: width for name, width in widths.items() if width and width > ROAD_WIDTH}
    unknown = [name for name, width in widths.items() if width is None]
    said = []
    if wide:
        shown = factor("width", farm.units)
        named = ", ".join(
            f"{plain(name)} ({width * shown:.3g} {unit('width', farm.units)})"
            for name, width in wide.items()
        )
        limit = "8.5 ft" if farm.units == "us" else f"{ROAD_WIDTH:g} m"
        said.append(
            f"On the road these are wider than {limit}: {named}. About there codes begin to ask "
            "for permits, lights, markings, escorts or hours of travel (common practice); those of "
            "your state and county decide."
        )
    if unknown:
        named = listed([plain(name) for name in unknown])
        said.append(f"Folded width not given (transport_width): {named}. Measure before you go.")
    if not said:
        return None
    return " ".join(said), ", ".join(f"machines.{name}" for name in (*wide, *unknown))


def seed_placement(farm: Farm) -> tuple[str, str] | None:
    """Return what goes with the seed: the text and where it stands; None where nothing does."""
    said, where = [], []
    for name, machine in _in_use(farm).items():
        for material, fill in machine.time.fills.items() if machine.time else ():
            if fill.placement != "with_seed":
                continue
            found = [*_of_fill(farm, name, machine, material, fill)]
            said += found
            where += [f"machines.{name}.time.fills.{material}"] if found else []
    if not said:
        return None
    text = (
        f"{' '.join(dict.fromkeys(said))} How much is safe depends on product, moisture and soil: "
        "local tables and the label decide; ask a licensed or certified crop adviser."
    )
    return text, ", ".join(where)


def _in_use(farm: Farm) -> dict[str, Machine]:
    """Return the machines that any option has."""
    used = {name for option in farm.options.values() for name in option.machines}
    return {name: machine for name, machine in farm.machines.items() if name in used}


def _crops(farm: Farm, machine: Machine) -> set[str]:
    return {crop for name in machine.operations for crop in farm.operations[name]}


def _goes_by_road(farm: Farm, machine: Machine) -> bool:
    crops = _crops(farm, machine)
    return any(field.distance > 0 for field in farm.fields.values() if field.crop in crops)


def _road_width(machine: Machine) -> float | None:
    """Return how wide a machine is on the road [m]; None where it folds and does not say."""
    if machine.transport_width is not None:
        return machine.transport_width
    folds = machine.fold_time > 0 and machine.working_width > ROAD_WIDTH
    return None if folds else machine.working_width


def _of_fill(farm: Farm, name: str, machine: Machine, material: str, fill: Fill) -> Iterator[str]:
    """Yield what is to be said of one material that is placed with the seed."""
    what = f"{plain(name).capitalize()}, {plain(material)} with the seed"
    amount = _mass_rate(fill.rate)
    if fill.nitrogen_and_potash is None:
        yield (
            f"{what}: its share of nitrogen and potash is not given (nitrogen_and_potash), so that "
            "nobody can tell here whether the seed stands it."
        )
        return
    if fill.nitrogen_and_potash == 0:
        return
    if amount is None:
        yield f"{what}: its rate ({fill.rate}) is no weight, so that N + K2O cannot be told."
        return
    for crop in farm.crops:
        if crop in _crops(farm, machine):
            yield from _on_crop(farm, what, machine, crop, amount * fill.nitrogen_and_potash)


def _on_crop(farm: Farm, what: str, machine: Machine, crop: str, salts: float) -> Iterator[str]:
    """Yield what is to be said of so much N + K2O [kg/ha] with the seed of a crop."""
    known = next((name for name in seed_placement_crops() if name in crop.lower()), None)
    if known is None:
        yield f"{what} of {plain(crop)}: no usual limit is known here."
        return
    spacing = machine.row_spacing or USUAL_SPACING
    coarse = any(f.texture == "coarse" for f in farm.fields.values() if f.crop == crop)
    limit = seed_placement_limit(known, spacing, coarse=coarse)
    if salts > limit:
        usual = "none is usual" if limit == 0 else f"at most {_amount(limit, farm)} is usual"
        soil = " on sandy soil" if coarse and limit else ""
        yield (
            f"{what} of {plain(crop)}: {_amount(salts, farm)} of N + K2O, where {usual} in such "
            f"rows{soil} (common practice, from memory)."
        )


def _mass_rate(rate: str) -> float | None:
    """Return a rate of application [kg/ha]; None where it is no mass an area."""
    try:
        return float(split(rate).to("kg/hectare").magnitude)
    except Exception:  # odd units break pint's conversion in many ways
        return None


def _amount(number: float, farm: Farm) -> str:
    """Return an amount an area, given in kg/ha, in the units of the farm."""
    label, pound = "kg/ha", 1.0
    if farm.units == "us":
        label, pound = "lb/acre", float(split("1 kg/hectare").to("lb/acre").magnitude)
    shown = number * pound
    return f"{shown:,.0f} {label}" if shown >= 10 else f"{shown:.2g} {label}"
