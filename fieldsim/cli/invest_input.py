"""The options of ``fieldsim invest``: as written, and as read, with every fault of them at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from fieldsim.errors import Fault, InputError

if TYPE_CHECKING:
    from fieldsim.decisions import Loan

__all__ = ["EXAMPLE", "OPTIONS", "InvestOptions", "invest_options", "read_terms"]

# What an argument of `invest` is called on the command line.
OPTIONS = {
    "from_option": "--from",
    "to_option": "--to",
    "loan.years": "--loan-years",
    "discount_rate": "--interest",
}
# The sign at the start keeps the lines as they stand.
EXAMPLE = """\b
Example:
  fieldsim invest my_farm/farm.toml --from six_rows --to eight_rows \\
    --owned 5 --loan "80 %" --loan-rate "7 %" --loan-years 7
"""
ALL_OF_LOAN = ("--loan", "--loan-rate", "--loan-years")


@dataclass(frozen=True)
class InvestOptions:
    """What was asked for on the command line, as written.

    Parameters
    ----------
    farm_file : Path
    from_option, to_option : str
        Names of options of the farm.
    years : int, optional
        To look ahead [years].
    loan, loan_rate, inflation, interest : str, optional
        Shares and rates with their unit, as ``"80 %"``.
    loan_years : int, optional
        [years].
    owned : int
        Since when the old machines have been owned [years].
    keep_old : bool
        Whether old machines are not traded in.
    futures, seasons, seed : int
    replicates : int, optional
    out : Path
        Folder for what is written.
    """

    farm_file: Path
    from_option: str
    to_option: str
    years: int | None
    loan: str | None
    loan_rate: str | None
    loan_years: int | None
    inflation: str | None
    interest: str | None
    owned: int
    keep_old: bool
    futures: int
    seasons: int
    seed: int
    replicates: int | None
    out: Path


def invest_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add the options of `invest`."""
    for option in (
        click.option("--futures", type=int, default=2000, show_default=True,
                     help="How many futures to draw."),
        click.option("--keep-old", is_flag=True,
                     help="Old machines stay, unused and unsold, instead of being traded in."),
        click.option("--owned", metavar="YEARS", type=int, default=0, show_default=True,
                     help="For how long the old machines have been owned."),
        click.option("--interest", metavar="RATE",
                     help="By which later sums count less, above inflation; default: the farm's."),
        click.option("--inflation", metavar="RATE",
                     help="Write it to give --loan-rate as a lender does."),
        click.option("--loan-years", metavar="YEARS", type=int, help="Until it is paid off."),
        click.option("--loan-rate", metavar="RATE", help='Interest of the loan, as "7 %".'),
        click.option("--loan", metavar="SHARE",
                     help='Of what is paid at the start, as "80 %"; default: none.'),
        click.option("--years", type=int,
                     help="To look ahead; default: as long as the new machines are kept."),
        click.option("--to", "to_option", metavar="OPTION", required=True,
                     help="Option to move to."),
        click.option("--from", "from_option", metavar="OPTION", required=True,
                     help="Option that you have."),
    ):  # fmt: skip
        command = option(command)
    return command


def read_terms(options: InvestOptions) -> tuple[Loan | None, float | None]:
    """Read the loan, and the interest by which later sums count less [1/year].

    Returns
    -------
    Loan or None, float or None
        None where nothing was asked for.

    Raises
    ------
    InputError
        With every fault of these options.
    """
    from fieldsim.decisions import Loan

    faults: list[Fault] = []
    given = {
        "--loan": _share(options.loan, "--loan", "80 %", faults),
        "--loan-rate": _share(options.loan_rate, "--loan-rate", "7 %", faults),
        "--loan-years": options.loan_years,
    }
    inflation = _share(options.inflation, "--inflation", "2.5 %", faults)
    interest = _share(options.interest, "--interest", "5 %", faults)
    missing = [name for name in ALL_OF_LOAN if given[name] is None]
    if not faults and 0 < len(missing) < len(ALL_OF_LOAN):
        problem = f"a loan takes all of {', '.join(ALL_OF_LOAN)}"
        faults += [Fault("", name, "", problem, f"write {name} too") for name in missing]
    if inflation is not None and len(missing) == len(ALL_OF_LOAN):
        problem = "it is of use for a loan only"
        faults.append(Fault("", "--inflation", str(options.inflation), problem, "leave it out"))
    if faults:
        raise InputError(faults)
    if missing:
        return None, interest
    share, rate, years = given["--loan"], given["--loan-rate"], options.loan_years
    assert share is not None
    assert rate is not None
    assert years is not None
    sound = Loan(0.8, 0.07, 7)
    for name, written, example, wrong in (
        ("--loan", options.loan, '"80 %"', {"share": share}),
        ("--loan-rate", options.loan_rate, '"7 %"', {"rate": rate}),
        ("--loan-years", options.loan_years, "7", {"years": years}),
        ("--inflation", options.inflation, '"2.5 %"', {"inflation": inflation or 0.0}),
    ):
        try:
            replace(sound, **wrong)
        except ValueError as error:
            problem = str(error).partition(": ")[2].replace(" 1/year", "")
            faults.append(Fault("", name, str(written), problem, f"write {name} {example}"))
    if faults:
        raise InputError(faults)
    return Loan(share, rate, years, inflation or 0.0), interest


def _share(text: str | None, option: str, example: str, faults: list[Fault]) -> float | None:
    """Read a share or a yearly rate; note what is wrong with it."""
    from fieldsim.quantities import parse

    if text is None:
        return None
    try:
        return parse(text.removesuffix("/year"), "share")
    except ValueError as error:
        faults.append(Fault("", option, text, str(error), f'write it as "{example}"'))
        return None
