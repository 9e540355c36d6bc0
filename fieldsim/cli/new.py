"""``fieldsim new``: a farm file to begin from, with six answers in it or as the demo has it."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from fieldsim.cli.options import plain_errors
from fieldsim.errors import Fault, InputError

__all__ = ["new"]


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option(
    "--ask/--copy",
    default=None,
    help="Ask six questions, or copy the commented demo farm. Default: ask in a terminal.",
)
@plain_errors
def new(folder: Path, ask: bool | None) -> None:
    """Write a commented farm into DIR: six questions first, or a copy of the demo farm."""
    from fieldsim.demo import demo_folder

    files = sorted(path for path in demo_folder().iterdir() if path.suffix in (".toml", ".csv"))
    _check(folder, [path.name for path in files])
    texts = {path.name: path.read_text(encoding="utf-8") for path in files}
    asked = sys.stdin.isatty() and sys.stdout.isatty() if ask is None else ask
    if asked:
        texts["farm.toml"] = _own(texts)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in texts.items():
            (folder / name).write_text(text, encoding="utf-8", newline="\n")
    except OSError as error:
        problem = f"it cannot be written ({error.strerror})"
        raise InputError([Fault("", "DIR", str(folder), problem, "name another folder")]) from None
    _say_what_next(folder / "farm.toml", asked=asked)


def _check(folder: Path, names: list[str]) -> None:
    """Raise where files would be written over."""
    taken = [name for name in names if (folder / name).exists()]
    if taken or (folder.exists() and not folder.is_dir()):
        problem = f"{', '.join(taken) or 'a file of that name'} already there"
        raise InputError([Fault("", "DIR", str(folder), problem, "name a new folder")])


def _own(texts: dict[str, str]) -> str:
    """Ask, and return the text of the farm file, which is checked before anything is written."""
    from fieldsim.cli.new_answers import ask
    from fieldsim.cli.new_text import farm_text, planter_rows, shelf_rows
    from fieldsim.farm import parse_farm

    shelf = shelf_rows(texts["machines.csv"])
    text = farm_text(texts["farm.toml"], shelf, ask(planter_rows(shelf)))
    tables = {name: table for name, table in texts.items() if name != "farm.toml"}
    parse_farm(text, tables, "farm.toml")
    return text


def _say_what_next(farm: Path, *, asked: bool) -> None:
    if not asked:
        click.echo(f"Wrote {farm}. Open it in a text editor and put in your own farm, then:")
        click.echo(f"  fieldsim check {farm}")
        click.echo(f"  fieldsim run {farm}")
        return
    click.echo(f"Wrote {farm} and its tables. A first answer, on invented days and prices:")
    click.echo(f"  fieldsim run {farm}")
    click.echo("It is yours when these are, most important first:")
    click.echo(f"  1. suitable days: {farm.parent / 'suitable_days.csv'}, or your own past years:")
    click.echo("     fieldsim fit diary.csv")
    click.echo("  2. [crops]: yields, prices, target dates, and what late planting loses")
    click.echo("  3. [machines], [tractors]: prices, speeds, hoppers; [money]: wage, interest")
    click.echo("  4. [operations]: what you do, in which order, from which day on")
    click.echo("  5. [fields]: length of rows, distance, and the order they are worked in")
    click.echo(f"  fieldsim check {farm}")
