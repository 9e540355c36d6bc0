"""Moving from one option to another, against cases worked out by hand and other implementations."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import numpy_financial as npf
import pytest
import xarray as xr

import fieldsim
from fieldsim.decisions import (
    Loan,
    cash_by_year,
    describe_investment,
    invest,
    investment_table,
)
from fieldsim.decisions.in_words.few import FEW_SEASONS
from fieldsim.decisions.investment.discounting import discount_factors
from fieldsim.farm import Farm, changed
from tests.farms import hand_farm

BUY = ("six_rows", "eight_rows")


@pytest.fixture(scope="module")
def farm() -> Farm:
    return fieldsim.demo_farm()


@pytest.fixture(scope="module")
def outcomes(farm: Farm) -> xr.Dataset:
    return fieldsim.simulate(farm, 400)


def two_planters(*, interest: str = "10 %") -> tuple[Farm, xr.Dataset]:
    """A farm on which every day is suitable: a second option with a wider planter of $20,000."""
    farm = hand_farm(
        ("[options.usual]", WIDE + "[options.usual]"),
        ('interest = "0 %"', f'interest = "{interest}"\ntaxes_insurance_housing = "1 %"'),
        ('[machines.planter]\noperations = ["plant"]', PLANTER),
    )
    return farm, fieldsim.simulate(farm, 3)


PLANTER = (
    '[machines.planter]\noperations = ["plant"]\nprice = "$6,000"\nsalvage = "20 %"\nyears = 4'
)
WIDE = """\
[machines.wide]
operations = ["plant"]
width = "5 m"
speed = "8 km/h"
field_efficiency = 0.5
price = "$20,000"
salvage = "40 %"
years = 4
[options.wider]
machines = { disk = 1, wide = 1 }
"""


def test_two_years_worked_out_by_hand() -> None:
    farm, outcomes = two_planters()
    found = invest(farm, outcomes, "usual", "wider", years=2, futures=5, owned=2)
    # 40 ha at 1 and at 2 ha/h: 20 h of labor at $20 are saved. All is planted by 10 April, when the
    # yield begins to fall.
    assert float(outcomes.lost_revenue.sum()) == 0
    saved = 20 * 20
    # Old: 2 of 4 years owned, half-way from 6,000 to 1,200: 3,600; after 2 more years 1,200.
    # New: after 2 of 4 years half-way from 20,000 to 8,000: 14,000. Taxes: 1 % of either price.
    start, year, end = -20_000 + 3_600, saved + 60 - 200, 14_000 - 1_200
    np.testing.assert_allclose(found.cash_flow, np.tile([start, year, year], (5, 1)))
    by_hand = start + year / 1.1 + (year + end) / 1.1**2
    np.testing.assert_allclose(found.net_present_value, by_hand)
    assert np.isnan(found.payback_year).all()
    plan = found.plan.to_series().unstack("year").loc
    assert plan["trade_in", 0] == pytest.approx(3_600)
    assert plan["end_worth", 2] == pytest.approx(end)


def test_an_old_machine_is_replaced_after_its_years_and_that_is_saved_by_moving() -> None:
    farm, outcomes = two_planters()
    found = invest(farm, outcomes, "usual", "wider", years=4, futures=2, owned=3)
    replaced = found.plan.sel(part="replacement")
    # One more year makes 4: traded for one like it, 6,000 less 1,200, at the start of the next.
    np.testing.assert_allclose(replaced, [0, 4_800, 0, 0, 0])
    # At the end the old one's successor is 3 years old: 6,000 - 3/4 of 4,800.
    assert float(found.plan.sel(part="end_worth", year=4)) == pytest.approx(8_000 - 2_400)
    assert any("After year 1 staying would replace" in said for said in describe_investment(found))
    due = invest(farm, outcomes, "usual", "wider", years=1, futures=2, owned=9)
    assert float(due.plan.sel(part="replacement", year=0)) == pytest.approx(4_800)


def test_what_is_not_traded_in_brings_nothing() -> None:
    farm, outcomes = two_planters()
    found = [
        invest(farm, outcomes, "usual", "wider", years=3, futures=2, trade_in=trade_in, owned=2)
        for trade_in in (True, False)
    ]
    difference = found[0].net_present_value - found[1].net_present_value
    np.testing.assert_allclose(difference, 3_600)


def test_on_a_farm_without_weather_the_worth_is_that_of_the_annuity() -> None:
    farm, outcomes = two_planters(interest="6 %")
    found = invest(farm, outcomes, "usual", "wider", years=4, futures=3)
    cash = found.cash_flow.values
    assert np.ptp(cash, axis=0).max() == pytest.approx(0, abs=1e-9)
    annuity = (1 - 1.06**-4) / 0.06
    end = float(found.plan.sel(part="end_worth", year=4))
    by_hand = cash[:, 0] + cash[:, 1] * annuity + end / 1.06**4
    np.testing.assert_allclose(found.net_present_value, by_hand)


@pytest.mark.parametrize(("rate", "inflation"), [(0.05, 0.0), (1.05 * 1.03 - 1, 0.03)])
def test_a_loan_at_the_discount_rate_changes_no_worth(
    farm: Farm, outcomes: xr.Dataset, rate: float, inflation: float
) -> None:
    # 5 % above inflation with 3 % inflation is 1.05 x 1.03 - 1 in the lender's words.
    cash = invest(farm, outcomes, *BUY, futures=50)
    loan = invest(farm, outcomes, *BUY, futures=50, loan=Loan(0.8, rate, 7, inflation))
    assert loan.attrs["discount_rate"] == 0.05
    np.testing.assert_allclose(loan.net_present_value, cash.net_present_value)
    assert loan.payback_year.identical(cash.payback_year)
    paid = float(cash.price.sum() - cash.trade_in.sum())
    assert float(loan.cash_flow[0, 0]) == pytest.approx(-0.2 * paid)


def test_a_loan_dearer_than_the_discount_rate_lowers_the_worth_of_every_future(
    farm: Farm, outcomes: xr.Dataset
) -> None:
    cash = invest(farm, outcomes, *BUY, futures=50).net_present_value
    dear = invest(farm, outcomes, *BUY, futures=50, loan=Loan(0.8, 0.09, 7)).net_present_value
    assert (dear < cash).all()


def test_no_loan_is_taken_where_the_trade_in_pays_for_all(farm: Farm, outcomes: xr.Dataset) -> None:
    found = invest(farm, outcomes, "two_six_rows", "six_rows", loan=Loan(0.8, 0.07, 5), futures=9)
    assert found.attrs["borrowed"] == 0
    assert (found.plan.sel(part="loan") == 0).all()
    assert "paid_within_loan" not in investment_table(found).index


def test_without_a_loan_nothing_is_said_of_one(farm: Farm, outcomes: xr.Dataset) -> None:
    attrs = invest(farm, outcomes, *BUY, futures=2).attrs
    terms = ("borrowed", "loan_rate", "loan_years", "inflation")
    assert [attrs[name] for name in terms] == [0, 0, 0, 0]


def test_only_tractors_with_other_work_are_named(farm: Farm) -> None:
    named = []
    for hours in ("150 h", "0 h"):
        with_work = changed(farm, {"tractors.tractor_95.other_hours": hours})
        outcomes = fieldsim.simulate(with_work, 2)
        found = invest(with_work, outcomes, "six_rows", "two_six_rows", futures=2)
        named.append(found.attrs["also_other_work"])
    assert named == ["tractor_95", ""]


def test_both_options_have_the_same_season_in_a_year_of_a_future(
    farm: Farm, outcomes: xr.Dataset
) -> None:
    found = invest(farm, outcomes, *BUY, futures=20, seed=3)
    cost = outcomes.lost_revenue.sum("crop") + outcomes.labor_cost + outcomes.fuel_cost
    saved = (cost.sel(option=BUY[0]) - cost.sel(option=BUY[1])).values
    fixed = found.plan.drop_sel(part="end_worth").sum("part").values
    drawn = found.drawn_season.values[:, 1:]
    np.testing.assert_allclose(found.cash_flow.values[:, 1:], saved[drawn] + fixed[1:])
    assert (found.drawn_season[:, 0] == -1).all()


def test_the_mean_worth_is_the_annuity_of_the_mean_saving_within_its_error(
    farm: Farm, outcomes: xr.Dataset
) -> None:
    found = invest(farm, outcomes, *BUY)
    row = investment_table(found).loc["net_present_value"]
    factors = discount_factors(0.05, 12)
    fixed = float(found.plan.sum("part").values @ factors)
    exact = fixed + float(found.mean_saving.sum()) * factors[1:].sum()
    assert abs(row.value - exact) < 4 * float(found.net_present_value.std()) / np.sqrt(2000)
    saving = outcomes.lost_revenue.sum("crop") + outcomes.labor_cost + outcomes.fuel_cost
    paired = (saving.sel(option=BUY[0]) - saving.sel(option=BUY[1])).values
    of_seasons = factors[1:].sum() * paired.std(ddof=1) / 20
    assert row.error == pytest.approx(
        np.hypot(of_seasons, float(found.net_present_value.std()) / np.sqrt(2000)), rel=0.1
    )


def test_few_years_on_record_are_carried_into_the_futures(farm: Farm, outcomes: xr.Dataset) -> None:
    replicate = np.arange(400) // 20
    apart = 8_000.0 * np.random.default_rng(2).normal(size=20)
    lost = outcomes.lost_revenue.copy()
    lost.loc[{"option": "six_rows", "crop": "corn"}] += apart[replicate]
    outcomes = outcomes.assign(lost_revenue=lost).assign_coords(replicate=("season", replicate))
    found = invest(farm, outcomes, *BUY, futures=400)
    table = investment_table(found)
    annuity = discount_factors(0.05, 12)[1:].sum()
    unsure = table.value["net_present_value_years"]
    assert unsure == pytest.approx(annuity * apart.std(ddof=1), rel=0.15)
    worth = found.net_present_value.values
    means = [worth[r::20].mean() for r in range(20)]  # futures take turns
    assert table.error["net_present_value"] == pytest.approx(np.std(means, ddof=1) / np.sqrt(20))
    assert f"another ± ${1.96 * unsure:,.0f} open" in " ".join(describe_investment(found))


def test_discounted_payback_is_never_earlier(farm: Farm, outcomes: xr.Dataset) -> None:
    found = invest(farm, outcomes, "six_rows", "two_six_rows")
    plain, discounted = found.payback_year.values, found.discounted_payback_year.values
    assert (np.nan_to_num(discounted, nan=99) >= np.nan_to_num(plain, nan=99)).all()
    by_year = cash_by_year(found)
    assert by_year.paid_back.iloc[-1] == investment_table(found).value["paid_back"]
    assert (np.diff(by_year.paid_back) >= 0).all()
    assert (by_year.discounted_paid_back <= by_year.paid_back).all()


def test_figures_of_the_first_years_and_the_loan_are_counts_of_futures(
    farm: Farm, outcomes: xr.Dataset
) -> None:
    found = invest(farm, outcomes, "six_rows", "two_six_rows", loan=Loan(0.8, 0.07, 6), futures=300)
    table, cash = investment_table(found), found.cash_flow.values
    assert table.value["bad_start"] == np.mean(cash[:, 1:4].sum(axis=1) < 0)
    assert table.value["cash_after_3_years_1_in_10"] == np.sort(cash[:, :4].sum(axis=1))[29]
    assert table.value["paid_within_loan"] == np.mean(cash[:, :7].sum(axis=1) >= 0)
    assert 0 < table.value["paid_within_loan"] < 1
    assert table.value["pays"] == np.mean(found.net_present_value > 0)
    plan = found.plan
    in_all = found.cash_flow.mean("future") - plan.sel(part="loan") + plan.sel(part="end_worth")
    assert table.value["rate_of_return"] == pytest.approx(npf.irr(in_all.values))
    worth = table.value["net_present_value"]
    assert table.value["yearly_worth"] == pytest.approx(float(npf.pmt(0.05, 12, -worth)))
    shares = table[table.unit == "share"]
    assert (shares.error > 0).all()
    by_year = cash_by_year(found)
    assert by_year.added_p50[4] == np.sort(cash[:, :5].sum(axis=1))[149]
    assert by_year.cash_mean.sum() == pytest.approx(cash.sum(axis=1).mean())
    # Of the years that the table of figures tells as well, the bands are the same.
    ends = table.loc["cash_after_3_years_1_in_10", ["value", "low", "high"]].tolist()
    assert by_year.loc[3, ["added_p10", "added_p10_from", "added_p10_to"]].tolist() == ends
    for name in ("cash", "added"):
        for share in (10, 25, 50, 75, 90):
            value, low, high = (by_year[f"{name}_p{share}{e}"] for e in ("", "_from", "_to"))
            assert (low[1:] < value[1:]).all()
            assert (value[1:] < high[1:]).all()
            assert low[0] == value[0] == high[0]  # the start is the same in every future


def test_fewer_years_than_three_are_named_as_they_are(farm: Farm, outcomes: xr.Dataset) -> None:
    found = invest(farm, outcomes, *BUY, years=1, futures=20)
    assert "cash_after_1_years" in investment_table(found).index


def test_hired_machines_are_neither_bought_nor_traded_in() -> None:
    farm = hand_farm(
        ("[options.usual]", HIRED + "[options.usual]"),
        ('[machines.planter]\noperations = ["plant"]', PLANTER),
    )
    outcomes = fieldsim.simulate(farm, 2)
    found = invest(farm, outcomes, "hired", "usual", futures=2)
    assert found.equipment.values.tolist() == ["planter"]
    # 40 ha at $50, less 40 h of driving at $20.
    assert float(found.mean_saving.sel(work="hire")) == pytest.approx(2_000)
    assert float(found.mean_saving.sel(work="labor")) == pytest.approx(-800)
    back = invest(farm, outcomes, "usual", "hired", futures=2)
    assert float(back.price.sum()) == 0
    assert float(back.trade_in.sum()) == pytest.approx(6_000)
    assert describe_investment(back)[0].startswith("No machine is bought")


HIRED = """\
[machines.crew]
operations = ["plant"]
width = "5 m"
speed = "8 km/h"
field_efficiency = 0.5
custom = { rate = "$50/ha" }
[options.hired]
machines = { disk = 1, crew = 1 }
"""


def test_every_fault_is_named_at_once(farm: Farm, outcomes: xr.Dataset) -> None:
    other = replace(farm, text=farm.text + "# changed\n")
    with pytest.raises(fieldsim.InputError) as caught:
        invest(other, outcomes, "six_rows", "nine", years=0, futures=0, owned=-1, discount_rate=9)
    fields = [fault.field for fault in caught.value.faults]
    assert fields == ["to_option", "outcomes", "years", "futures", "owned", "discount_rate"]
    with pytest.raises(fieldsim.InputError, match="the same"):
        invest(farm, outcomes, "six_rows", "six_rows")
    with pytest.raises(fieldsim.InputError, match=r"loan.years = 7: the loan is longer than the 5"):
        invest(farm, outcomes, *BUY, years=5, loan=Loan(0.8, 0.07, 7))
    invest(farm, outcomes, *BUY, years=5, futures=2, loan=Loan(0.8, 0.07, 5))


def test_sentences_give_the_figures_of_the_table(farm: Farm, outcomes: xr.Dataset) -> None:
    found = invest(
        farm, outcomes, "six_rows", "two_six_rows", loan=Loan(0.8, 0.07, 7, 0.02), owned=3
    )
    table, text = investment_table(found), " ".join(describe_investment(found))
    mean, error = table.value["net_present_value"], table.error["net_present_value"]
    assert f"${mean:,.0f} (± ${1.96 * error:,.0f}) more today than one outfit of 6 rows" in text
    assert f"{100 * table.value['pays']:.0f} %" in text
    assert f"in {100 * table.value['paid_within_loan']:.0f} %" in text
    assert f"in {100 * table.value['bad_start']:.0f} %" in text
    assert "the lender's rate holds 2 % inflation" in text
    assert "as owned for 3 years" in text
    assert "The whole price of tractor_95 counts" in text
    assert "income tax" in text
    assert "are few" not in text


def test_a_worth_inside_its_error_is_called_that(farm: Farm) -> None:
    def at(price: float) -> xr.Dataset:
        dear = changed(farm, {"machines.planter_8_rows.price": f"${price:.0f}"})
        return invest(dear, fieldsim.simulate(dear, 20), *BUY, futures=100)

    low, high = (float(at(price).net_present_value.mean()) for price in (60_000, 90_000))
    found = at(60_000 + 30_000 * low / (low - high))  # the worth falls in a line with the price
    text = " ".join(describe_investment(found))
    assert abs(float(found.net_present_value.mean())) < 10
    assert "the worth of the two cannot be told apart" in text
    assert "100 futures of 20 seasons are few" in text
    table = {seasons: invest(farm, fieldsim.simulate(farm, seasons), *BUY, futures=500)
             for seasons in (FEW_SEASONS - 1, FEW_SEASONS)}  # fmt: skip
    assert ["are few" in " ".join(describe_investment(of)) for of in table.values()] == [
        True,
        False,
    ]
