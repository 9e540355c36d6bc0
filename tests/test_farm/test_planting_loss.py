"""What late planting loses, made larger or smaller for one crop of a farm."""

from __future__ import annotations

import numpy as np
import pytest

from fieldsim.farm import changed, parse_farm
from fieldsim.simulation import simulate
from fieldsim.work.plan import make_plan
from fieldsim.work.tasks import tasks_of
from tests.farms import SMALL_TABLES, faults_of, hand_farm
from tests.farms import changed as with_text
from tests.one_field import one_field

DAY = 'target_date = "10 May"\n'
PATH = "crops.corn.planting_loss"


def weights(loss: object) -> np.ndarray:
    """Relative yield by planting day of the hand-worked farm's corn."""
    farm = changed(hand_farm(), {PATH: loss})
    return make_plan(farm, tasks_of(farm), "usual").days["weight"][:, 1]


def test_without_a_word_the_curve_holds_to_the_last_bit() -> None:
    farm = hand_farm()
    plain = make_plan(farm, tasks_of(farm), "usual").days["weight"][:, 1]
    assert np.array_equal(weights("100 %"), plain)
    assert np.array_equal(weights(1.0), plain)


@pytest.mark.parametrize(("loss", "factor"), [("150 %", 1.5), (0.5, 0.5), (0, 0.0), (10, 10.0)])
def test_losses_are_multiplied_and_never_take_more_than_the_whole_yield(
    loss: object, factor: float
) -> None:
    expected = np.clip(1 - factor * (1 - weights(1)), 0, 1)
    assert weights(loss) == pytest.approx(expected, abs=1e-12)
    assert weights(loss).min() >= 0


def test_lost_revenue_by_planting_date_follows_the_factor_and_finish_dates_do_not() -> None:
    chain = {"days.csv": "date,suitable_after_suitable,suitable_after_unsuitable\n1 Apr,0.8,0.3\n"}
    curve = (
        '{ plateau = { full_from = "1 Apr", losses = [{ from = "12 Apr", loss = "1 %/day" }] } }'
    )
    farm = parse_farm(one_field(area=600, curve=curve, earliest="5 Apr"), chain)
    plain, double = (simulate(changed(farm, {PATH: loss}), 50) for loss in (1, "200 %"))
    by_date = [
        o.lost_revenue_by_cause.sel(cause="planting_date").values.ravel() for o in (plain, double)
    ]
    assert by_date[0].mean() > 0
    assert by_date[1] == pytest.approx(2 * by_date[0])
    assert (plain.finish_date == double.finish_date).all()


def test_yield_of_land_planted_again_loses_by_the_factor_too() -> None:
    again = {"probability": 1, "land": "50 %", "after": "10 days", "cost": "$0/ha"}
    farm = changed(hand_farm(), {"crops.corn.replanting": again})
    second = [
        make_plan(f, tasks_of(f), "usual").days["second_weight"][:, 1]
        for f in (farm, changed(farm, {PATH: 3}))
    ]
    assert second[0].min() < 1
    assert second[1] == pytest.approx(np.clip(1 - 3 * (1 - second[0]), 0, 1))


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("-0.1", "= -0.1: from 0 % to 1000 % is allowed"),
        ('"1100 %"', '= "1100 %": from 0 % to 1000 % is allowed'),
        ("true", "= true: not text with a unit"),
        ('"120"', '= "120": the unit is missing'),
        ('"5 mph"', '= "5 mph": "mph" is not a unit of share'),
        ("nan", "= nan: from 0 % to 1000 % is allowed"),
    ],
)
def test_what_is_no_factor_is_told_with_what_to_write(entry: str, said: str) -> None:
    text = with_text((DAY, f"{DAY}planting_loss = {entry}\n"))
    [fault] = faults_of(text, SMALL_TABLES)
    assert str(fault) == f'farm.toml: {PATH} {said}; write a number such as 1.2, or "120 %"'
