"""``fieldsim size``: how large a machine must be to finish by a date, and what land it covers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from matplotlib.figure import Figure
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from fieldsim.cli.output import check_folder
from fieldsim.cli.plain import plain_table
from fieldsim.cli.size_input import SizeOptions
from fieldsim.cli.size_question import Work, asked, one_row, with_hours
from fieldsim.cli.study_files import write_files
from fieldsim.decisions.in_words.few import few_seasons, few_years
from fieldsim.decisions.in_words.words import either
from fieldsim.decisions.sampling import Z, few_beyond
from fieldsim.decisions.sizing.by_days import needed_capacity
from fieldsim.decisions.sizing.by_runs import sized_area, sized_capacity
from fieldsim.decisions.sizing.curves import capacity_tradeoff, certainty_curves
from fieldsim.farm import Farm, read_farm
from fieldsim.farm.parts import LONG_DAY
from fieldsim.plots.sizing import ROW_HEIGHT, plot_certainty
from fieldsim.plots.style import figure_size
from fieldsim.plots.words import in_lines, readable

__all__ = ["Sized", "print_sizes", "size_farm", "write_sizes"]

SIZES = tuple(float(size) for size in np.geomspace(0.4, 3.2, 9))  # of the figure
TOLERANCE = 0.02  # of the factors that are searched
OPTION_WIDTH = 20  # letters

Progress = Callable[[float], None]


@dataclass(frozen=True, eq=False)
class Sized:
    """What was found: by the days alone, by runs of every option, and what moves it."""

    farm: Farm
    work: Work
    seasons: int
    days: pd.DataFrame
    options: pd.DataFrame
    tradeoff: pd.DataFrame
    curves: pd.DataFrame


def size_farm(options: SizeOptions, progress: Progress) -> Sized:
    """Read the farm and work out the sizes.

    Parameters
    ----------
    options : SizeOptions
    progress : callable
        Called now and then with the share that is done, 0..1.

    Returns
    -------
    Sized

    Raises
    ------
    InputError
        With every fault of the options or the farm.
    """
    check_folder(options.out)
    farm = read_farm(options.farm_file)
    work = asked(farm, options)
    drawn: dict[str, Any] = {"seasons": options.seasons, "seed": options.seed}
    window = (work.first, work.by, work.hours, work.certainty)
    of_days: dict[str, Any] = {"soil": work.soil, "after_dark": work.after_dark, **drawn}
    days = needed_capacity(farm, work.area, *window, **of_days)
    row = one_row(farm, work)
    if row is not None:
        days["rows"] = np.ceil(days.capacity / row - 1e-9)
    tradeoff = capacity_tradeoff(
        farm,
        work.area,
        [work.first, work.later],
        work.by,
        [work.shorter, work.hours, work.longer],
        [work.certainty[-1]],
        outfits=[1, 2],
        **of_days,
    )
    curves = certainty_curves(
        farm,
        work.option,
        work.operation,
        work.by,
        work.crop,
        SIZES,
        changes={
            "as it is": {},
            f"{work.shorter} a day": with_hours(work.shorter),
            f"{work.longer} a day": with_hours(work.longer),
            f"from {work.later}": {f"operations.{work.operation}.earliest": work.later},
        },
        scale=work.scale,
        **drawn,
    )
    of_options = _of_options(farm, work, drawn, progress)
    return Sized(farm, work, options.seasons, days, of_options, tradeoff, curves)


def _of_options(farm: Farm, work: Work, drawn: dict[str, Any], progress: Progress) -> pd.DataFrame:
    """Return for every option and certainty what its machines and its land would have to be."""
    what = (work.operation, work.by, work.crop, work.certainty)
    tables = []
    for i, name in enumerate(farm.options):
        progress(i / len(farm.options))
        size = sized_capacity(
            farm, name, *what, scale=work.scale, tolerance=TOLERANCE, **drawn
        ).drop(columns="certainty_error")
        land = sized_area(farm, name, *what, tolerance=TOLERANCE, **drawn)
        for column in ("area", "area_from", "area_to"):
            size[column] = land[column]
        size.insert(0, "option", name)
        for column in ("share_now", "share_now_error", "capacity_now"):
            size[column] = size.attrs[column]
        tables.append(size)
    return pd.concat(tables, ignore_index=True)


def write_sizes(found: Sized, out: Path) -> list[Path]:
    """Write size_days.csv, size_options.csv, size_tradeoff.csv, size_curves.csv and size.png.

    Parameters
    ----------
    found : Sized
    out : Path

    Returns
    -------
    list of Path

    Raises
    ------
    InputError
        If the disk does not take them.
    """
    labels = found.curves.label.nunique()
    figure = Figure(figsize=figure_size(ROW_HEIGHT * labels), layout="constrained")
    work = found.work
    label = found.farm.options[work.option].label or readable(work.option)
    what = f"{readable(work.operation)} {readable(work.crop)} by {work.by}"
    title = f"{what[0].upper()}{what[1:]}: {label}"
    plot_certainty(found.curves, sought=work.certainty[-1], title=title, ax=figure.subplots())
    tables = {
        "size_days": found.days,
        "size_options": found.options,
        "size_tradeoff": found.tradeoff,
        "size_curves": found.curves,
    }
    return write_files(out, tables, {"size": figure})


def print_sizes(found: Sized, console: Console) -> None:
    """Print what the days alone ask for, what every option takes, and what moves it."""
    work, farm = found.work, found.farm
    head = f"{farm.name}: {readable(work.operation)} {work.area} of {readable(work.crop)}"
    console.print(Text(head, style="bold"))
    console.print(Text(f"from {work.first} to {work.by}, {work.hours} a day"))
    console.print(_days(found))
    note = "Only days count here: no other work, no roads, no waiting for the land."
    _say(console, f"{note} One outfit does it all.", dim=True)
    console.print(_options(found))
    for sentence in _said(found):
        _say(console, sentence)
    console.print(_tradeoff(found))
    margin = "(from to): the band in which other draws would put a figure, 95 times in 100."
    _say(console, margin, dim=True)
    if float(work.longer.split()[0]) > LONG_DAY:
        tired = f"More than {LONG_DAY:g} hours a day wear people out and cause accidents."
        _say(console, tired)


def _say(console: Console, sentence: str, *, dim: bool = False) -> None:
    console.print(Padding(Text(sentence, style="dim" if dim else ""), (0, 0, 0, 2)))


def _years(share: float) -> str:
    return f"{100 * share:g}"


def _number(value: float) -> str:
    return f"{value:,.1f}" if np.isfinite(value) else "none"


def _band(row: Mapping[Any, Any], column: str, digits: int = 1) -> str:
    """Return a figure with its band."""
    ends = [row[f"{column}{end}"] for end in ("", "_from", "_to")]
    if not np.isfinite(ends[0]):
        return "not reached"
    value, low, high = (f"{end:,.{digits}f}" if np.isfinite(end) else "none" for end in ends)
    return f"{value} ({low} {high})"


def _days(found: Sized) -> Table:
    units = found.days.attrs["units"]
    table = plain_table("By the days alone")
    table.add_column("finished in\nyears of 100", justify="right")
    for head in ("suitable\ndays", f"capacity\n{units['capacity']} (from to)"):
        table.add_column(head, justify="right")
    table.add_column(f"land a day\n{units['area']}", justify="right")
    if "rows" in found.days:
        table.add_column("rows", justify="right")
    for row in found.days.to_dict("records"):
        cells = [_years(row["certainty"]), f"{row['suitable_days']:.1f}", _band(row, "capacity")]
        cells.append(_number(row["area_per_day"]))
        if "rows" in row:
            cells.append(f"{row['rows']:.0f}" if np.isfinite(row["rows"]) else "none")
        table.add_row(*cells)
    return table


def _options(found: Sized) -> Table:
    units = found.days.attrs["units"]
    table = plain_table("By runs of the whole farm")
    table.add_column("Option", min_width=OPTION_WIDTH)
    table.add_column("finished\nnow", justify="right")
    table.add_column("in years\nof 100", justify="right")
    table.add_column(f"times\n{found.work.scale}", justify="right")
    table.add_column(f"capacity\n{units['capacity']} (from to)", justify="right")
    table.add_column(f"or land\n{units['area']}", justify="right")
    for name, rows in found.options.groupby("option", sort=False):
        label = found.farm.options[str(name)].label or readable(str(name))
        beside = in_lines(label, OPTION_WIDTH, max(2, len(rows))).split("\n")
        if len(beside) > len(rows):
            beside = ["\n".join(beside)]
        for i, row in enumerate(rows.to_dict("records")):
            now = f"{100 * row['share_now']:.0f} % ± {100 * Z * row['share_now_error']:.0f}"
            table.add_row(
                Text(beside[i] if i < len(beside) else ""),
                "" if i else now,
                _years(row["certainty"]),
                f"{row['factor']:.2f}" if np.isfinite(row["factor"]) else "—",
                _band(row, "capacity"),
                f"{row['area']:,.0f}" if row["area"] > 0 else "none",
            )
    return table


def _said(found: Sized) -> list[str]:
    work = found.work
    said = [
        "Capacity: of all machines of an option for this work together. Land: of all fields, with "
        "the machines as they are."
    ]
    if np.isinf(found.options.factor).any():
        said.append(
            f"Not reached: with more {work.scale} alone it cannot be; other work, hands or hours "
            "hold it up."
        )
    said += few_seasons(found.seasons)
    rough = [of for of in work.certainty if few_beyond(min(of, 1 - of), found.seasons)]
    if rough:
        shares = either([_years(share) for share in rough])
        said.append(
            f"Fewer than 10 of the {found.seasons:,} seasons lie beyond {shares} years of 100: "
            "take what that asks for as rough."
        )
    return said + few_years(found.farm)


def _tradeoff(found: Sized) -> Table:
    certainty = _years(found.work.certainty[-1])
    units = found.tradeoff.attrs["units"]["capacity"]
    title = f"What moves it, for {certainty} years of 100: capacity of each outfit, {units}"
    table = plain_table(title)
    table.add_column("hours a day")
    columns = found.tradeoff[["first", "outfits"]].drop_duplicates()
    for first, outfits in columns.itertuples(index=False):
        count = f"{outfits} outfit{'s' * (outfits > 1)}"
        table.add_column(f"{count}\nfrom {first}", justify="right")
    for hours, rows in found.tradeoff.groupby("hours_per_day", sort=False):
        by_column = rows.set_index(["first", "outfits"]).capacity
        cells = [_number(by_column[first, outfits]) for first, outfits in columns.values]
        table.add_row(str(hours), *cells)
    return table
