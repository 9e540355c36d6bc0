"""``fieldsim breakeven``: what would have to change for two options to change places."""

from __future__ import annotations

import re
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

from fieldsim.cli.breakeven_input import WORDS, BreakevenOptions
from fieldsim.cli.options import check_names
from fieldsim.cli.output import check_folder
from fieldsim.cli.plain import plain_table
from fieldsim.cli.study_files import write_files
from fieldsim.decisions.break_even.cost_curves import cost_curve, curve_crossings
from fieldsim.decisions.break_even.crossing import breakeven
from fieldsim.decisions.break_even.result import Breakeven, breakeven_table
from fieldsim.decisions.comparison import total_cost
from fieldsim.decisions.in_words.few import few_seasons, few_years
from fieldsim.decisions.sampling import Z
from fieldsim.decisions.studied_figures import StudiedFigure, studied
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm, read_farm
from fieldsim.farm.parts import LONG_DAY
from fieldsim.plots.breakeven import ROW_HEIGHT, plot_cost_curves
from fieldsim.plots.style import figure_size
from fieldsim.plots.words import in_lines, money_text, readable
from fieldsim.simulation import simulate

__all__ = ["Found", "find_breakevens", "print_breakevens", "write_breakevens"]

FIGURE_WIDTH, SAID_WIDTH = 18, 17  # letters
NO_UNIT = re.compile(r"(?<=\d) ?[^\d\s.,][^\d\s]*(?= and |$)")
POINTS = 13  # factors of a figure
MARGIN = (
    "Between from and to the Monte Carlo error (95 %) hides which is cheaper. Each figure is moved "
    "alone; all else is as in the farm file."
)

Progress = Callable[[float], None]


@dataclass(frozen=True, eq=False)
class Found:
    """What was found: break-evens of two options, and the costs of all, figure by figure."""

    farm: Farm
    option: str
    against: str
    seasons: int
    results: tuple[Breakeven, ...]
    curves: dict[str, xr.Dataset]


def find_breakevens(options: BreakevenOptions, progress: Progress) -> Found:
    """Read the farm and find where the two options cost the same.

    Parameters
    ----------
    options : BreakevenOptions
    progress : callable
        Called now and then with the share that is done, 0..1.

    Returns
    -------
    Found

    Raises
    ------
    InputError
        With every fault of the options or the farm.
    """
    check_folder(options.out)
    farm = read_farm(options.farm_file)
    option, against = _pair(farm, options)
    figures = {
        word: _figure(farm, word, option, against, options) for word in options.over or WORDS
    }
    seasons, seed = options.seasons, options.seed
    results, curves = [], {}
    wanted = {word: figure for word, figure in figures.items() if figure is not None}
    for i, (word, figure) in enumerate(wanted.items()):
        progress(i / len(wanted))
        found = breakeven(farm, option, against, figure, seasons=seasons, seed=seed)
        results.append(found)
        curves[word] = cost_curve(farm, figure, _factors(found), seasons=seasons, seed=seed)
    return Found(farm, option, against, options.seasons, tuple(results), curves)


def _pair(farm: Farm, options: BreakevenOptions) -> tuple[str, str]:
    """Return the two options that are meant: those named, or the cheapest."""
    if len(farm.options) < 2:
        problem = "this farm has one option only; a break-even takes two"
        raise InputError([Fault("", "options", "", problem, "add an option to the farm file")])
    check_names(farm, option=options.option, against=options.against)
    if options.option is not None and options.option == options.against:
        problem = "is the option itself"
        raise InputError([Fault("", "--against", options.option, problem, "name another")])
    cost = total_cost(simulate(farm, options.seasons, options.seed)).mean("season")
    cheapest = [str(name) for name in cost.sortby(cost).option.values]
    option = options.option or next(name for name in cheapest if name != options.against)
    against = options.against or next(name for name in cheapest if name != option)
    return option, against


def _figure(
    farm: Farm, word: str, option: str, against: str, options: BreakevenOptions
) -> StudiedFigure | None:
    """Return the figure of a word; None for a purchase nobody asked for and that there is not."""
    try:
        return studied(
            farm, word, option=option, against=against, crop=options.crop, machine=options.machine
        )
    except InputError:
        if word == "purchase" and not options.over and options.machine is None:
            return None
        raise


def _factors(found: Breakeven) -> list[float]:
    """Return factors that show what the file says and the crossings, a good way around.

    Those of the crossings are among them, so that the picture says of them what the table says.
    """
    low, high = found.bounds
    places = [1.0, *(crossing.factor for crossing in found.crossings)]
    ends = max(low, 0.5 * min(places)), min(high, max(1.8 * max(places), 1.0))
    step = (ends[1] - ends[0]) / (POINTS - 1)
    return sorted({*(ends[0] + i * step for i in range(POINTS)), *places[1:]})


def write_breakevens(found: Found, out: Path) -> list[Path]:
    """Write breakeven.csv, and for each figure a table of costs, its crossings and a picture.

    Parameters
    ----------
    found : Found
    out : Path

    Returns
    -------
    list of Path

    Raises
    ------
    InputError
        If the disk does not take them.
    """
    costs, crossings, figures = [], [], {}
    for word, curve in found.curves.items():
        costs.append(curve.to_dataframe().reset_index().assign(over=word))
        crossings.append(curve_crossings(curve).assign(over=word))
        name = f"breakeven_{word.replace('.', '_').replace('*', 'all')}"
        figures[name] = _picture(curve)
    tables = {
        "breakeven": breakeven_table(found.results),
        "breakeven_costs": pd.concat(costs, ignore_index=True),
        # Without the empty ones, which pandas 2 warns of; all empty: the first, for its columns.
        "breakeven_crossings": pd.concat(
            [table for table in crossings if len(table)] or crossings[:1], ignore_index=True
        ),
    }
    return write_files(out, tables, figures)


def _picture(curve: xr.Dataset) -> Figure:
    rows = ROW_HEIGHT * curve.sizes["option"]
    figure = Figure(figsize=figure_size(rows), layout="constrained")
    plot_cost_curves(curve, ax=figure.subplots())
    return figure


def print_breakevens(found: Found, console: Console) -> None:
    """Print the two options, and for each figure where they change places."""
    farm, first = found.farm, found.results[0]
    console.print(Text(f"{farm.name}: {found.seasons:,} seasons", style="bold"))
    label, other = (_label(farm, name) for name in (found.option, found.against))
    less = "less" if first.difference_now < 0 else "more"
    margin = money_text(Z * first.difference_now_error)
    amount = money_text(abs(first.difference_now))
    _say(console, f"As it is, {label}: {amount} a year (± {margin}) {less} than {other}.")
    console.print(_table(found))
    for result in found.results:
        if len(result.crossings) > 1 or result.note.partition(";")[2]:
            _say(console, f"{readable(result.figure.name).capitalize()}: {result.note}.")
    for sentence in [*few_seasons(found.seasons), *few_years(farm)]:
        _say(console, sentence)
    _say(console, MARGIN, dim=True)
    if any(_tiring(farm, result) for result in found.results):
        _say(console, f"More than {LONG_DAY:g} hours a day wear people out and cause accidents.")


def _say(console: Console, sentence: str, *, dim: bool = False) -> None:
    console.print(Padding(Text(sentence, style="dim" if dim else ""), (0, 0, 0, 2)))


def _label(farm: Farm, option: str) -> str:
    return farm.options[option].label or readable(option)


def _table(found: Found) -> Table:
    """Return a row for each crossing, and one for each figure without any."""
    table = plain_table("Where the two cost the same")
    table.add_column("What is moved", min_width=FIGURE_WIDTH)
    for head in ("as it is", "same\ncost at", "from", "to"):
        table.add_column(head)
    table.add_column("cheaper above,\nor throughout", min_width=SAID_WIDTH)
    for result in found.results:
        name = in_lines(result.figure.name, FIGURE_WIDTH, 3)
        now = _wrapped(result.now)
        if not result.crossings:
            cheaper = _label(found.farm, result.cheaper) if result.cheaper else "neither"
            said = in_lines(cheaper, SAID_WIDTH, 3)
            table.add_row(Text(name), now, "never", "", "", Text(said))
        for crossing in result.crossings:
            above = in_lines(_label(found.farm, crossing.cheaper_above), SAID_WIDTH, 3)
            ends = [NO_UNIT.sub("", end) for end in (crossing.value_low, crossing.value_high)]
            cells = map(_wrapped, (crossing.value, *ends))
            table.add_row(Text(name), now, *cells, Text(above))
            name, now = "", Text("")
    return table


def _wrapped(text: str) -> Text:
    return Text(text.replace(" and ", "\n"))


def _tiring(farm: Farm, result: Breakeven) -> bool:
    """Say whether a break-even asks for days longer than people should work."""
    longest = farm.crew.hours_per_day
    hours = "crew.hours_per_day" in result.figure.paths
    return hours and any(crossing.factor * longest > LONG_DAY for crossing in result.crossings)
