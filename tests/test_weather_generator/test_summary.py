import numpy as np
import pytest

from fieldsim.days.weather.generator_estimates import interval
from fieldsim.days.weather.generator_fit import fit_generator
from fieldsim.days.weather.generator_summary import summary
from fieldsim.season import MONTHS


@pytest.fixture(scope="module")
def fitted(record):
    return fit_generator(record)


@pytest.fixture(scope="module")
def table(fitted):
    return summary(fitted)


def test_every_monthly_figure_has_a_row_with_its_error_and_years(table):
    monthly = table[table.month != "year"]
    assert set(monthly.groupby("parameter").size()) == {12}
    assert monthly.groupby("parameter").month.agg(list).map(tuple).unique().tolist() == [MONTHS]
    assert (table.error > 0).all()
    assert table.years.between(38, 40).all()  # a January or two had no wet day
    assert ((table.low < table.value) & (table.value < table.high)).all()
    assert set(table.unit) == {"0..1", "mm", "-", "degC"}


def test_rows_are_the_generators_estimates(table, fitted):
    figures = table.set_index(["parameter", "month"])
    row = figures.loc["wet_after_dry", "Jun"]
    low, high = interval(fitted.wet_after_dry)
    assert row[["value", "error", "low", "high"]].tolist() == [
        fitted.wet_after_dry.value[5],
        fitted.wet_after_dry.error[5],
        low[5],
        high[5],
    ]
    assert figures.value["tmin_wet_mean", "Mar"] == fitted.monthly_mean.value[2, 1, 1]
    assert figures.value["tmax_dry_sd", "Mar"] == fitted.monthly_sd.value[2, 0, 0]
    assert figures.value["season_share", "year"] == fitted.season_share.value
    before = figures.value["correlation_tmin_tmax_before", "year"]
    assert before == fitted.next_day.value[1, 0]


def test_temperatures_of_wet_and_dry_days_are_told_apart(table):
    figures = table.set_index(["parameter", "month"]).value
    assert figures["tmax_wet_mean", "May"] < figures["tmax_dry_mean", "May"] - 1
    assert figures["tmin_wet_mean", "May"] > figures["tmin_dry_mean", "May"]


def test_intervals_are_cut_off_where_no_figure_can_be(champion):
    table = summary(fit_generator(champion))
    shares = table[table.unit == "0..1"]
    assert shares.low.min() >= 0
    assert shares.high.max() <= 1
    assert table[table.unit == "mm"].low.min() >= 0
    assert np.isfinite(table.select_dtypes("number")).all(axis=None)
