"""Every argument of the curves is taken up to the bounds that its docstring states, no further."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from fieldsim.crops import (
    HarvestMoisture,
    InsuranceRules,
    PlateauCurve,
    QuadraticCurve,
    Replanting,
    WeedCompetition,
    drying_cost,
    expected_replanting_cost,
    least_prevented_area,
    prevented_planting_payment,
    replanting_loss,
    revenue_guarantee,
    wet_mass,
)
from tests.bounds import check_bounds

CURVE = QuadraticCurve(best_day=120, curvature=1e-4)
MOISTURE = HarvestMoisture(base=15.0, reference_day=120, points_on_time=5.0)
RULES = InsuranceRules(150, 20, daily_cut=0.01, share_after=0.55, prevented_share=0.6)
AGAIN = Replanting(0.1, 125.0, (15.0, 25.0), (0.25, 0.75), yield_kept=0.9)
WEEDS = WeedCompetition(days=(10,), losses=(0.1,), season_long=0.5)
POSITIVE = {"at_least": 0.0}
SHARE = {"at_least": 0.0, "at_most": 1.0}
PERCENT = {"at_least": 0.0, "at_most": 99.0}
CASES: list[tuple[str, dict[str, float], Callable[[float], object]]] = [
    ("curvature", POSITIVE, lambda x: QuadraticCurve(120.0, x)),
    ("slope_before", POSITIVE, lambda x: PlateauCurve(100.0, x, ((110.0, 0.1),))),
    ("slopes", POSITIVE, lambda x: PlateauCurve(100.0, 0.0, ((110.0, x),))),
    ("base", PERCENT, lambda x: replace(MOISTURE, base=x)),
    ("points_on_time", POSITIVE, lambda x: replace(MOISTURE, points_on_time=x)),
    ("points_per_day", POSITIVE, lambda x: replace(MOISTURE, points_per_day=x)),
    ("mass", POSITIVE, lambda x: wet_mass(x, 15.0, 20.0)),
    ("base", PERCENT, lambda x: wet_mass(1.0, x, 20.0)),
    ("moisture", PERCENT, lambda x: wet_mass(1.0, 15.0, x)),
    ("yield_", POSITIVE, lambda x: drying_cost(MOISTURE, 120, x, 1.5)),
    ("cost", POSITIVE, lambda x: drying_cost(MOISTURE, 120, 10.0, x)),
    ("late_days", POSITIVE, lambda x: replace(RULES, late_days=x)),
    ("daily_cut", SHARE, lambda x: replace(RULES, late_days=0, daily_cut=x)),
    ("share_after", SHARE, lambda x: replace(RULES, share_after=x)),
    ("prevented_share", SHARE, lambda x: replace(RULES, prevented_share=x)),
    ("late_days", {"at_most": 1.0}, lambda x: replace(RULES, late_days=100 * x)),
    ("coverage", SHARE, lambda x: revenue_guarantee(x, 10.0, 150.0)),
    ("yield_", POSITIVE, lambda x: revenue_guarantee(0.8, x, 150.0)),
    ("price", POSITIVE, lambda x: revenue_guarantee(0.8, 10.0, x)),
    ("guarantee", POSITIVE, lambda x: prevented_planting_payment(RULES, x)),
    ("unit_area", POSITIVE, lambda x: least_prevented_area(x)),
    ("probability", SHARE, lambda x: replace(AGAIN, probability=x)),
    ("cost", POSITIVE, lambda x: replace(AGAIN, cost=x)),
    ("delays", POSITIVE, lambda x: replace(AGAIN, delays=(x, 25.0))),
    ("shares", SHARE, lambda x: shared_out(x)),
    ("yield_kept", SHARE, lambda x: replace(AGAIN, yield_kept=x)),
    ("delay", POSITIVE, lambda x: replanting_loss(CURVE, 120, x, 0.9)),
    ("yield_kept", SHARE, lambda x: replanting_loss(CURVE, 120, 10, x)),
    ("yield_", POSITIVE, lambda x: expected_replanting_cost(AGAIN, CURVE, 120, x, 150.0)),
    ("price", POSITIVE, lambda x: expected_replanting_cost(AGAIN, CURVE, 120, 10.0, x)),
    ("days", {"above": 0.0}, lambda x: replace(WEEDS, days=(x,))),
    ("losses", {"above": 0.0}, lambda x: replace(WEEDS, losses=(x,))),
    ("season_long", {"at_least": 0.1, "at_most": 1.0}, lambda x: replace(WEEDS, season_long=x)),
    ("pressure", SHARE, lambda x: replace(WEEDS, pressure=x)),
]


def shared_out(share: float) -> Replanting:
    """Return replanting with one share given and two that make up the whole."""
    rest = (1.0 - share) / 2
    return replace(AGAIN, delays=(15.0, 20.0, 25.0), shares=(share, rest, rest))


@pytest.mark.parametrize(("name", "bounds", "call"), CASES)
def test_an_argument_is_taken_up_to_its_bounds(
    name: str, bounds: dict[str, float], call: Callable[[float], object]
) -> None:
    check_bounds(call, name, **bounds)
