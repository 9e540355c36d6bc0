"""The commands. A user's mistake ends with a message for each fault and exit status 2."""

from __future__ import annotations

import gc
from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

from fieldsim.cli.breakeven import breakeven
from fieldsim.cli.explore import explore
from fieldsim.cli.game import game
from fieldsim.cli.invest_input import EXAMPLE, invest_options
from fieldsim.cli.new import new
from fieldsim.cli.options import (
    auto_options,
    check_names,
    fit_options,
    plain_errors,
    replicates_option,
    run_options,
)
from fieldsim.cli.rerun import rerun
from fieldsim.cli.sensitivity_input import SENSITIVITY_EXAMPLE, sensitivity_options
from fieldsim.cli.size import size

__all__ = ["main"]


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="fieldsim")
def main() -> None:
    """Which field outfit finishes on time, and what late planting costs."""
    # Loading packages and drawing make very many objects and hardly any garbage.
    gc.set_threshold(500_000)


main.add_command(breakeven)
main.add_command(size)
main.add_command(explore)
main.add_command(game)
main.add_command(rerun)
main.add_command(new)


@main.command()
@replicates_option
@auto_options
@plain_errors
def demo(seasons: int | str, seed: int, out: Path, replicates: int | None) -> None:
    """Run the invented demo farm and show which option pays."""
    from fieldsim.demo import demo_folder

    _run(demo_folder() / "farm.toml", seasons, seed, out, replicates)


@main.command()
@click.argument("farm_file", metavar="FARM.toml", type=click.Path(path_type=Path))
@replicates_option
@auto_options
@plain_errors
def run(farm_file: Path, seasons: int | str, seed: int, out: Path, replicates: int | None) -> None:
    """Run a farm file and show which option pays."""
    _run(farm_file, seasons, seed, out, replicates)


@main.command()
@click.argument("farm_file", metavar="FARM.toml", type=click.Path(path_type=Path))
@click.option("--baseline", metavar="NAME", help="Show only the pairs with this option.")
@click.option(
    "--wealth",
    metavar="DOLLARS",
    type=float,
    help="What you own, less debts: adds the sure cost that is as bad as the risky one.",
)
@auto_options
@plain_errors
def compare(**options: Any) -> None:
    """Compare every option with every other, and say how bad the bad years are."""
    from fieldsim.cli.compare import CompareOptions, run_comparison

    with _bar() as bar:
        working = bar.add_task("working the seasons", total=1.0)
        console = Console(highlight=False)
        written = run_comparison(
            CompareOptions(**options), console, lambda share: bar.update(working, completed=share)
        )
    click.echo(f"Wrote {', '.join(map(str, written))}")


@main.command()
@click.argument("farm_file", metavar="FARM.toml", type=click.Path(path_type=Path))
@plain_errors
def check(farm_file: Path) -> None:
    """List every fault of a farm file and its tables."""
    from fieldsim.cli.tables import print_farm
    from fieldsim.farm import read_farm

    print_farm(read_farm(farm_file), Console(highlight=False))
    click.echo("No faults.")


@main.command()
@click.argument("farm_file", metavar="FARM.toml", type=click.Path(path_type=Path))
@click.option("--soil", metavar="NAME", help="Only this soil; default: all that the days have.")
@run_options
@plain_errors
def days(farm_file: Path, soil: str | None, seasons: int, seed: int, out: Path) -> None:
    """Say what a farm's suitable days are, check them, and draw their weeks."""
    from fieldsim.cli.day_checks import check_numbers, check_soils
    from fieldsim.cli.days import print_days, write_days
    from fieldsim.cli.output import check_folder
    from fieldsim.farm import read_farm

    check_numbers(seasons=seasons, seed=seed)
    check_folder(out)
    farm = read_farm(farm_file)
    checks = check_soils(farm, seasons, seed, soil)
    written = write_days(farm, checks, seasons, seed, out)
    print_days(farm, checks, Console(highlight=False))
    click.echo(f"Wrote {' and '.join(map(str, written))}")


@main.command()
@click.argument("farm_file", metavar="FARM.toml", type=click.Path(path_type=Path))
@click.option(
    "--shelf",
    metavar="FILE.csv",
    type=click.Path(path_type=Path),
    help="What could be bought; default: machines.csv beside the farm.",
)
@click.option(
    "--areas",
    metavar="LIST",
    help='Areas of the whole farm, "300,600,900"; default: 0.5 to 2 times its own.',
)
@click.option("--option", metavar="NAME", help="The option to put them into; default: the first.")
@run_options
@plain_errors
def sizes(
    farm_file: Path, shelf: Path | None, areas: str | None, option: str | None,
    seasons: int, seed: int, out: Path,
) -> None:  # fmt: skip
    """Say which size of outfit from the equipment shelf costs least at which area."""
    from fieldsim.cli.output import check_folder
    from fieldsim.cli.sizes import areas_from, print_sizes, shelf_for, write_sizes
    from fieldsim.decisions.sizing.sizes import sizes as sizes_of
    from fieldsim.farm import read_farm

    wanted = areas_from(areas)
    check_folder(out)
    farm = read_farm(farm_file)
    check_names(farm, option=option)
    items, said = shelf_for(farm_file, shelf)
    with _bar() as bar:
        working = bar.add_task("working the seasons", total=1.0)
        table = sizes_of(
            farm,
            items,
            areas=wanted,
            option=option,
            seasons=seasons,
            seed=seed,
            progress=lambda share: bar.update(working, completed=share),
        )
        written = write_sizes(table, out)
    print_sizes(farm, table, said, Console(highlight=False))
    click.echo(f"Wrote {' and '.join(map(str, written))}")


@main.command()
@click.argument("file", metavar="RECORDS.csv", type=click.Path(path_type=Path))
@fit_options
@plain_errors
def fit(**options: Any) -> None:
    """Fit a source of suitable days to records of past years."""
    from fieldsim.cli.fit import fit_records
    from fieldsim.cli.fit_input import FitOptions

    fit_records(FitOptions(**options), Console(highlight=False))


@main.command(epilog=EXAMPLE)
@click.argument("farm_file", metavar="FARM.toml", type=click.Path(path_type=Path))
@invest_options
@replicates_option
@run_options
@plain_errors
def invest(**options: Any) -> None:
    """Say when moving from one option to another pays back, and how it may begin.

    Sums are in today's dollars, and interest is above inflation.
    """
    from fieldsim.cli.invest import run_investment
    from fieldsim.cli.invest_input import InvestOptions

    written = run_investment(InvestOptions(**options), Console(highlight=False))
    click.echo(f"Wrote {', '.join(map(str, written))}")


@main.command(epilog=SENSITIVITY_EXAMPLE)
@click.argument("farm_file", metavar="FARM.toml", type=click.Path(path_type=Path))
@sensitivity_options
@run_options
@plain_errors
def sensitivity(**options: Any) -> None:
    """Say what an answer hangs on, and what one more day, hand, hour or mph is worth."""
    from fieldsim.cli.sensitivity import print_study, study, write_study
    from fieldsim.cli.sensitivity_input import SensitivityOptions

    chosen = SensitivityOptions(**options)
    with _bar() as bar:
        working = bar.add_task("moving the inputs", total=1.0)
        found = study(chosen, lambda share: bar.update(working, completed=share))
    written = write_study(found, chosen)
    print_study(found, Console(highlight=False))
    click.echo(f"Wrote {', '.join(path.name for path in written)} to {chosen.out}")


def _run(farm_file: Path, seasons: int | str, seed: int, out: Path, replicates: int | None) -> None:
    """Read, simulate, print and write: the main job."""
    from fieldsim.cli.output import check_folder, write_results
    from fieldsim.cli.seasons import drawn
    from fieldsim.cli.tables import print_answer
    from fieldsim.decisions import leads
    from fieldsim.farm import read_farm

    check_folder(out)
    farm = read_farm(farm_file)
    with _bar() as bar:
        working = bar.add_task("working the seasons", total=1.0)
        outcomes = drawn(
            farm,
            seasons,
            seed,
            replicates=replicates,
            progress=lambda share: bar.update(working, completed=share),
        )
        drawing = bar.add_task("writing results", total=None)
        moved = leads(farm, outcomes)
        written = write_results(farm, outcomes, out, moved)
        bar.update(drawing, total=1, completed=1)
    print_answer(farm, outcomes, Console(highlight=False), moved)
    if "stopping" in outcomes.attrs:
        click.echo(outcomes.attrs["stopping"])
    page = next(path for path in written if path.name == "report.html")
    click.echo(
        f"Wrote {len(written)} files; the page to read is {page}, two pages to print and hand on "
        f"are {page.with_name('handout.pdf')}"
    )


def _bar() -> Progress:
    """Return a progress bar on standard error; silent where that is no terminal."""
    console = Console(stderr=True)
    return Progress(
        TextColumn("{task.description}"),
        BarColumn(),
        TimeRemainingColumn(),
        console=console,
        transient=True,
        disable=not console.is_terminal,
    )
