"""What lateness costs a crop beside its yield curve: weeds, drying, insurance."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fieldsim.crops import (
    HarvestMoisture,
    InsuranceRules,
    WeedCompetition,
    harvest_moisture,
    prevented_planting_payment,
    published_insurance,
    published_insurances,
    published_weed_competition,
    published_weed_competitions,
    revenue_guarantee,
)
from fieldsim.farm.crop_parts import UNKNOWN_WEIGHT, Crop, DryingPart, InsurancePart, WeedsPart
from fieldsim.farm.draft import Draft
from fieldsim.farm.names import outside_season
from fieldsim.quantities import KINDS, NO_TEST_WEIGHT, parse
from fieldsim.season import CalendarDay, Season

__all__ = ["LateCosts", "late_costs"]

MOST = {"yield": 1e4, "price": 1e7}  # as of a crop's own yield and price [t/ha, $/t]
WETTEST = 60.0  # far beyond any grain at harvest; the cost of drying grows without bound [%]
YEAR = 365  # days of a common year


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
    weeds = _weeds(draft, name, crop.weeds) if crop.weeds else None
    moisture, cost = _drying(draft, name, crop, crop.drying) if crop.drying else (None, 0.0)
    rules, guarantee = (
        _insurance(draft, name, crop, crop.insurance) if crop.insurance else (None, 0.0)
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


def _weeds(draft: Draft, name: str, part: WeedsPart) -> WeedCompetition | None:
    if part.table not in published_weed_competitions():
        repair = f"write one of {', '.join(published_weed_competitions())}"
        draft.fault(
            f"crops.{name}.weeds.table", part.table, "there is no such published table", repair
        )
        return None
    return replace(published_weed_competition(part.table), pressure=part.pressure)


def _drying(
    draft: Draft, name: str, crop: Crop, part: DryingPart
) -> tuple[HarvestMoisture | None, float]:
    path = f"crops.{name}.drying"
    written = draft.entry("crops", name, "drying", "on_time_until")[1]
    outside_season(draft, f"{path}.on_time_until", part.on_time_until, written)
    cost = _grain(draft, f"{path}.cost_per_point", part.cost_per_point, "price", name, crop)
    moisture = HarvestMoisture(
        part.base_moisture,
        _day_number(part.on_time_until, draft.season),
        part.points_on_time,
        part.points_per_day,
    )
    if draft.season is not None:
        wettest = float(harvest_moisture(moisture, draft.season.day_of_year[-1]))
        if wettest > WETTEST:
            problem = (
                f"grain planted on the last day would have {wettest:.0f} % of moisture: "
                f"at most {WETTEST:.0f} % is allowed"
            )
            repair = "write fewer points, such as 0.1"
            written = draft.entry("crops", name, "drying", "points_per_day")[1]
            draft.fault(f"{path}.points_per_day", written, problem, repair)
    return moisture, cost


def _day_number(day: CalendarDay, season: Season | None) -> int:
    """Return the day of a common year as the season counts it: on past 365 after New Year."""
    if season is None:
        return day.day_of_year
    years = season.date(season.index(day)).year - season.first_day.year
    return day.day_of_year + YEAR * years


def _insurance(
    draft: Draft, name: str, crop: Crop, part: InsurancePart
) -> tuple[InsuranceRules | None, float]:
    path = f"crops.{name}.insurance"
    yield_ = _grain(draft, f"{path}.yield", part.yield_, "yield", name, crop)
    price = _grain(draft, f"{path}.price", part.price, "price", name, crop)
    if part.published not in published_insurances():
        repair = f"write one of {', '.join(published_insurances())}"
        draft.fault(f"{path}.published", part.published, "there are no such rules", repair)
        return None, 0.0
    guarantee = float(revenue_guarantee(part.coverage, yield_, price))
    return published_insurance(part.published), guarantee


def _grain(draft: Draft, path: str, text: str, kind: str, name: str, crop: Crop) -> float:
    """Read a yield or price through the crop's test weight; 0 where it is at fault."""
    sound = draft.sound(f"crops.{name}.test_weight")
    weight = crop.test_weight if sound else UNKNOWN_WEIGHT
    try:
        number = parse(text, kind, test_weight=weight)
    except ValueError as error:
        lacks_weight = str(error) == NO_TEST_WEIGHT
        repair = 'add test_weight = "56 lb/bu"' if lacks_weight else f"write {KINDS[kind].example}"
        draft.fault(path, text, str(error), repair)
        return 0.0
    if number > MOST[kind]:
        allowed = (
            f"at most {MOST[kind]:,.0f} {KINDS[kind].metric.replace('dollar', '$')} is allowed"
        )
        draft.fault(path, text, f"is too large: {allowed}", f"write {KINDS[kind].example}")
        return 0.0
    return number
