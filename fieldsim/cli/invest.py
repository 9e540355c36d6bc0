"""``fieldsim invest``: what moving from one option to another comes to, over the years owned."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import xarray as xr
from matplotlib.figure import Figure
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from fieldsim.cli.invest_input import OPTIONS, InvestOptions, read_terms
from fieldsim.cli.options import option_faults
from fieldsim.cli.output import check_folder
from fieldsim.cli.study_files import write_files
from fieldsim.cli.tables import plain_table
from fieldsim.decisions import cash_by_year, describe_investment, invest, investment_table
from fieldsim.decisions.in_words.few import few_years
from fieldsim.decisions.sampling import Z
from fieldsim.errors import InputError
from fieldsim.farm import read_farm
from fieldsim.plots import plot_investment
from fieldsim.plots.style import figure_size
from fieldsim.plots.words import money_text, readable
from fieldsim.simulation import simulate

__all__ = ["run_investment"]

MARGINS = (
    "±: how far other draws would move a figure, 95 times in 100. Sums in today's dollars; what "
    "moving brings is above 0."
)
CAUTION = (
    "Before you take on debt, talk with your lender and a licensed adviser, and look at the bad "
    "years, not at the average: can the farm make the payments through three of them in a row? "
    "Prices, yields and costs change; here they stay as the farm file has them."
)
SHARES = ("paid_back", "discounted_paid_back")
WORK = {
    "lost_revenue": "lost revenue",
    "labor": "labor",
    "fuel": "fuel and lubricants",
    "hire": "hired work",
}


def run_investment(options: InvestOptions, console: Console) -> list[Path]:
    """Read, simulate, invest, write and print.

    Parameters
    ----------
    options : InvestOptions
    console : Console

    Returns
    -------
    list of Path
        What was written: investment.csv, cash_by_year.csv and investment.png.

    Raises
    ------
    InputError
        With every fault of the options, or of the farm.
    """
    loan, interest = read_terms(options)
    check_folder(options.out)
    farm = read_farm(options.farm_file)
    try:
        outcomes = simulate(farm, options.seasons, options.seed, replicates=options.replicates)
        found = invest(
            farm,
            outcomes,
            options.from_option,
            options.to_option,
            years=options.years,
            futures=options.futures,
            seed=options.seed,
            loan=loan,
            discount_rate=interest,
            trade_in=not options.keep_old,
            owned=options.owned,
        )
    except InputError as error:
        raise option_faults(error, OPTIONS) from None
    by_year = cash_by_year(found)
    written = _write(found, by_year, options.out)
    _print(found, by_year, few_years(farm, outcomes), console)
    return written


def _write(found: xr.Dataset, by_year: pd.DataFrame, out: Path) -> list[Path]:
    figure = Figure(figsize=figure_size(), layout="constrained")
    plot_investment(found, ax=figure.subplots())
    tables = {"investment": investment_table(found), "cash_by_year": by_year}
    plain = {name: table.reset_index() for name, table in tables.items()}
    return write_files(out, plain, {"investment": figure})


def _print(found: xr.Dataset, by_year: pd.DataFrame, few: list[str], console: Console) -> None:
    """Print what is bought, what an average year saves, the cash by year, and the answer."""
    attrs = found.attrs
    drawn = f"{found.sizes['future']:,} futures of {attrs['years']} years"
    console.print(Text(f"{attrs['farm']}: {drawn}, drawn from {attrs['seasons']:,} seasons"))
    console.print(Text(f"From {attrs['from_label']} to {attrs['to_label']}", style="bold"))
    if found.sizes["equipment"]:
        console.print(_moved(found))
    console.print(_year(found))
    console.print(_by_year(by_year))
    console.print(Text(MARGINS, style="dim"))
    for sentence in (*describe_investment(found), *few):
        console.print(Padding(Text(sentence), (0, 0, 0, 2)))
    console.print(Padding(Text(CAUTION, style="dim"), (1, 0, 1, 2)))


def _moved(found: xr.Dataset) -> Table:
    """Return the table of machines that are bought and no longer needed."""
    table = plain_table("At the start")
    table.add_column("Machine or tractor")
    for head in ("bought", "price", "no longer\nneeded", "trade-in"):
        table.add_column(head, justify="right")
    for name in found.equipment.values:
        row = found.sel(equipment=name)
        bought, traded = int(row.bought), int(row.traded)
        table.add_row(
            Text(readable(str(name))),
            str(bought or ""),
            money_text(float(row.price)) if bought else "",
            str(traded or ""),
            money_text(float(row.trade_in)) if traded else "",
        )
    return table


def _year(found: xr.Dataset) -> Table:
    """Return the table of what moving saves in a year."""
    table = plain_table("What moving saves in an average year ($)")
    table.add_column("Of")
    table.add_column("saved", justify="right")
    for name, words in WORK.items():
        saved = float(found.mean_saving.sel(work=name))
        margin = Z * float(found.mean_saving_error.sel(work=name))
        if saved or margin:
            table.add_row(words, f"{saved:,.0f} ± {margin:,.0f}")
    for name, words in (
        ("repairs", "repairs"),
        ("taxes_insurance_housing", "taxes, insurance, housing"),
    ):
        table.add_row(words, f"{float(found.plan.sel(part=name)[1:].mean()) + 0.0:,.0f}")
    return table


def _by_year(by_year: pd.DataFrame) -> Table:
    """Return the table of cash added up, and of futures that have paid back."""
    table = plain_table("Cash added up since the start ($1,000), over the futures")
    table.add_column("Year", justify="right")
    for head in (
        "1 in 10\nis below",
        "half are\nbelow",
        "1 in 10\nis above",
        "paid\nback",
        "with\ninterest",
    ):
        table.add_column(head, justify="right")
    for year, row in by_year.iterrows():
        table.add_row(
            "start" if year == 0 else str(year),
            *(_added(row, share) for share in (10, 50, 90)),
            *(_paid_back(row, name) for name in SHARES),
        )
    return table


def _added(row: pd.Series[float], share: int) -> str:
    """Return what so many per cent of futures fall short of [$1,000], and below it its band."""
    ends = (row[f"added_p{share}{end}"] / 1000 for end in ("", "_from", "_to"))
    value, low, high = (f"{end:,.1f}" for end in ends)
    return value if low == high else f"{value}\n{low} to {high}"


def _paid_back(row: pd.Series[float], name: str) -> str:
    """Return a share of futures with its band; nothing is unsure before the first year."""
    share = f"{100 * row[name]:.0f} %"
    if row["added_p10"] == row["added_p90"]:
        return share
    return f"{share} ± {max(100 * Z * row[f'{name}_error'], 1.0):.0f}"
