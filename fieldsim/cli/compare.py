"""``fieldsim compare``: every option against every other, and how the cost of a year varies."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pandas as pd
import xarray as xr
from matplotlib.figure import Figure
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from fieldsim.cli.options import check_names, option_faults
from fieldsim.cli.output import check_folder
from fieldsim.cli.seasons import drawn
from fieldsim.cli.study_files import write_files
from fieldsim.cli.tables import MARGINS, plain_table
from fieldsim.decisions.comparison import compare, total_cost
from fieldsim.decisions.in_words.few import few_seasons, few_years
from fieldsim.decisions.sampling import Z
from fieldsim.decisions.under_risk.pairs import pairwise
from fieldsim.decisions.under_risk.risk import risk
from fieldsim.decisions.under_risk.words import describe_pairs, describe_risk, rough_tails
from fieldsim.errors import InputError
from fieldsim.farm import read_farm
from fieldsim.plots.risk import ROW_HEIGHT, plot_yearly_cost
from fieldsim.plots.style import figure_size

__all__ = ["CompareOptions", "run_comparison"]

MOST_PRINTED = 10  # pairs; of more, those with the cheapest option are printed
ENDS = ("from", "to")
AVERSION = 2.0  # of the certainty equivalent that is printed


@dataclass(frozen=True)
class CompareOptions:
    """What was asked for on the command line."""

    farm_file: Path
    baseline: str | None
    wealth: float | None
    seasons: int | str
    seed: int
    out: Path


def run_comparison(
    options: CompareOptions, console: Console, progress: Callable[[float], None]
) -> list[Path]:
    """Read, simulate, compare, write and print.

    Parameters
    ----------
    options : CompareOptions
    console : Console
    progress : callable
        Called now and then with the share that is done, 0..1.

    Returns
    -------
    list of Path
        What was written: compare.csv, pairs.csv, risk.csv and yearly_cost.png.

    Raises
    ------
    InputError
        With every fault of the options, or of the farm.
    """
    check_folder(options.out)
    farm = read_farm(options.farm_file)
    check_names(farm, baseline=options.baseline)
    outcomes = drawn(farm, options.seasons, options.seed, progress=progress)
    cheapest_first = total_cost(outcomes).mean("season").argsort(kind="stable").values
    ranked = outcomes.isel(option=cheapest_first)
    pairs = pairwise(ranked)
    try:
        spread = risk(ranked, wealth=options.wealth)
    except InputError as error:
        raise option_faults(error) from None
    tables = {"compare": compare(outcomes, options.baseline).reset_index(), "pairs": pairs}
    written = _write(tables | {"risk": spread.reset_index()}, outcomes, options.out)
    _print(ranked, pairs, spread, options.baseline, few_years(farm), console)
    return written


def _write(tables: dict[str, pd.DataFrame], outcomes: xr.Dataset, out: Path) -> list[Path]:
    size = figure_size(ROW_HEIGHT * outcomes.sizes["option"])
    figure = Figure(figsize=size, layout="constrained")
    plot_yearly_cost(outcomes, ax=figure.subplots())
    return write_files(out, tables, {"yearly_cost": figure})


def _print(
    ranked: xr.Dataset,
    pairs: pd.DataFrame,
    spread: pd.DataFrame,
    baseline: str | None,
    few: list[str],
    console: Console,
) -> None:
    """Print the tables and what they say; options stand in the order of their mean cost."""
    labels = dict(zip(ranked.option.values, map(str, ranked.option_label.values), strict=True))
    seasons = ranked.sizes["season"]
    drawn_seasons = f"{seasons:,} seasons, the same for every option"
    console.print(Text(f"{ranked.attrs['farm']}: {drawn_seasons}"))
    shown = pairs
    if baseline is not None or len(pairs) > MOST_PRINTED:
        one = baseline or str(ranked.option.values[0])
        shown = pairs[(pairs.option == one) | (pairs.against == one)]
    if not shown.empty:
        console.print(_pairs(shown, labels, pairs.attrs["units"]))
    if len(shown) < len(pairs):
        console.print(Text(f"All {len(pairs)} pairs stand in pairs.csv.", style="dim"))
    console.print(_risk(spread, labels))
    console.print(Text(f"{MARGINS} So do bands, from and to.", style="dim"))
    stopping = [ranked.attrs["stopping"]] if "stopping" in ranked.attrs else []
    sentences = [*describe_pairs(shown, labels), *describe_risk(ranked, spread)]
    for sentence in [*stopping, *sentences, *few_seasons(seasons), *rough_tails(spread), *few]:
        console.print(Padding(Text(sentence), (0, 0, 0, 2)))


def _pairs(pairs: pd.DataFrame, labels: dict[str, str], units: str) -> Table:
    """Return the table of pairs, the cheaper option of each first."""
    table = plain_table(f"Which costs less in a year, on the same seasons ({units})")
    table.add_column("Option")
    table.add_column("costs less than")
    for head in ("by, on\naverage", "in so many\nyears", "but 1 year in\n100 more, by"):
        table.add_column(head, justify="right")
    shown = None
    for row in pairs.to_dict("records"):
        margin, share = Z * row["difference_error"], 100 * row["seasons_won"]
        by = f"{0.0 - row['difference']:,.0f} ± {margin:,.0f}"
        band = max(100 * Z * row["seasons_won_error"], 1.0)
        worst, ends = row["worst_1_in_100"], (row[f"worst_1_in_100_{end}"] for end in ENDS)
        table.add_row(
            Text("" if row["option"] == shown else labels[row["option"]]),
            Text(labels[row["against"]]),
            by if row["told_apart"] else f"{by}\ncannot tell apart",
            f"{share:.0f} % ± {band:.0f}",
            f"{worst:,.0f}\n{_band(*ends)}" if worst > 0 else "never",
        )
        shown = row["option"]
    return table


def _risk(spread: pd.DataFrame, labels: dict[str, str]) -> Table:
    """Return the table of how the cost of a year varies."""
    table = plain_table(f"How the cost of a year varies ({spread.attrs['units']})")
    table.add_column("Option")
    columns = {
        "average": "mean",
        "typical\nspread": "standard_deviation",
        "average of the\nworst 1 in 20": "shortfall_0.95",
    }
    if spread.attrs["wealth"] is not None:
        columns["a sure cost\nas bad"] = f"certain_relative_{AVERSION:g}"
    for head in (*columns, "1 year in 10\nis worse than"):
        table.add_column(head, justify="right")
    for name, row in spread.iterrows():
        mean, *others = columns.values()
        figures = [f"{row[mean]:,.0f}\n± {Z * row[f'{mean}_error']:,.0f}"]
        for column in (*others, "quantile_0.9"):
            ends = _band(*(row[f"{column}_{end}"] for end in ENDS))
            figures.append(f"{row[column]:,.0f}\n{ends}")
        table.add_row(Text(labels[str(name)]), *figures)
    return table


def _band(low: float, high: float) -> str:
    """Return the ends of a band in two short lines; an end that cannot be told is a question."""
    ends = ("?" if not math.isfinite(end) else f"{end:,.0f}" for end in (low, high))
    return "{} to\n{}".format(*ends)
