"""A loan repaid in equal yearly payments, and what its payments are worth in today's dollars."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldsim.machines import capital_recovery_factor
from fieldsim.ranges import number_in_range

__all__ = ["Loan", "loan_payments"]

LONGEST_LOAN = 60  # years
LOWEST_INFLATION = -0.2  # 1/year


@dataclass(frozen=True)
class Loan:
    """Money borrowed for a purchase and paid back in equal sums at the end of each year.

    Parameters
    ----------
    share : float
        Of what is paid at the start, after trade-in [1], 0 to 1.
    rate : float
        Interest [1/year], -0.5 to 1: above inflation where `inflation` is 0, else as the lender
        names it.
    years : int
        Until it is paid off [years], 1 to 60.
    inflation : float
        By which the payments lose worth [1/year], -0.2 to 1.

    Raises
    ------
    ValueError
        If a number is out of its range.
    """

    share: float
    rate: float
    years: int
    inflation: float = 0.0

    def __post_init__(self) -> None:
        number_in_range("share", self.share, at_least=0, at_most=1)
        number_in_range("rate", self.rate, "1/year", at_least=-0.5, at_most=1)
        number_in_range("years", self.years, "years", at_least=1, at_most=LONGEST_LOAN)
        if self.years != int(self.years):
            raise ValueError(f"years = {self.years:g} years: whole years are allowed")
        inflation = self.inflation
        number_in_range("inflation", inflation, "1/year", at_least=LOWEST_INFLATION, at_most=1)


def loan_payments(principal: float, loan: Loan) -> NDArray[np.float64]:
    """Return the payments that pay off a loan, in the dollars of the day it is taken.

    Parameters
    ----------
    principal : float
        Sum borrowed [$].
    loan : Loan

    Returns
    -------
    ndarray of float64, shape (year,)
        Payment at the end of each year of the loan [$].

    Notes
    -----
    P i / (1 - (1 + i)^-n) each year, the standard annuity, as `capital_recovery_factor`; a fixed
    payment is worth less each year by the inflation.

    Examples
    --------
    >>> loan_payments(30_000, Loan(share=1, rate=0.06, years=3)).round(2)
    array([11223.29, 11223.29, 11223.29])
    """
    payment = principal * capital_recovery_factor(loan.rate, loan.years)
    return np.asarray(payment / (1.0 + loan.inflation) ** np.arange(1, loan.years + 1))
