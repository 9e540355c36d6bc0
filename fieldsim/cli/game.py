"""The spring game: its page, or for who leads it the weeks of the season that will be dealt."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.console import Console
from rich.table import Table

from fieldsim.cli.explore import farm_argument, farm_or_demo, port_option, serve
from fieldsim.cli.options import check_names, plain_errors

if TYPE_CHECKING:
    from fieldsim.explorer import Spring

__all__ = ["game"]


@click.command()
@farm_argument
@click.option("--option", metavar="NAME", help="Whose machines are played; default: the first.")
@click.option(
    "--seed", type=int, default=0, show_default=True, help="Another seed, another spring."
)
@click.option("--reveal", is_flag=True, help="For who leads the game: print its weeks and its end.")
@port_option
@plain_errors
def game(farm_file: Path | None, option: str | None, seed: int, reveal: bool, port: int) -> None:
    """Play one spring week by week with a room; without a file, on the demo farm."""
    from fieldsim.explorer import Room, deal

    farm = farm_or_demo(farm_file)
    check_names(farm, option=option)
    chosen = next(iter(farm.options)) if option is None else option
    spring = deal(farm, chosen, seed)
    if reveal:
        _print(spring, Console(highlight=False))
    else:
        serve(Room(farm, "game", chosen, seed), port)


def _print(spring: Spring, console: Console) -> None:
    """Print the weeks of a spring and what it comes to with nothing decided."""
    from fieldsim.explorer import debrief, reveal

    table = Table(title=f"The spring of seed {spring.ground.seed}: suitable days")
    for name in ("week", "this spring", "1 in 10 has less", "middle", "1 in 10 has more"):
        table.add_column(name, justify="left" if name == "week" else "right")
    for week in reveal(spring):
        usual = (f"{days:.1f}" for days in week["usual"])
        table.add_row(week["week"], f"{week['days']:.1f}", *usual)
    console.print(table)
    end = debrief(spring)
    rows = Table(title="What it comes to ($ a year)")
    for name in ("", "lost revenue", "all costs"):
        rows.add_column(name, justify="right" if name else "left")
    for row in end["rows"]:
        label = "nothing decided" if row["kind"] == "yours" else row["label"]
        rows.add_row(label, f"{row['lost']:,.0f}", f"{row['total']:,.0f}")
    console.print(rows)
    console.print("The best of the plans tried: " + "; ".join(end["plan"] or ["nothing decided"]))
