"""The page with sliders, and how every page is served until Ctrl-C."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from fieldsim.cli.options import plain_errors

if TYPE_CHECKING:
    from fieldsim.explorer import Room
    from fieldsim.farm import Farm

__all__ = ["explore", "farm_argument", "farm_or_demo", "port_option", "serve"]

farm_argument = click.argument(
    "farm_file", metavar="[FARM.toml]", type=click.Path(path_type=Path), required=False
)
port_option = click.option(
    "--port", type=int, default=0, help="Port of the page; default: any that is free."
)


@click.command()
@farm_argument
@port_option
@plain_errors
def explore(farm_file: Path | None, port: int) -> None:
    """Open a page with sliders and four pictures; without a file, of the demo farm."""
    from fieldsim.explorer import Room

    serve(Room(farm_or_demo(farm_file)), port)


def farm_or_demo(farm_file: Path | None) -> Farm:
    """Return the farm of a file; without one, the invented demo farm."""
    from fieldsim.demo import demo_farm
    from fieldsim.farm import read_farm

    return demo_farm() if farm_file is None else read_farm(farm_file)


def serve(room: Room, port: int) -> None:
    """Serve a room's page and say where, until Ctrl-C."""
    from fieldsim.explorer import page_server

    try:
        with page_server(room, port) as server:
            click.echo(f"Open {server.address}")
            click.echo("Only this machine can reach it, and only with that whole address.")
            click.echo("Ctrl-C ends it.")
            server.serve_forever()
    except KeyboardInterrupt:
        click.echo("\nEnded.")
