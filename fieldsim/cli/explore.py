"""The pages with sliders and the spring game: started, and served until Ctrl-C."""

from __future__ import annotations

from pathlib import Path

import click

from fieldsim.demo import demo_farm
from fieldsim.explorer import Room, page_server
from fieldsim.farm import Farm, read_farm

__all__ = ["explore", "farm_or_demo", "serve"]


def explore(farm_file: Path | None, port: int) -> None:
    """Serve the explorer of a farm until Ctrl-C."""
    serve(Room(farm_or_demo(farm_file)), port)


def farm_or_demo(farm_file: Path | None) -> Farm:
    """Return the farm of a file; without one, the invented demo farm."""
    return demo_farm() if farm_file is None else read_farm(farm_file)


def serve(room: Room, port: int) -> None:
    """Serve a room's page and say where, until Ctrl-C."""
    with page_server(room, port) as server:
        click.echo(f"Open {server.address}")
        click.echo("Only this machine can reach it, and only with that whole address.")
        click.echo("Ctrl-C ends it.")
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            click.echo("\nEnded.")
