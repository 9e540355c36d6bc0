"""How far a long command is, on standard error; silent where that is no terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

__all__ = ["shown_progress"]


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
        *columns, console=console, transient=True, disable=not console.is_terminal
    ) as bar:
        task = bar.add_task(what, total=1.0)
        yield lambda share: bar.update(task, completed=share)
