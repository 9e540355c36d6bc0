"""Files that belong together: all are written beside, and moved into place when all are whole."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from contextlib import suppress
from errno import EISDIR
from pathlib import Path

from fieldsim.errors import Fault, InputError
from fieldsim.writing import uninterrupted, written_whole

__all__ = ["MARK", "mixed", "write_together"]

SCRATCH = ".fieldsim-"
MARK = "UNFINISHED.txt"
SAID = """\
fieldsim was stopped while it moved these files into place. Each is whole, but some may be of that
run and others of one before. Run the same command again; this note then goes away.

"""


def write_together(out: Path, write: Callable[[Path], None]) -> list[Path]:
    """Let files be written into a scratch folder, and move all of them into another.

    No file replaces an older one of its name before all are written. While they are moved, which
    nothing but the end of the process can stop, a note in the folder names them; see `mixed`.

    Parameters
    ----------
    out : Path
        It is made if it is not there, and taken away again if it has been and nothing is written.
    write : callable
        Writes the files into the folder that it is given, or into folders in there.

    Returns
    -------
    list of Path
        What was written, sorted.

    Raises
    ------
    InputError
        If the disk does not take them.
    """
    there = out.exists()
    try:
        out.mkdir(parents=True, exist_ok=True)
        try:
            # Within the folder: what lies above it may be another disk, or closed to us.
            with tempfile.TemporaryDirectory(dir=out, prefix=SCRATCH) as scratch:
                write(Path(scratch))
                return _moved(Path(scratch), out)
        except BaseException:
            if not there:
                with suppress(OSError):
                    out.rmdir()
            raise
    except OSError as error:
        problem = f"the results could not be written ({error.strerror or error})"
        raise InputError([Fault("", "--out", str(out), problem, "name another folder")]) from None


def mixed(path: Path) -> bool:
    """Say whether a file lies among files of which some may be of another run.

    Examples
    --------
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     mixed(Path(folder) / "outcomes.nc")
    False
    """
    return path.name in _marked(path.parent)


def _moved(scratch: Path, out: Path) -> list[Path]:
    """Move every file of a folder into another, all or none as far as can be seen beforehand."""
    names = sorted(path.relative_to(scratch) for path in scratch.rglob("*") if path.is_file())
    for name in names:
        (out / name).parent.mkdir(parents=True, exist_ok=True)
        if (out / name).is_dir():
            raise IsADirectoryError(EISDIR, f"{name} is a folder")
    moving = {name.as_posix() for name in names}
    with uninterrupted():
        before = _marked(out)
        _mark(out, before | moving)
        for name in names:
            (scratch / name).replace(out / name)
        _mark(out, before - moving)
    return [out / name for name in names]


def _marked(out: Path) -> set[str]:
    """Return the names of the files in a folder that may be of several runs."""
    try:
        said = (out / MARK).read_text(encoding="utf-8")
    except (OSError, ValueError):
        return set()
    return set(said.removeprefix(SAID).splitlines())


def _mark(out: Path, names: set[str]) -> None:
    if not names:
        (out / MARK).unlink(missing_ok=True)
        return
    with written_whole(out / MARK) as beside:
        beside.write_text(SAID + "\n".join(sorted(names)) + "\n", encoding="utf-8")
