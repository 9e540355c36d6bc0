"""The options of ``fieldsim breakeven``, as written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import click

__all__ = ["BREAKEVEN_EXAMPLE", "BreakevenOptions", "breakeven_options"]

# The sign at the start keeps the lines as they stand.
BREAKEVEN_EXAMPLE = """\b
Example: on how much land does the planter of 8 rows pay?
  fieldsim breakeven farm.toml --option eight_rows --against six_rows \\
    --over area
"""
WORDS = ("area", "price", "yield", "loss", "purchase", "hours")


@dataclass(frozen=True)
class BreakevenOptions:
    """What was asked for on the command line, as written.

    Parameters
    ----------
    farm_file : Path
    option, against : str, optional
        Names of options of the farm; default: the two that cost least.
    over : tuple of str
        Figures that are moved: words, or paths of the farm file; none: all words.
    crop, machine : str, optional
        For prices, yields and losses; for the purchase.
    seasons, seed : int
    out : Path
        Folder for what is written.
    """

    farm_file: Path
    option: str | None
    against: str | None
    over: tuple[str, ...]
    crop: str | None
    machine: str | None
    seasons: int
    seed: int
    out: Path


def breakeven_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add the options of `breakeven`."""
    for option in (
        click.option("--out", type=click.Path(path_type=Path), default=Path("fieldsim-out"),
                     show_default=True, help="Folder for tables and figures."),
        click.option("--seed", type=int, default=0, show_default=True,
                     help="Another seed draws other seasons."),
        click.option("--seasons", type=int, default=500, show_default=True,
                     help="How many seasons to draw."),
        click.option("--machine", metavar="NAME",
                     help="For the purchase; default: the dearest that only the option has."),
        click.option("--crop", metavar="NAME",
                     help="For price, yield and loss; default: all crops together."),
        click.option("--over", multiple=True, metavar="WORD",
                     help=f"What is moved: {', '.join(WORDS)}, or a path of the farm file; may "
                     "stand several times; default: all of the words."),
        click.option("--against", metavar="NAME",
                     help="The option to hold it against; default: the cheapest other."),
        click.option("--option", metavar="NAME",
                     help="The option that is asked about; default: the cheapest."),
    ):  # fmt: skip
        command = option(command)
    return command
