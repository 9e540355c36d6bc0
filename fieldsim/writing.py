"""Writing a file so that there is the old one or the whole new one, never half of it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

__all__ = ["written_whole"]


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
    beside = path.with_name(f".{path.name}.part")
    try:
        yield beside
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
