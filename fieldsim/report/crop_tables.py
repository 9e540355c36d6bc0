"""What is assumed of the crops: yield, price, and what lateness costs."""

from __future__ import annotations

from fieldsim.farm import Farm
from fieldsim.farm.crop_parts import Crop
from fieldsim.plots.words import readable
from fieldsim.report.curves import curve_text, day_of_calendar
from fieldsim.report.shown import shown
from fieldsim.report.table import Table

__all__ = ["crop_tables"]


def crop_tables(farm: Farm) -> tuple[Table, ...]:
    """Return the tables of crops, yield curves, weeds, drying, replanting and insurance."""
    return (
        _crops(farm),
        _curves(farm),
        _weeds(farm),
        _drying(farm),
        _replanting(farm),
        _insurance(farm),
    )


def _crops(farm: Farm) -> Table:
    rows = []
    for name, crop in farm.crops.items():
        best = shown("yield", crop.yield_, farm.units, crop.test_weight)
        price = shown("price", crop.price, farm.units, crop.test_weight)
        weight, wet = crop.test_weight, crop.wet_soil_loss
        rows.append(
            (
                readable(name),
                best,
                price,
                str(crop.target_date),
                _late_rule(farm, name, crop),
                "" if weight is None else shown("test_weight", weight, farm.units),
                f"{shown('share', wet, farm.units)} of the yield" if wet else "",
            )
        )
    heads = ("crop", "yield on the best date", "price", "target for planting", "late land")
    more = ("test weight", "lost where planted too wet")
    return Table("Crops", (*heads, *more), tuple(rows))


def _late_rule(farm: Farm, name: str, crop: Crop) -> str:
    """Return what becomes of land that is still unplanted late, in words."""
    late, rules = crop.late, []
    if late.switch_to is not None:
        rules.append(f"from {late.switch_from} planted to {readable(late.switch_to)}")
    if late.unplanted_from is not None:
        payment = farm.late_costs[name].prevented_payment
        paid = shown("money_per_area", payment, farm.units)
        rules.append(f"from {late.unplanted_from} left unplanted, for {paid}")
    return "; ".join(rules) or "planted whenever it can be"


def _curves(farm: Farm) -> Table:
    rows = []
    for crop, curve in farm.curves.items():
        loss = farm.crops[crop].planting_loss
        times = "" if loss == 1.0 else f"{shown('share', loss, farm.units)} of the curve's"
        rows.append((readable(crop), *curve_text(curve), times))
    heads = ("crop", "curve", "source or form", "losses")
    return Table("Yield by planting date", heads, tuple(rows))


def _weeds(farm: Farm) -> Table:
    rows = []
    for name, crop in farm.crops.items():
        table = farm.late_costs[name].weeds
        if crop.weeds is not None and table is not None:
            pressure = shown("share", crop.weeds.pressure, farm.units)
            emergence = f"{crop.weeds.emergence} days after planting"
            season_long = shown("share", table.pressure * table.season_long, farm.units)
            losses = f"{season_long} of the yield"
            rows.append((readable(name), table.name, pressure, emergence, losses, table.source))
    heads = ("crop", "table", "pressure", "crop emerges", "never weeded costs", "source")
    return Table("Weeds, by the day they are removed", heads, tuple(rows))


def _drying(farm: Farm) -> Table:
    rows = []
    for name, crop in farm.crops.items():
        part = crop.drying
        if part is not None:
            rows.append(
                (
                    readable(name),
                    str(part.on_time_until),
                    f"{part.base_moisture:g} % and {part.points_on_time:g} points",
                    f"{part.points_per_day:g} points",
                    f"{part.cost_per_point} a point",
                )
            )
    heads = ("crop", "planted in time until", "moisture then", "for each day later", "drying")
    return Table("Drying", heads, tuple(rows))


def _replanting(farm: Farm) -> Table:
    rows = []
    for name, crop in farm.crops.items():
        part, units = crop.replanting, farm.units
        if part is not None:
            rows.append(
                (
                    readable(name),
                    shown("share", part.probability, units),
                    shown("share", part.land, units),
                    f"{part.after} days",
                    shown("money_per_area", part.cost, units),
                    shown("share", part.yield_kept, units),
                )
            )
    heads = ("crop", "in a share of springs", "of the crop's land", "after", "cost")
    kept = "yield, of land first planted then"
    return Table("Planting again", (*heads, kept), tuple(rows))


def _insurance(farm: Farm) -> Table:
    rows = []
    for name, crop in farm.crops.items():
        part, late = crop.insurance, farm.late_costs[name]
        rules = late.insurance
        if part is None or rules is None:
            continue
        cut, after, prevented = (
            shown("share", share, farm.units)
            for share in (rules.daily_cut, rules.share_after, rules.prevented_share)
        )
        rows.append(
            (
                readable(name),
                readable(part.published),
                shown("share", part.coverage, farm.units),
                f"{part.yield_} at {part.price}",
                shown("money_per_area", late.guarantee, farm.units),
                f"all of it until {day_of_calendar(rules.final_day)}; {cut} less for each of "
                f"{rules.late_days:g} days after; then {after}; {prevented} left unplanted",
            )
        )
    heads = ("crop", "published rules", "coverage", "of", "guarantee", "kept by planting date")
    note = "Examples: the policy, the county and the year decide."
    return Table("Crop insurance", heads, tuple(rows), note)
