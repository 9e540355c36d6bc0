"""Seasons worked out by hand on the farm of `tests.farms.HAND_FARM`.

40 ha of corn, 10 t/ha at $100/t: $1000/ha, $40,000 in all. Soybeans would make 3 t/ha at $300/t:
$900/ha. The planter works 1 ha/h for 10 h a day: 10 ha a day. Each day after 10 April costs 1 % of
the yield. Land is tilled long before planting begins.
"""

from __future__ import annotations

import numpy as np
import pytest
import xarray as xr

from fieldsim.simulation import simulate
from tests.farms import hand_farm

FROM_11_APRIL = ('lag = "1 day"', 'lag = "1 day"\nearliest = "11 Apr"')
FROM_29_APRIL = ('lag = "1 day"', 'lag = "1 day"\nearliest = "29 Apr"')


def late(rule: str) -> tuple[str, str]:
    return "\n[crops.soybeans]", f"\n[crops.corn.late]\n{rule}\n\n[crops.soybeans]"


def season(*changes: tuple[str, str]) -> xr.Dataset:
    """Return the outcomes of the one option in a season in which every day is suitable."""
    return simulate(hand_farm(*changes), 1).isel(option=0, season=0)


def causes(outcomes: xr.Dataset) -> dict[str, float]:
    """Return lost revenue by the causes that lost any [$]."""
    loss = outcomes.lost_revenue_by_cause.sel(crop="corn")
    lost = {str(cause): round(float(loss.sel(cause=cause)), 6) for cause in loss.cause.values}
    return {cause: money for cause, money in lost.items() if money}


def areas(outcomes: xr.Dataset, crop: str = "corn") -> dict[str, float]:
    """Return what became of the planting of a crop's land, without what did not happen [ha]."""
    names = [name for name in outcomes.data_vars if str(name).endswith("_area")]
    planting = {
        str(name): round(float(outcomes[name].sel(operation="plant", crop=crop)), 9)
        for name in names
        if name not in ("crop_area", "equipment_area")
    }
    return {name: area for name, area in planting.items() if area}


def test_a_season_in_time_loses_nothing() -> None:
    outcomes = season()
    # 1 April: 20 ha tilled. 2nd and 3rd: these are planted, which leaves no hour for tillage.
    # 4th: 20 ha tilled. 5th and 6th: planted.
    finish = outcomes.finish_date.sel(crop="corn")
    assert str(finish.sel(operation="till").values)[:10] == "2026-04-04"
    assert str(finish.sel(operation="plant").values)[:10] == "2026-04-06"
    assert causes(outcomes) == {}
    assert areas(outcomes) == {"done_area": 40.0}


def test_late_planting_loses_by_the_day() -> None:
    outcomes = season(FROM_11_APRIL)
    # 10 ha each on 11 to 14 April: 10 ha x $1000/ha x (1 + 2 + 3 + 4) %.
    assert causes(outcomes) == {"planting_date": 1000.0}
    assert float(outcomes.lost_revenue.sel(crop="corn")) == pytest.approx(1000.0)


def test_land_left_at_the_end_of_the_season_loses_all() -> None:
    outcomes = season(FROM_29_APRIL)
    # 10 ha each on 29 and 30 April: 10 x $1000 x (19 + 20) %; 20 ha are left: 20 x $1000.
    assert causes(outcomes) == {"planting_date": 3900.0, "unplanted": 20_000.0}
    assert areas(outcomes) == {"done_area": 20.0, "unfinished_area": 20.0}
    assert np.isnat(outcomes.finish_date.sel(operation="plant", crop="corn").values)


def test_land_missed_after_the_latest_day_loses_all() -> None:
    outcomes = season(('lag = "1 day"', 'lag = "1 day"\nearliest = "11 Apr"\nlatest = "12 Apr"'))
    # 10 ha each on 11 and 12 April: 10 x $1000 x (1 + 2) %; 20 ha are missed.
    assert causes(outcomes) == {"planting_date": 300.0, "unplanted": 20_000.0}
    assert areas(outcomes) == {"done_area": 20.0, "missed_area": 20.0}


def test_switched_land_loses_what_the_other_crop_earns_less() -> None:
    outcomes = season(FROM_11_APRIL, late('switch_to = "soybeans"\nswitch_from = "13 Apr"'))
    # Corn on 11 and 12 April: $300 as above. The other 20 ha would have made $20,000; soybeans
    # on 13 and 14 April make 10 x $900 x (97 + 96) % = $17,370.
    assert causes(outcomes) == {
        "planting_date": 300.0,
        "switched": 20_000.0 - 17_370.0,
    }
    assert areas(outcomes) == {"done_area": 20.0, "switched_area": 20.0}
    assert areas(outcomes, "soybeans") == {"done_area": 20.0}
    assert float(outcomes.lost_revenue.sel(crop="soybeans")) == 0
    assert float(outcomes.potential_revenue.sel(crop="soybeans")) == 0
    finish = outcomes.finish_date.sel(operation="plant", crop="soybeans")
    assert str(finish.values)[:10] == "2026-04-14"


def test_land_left_unplanted_by_the_rule_loses_what_it_does_not_earn_fallow() -> None:
    outcomes = season(
        FROM_11_APRIL, late('unplanted_from = "13 Apr"\nunplanted_revenue = "$200/ha"')
    )
    # Corn on 11 and 12 April: $300. 20 ha make $200/ha instead of $1000/ha.
    assert causes(outcomes) == {"planting_date": 300.0, "unplanted": 16_000.0}
    assert areas(outcomes) == {"done_area": 20.0, "prevented_area": 20.0}


def test_switched_land_left_unplanted_counts_with_the_switch() -> None:
    outcomes = season(
        FROM_11_APRIL,
        late('switch_to = "soybeans"\nswitch_from = "13 Apr"'),
        ("[fields.north]", '[crops.soybeans.late]\nunplanted_from = "14 Apr"\n'
         'unplanted_revenue = "$150/ha"\n\n[fields.north]'),
    )  # fmt: skip
    # Of the 20 ha switched, 10 make $900 x 97 % and 10 are left unplanted for $150/ha.
    assert causes(outcomes) == {
        "planting_date": 300.0,
        "switched": 20_000.0 - 10 * 900 * 0.97 - 10 * 150,
    }
    assert areas(outcomes, "soybeans") == {"done_area": 10.0, "prevented_area": 10.0}


def test_switched_land_that_is_never_planted_loses_all() -> None:
    outcomes = season(FROM_29_APRIL, late('switch_to = "soybeans"\nswitch_from = "30 Apr"'))
    # Corn on 29 April: 10 x $1000 x 19 %. 30 ha are switched; 10 of them make $900 x 80 %.
    assert causes(outcomes) == {
        "planting_date": 1900.0,
        "switched": 30_000.0 - 10 * 900 * 0.80,
    }
    assert areas(outcomes, "soybeans") == {"done_area": 10.0, "unfinished_area": 20.0}


def test_labor_is_paid_for_machine_hours_and_the_share_above_them() -> None:
    outcomes = season(("interest", 'labor_above_machine_hours = "15 %"\ninterest'))
    hours = outcomes.machine_hours.sel(crop="corn")
    # 40 ha at 2 ha/h and at 1 ha/h.
    assert hours.values.tolist() == pytest.approx([20.0, 40.0])
    assert outcomes.labor_hours.sel(crop="corn").values.tolist() == pytest.approx([23.0, 46.0])
    assert float(outcomes.labor_cost) == pytest.approx(60 * 1.15 * 20)


def test_setting_up_counts_as_machine_hours_of_every_unit() -> None:
    outcomes = season(
        ('width = "2.5 m"', 'width = "2.5 m"\nroad_speed = "20 km/h"\nfold_time = "15 min"'),
        ('width = "5 m"', 'width = "5 m"\nroad_speed = "20 km/h"'),
        ('area = "40 ha"', 'area = "40 ha"\ndistance = "4 km"'),
        ("planter = 1 }", "planter = 2 }"),
    )
    # Road of 4 km at 20 km/h: 0.2 h; folding and unfolding: 0.5 h; each for both planters.
    hours = outcomes.machine_hours.sel(crop="corn")
    assert hours.values.tolist() == pytest.approx([20 + 0.2, 40 + 2 * (0.2 + 0.5)])


def test_owning_costs_the_loss_of_value_with_interest_and_taxes_of_every_unit() -> None:
    priced = ('width = "2.5 m"', 'width = "2.5 m"\nprice = "$50,000"\nyears = 10\nsalvage = "20 %"')
    shares = ('interest = "0 %"', 'interest = "0 %"\ntaxes_insurance_housing = "1 %"')
    # ($50,000 - $10,000) / 10 years + 1 % of $50,000
    assert float(season(priced, shares).ownership_cost) == pytest.approx(4500.0)
    two = ("planter = 1 }", "planter = 2 }")
    assert float(season(priced, shares, two).ownership_cost) == pytest.approx(9000.0)


def test_owning_with_interest_is_an_annuity() -> None:
    outcomes = season(
        ('width = "2.5 m"', 'width = "2.5 m"\nprice = "$50,000"\nyears = 10\nsalvage = "20 %"'),
        ('interest = "0 %"', 'interest = "5 %"'),
    )
    # The yearly payment whose worth today is the price less the worth today of the salvage.
    today = 50_000 - 10_000 / 1.05**10
    assert float(outcomes.ownership_cost) == pytest.approx(
        today / sum(1.05**-year for year in range(1, 11))
    )
