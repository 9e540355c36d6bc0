"""The answer in the terminal, in words a farmer reads."""

from __future__ import annotations

from typing import Any

import pandas as pd
import xarray as xr
from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from fieldsim.decisions import compare, finish_dates, summarize
from fieldsim.decisions.sampling import Z
from fieldsim.farm import Farm
from fieldsim.farm.parts import LONG_DAY
from fieldsim.plots.words import money_text
from fieldsim.quantities import factor, unit
from fieldsim.season import CalendarDay

__all__ = ["MARGINS", "plain_table", "print_answer", "print_farm"]

CAUTIONS = (
    "Long days wear people out and cause accidents; wide machines on roads, fertilizer near the "
    "seed and chemicals have rules of their own. Follow labels and local codes, and ask licensed "
    "people before large debts."
)
MARGINS = "±: how far other draws of as many seasons would move a figure, 95 times in 100."


def print_farm(farm: Farm, console: Console) -> None:
    """Print what a farm file holds, in a few lines."""
    shown, label = factor("area", farm.units), unit("area", farm.units)
    console.print(Text(farm.name, style="bold"))
    for crop in farm.grown_crops:
        fields = [field for field in farm.fields.values() if field.crop == crop]
        area = sum(field.area for field in fields) * shown
        console.print(Text(f"  {crop}: {area:,.0f} {label} on {len(fields)} fields"))
    console.print(Text(f"  operations: {', '.join(farm.operations)}"))
    for name, option in farm.options.items():
        console.print(Text(f"  option {name}: {option.label or name}"))


def print_answer(farm: Farm, outcomes: xr.Dataset, console: Console) -> None:
    """Print when planting is finished, what each option costs in a year, and the answer."""
    seasons = outcomes.sizes["season"]
    console.print(Text(f"{farm.name}: {seasons:,} seasons, the same for every option"))
    comparison = compare(outcomes)
    console.print(_planting(outcomes, comparison))
    console.print(_money(comparison))
    console.print(Text(MARGINS, style="dim"))
    for sentence in _few_years(comparison):
        console.print(Padding(Text(sentence), (0, 0, 0, 2)))
    for sentence in summarize(outcomes):
        console.print(Padding(Text(sentence), (0, 0, 0, 2)))
    console.print(Padding(Text(CAUTIONS, style="dim"), (1, 0, 0, 2)))
    if farm.crew.hours_per_day > LONG_DAY:
        warning = f"This farm lets people work {farm.crew.hours_per_day:g} hours a day: too long."
        console.print(Padding(Text(warning, style="bold"), (0, 0, 0, 2)))


def _day(value: Any) -> str:
    """Return a date as people say it; where the season ends first, say so."""
    if pd.isna(value):
        return "not done"
    day = pd.Timestamp(value)
    return str(CalendarDay(day.month, day.day))


def plain_table(title: str) -> Table:
    """Return an empty table with a title, without a frame."""
    return Table(
        title=title,
        title_justify="left",
        title_style="bold",
        box=SIMPLE_HEAD,
        pad_edge=False,
        padding=(0, 1, 0, 0),
    )


def _planting(outcomes: xr.Dataset, comparison: pd.DataFrame) -> Table:
    """Return the table of planting dates: a row for each option and crop."""
    table = plain_table("When planting is finished")
    table.add_column("Option")
    table.add_column("Crop")
    table.add_column("half of the\nyears by", justify="right")
    table.add_column("9 years\nof 10 by", justify="right")
    table.add_column("chance by\nthe target date", justify="right")
    shown = None
    for row in finish_dates(outcomes).to_dict("records"):
        option, crop = row["option"], row["crop"]
        if not bool(outcomes.plants.sel(operation=row["operation"], crop=crop)):
            continue
        of_option = comparison.loc[option]
        chance = 100 * float(of_option[f"{crop}_on_target"])
        band = 100 * Z * float(of_option[f"{crop}_on_target_error"])
        target = _day(outcomes.target_date.sel(crop=crop).values)
        table.add_row(
            Text(str(of_option["label"]) if option != shown else ""),
            Text(str(crop)),
            _day(row["median"]),
            _day(row["late"]),
            f"{chance:.0f} % ± {band:.0f} ({target})",
        )
        shown = option
    return table


def _money(comparison: pd.DataFrame) -> Table:
    """Return the table of yearly costs: a row for each option."""
    money = str(comparison.attrs["units"])
    table = plain_table(f"What it costs in a year ({money})")
    table.add_column("Option")
    for head in (
        "lost,\naverage",
        "lost, 1\nyear in 10",
        "owning\nand labor",
        "all\ntogether",
        "against\nthe first",
    ):
        table.add_column(head, justify="right")
    for name, row in comparison.iterrows():
        margin = Z * row["difference_error"]
        against = f"{row['difference']:+,.0f} ± {margin:,.0f}"
        if row["cannot_tell_apart"]:
            against += "\ncannot tell apart"
        table.add_row(
            Text(str(row["label"])),
            f"{row['lost_revenue']:,.0f}",
            f"{row['lost_revenue_1_in_10']:,.0f}",
            f"{row['ownership_cost'] + row['labor_cost']:,.0f}",
            f"{row['total_cost']:,.0f}",
            "—" if name == comparison.attrs["baseline"] else against,
        )
    return table


def _few_years(comparison: pd.DataFrame) -> list[str]:
    """Say of each option how sure its difference is in view of the few years on record."""
    if "difference_years_error" not in comparison:
        return []
    said = []
    for name, row in comparison.drop(index=comparison.attrs["baseline"]).iterrows():
        margin = money_text(Z * row["difference_years_error"])
        less = "less" if row["difference"] < 0 else "more"
        told = "cannot" if row["cannot_tell_with_these_years"] else "can"
        said.append(
            f"{row['label'] or name}: {money_text(abs(row['difference']))} a year {less} than the "
            f"first, ± {margin} in view of the few years on record; with these years the two "
            f"{told} be told apart."
        )
    return said
