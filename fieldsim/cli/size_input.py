"""The options of ``fieldsim size``, as written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import click

__all__ = ["SIZE_EXAMPLE", "SizeOptions", "size_options"]

# The sign at the start keeps the lines as they stand.
SIZE_EXAMPLE = """\b
Example: which planter has the corn in by 10 May in 9 years of 10?
  fieldsim size farm.toml --by "10 May" --operation plant --crop corn \\
    --certainty "50, 80, 90"
"""


@dataclass(frozen=True)
class SizeOptions:
    """What was asked for on the command line, as written.

    Parameters
    ----------
    farm_file : Path
    by : str, optional
        Day by which the work is to be finished; default: the crop's target date.
    operation : str, optional
        Default: what plants the crop.
    crop : str, optional
        Default: the first crop grown.
    option : str, optional
        Whose machines the figure makes larger; default: the first.
    certainty : str
        Shares of seasons in per cent, with commas.
    scale : str
        ``"width"`` or ``"speed"``.
    seasons, seed : int
    out : Path
        Folder for what is written.
    """

    farm_file: Path
    by: str | None
    operation: str | None
    crop: str | None
    option: str | None
    certainty: str
    scale: str
    seasons: int
    seed: int
    out: Path


def size_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add the options of `size`."""
    for option in (
        click.option("--out", type=click.Path(path_type=Path), default=Path("fieldsim-out"),
                     show_default=True, help="Folder for tables and figure."),
        click.option("--seed", type=int, default=0, show_default=True,
                     help="Another seed draws other seasons."),
        click.option("--seasons", type=int, default=500, show_default=True,
                     help="How many seasons to draw."),
        click.option("--scale", type=click.Choice(["width", "speed"]), default="width",
                     show_default=True, help="What of an option's machines is made larger."),
        click.option("--certainty", metavar="SHARES", default="50, 80, 90", show_default=True,
                     help="In how many years of 100 the work is to be finished."),
        click.option("--option", metavar="NAME",
                     help="Whose machines the figure makes larger; default: the first."),
        click.option("--crop", metavar="NAME", help="Default: the first crop grown."),
        click.option("--operation", metavar="NAME", help="Default: what plants the crop."),
        click.option("--by", metavar="DAY",
                     help='Day by which the work is to be finished: "10 May"; default: the '
                     "crop's target date."),
    ):  # fmt: skip
        command = option(command)
    return command
