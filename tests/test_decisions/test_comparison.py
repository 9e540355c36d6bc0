from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import fieldsim
from fieldsim.decisions import total_cost

from .invented import DATES, outcomes_of

LOST = np.arange(100.0) * 100  # 0 to 9,900
OTHER = 300 + 200 + 0  # fuel, repairs, hired work


def test_costs_of_a_year_are_those_of_equipment_work_and_lost_revenue_together() -> None:
    outcomes = outcomes_of({"a": LOST, "b": LOST}, ownership={"a": 50.0, "b": 70.0})
    np.testing.assert_allclose(total_cost(outcomes).sel(option="b"), LOST + 1000 + 70 + OTHER)
    row = fieldsim.compare(outcomes).loc["a"]
    assert row.total_cost == pytest.approx(4950 + 1000 + 50 + OTHER)
    assert row.total_cost_error == pytest.approx(LOST.std(ddof=1) / 10)
    assert row.lost_revenue == pytest.approx(4950)
    assert row.lost_revenue_1_in_10 == 8900  # the 90th of 100 in order
    # z sqrt(n p q) = 1.96 * 3 = 5.88: the 85th and the 96th in order
    assert (row.lost_revenue_1_in_10_from, row.lost_revenue_1_in_10_to) == (8300, 9500)
    assert row.lost_revenue_worst == 9900


def test_differences_are_paired_by_season() -> None:
    steps = np.where(np.arange(100) < 80, -10.0, 20.0)  # cheaper by 10 in 80 seasons of 100
    table = fieldsim.compare(outcomes_of({"a": LOST, "b": LOST + steps}))
    row = table.loc["b"]
    assert row.difference == pytest.approx(-4.0)
    assert row.difference_error == pytest.approx(steps.std(ddof=1) / 10)
    assert row.seasons_won == 0.8
    # Unpaired, the seasons' spread would drown it: 287 $ of standard error each.
    assert not row.cannot_tell_apart


def test_a_difference_inside_its_error_is_called_that() -> None:
    noise = np.where(np.arange(100) % 2 == 0, 500.0, -480.0)  # mean 10, standard error 49
    table = fieldsim.compare(outcomes_of({"a": LOST, "b": LOST + noise, "c": LOST}))
    assert table.loc["b"].cannot_tell_apart
    assert table.loc["c"].cannot_tell_apart  # the same to the cent
    assert not table.loc["a"].cannot_tell_apart  # the baseline itself


def test_the_baseline_may_be_any_option() -> None:
    outcomes = outcomes_of({"a": LOST, "b": LOST + 5})
    assert fieldsim.compare(outcomes, "b").difference.to_dict() == {"a": -5.0, "b": 0.0}
    with pytest.raises(fieldsim.InputError, match="options are a, b"):
        fieldsim.compare(outcomes, "z")


def test_one_season_has_no_error_and_tells_nothing_apart() -> None:
    table = fieldsim.compare(outcomes_of({"a": LOST[:1], "b": LOST[:1] + 5000}))
    assert np.isnan(table.loc["b"].difference_error)
    assert table.loc["b"].cannot_tell_apart


def test_finish_dates_are_quantiles_that_stay_dates() -> None:
    row = fieldsim.finish_dates(outcomes_of({"a": LOST})).iloc[0]
    assert (row.early, row["median"], row.late) == tuple(pd.to_datetime(DATES[[9, 49, 89]]))
    assert (row.late_from, row.late_to) == tuple(pd.to_datetime(DATES[[83, 95]]))
    assert row.finished == 1.0


def test_seasons_not_finished_are_later_than_all_others() -> None:
    dates = DATES.copy()
    dates[::4] = np.datetime64("NaT")  # every fourth season
    outcomes = outcomes_of({"a": LOST}, finish={"a": dates})
    row = fieldsim.finish_dates(outcomes).iloc[0]
    assert row.finished == 0.75
    assert row.finished_error == pytest.approx(np.sqrt(77 / 104 * 27 / 104 / 104))
    assert pd.isna(row.late)
    assert row["median"] == pd.Timestamp(np.sort(dates)[49])
    # By the target, the 25th day, 18 of the 25 seasons that end by then did end.
    assert fieldsim.compare(outcomes).loc["a"].corn_on_target == 0.18


def test_the_comparison_has_finish_dates_of_every_operation_and_crop() -> None:
    outcomes = fieldsim.simulate(fieldsim.demo_farm(), 30)
    table = fieldsim.compare(outcomes)
    for operation in outcomes.operation.values:
        for crop in outcomes.crop.values:
            for name in ("early", "median", "late"):
                assert f"{operation}_{crop}_{name}" in table.columns
    assert (table.plant_corn_early <= table.plant_corn_late).all()
