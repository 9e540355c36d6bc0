"""The answer in the terminal, in words a farmer reads."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd
import xarray as xr
from rich.console import Console, JustifyMethod
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from fieldsim.cli.money import cost_table, lost_table
from fieldsim.cli.plain import plain_table
from fieldsim.decisions import compare, finish_dates, summarize
from fieldsim.decisions.cautions import cautions
from fieldsim.decisions.in_words.few import few_years
from fieldsim.decisions.in_words.undone import hardly_done
from fieldsim.decisions.in_words.worn import worn_out
from fieldsim.decisions.sampling import Z
from fieldsim.farm import Farm
from fieldsim.outcomes.revenue import crop_area
from fieldsim.plots.words import in_lines, money_text
from fieldsim.quantities import area_text
from fieldsim.report.cells import chance
from fieldsim.report.time_table import time_table
from fieldsim.season import CalendarDay

__all__ = ["MARGINS", "plain_table", "print_answer", "print_farm"]

CAUTIONS = (
    "Long days wear people out and cause accidents; wide machines on roads, fertilizer near the "
    "seed and chemicals have rules of their own. Follow labels and local codes, and ask licensed "
    "people before large debts."
)
MARGINS = "±: how far other draws of as many seasons would move a figure, 95 times in 100."


def print_farm(farm: Farm, console: Console) -> None:
    """Print what a farm file holds, where its machines' days go, and what calls for care."""
    console.print(Text(farm.name, style="bold"))
    for crop in farm.grown_crops:
        fields = [field for field in farm.fields.values() if field.crop == crop]
        area = area_text(crop_area(farm, crop), farm.units)
        number = "1 field" if len(fields) == 1 else f"{len(fields)} fields"
        console.print(Text(f"  {crop}: {area} on {number}"))
    console.print(Text(f"  operations: {', '.join(farm.operations)}"))
    for name, option in farm.options.items():
        console.print(Text(f"  option {name}: {option.label or name}"))
    console.print(_time(farm))
    _print_cautions(farm, console)


def print_answer(
    farm: Farm, outcomes: xr.Dataset, console: Console, moved: pd.DataFrame | None = None
) -> None:
    """Print when planting is finished, what each option costs in a year, and the answer.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
    console : Console
    moved : pandas.DataFrame, optional
        From `leads`: what the answer hangs on is then part of it.
    """
    seasons = outcomes.sizes["season"]
    number = "1 season" if seasons == 1 else f"{seasons:,} seasons"
    console.print(Text(f"{farm.name}: {number}, the same for every option"))
    comparison = compare(outcomes)
    console.print(_planting(outcomes, comparison))
    console.print(lost_table(comparison))
    console.print(cost_table(comparison))
    console.print(Text(MARGINS, style="dim"))
    answer = summarize(outcomes, leads=moved)
    for sentence in (
        *answer,
        *hardly_done(outcomes),
        *_few_years(comparison),
        *few_years(farm, outcomes),
        *_insured(farm, outcomes),
        *worn_out(farm, outcomes),
    ):
        console.print(Padding(Text(sentence), (0, 0, 0, 2)))
    console.print(Padding(Text(CAUTIONS, style="dim"), (1, 0, 0, 2)))
    _print_cautions(farm, console)


def _print_cautions(farm: Farm, console: Console) -> None:
    """Print what the farm's own figures call for care about."""
    for caution in cautions(farm):
        text = Text.assemble((f"{caution.topic}: ", "bold"), caution.text)
        console.print(Padding(text, (0, 0, 0, 2)))


def _time(farm: Farm) -> Table:
    """Return the table of where the day of each machine goes."""
    shown = time_table(farm)
    table = plain_table(shown.heading)
    for head in shown.columns:
        justify: JustifyMethod = "left" if head in ("machine", "filling") else "right"
        table.add_column(in_lines(head, 9, 3), justify=justify)
    for row in shown.rows:
        table.add_row(*(Text(cell.replace(", ", "\n")) for cell in row))
    return table


def _insured(farm: Farm, outcomes: xr.Dataset) -> list[str]:
    """Say of each insured crop what share of its guarantee the planting dates keep."""
    said = []
    for crop in farm.grown_crops:
        if farm.crops[crop].insurance is not None:
            kept = outcomes.insured_share.sel(crop=crop).mean("season").values
            least, most = f"{kept.min():.1f}", f"{kept.max():.1f}"
            span = least if least == most else f"{least} to {most}"
            said.append(
                f"Insured revenue of {crop} that its planting dates keep, average: {span} % by "
                "option; the policy decides."
            )
    return said


def _day(value: Any) -> str:
    """Return a date as people say it; where the season ends first, say so."""
    if pd.isna(value):
        return "not done"
    day = pd.Timestamp(value)
    return str(CalendarDay(day.month, day.day))


def _late(when: Any, low: Any, high: Any) -> str:
    """Return a late finish date, and below it the ends of its band."""
    if low == high or pd.isna(low):
        return _day(when)
    return f"{_day(when)}\n{_day(low)} to {'?' if pd.isna(high) else _day(high)}"


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
        in_time = (float(of_option[f"{crop}_on_target{part}"]) for part in ("", "_error"))
        target = _day(outcomes.target_date.sel(crop=crop).values)
        table.add_row(
            Text(str(of_option["label"]) if option != shown else ""),
            Text(str(crop)),
            _day(row["median"]),
            _late(row["late"], row["late_from"], row["late_to"]),
            f"{chance(*in_time).figure} ({target})",
        )
        shown = option
    return table


def _few_years(comparison: pd.DataFrame) -> list[str]:
    """Say of each option how sure its difference is in view of the few years on record."""
    if "difference_years_error" not in comparison:
        return []
    said = []
    for name, row in comparison.drop(index=comparison.attrs["baseline"]).iterrows():
        unsure = float(row["difference_years_error"])
        less = "less" if row["difference"] < 0 else "more"
        told = "cannot" if row["cannot_tell_with_these_years"] else "can"
        lead = f"{row['label'] or name}: {money_text(abs(row['difference']))} a year {less} than "
        said.append(
            f"{lead}the first; how unsure the few years on record leave that cannot be seen in so "
            "few seasons: draw more."
            if math.isnan(unsure)
            else f"{lead}the first, ± {money_text(Z * unsure)} in view of the few years on record; "
            f"with these years the two {told} be told apart."
        )
    return said
