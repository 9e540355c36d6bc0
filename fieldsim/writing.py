"""Writing a file so that there is the old one or the whole new one, never half of it."""

from __future__ import annotations

import os
import re
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["guarded", "unguarded", "uninterrupted", "write_csv", "written_whole"]

# A spreadsheet runs a cell that begins so (OWASP, CSV Injection), full-width signs as well.
FORMULA = (*"=+-@\t\r\n", *"＝＋－＠")
SIGNED = re.compile(r"[+-][\d.,]+(?:[eE][+-]?\d+)?(?: ?%)?")  # a number, which it may well run
GUARD = "'"


@contextmanager
def written_whole(path: str | Path) -> Iterator[Path]:
    """Give a name beside `path` to write to; move that file into place if no error is raised.

    Parameters
    ----------
    path : str or Path

    Yields
    ------
    Path

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     with written_whole(Path(folder) / "a.txt") as beside:
    ...         _ = beside.write_text("whole")
    ...     [file.name for file in Path(folder).iterdir()]
    ['a.txt']
    """
    path = Path(path)
    # The process in the name: another run that writes the same file has its own.
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        yield beside
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)


@contextmanager
def uninterrupted() -> Iterator[None]:
    """Hold Ctrl-C back until the block is done."""
    if threading.current_thread() is not threading.main_thread():
        yield  # Ctrl-C never comes here
        return
    held: list[Any] = []
    before = signal.signal(signal.SIGINT, lambda *_: held.append(True))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
    if held:
        raise KeyboardInterrupt


def guarded(cell: Any) -> Any:
    """Return a cell as a spreadsheet shows it and does not run it; numbers stay numbers.

    Examples
    --------
    >>> guarded("=1+1"), guarded(-1.5), guarded("-20 %"), guarded("old planter")
    ("'=1+1", -1.5, '-20 %', 'old planter')
    """
    if not isinstance(cell, str) or not cell.startswith(FORMULA) or SIGNED.fullmatch(cell):
        return cell
    return GUARD + cell


def unguarded(cell: str) -> str:
    """Return a cell as it was before `guarded`.

    Examples
    --------
    >>> unguarded("'=1+1"), unguarded("'quoted'")
    ('=1+1', "'quoted'")
    """
    return cell[1:] if cell[:1] == GUARD and cell[1:].startswith(FORMULA) else cell


def write_csv(table: pd.DataFrame, path: str | Path, *, index: bool = True) -> None:
    """Write a table as CSV, whole or not at all, with every text in it `guarded`.

    Parameters
    ----------
    table : pandas.DataFrame
    path : str or Path
    index : bool
        Whether the index is written, before the columns.

    Raises
    ------
    OSError
        If the disk does not take it.

    Examples
    --------
    >>> import tempfile
    >>> import pandas as pd
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = Path(folder) / "a.csv"
    ...     write_csv(pd.DataFrame({"label": ["=A1"], "cost": [-1.5]}), file, index=False)
    ...     print(file.read_text(encoding="utf-8"))
    label,cost
    '=A1,-1.5
    <BLANKLINE>
    """
    whole = table.reset_index() if index else table
    safe = whole.rename(columns=guarded)
    for name, column in safe.items():
        if column.dtype.kind == "O":  # text, in every version of pandas
            safe[name] = column.astype(object).map(guarded)
    with written_whole(path) as beside:
        safe.to_csv(beside, index=False, lineterminator="\n", encoding="utf-8")
