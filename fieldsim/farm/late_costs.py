"""What lateness costs a crop beside its yield curve: weeds, drying, insurance."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fieldsim.crops import (
    HarvestMoisture,
    InsuranceRules,
    WeedCompetition,
    prevented_planting_payment,
    published_insurance,
    published_insurances,
    published_weed_competition,
    published_weed_competitions,
    revenue_guarantee,
)
from fieldsim.farm.crop_parts import Crop, DryingPart, InsurancePart, WeedsPart
from fieldsim.farm.draft import Draft
from fieldsim.farm.names import outside_season
from fieldsim.quantities import KINDS, NO_TEST_WEIGHT, parse

__all__ = ["LateCosts", "late_costs"]


@dataclass(frozen=True)
class LateCosts:
    """What lateness costs a crop; None where the farm does not count it.

    Parameters
    ----------
    weeds : WeedCompetition or None
    emergence : int
        Days from planting to emergence.
    moisture : HarvestMoisture or None
    point_cost : float
        Of drying a tonne by one percentage point [$/t].
    insurance : InsuranceRules or None
    guarantee : float
        Insured revenue of land planted in time [$/ha].
    prevented_payment : float
        What is paid for land that is left unplanted [$/ha].
    """

    weeds: WeedCompetition | None = None
    emergence: int = 0
    moisture: HarvestMoisture | None = None
    point_cost: float = 0.0
    insurance: InsuranceRules | None = None
    guarantee: float = 0.0
    prevented_payment: float = 0.0


def late_costs(draft: Draft, name: str, crop: Crop) -> LateCosts:
    """Return what lateness costs a crop; note in the draft what is wrong with it."""
    path = f"crops.{name}"
    weeds = _weeds(draft, f"{path}.weeds", crop.weeds) if crop.weeds else None
    moisture, cost = (
        _drying(draft, f"{path}.drying", crop, crop.drying) if crop.drying else (None, 0.0)
    )
    rules, guarantee = (
        _insurance(draft, f"{path}.insurance", crop, crop.insurance)
        if crop.insurance
        else (None, 0.0)
    )
    return LateCosts(
        weeds=weeds,
        emergence=crop.weeds.emergence if crop.weeds else 0,
        moisture=moisture,
        point_cost=cost,
        insurance=rules,
        guarantee=guarantee,
        prevented_payment=_prevented(crop, rules, guarantee),
    )


def _prevented(crop: Crop, rules: InsuranceRules | None, guarantee: float) -> float:
    """Return what unplanted land earns: as the late rule says, else what the insurance pays."""
    if "unplanted_revenue" in crop.late.model_fields_set or rules is None:
        return crop.late.unplanted_revenue
    return float(prevented_planting_payment(rules, guarantee))


def _weeds(draft: Draft, path: str, part: WeedsPart) -> WeedCompetition | None:
    if part.table not in published_weed_competitions():
        repair = f"write one of {', '.join(published_weed_competitions())}"
        draft.fault(f"{path}.table", part.table, "there is no such published table", repair)
        return None
    return replace(published_weed_competition(part.table), pressure=part.pressure)


def _drying(
    draft: Draft, path: str, crop: Crop, part: DryingPart
) -> tuple[HarvestMoisture | None, float]:
    place, written = draft.entry(*path.split("."), "on_time_until")
    outside_season(draft, place, part.on_time_until, written)
    cost = _grain(draft, f"{path}.cost_per_point", part.cost_per_point, "price", crop)
    moisture = HarvestMoisture(
        part.base_moisture,
        part.on_time_until.day_of_year,
        part.points_on_time,
        part.points_per_day,
    )
    return moisture, cost


def _insurance(
    draft: Draft, path: str, crop: Crop, part: InsurancePart
) -> tuple[InsuranceRules | None, float]:
    yield_ = _grain(draft, f"{path}.yield", part.yield_, "yield", crop)
    price = _grain(draft, f"{path}.price", part.price, "price", crop)
    if part.published not in published_insurances():
        repair = f"write one of {', '.join(published_insurances())}"
        draft.fault(f"{path}.published", part.published, "there are no such rules", repair)
        return None, 0.0
    guarantee = float(revenue_guarantee(part.coverage, yield_, price))
    return published_insurance(part.published), guarantee


def _grain(draft: Draft, path: str, text: str, kind: str, crop: Crop) -> float:
    """Read a yield or price through the crop's test weight; 0 where it is at fault."""
    try:
        number = parse(text, kind, test_weight=crop.test_weight)
    except ValueError as error:
        lacks_weight = str(error) == NO_TEST_WEIGHT
        repair = 'add test_weight = "56 lb/bu"' if lacks_weight else f"write {KINDS[kind].example}"
        draft.fault(path, text, str(error), repair)
        return 0.0
    if number < 0:
        draft.fault(path, text, "must not be negative", f"write {KINDS[kind].example}")
        return 0.0
    return number
