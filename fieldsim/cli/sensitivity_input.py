"""The options of ``fieldsim sensitivity``, as written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import click

__all__ = ["SENSITIVITY_EXAMPLE", "SensitivityOptions", "sensitivity_options"]

# The sign at the start keeps the lines as they stand.
SENSITIVITY_EXAMPLE = """\b
Example:
  fieldsim sensitivity farm.toml --option six_rows --against eight_rows
Then edit the ranges it wrote, and:
  fieldsim sensitivity farm.toml --ranges fieldsim-out/ranges.csv --global
"""


@dataclass(frozen=True)
class SensitivityOptions:
    """What was asked for on the command line, as written.

    Parameters
    ----------
    farm_file : Path
    ranges : Path, optional
        Inputs and their ranges; default: usual ones.
    option, against : str, optional
        Names of options of the farm; default: the two that cost least.
    together : bool
        Whether all inputs are moved together as well.
    samples, seasons, seed : int
    out : Path
        Folder for what is written.
    """

    farm_file: Path
    ranges: Path | None
    option: str | None
    against: str | None
    together: bool
    samples: int
    seasons: int
    seed: int
    out: Path


def sensitivity_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add the options of `sensitivity`."""
    for option in (
        click.option("--samples", type=int, default=64, show_default=True,
                     help="For --global: how many, a power of 2; time goes by 8 times as many."),
        click.option("--global", "together", is_flag=True,
                     help="Move the six inputs that do most all together as well."),
        click.option("--against", metavar="NAME",
                     help="The option to hold it against; default: the cheapest other."),
        click.option("--option", metavar="NAME",
                     help="The option that is asked about; default: the cheapest."),
        click.option("--ranges", metavar="RANGES.csv", type=click.Path(path_type=Path),
                     help="Inputs and their ranges; default: usual ones, written for you to edit."),
    ):  # fmt: skip
        command = option(command)
    return command
