"""``fieldsim size``: the command."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click
from rich.console import Console

from fieldsim.cli.options import plain_errors
from fieldsim.cli.size_input import SIZE_EXAMPLE, SizeOptions, size_options
from fieldsim.progress import shown_progress

__all__ = ["size"]


@click.command(epilog=SIZE_EXAMPLE)
@click.argument("farm_file", metavar="FARM.toml", type=click.Path(path_type=Path))
@size_options
@plain_errors
def size(**options: Any) -> None:
    """Say how large a machine must be to finish by a date, and how much land it covers."""
    from fieldsim.cli.size_study import print_sizes, size_farm, write_sizes

    chosen = SizeOptions(**options)
    with shown_progress("sizing the options") as progress:
        found = size_farm(chosen, progress)
    written = write_sizes(found, chosen.out)
    print_sizes(found, Console(highlight=False))
    click.echo(f"Wrote {', '.join(path.name for path in written)} to {chosen.out}")
