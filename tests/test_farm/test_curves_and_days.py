from __future__ import annotations

import numpy as np
import pytest

from fieldsim.crops import published_curve, relative_yield
from fieldsim.crops.yield_curve import PlateauCurve, QuadraticCurve, TableCurve
from fieldsim.days import DailyChain, WeeklyTable
from fieldsim.farm import Farm, parse_farm
from tests.farms import ALWAYS, HAND_FARM, HAND_TABLES, SMALL_TABLES, changed, small_farm

CURVE = '"corn_minnesota_1988_2003"'
SLOPES = '[{ from = "10 May", loss = "0.5 %/day" }, { from = "1 Jun", loss = "1 %/day" }]'


def curve_of(written: str) -> object:
    return small_farm((CURVE, written)).curves["corn"]


def test_a_published_curve_is_found_by_its_name() -> None:
    assert curve_of(CURVE) == published_curve("corn_minnesota_1988_2003")
    assert curve_of('{ published = "soybean_minnesota" }') == published_curve("soybean_minnesota")


def test_a_curve_of_ones_own_is_read_from_its_table() -> None:
    curve = small_farm().curves["soybeans"]
    assert isinstance(curve, TableCurve)
    assert (curve.days, curve.relative) == ((121.0, 152.0, 182.0), (1.0, 0.8, 0.5))


def test_a_quadratic_curve_has_its_top_on_the_best_day() -> None:
    curve = curve_of('{ quadratic = { best_day = "28 Apr", loss_per_day_squared = 0.0002 } }')
    assert curve == QuadraticCurve(118, 0.0002)


def test_a_plateau_has_its_losses_from_their_days_on() -> None:
    curve = curve_of(
        '{ plateau = { full_from = "15 Apr", loss_before = "0.2 %/day", losses = ' + SLOPES + " } }"
    )
    assert curve == PlateauCurve(105, 0.002, ((130, 0.005), (152, 0.01)))


def winter_farm(curve: str) -> Farm:
    """Return a farm whose season crosses New Year, with a curve for its corn."""
    head, tail = HAND_FARM.split("[crops.corn.yield_by_planting_date.plateau]", 1)
    text = head + curve + "\n[crops.soybeans]" + tail.split("[crops.soybeans]", 1)[1]
    return parse_farm(
        changed(
            ('first_day = "1 Apr"', 'first_day = "1 Nov"'),
            ('last_day = "30 Apr"', 'last_day = "28 Feb"'),
            text=text.replace('"20 Apr"', '"20 Nov"'),
        ),
        HAND_TABLES,
    )


@pytest.mark.parametrize(
    ("curve", "best"),
    [
        ('[crops.corn.yield_by_planting_date.quadratic]\nbest_day = "10 Jan"\n'
         "loss_per_day_squared = 0.0001", [70]),
        ('[crops.corn.yield_by_planting_date.plateau]\nfull_from = "20 Dec"\n'
         'loss_before = "1 %/day"\nlosses = [{ from = "5 Jan", loss = "1 %/day" }]',
         [*range(49, 66)]),
    ],
)  # fmt: skip
def test_a_curve_counts_on_where_the_season_crosses_new_year(curve: str, best: list[int]) -> None:
    farm = winter_farm(curve)
    relative = relative_yield(farm.curves["corn"], farm.season.day_of_year)
    assert np.flatnonzero(relative == 1.0).tolist() == best


def test_weeks_are_read_with_their_parameters() -> None:
    source = small_farm(
        ("week_correlation = 0.3", 'season_share = 0.2\ntails = "hold"\npersistence = 0.7')
    ).day_source
    assert isinstance(source, WeeklyTable)
    assert (source.season_share, source.tails, source.persistence) == (0.2, "hold", 0.7)
    assert source.week_correlation == 0.3


def test_a_daily_chain_is_read() -> None:
    chain = "date,suitable_after_suitable,suitable_after_unsuitable\n1 Apr,0.8,0.2\n1 Jul,0.9,0.4\n"
    text = changed(('"weekly_table"', '"daily_chain"'), ("week_correlation = 0.3\n", ""))
    source = parse_farm(text, SMALL_TABLES | {"days.csv": chain}).day_source
    assert isinstance(source, DailyChain)
    assert source.after_suitable == (0.8, 0.9)


def test_a_chain_of_suitable_days_only_draws_nothing_else() -> None:
    farm = parse_farm(HAND_FARM, {"days.csv": ALWAYS})
    assert (farm.day_source.draw(farm.season, 20, 0) == 1.0).all()
