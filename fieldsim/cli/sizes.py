"""``fieldsim sizes``: which size of outfit from the equipment shelf is the cheapest, by area."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pandas as pd
from matplotlib.figure import Figure
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from fieldsim.cli.study_files import write_files
from fieldsim.cli.tables import MARGINS, plain_table
from fieldsim.decisions.in_words.few import few_seasons, few_years
from fieldsim.decisions.named_figures import rounded
from fieldsim.decisions.sampling import Z
from fieldsim.decisions.sizing.sizes import cheapest_sizes
from fieldsim.demo import demo_folder
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm
from fieldsim.farm.names import listed
from fieldsim.farm.shelf import read_shelf
from fieldsim.farm.shelf_parts import Shelf
from fieldsim.plots.sizes import ROW_HEIGHT, plot_sizes
from fieldsim.plots.style import figure_size
from fieldsim.plots.words import money_text
from fieldsim.quantities import with_unit

__all__ = ["MOST_AREAS", "areas_from", "print_sizes", "shelf_for", "write_sizes"]

SHELF = "machines.csv"
MOST_AREAS = 7  # columns that a terminal of 80 letters holds
NOT_IN_IT = (
    "A tractor from the shelf is charged in full to this work. No breakdowns are counted, by which "
    "used machines cost more than stands here."
)


def areas_from(text: str | None) -> list[float] | None:
    """Return the areas of ``--areas 300,600,900``.

    Raises
    ------
    InputError
        If one is no number, or there are too many for a table.

    Examples
    --------
    >>> areas_from("300, 600")
    [300.0, 600.0]
    """
    if text is None:
        return None
    repair = "write numbers separated by commas, in the farm's unit of area: --areas 300,600,900"
    areas, faults = [], []
    for cell in text.split(","):
        try:
            areas.append(float(cell))
        except ValueError:
            faults.append(Fault("", "--areas", f'"{cell.strip()}"', "not a number", repair))
    if len(areas) > MOST_AREAS:
        problem = f"{len(areas)} areas are more than the table holds"
        faults.append(Fault("", "--areas", text, problem, f"write at most {MOST_AREAS}"))
    if faults:
        raise InputError(faults)
    return areas


def shelf_for(farm_file: Path, asked: Path | None) -> tuple[Shelf, str]:
    """Return the shelf to use, and in words where it comes from.

    Parameters
    ----------
    farm_file : Path
    asked : Path or None
        What ``--shelf`` says; else the ``machines.csv`` beside the farm, else the shipped one.

    Raises
    ------
    InputError
        With every fault of the table.
    """
    beside = farm_file.parent / SHELF
    shipped = asked is None and not beside.exists()
    path = demo_folder() / SHELF if shipped else asked or beside
    shelf = read_shelf(path)
    offers = (*shelf.implements, *shelf.tractors)
    invented = [offer for offer in offers if (offer.source or "").lower() == "invented"]
    said = f"Shelf: {path}, {len(shelf.implements)} machines and {len(shelf.tractors)} tractors."
    if shipped:
        said = f"Shelf: the one that comes with fieldsim; there is no {SHELF} beside the farm."
    if len(invented) == len(offers):
        said += " Its machines and prices are INVENTED: put in your dealer's."
    elif invented:
        said += f" {len(invented)} of its lines are INVENTED."
    return shelf, said


def print_sizes(farm: Farm, table: pd.DataFrame, shelf: str, console: Console) -> None:
    """Print what each size costs at each area, and which is the cheapest in words.

    Parameters
    ----------
    farm : Farm
    table : pandas.DataFrame
        From `sizes`.
    shelf : str
        Where the shelf comes from, in words.
    console : Console
    """
    attrs, best = table.attrs, cheapest_sizes(table)
    console.print(Text(f"{farm.name}: sizes of outfits", style="bold"))
    _say(console, shelf)
    _say(console, _pattern(farm, table))
    for bought, part in table.groupby("bought", sort=False):
        console.print(_table(part, best[best.bought == bought], attrs))
    marks = "◄: costs least.  ~: cannot be told apart from it with so many seasons."
    console.print(Text(f"{marks}\n{MARGINS}", style="dim"))
    console.print()
    for bought in table.bought.unique():
        for sentence in _answer(best[best.bought == bought], table, attrs):
            _say(console, sentence)
    for sentence in [*few_seasons(attrs["seasons"]), *few_years(farm)]:
        _say(console, sentence)
    for reason in attrs["left_out"]:
        _say(console, f"Left out: {reason}.")
    console.print(Padding(Text(NOT_IN_IT, style="dim"), (1, 0, 0, 2)))


def _say(console: Console, sentence: str) -> None:
    console.print(Padding(Text(sentence), (0, 0, 0, 2)))


def _pattern(farm: Farm, table: pd.DataFrame) -> str:
    """Say what changes from size to size and what does not."""
    name, staying = table.attrs["option"], table.attrs["staying"]
    label = farm.options[name].label
    verb = "stays" if len(staying) == 1 else "stay"
    stays = f"; {listed(staying)} {verb} as in it at every area" if staying else ""
    return (
        f"Pattern: option {name}{f' ({label})' if label else ''}. Its planter, its cultivating "
        f"tools and their tractor are those of the shelf{stays}. "
        f"{table.attrs['seasons']:,} seasons, the same for every size and area."
    )


def _table(part: pd.DataFrame, best: pd.DataFrame, attrs: dict[Any, Any]) -> Table:
    """Return a line for each size and a column for each area."""
    bought, unit = part.bought.iloc[0], attrs["cost_units"]
    shown = plain_table(f"Cost of a year, bought {bought} [{unit}]")
    shown.add_column("Size")
    areas = best.area.tolist()
    for area in areas:
        head = with_unit(rounded(area), attrs["area_units"]).replace(" ", "\n")
        shown.add_column(head, justify="right")
    for size, rows in part.groupby("size", sort=False):
        at = rows.set_index("area")
        shown.add_row(Text(str(size)), *(_cell(at.loc[area]) for area in areas))
    shown.add_section()
    for head, column in (("◄: lost", "lost_revenue"), ("◄: owning", "ownership_cost")):
        shown.add_row(Text(head, style="dim"), *(f"{value:,.1f}  " for value in best[column]))
    shown.add_row(Text("next dearer by", style="dim"), *map(_margin, best.to_dict("records")))
    return shown


def _cell(row: pd.Series) -> Text:
    mark = "◄" if row["cheapest"] else "~" if row["cannot_tell_apart"] else " "
    return Text(f"{row['total_cost']:,.1f} {mark}", style="bold" if row["cheapest"] else "")


def _margin(row: dict[Any, Any]) -> str:
    if math.isnan(row["margin"]):
        return "—  "
    error = "" if math.isnan(row["margin_error"]) else f"\n± {Z * row['margin_error']:.1f}  "
    return f"{row['margin']:.1f}  {error}"


def _answer(best: pd.DataFrame, table: pd.DataFrame, attrs: dict[Any, Any]) -> list[str]:
    """Say which size is the cheapest at which areas, and where that hangs on the shelf's end."""
    bought = best.bought.iloc[0]
    runs: list[tuple[str, list[float]]] = []
    for row in best.to_dict("records"):
        if runs and runs[-1][0] == row["size"]:
            runs[-1][1].append(row["area"])
        else:
            runs.append((row["size"], [row["area"]]))
    unit = attrs["area_units"]
    parts = [f"{size} at {with_unit(_span(areas), unit)}" for size, areas in runs]
    costs = " to ".join(
        dict.fromkeys(money_text(c) for c in (best.total_cost.min(), best.total_cost.max()))
    )
    money = attrs["cost_units"].removeprefix("$")
    said = [f"Bought {bought}, what costs least is {listed(parts)}: {costs}{money} in a year."]
    tied = [
        f"{size} at {with_unit(_span([row['area']]), unit)}"
        for row in best.to_dict("records")
        for size in row["tied"]
    ]
    if tied:
        said.append(f"With so many seasons it cannot be told apart from {listed(tied)}.")
    return said + _ends(best, table[table.bought == bought])


def _ends(best: pd.DataFrame, part: pd.DataFrame) -> list[str]:
    """Point out where the cheapest is at an end of the shelf."""
    total = (part.rows * part.units).groupby(part["size"]).first()
    ends = {"smallest": total.min(), "largest": total.max()}
    return [
        f"{size} is the {end} on the shelf: one beyond it might cost less."
        for end, rows in ends.items()
        for size in best["size"].unique()
        if total[size] == rows and total.nunique() > 1
    ]


def _span(areas: list[float]) -> str:
    ends = [rounded(area) for area in (areas[0], areas[-1])]
    return ends[0] if len(areas) == 1 else f"{ends[0]} to {ends[1]}"


def write_sizes(table: pd.DataFrame, out: Path) -> list[Path]:
    """Write sizes.csv, and sizes.png with a panel each for new and for used outfits.

    Parameters
    ----------
    table : pandas.DataFrame
        From `sizes`.
    out : Path
        Folder; made if it is not there.

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    InputError
        If the disk does not take them.
    """
    there = list(table.bought.unique())
    width, height = figure_size(ROW_HEIGHT * table["size"].nunique())
    figure = Figure(figsize=(width, height * len(there)), layout="constrained")
    panels = figure.subplots(len(there), squeeze=False)[:, 0]
    for bought, ax in zip(there, panels, strict=True):
        plot_sizes(table, bought=bought, ax=ax)
    return write_files(out, {"sizes": table}, {"sizes": figure})
