"""``fieldsim sensitivity``: what an answer hangs on, and what one more of each thing is worth."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pandas as pd
from matplotlib.figure import Figure
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from fieldsim.cli.options import check_names
from fieldsim.cli.output import check_folder
from fieldsim.cli.plain import plain_table
from fieldsim.cli.sensitivity_input import SensitivityOptions
from fieldsim.cli.study_files import write_files
from fieldsim.decisions.in_words.few import FEW_SEASONS, few_seasons, few_years
from fieldsim.decisions.sampling import Z
from fieldsim.decisions.sensitivity.input_checks import check_inputs
from fieldsim.decisions.sensitivity.inputs import Input
from fieldsim.decisions.sensitivity.marginal import worth_of_one_more
from fieldsim.decisions.sensitivity.one_at_a_time import ranges
from fieldsim.decisions.sensitivity.question import ask
from fieldsim.decisions.sensitivity.range_files import ranges_text, read_ranges
from fieldsim.decisions.sensitivity.together import check_samples, sobol
from fieldsim.decisions.sensitivity.usual_inputs import usual_inputs
from fieldsim.farm import Farm, read_farm
from fieldsim.plots.sensitivity import ROW_HEIGHT, plot_ranges, plot_variance_shares
from fieldsim.plots.style import figure_size
from fieldsim.plots.words import money_text, readable

__all__ = ["Study", "print_study", "study", "write_study"]

MOST_TOGETHER = 6  # inputs that are moved together: each takes `samples` runs of the farm more
SEASONS_TOGETHER = FEW_SEASONS  # of each sample; enough not to be few
ALONE = 0.3  # of the time, where inputs are moved together as well

Progress = Callable[[float], None]


@dataclass(frozen=True, eq=False)
class Study:
    """What was found: inputs, each moved alone, all together (if asked), and one more of each."""

    farm: Farm
    inputs: tuple[Input, ...]
    alone: pd.DataFrame
    together: pd.DataFrame | None
    worth: pd.DataFrame


def study(options: SensitivityOptions, progress: Progress) -> Study:
    """Read the farm and the ranges, and work them.

    Parameters
    ----------
    options : SensitivityOptions
    progress : callable
        Called now and then with the share that is done, 0..1.

    Returns
    -------
    Study

    Raises
    ------
    InputError
        With every fault of the options, the farm or the ranges.
    """
    check_samples(options.samples)
    check_folder(options.out)
    farm = read_farm(options.farm_file)
    check_names(farm, option=options.option, against=options.against)
    inputs = usual_inputs(farm) if options.ranges is None else read_ranges(options.ranges)
    check_inputs(farm, inputs)
    seasons, seed, against = options.seasons, options.seed, options.against
    option = ask(farm, options.option, against, seasons, seed)[0].option
    if against is None and len(farm.options) > 1:
        against = ask(farm, None, option, seasons, seed)[0].option
    part = ALONE if options.together else 1.0
    alone = ranges(
        farm,
        inputs,
        option=option,
        against=against,
        seasons=seasons,
        seed=seed,
        progress=lambda share: progress(part * share),
    )
    together = None
    if options.together:
        first = [item for item in inputs if item.name in alone.index[:MOST_TOGETHER]]
        together = sobol(
            farm,
            first,
            option=option,
            against=against,
            samples=options.samples,
            seasons=min(seasons, SEASONS_TOGETHER),
            seed=seed,
            progress=lambda share: progress(part + (1 - part) * share),
        )
    worth = worth_of_one_more(farm, seasons=seasons, seed=seed)
    worth = worth[worth.option.isin([option, against])]
    return Study(farm, inputs, alone, together, worth)


def write_study(found: Study, options: SensitivityOptions) -> list[Path]:
    """Write tables and figures, and the ranges unless they were given.

    Raises
    ------
    InputError
        If the disk does not take them.
    """
    tables = {"sensitivity": found.alone, "one_more": found.worth.set_index("option")}
    figures = {"sensitivity": _figure(found.alone, plot_ranges, 1.0)}
    if found.together is not None:
        tables["sensitivity_together"] = found.together
        figures["sensitivity_together"] = _figure(found.together, plot_variance_shares, 1.3)
    plain = {name: table.reset_index() for name, table in tables.items()}
    texts = {"ranges.csv": ranges_text(found.inputs)} if options.ranges is None else {}
    return write_files(options.out, plain, figures, texts)


def _figure(table: pd.DataFrame, plot: Callable[..., object], row: float) -> Figure:
    rows = row * ROW_HEIGHT * min(len(table), 12)
    figure = Figure(figsize=figure_size(rows), layout="constrained")
    plot(table, ax=figure.subplots())
    return figure


def print_study(found: Study, console: Console) -> None:
    """Print each input's range and effect, what flips the decision, and what one more is worth."""
    alone = found.alone
    attrs = alone.attrs
    seasons = f"{attrs['seasons']:,} seasons, the same for everything"
    console.print(Text(f"{found.farm.name}: {seasons}"))
    console.print(_ranges(alone))
    for sentence in [*_said(alone), *few_years(found.farm)]:
        console.print(Padding(Text(sentence), (0, 0, 0, 2)))
    if found.together is not None:
        console.print(_together(found.together))
        for sentence in _said_together(found.together):
            console.print(Padding(Text(sentence), (0, 0, 0, 2)))
    console.print(_worth(found))
    note = (
        "What one more costs to have is not taken off, but for the wages of hours worked. "
        "±: how far other draws would move a figure, 95 times in 100."
    )
    console.print(Padding(Text(note, style="dim"), (0, 0, 1, 2)))


def _ranges(alone: pd.DataFrame) -> Table:
    """Return the table of inputs, each moved alone."""
    attrs = alone.attrs
    label = attrs["labels"][attrs["option"]]
    if attrs["against"] is None:
        title = f"Total cost of a year with {label} ({attrs['units']})"
    else:
        against = attrs["labels"][attrs["against"]]
        title = f"Cost of a year, {label} less {against} ({attrs['units']})"
    table = plain_table(title)
    table.add_column("Input, alone")
    for head in ("low\nend", "high\nend", "at low\nend", "at high\nend", "decision\nflips at"):
        table.add_column(head, justify="right")
    for name, row in alone.iterrows():
        table.add_row(
            Text(readable(str(name))),
            Text(row["low"]),
            Text(row["high"]),
            f"{row['at_low']:,.0f}",
            f"{row['at_high']:,.0f}",
            Text(row["flips_at"]),
        )
    return table


def _said(alone: pd.DataFrame) -> list[str]:
    """Say what is asked on the farm's own figures, what flips the decision, and how sure it is."""
    attrs = alone.attrs
    own, margin = float(alone.at_own.iloc[0]), Z * float(alone.at_own_error.iloc[0])
    label = attrs["labels"][attrs["option"]]
    sure = f"{money_text(abs(own))} (± {money_text(margin)})"
    if attrs["against"] is None:
        said = [f"On the farm's own figures a year with {label} costs {sure}."]
    else:
        against = attrs["labels"][attrs["against"]]
        less = "less" if own < 0 else "more"
        tie = "" if abs(own) > margin else ", which so few seasons cannot tell apart"
        said = [f"As the farm stands, {label} costs {sure} a year {less} than {against}{tie}."]
    flipping = alone[alone.flips & (alone.flips_at != "")]
    for name, row in flipping.iterrows():
        beyond = [
            row[f"best_{end}"] for end in ("low", "high") if row[f"best_{end}"] != attrs["best"]
        ]
        labels = " or ".join(attrs["labels"][best] for best in dict.fromkeys(beyond))
        said.append(f"With {name} beyond {row['flips_at']}, {labels} would cost less.")
    if attrs["against"] is not None and not alone.flips.any():
        said.append(
            "No input alone, within its range, changes for sure which of the two costs less."
        )
    most = money_text(Z * float(alone.effect_error.max()))
    said.append(f"Between the ends of a range the error of these draws is ± {most} at most.")
    return said + few_seasons(attrs["seasons"])


def _together(together: pd.DataFrame) -> Table:
    table = plain_table("All moved together: shares of the variance (%)")
    table.add_column("Input")
    for head in ("alone", "95 %\ninterval", "with\nothers", "95 %\ninterval"):
        table.add_column(head, justify="right")
    for name, row in together.iterrows():
        cells = []
        for kind in ("first_order", "total"):
            low, high = (f"{100 * row[f'{kind}_{end}']:.0f}" for end in ("low", "high"))
            cells += [f"{100 * row[kind]:.0f}", f"{low} to {high}"]
        table.add_row(Text(readable(str(name))), *cells)
    return table


def _said_together(together: pd.DataFrame) -> list[str]:
    attrs = together.attrs
    mean, spread = money_text(attrs["mean"]), money_text(attrs["standard_deviation"])
    said = [
        f"Over these ranges it is {mean} a year in the mean, with a standard deviation of {spread}."
    ]
    if attrs["against"] is not None:
        option, against = (attrs["labels"][attrs[which]] for which in ("option", "against"))
        said.append(
            f"In {100 * attrs['cheaper']:.0f} of 100 samples {option} costs less than {against}."
        )
    return said


def _worth(found: Study) -> Table:
    """Return the table of what one more is worth, a column for each option asked about."""
    worth, labels = found.worth, found.alone.attrs["labels"]
    table = plain_table(f"What one more saves in a year ({worth.attrs['units']})")
    table.add_column("One more")
    for option in worth.option.unique():
        table.add_column(Text(labels[option]), justify="right")
    for what, rows in worth.groupby("one_more", sort=False):
        cells = (
            "none to be had" if pd.isna(row["worth"])
            else f"{round(row['worth']) + 0:,d} ± {Z * row['worth_error']:,.0f}"
            for row in rows.to_dict("records")
        )  # fmt: skip
        table.add_row(Text(str(what)), *cells)
    return table
