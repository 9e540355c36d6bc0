"""``fieldsim breakeven``: the command."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click
from rich.console import Console

from fieldsim.cli.breakeven_input import BREAKEVEN_EXAMPLE, BreakevenOptions, breakeven_options
from fieldsim.cli.options import plain_errors
from fieldsim.progress import shown_progress

__all__ = ["breakeven"]


@click.command(epilog=BREAKEVEN_EXAMPLE)
@click.argument("farm_file", metavar="FARM.toml", type=click.Path(path_type=Path))
@breakeven_options
@plain_errors
def breakeven(**options: Any) -> None:
    """Say what would have to change for two options to cost the same."""
    from fieldsim.cli.breakeven_study import find_breakevens, print_breakevens, write_breakevens

    chosen = BreakevenOptions(**options)
    with shown_progress("closing in on equal costs") as progress:
        found = find_breakevens(chosen, progress)
    written = write_breakevens(found, chosen.out)
    print_breakevens(found, Console(highlight=False))
    click.echo(f"Wrote {len(written)} files to {chosen.out}: breakeven.csv and its figures")
