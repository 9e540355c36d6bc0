"""Options that commands share, and what a command does with an error."""

from __future__ import annotations

import io
import signal
import sys
import threading
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fieldsim.cli.seasons import Seasons
from fieldsim.errors import FieldsimError, InputError, no_such

if TYPE_CHECKING:  # a farm takes longer to import than what stands here
    from fieldsim.farm import Farm

__all__ = [
    "FAILED",
    "auto_options",
    "check_names",
    "fit_options",
    "option_faults",
    "plain_errors",
    "replicates_option",
    "run_options",
]

MOST_SHOWN = 100  # faults
WRONG_INPUT, FAILED, INTERRUPTED = 2, 1, 130


def plain_errors(command: Callable[..., None]) -> Callable[..., None]:
    """Print fieldsim's errors instead of a traceback, and end with their exit status."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        _show_any_sign()
        try:
            _be_interruptible()
            command(*args, **kwargs)
        except InputError as error:
            for fault in error.faults[:MOST_SHOWN]:
                click.echo(f"{fault}", err=True)
            count = len(error.faults)
            first = f"; above are the first {MOST_SHOWN}" if count > MOST_SHOWN else ""
            click.echo("1 fault." if count == 1 else f"{count:,} faults{first}.", err=True)
            sys.exit(WRONG_INPUT)
        except FieldsimError as error:
            click.echo(f"fieldsim stopped: {error}", err=True)
            sys.exit(FAILED)
        except MemoryError:
            click.echo("fieldsim stopped: the memory is full; draw fewer --seasons", err=True)
            sys.exit(WRONG_INPUT)
        except BrokenPipeError:
            raise  # whoever read the output has gone: click ends quietly
        except OSError as error:
            click.echo(f"fieldsim stopped: {error}", err=True)
            sys.exit(WRONG_INPUT)
        except KeyboardInterrupt:
            click.echo("stopped", err=True)
            sys.exit(INTERRUPTED)

    return run


def _be_interruptible() -> None:
    """Let Ctrl-C be an exception again: from here on there may be something to put away."""
    if threading.current_thread() is not threading.main_thread():
        return  # only the main thread may; Ctrl-C never comes here
    if callable(signal.getsignal(signal.SIGINT)):  # else it is to be ignored
        signal.signal(signal.SIGINT, signal.default_int_handler)


def _show_any_sign() -> None:
    """Let signs that the terminal does not know, or that a file name should not have, be shown."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def run_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add the options that commands with a number of seasons share."""
    return _run_options(command, click.INT, "How many seasons to draw.")


def auto_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add the same options, where as many seasons may be drawn as it takes."""
    words = "How many seasons to draw; auto: until the cheapest option is told from the others."
    return _run_options(command, Seasons(), words)


def _run_options(
    command: Callable[..., None], seasons: click.ParamType[Any], words: str
) -> Callable[..., None]:
    for option in (
        click.option("--out", type=click.Path(path_type=Path), default=Path("fieldsim-out"),
                     show_default=True, help="Folder for table, figures, page and data."),
        click.option("--seed", type=int, default=0, show_default=True,
                     help="Another seed draws other seasons."),
        click.option("--seasons", type=seasons, default=2000, show_default=True, help=words),
    ):  # fmt: skip
        command = option(command)
    return command


def fit_options(command: Callable[..., None]) -> Callable[..., None]:
    """Add the options of `fit`."""
    for option in (
        click.option("--seed", type=int, default=0, show_default=True,
                     help="Another seed draws other samples of the years for the errors."),
        click.option("--replace", is_flag=True, help="Write over a file that is there."),
        click.option("--out", metavar="FILE.csv", type=click.Path(path_type=Path),
                     help="File to write; default: RECORDS_KIND.csv, in this folder."),
        click.option("--year-begins", metavar="DAY",
                     help='First day of a record year, for years that run over New Year: "1 Sep".'),
        click.option("--last", metavar="DAY", help="Use only weeks that begin by then."),
        click.option("--first", metavar="DAY", help='Use only weeks from then on: "1 Apr".'),
        click.option("--reference-year", metavar="YEAR", type=int,
                     help="Move all years to the level that their trend has in this one."),
        click.option("--persistence", metavar="SHARE", type=float,
                     help="For a chain from weekly records: chance of a suitable day after one."),
        click.option("--at-least", metavar="LEVELS",
                     help='Levels of a weekly table in % of years; default: "90, 80, 50, 20, 10".'),
        click.option("--kind", type=click.Choice(["weekly_table", "daily_chain"]),
                     default="weekly_table", show_default=True, help="What to fit."),
    ):  # fmt: skip
        command = option(command)
    return command


def check_names(farm: Farm, **named: str | None) -> None:
    """Raise unless the options of a farm that are named on the command line are there.

    Parameters
    ----------
    farm : Farm
    **named : str or None
        By the option of the command line, without its dashes; None was left out.

    Raises
    ------
    InputError
        With a fault for each that is not there.
    """
    faults = [
        no_such("option", f"--{option}", name, farm.options)
        for option, name in named.items()
        if name is not None and name not in farm.options
    ]
    if faults:
        raise InputError(faults)


def option_faults(error: InputError, names: Mapping[str, str] | None = None) -> InputError:
    """Return an error with the arguments in it named as on the command line.

    Parameters
    ----------
    error : InputError
    names : mapping, optional
        Arguments whose option is not their name with two dashes before it.

    Returns
    -------
    InputError

    Examples
    --------
    >>> print(option_faults(InputError([no_such("crop", "crop", "rye", ["corn"])])))
    --crop = 'rye': there is no such crop; crops are corn
    """
    known = {} if names is None else names
    return InputError(
        fault if fault.file else replace(fault, field=known.get(fault.field, f"--{fault.field}"))
        for fault in error.faults
    )


def replicates_option(command: Callable[..., None]) -> Callable[..., None]:
    """Add the option that carries the few years on record to the answer."""
    return click.option(
        "--replicates", type=int, metavar="N",
        help="Carry how little a few years of record tell: draw the seasons in N parts, each as "
        "other years of record would give.",
    )(command)  # fmt: skip
