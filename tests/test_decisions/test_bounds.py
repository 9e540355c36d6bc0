"""Every argument of an investment is taken up to the bounds that its docstring states."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from fieldsim.decisions import Loan, invest
from fieldsim.decisions.investment.discounting import discount_factors, rate_of_return
from fieldsim.errors import InputError
from tests.bounds import check_bounds
from tests.test_decisions.test_investment import two_planters

LOAN = Loan(share=0.8, rate=0.07, years=5)
SHARE = {"at_least": 0.0, "at_most": 1.0}
RATE = {"at_least": -0.5, "at_most": 1.0}
CASES: list[tuple[str, dict[str, float], Callable[[float], object]]] = [
    ("rate", RATE, lambda x: discount_factors(x, 3)),
    ("share", SHARE, lambda x: replace(LOAN, share=x)),
    ("rate", RATE, lambda x: replace(LOAN, rate=x)),
    ("inflation", {"at_least": -0.2, "at_most": 1.0}, lambda x: replace(LOAN, inflation=x)),
]
WHOLE = {"years": (1, 60), "futures": (1, 100_000), "seed": (0, 2**63 - 1), "owned": (0, 60)}


@pytest.mark.parametrize(("name", "bounds", "call"), CASES)
def test_an_argument_is_taken_up_to_its_bounds(
    name: str, bounds: dict[str, float], call: Callable[[float], object]
) -> None:
    check_bounds(call, name, **bounds)


def test_a_loan_runs_for_1_to_60_years() -> None:
    assert [replace(LOAN, years=years).years for years in (1, 60)] == [1, 60]
    for years in (0, 61):
        with pytest.raises(ValueError, match=f"years = {years} years"):
            replace(LOAN, years=years)


def test_whole_numbers_of_an_investment_are_taken_up_to_their_bounds() -> None:
    farm, outcomes = two_planters()
    usual = {"years": 2, "futures": 2}
    for name, (least, most) in WHOLE.items():
        for value in (least, most):
            invest(farm, outcomes, "usual", "wider", **(usual | {name: value}))
        for value in (least - 1, most + 1, least + 0.5, True):
            with pytest.raises(InputError) as caught:
                invest(farm, outcomes, "usual", "wider", **(usual | {name: value}))
            assert [fault.field for fault in caught.value.faults] == [name]


def test_the_discount_rate_of_an_investment_is_taken_up_to_its_bounds() -> None:
    farm, outcomes = two_planters()
    for rate in (-0.5, 1.0):
        invest(farm, outcomes, "usual", "wider", years=2, futures=2, discount_rate=rate)
    for rate in (-0.5 - 1e-9, 1.0 + 1e-9):
        with pytest.raises(InputError, match="discount_rate"):
            invest(farm, outcomes, "usual", "wider", years=2, futures=2, discount_rate=rate)


def test_returns_are_given_from_the_loss_of_half_a_year_to_a_hundredfold_gain() -> None:
    # One year: the return is what comes in over what is paid, less 1.
    assert rate_of_return([-1000, 500.001]) == pytest.approx(-0.5, abs=1e-5)
    assert rate_of_return([-1, 100.999]) == pytest.approx(99.999)
    for cash in ([-1000, 499.999], [-1, 101.001]):
        assert rate_of_return(cash) != rate_of_return(cash)
