"""How far long work is, on standard error; silent where that is no terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

__all__ = ["shown_progress"]

REMEMBERED = 3600.0  # seconds of the past that say how long the rest will take


@contextmanager
def shown_progress(what: str) -> Iterator[Callable[[float], None]]:
    """Show a bar while something is done.

    Parameters
    ----------
    what : str
        Said before the bar.

    Yields
    ------
    callable
        To be called with the share that is done, 0..1.
    """
    console = Console(stderr=True)
    columns = (TextColumn("{task.description}"), BarColumn(), TimeRemainingColumn())
    with Progress(
        *columns,
        console=console,
        transient=True,
        disable=not console.is_terminal,
        speed_estimate_period=REMEMBERED,
    ) as bar:
        task = bar.add_task(what, total=1.0)
        begun = False

        def show(share: float) -> None:
            nonlocal begun
            if begun:
                bar.update(task, completed=share)
            else:  # what was there before says nothing of how fast the rest goes
                bar.reset(task, completed=share)  # type: ignore[arg-type]  # floats will do
            begun = True

        yield show
