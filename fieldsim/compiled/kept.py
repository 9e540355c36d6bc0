"""Machine code kept on disk, for the sources and the processor that it was made for.

Kept beside the sources where that folder can be written to, else in the user's own cache; or where
``FIELDSIM_CACHE`` says. A file begins with a digest of what it is for and of what it holds: code
that is damaged, half written or made from other sources is made anew.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import cache
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from typing import Any, NamedTuple

__all__ = ["Code", "keep", "kept"]

PACKAGE = Path(__file__).parents[1]
ROOMS = ("compiled", "work", "days/weather")  # where compiled functions stand
DIGEST = sha256().digest_size


class Code(NamedTuple):
    """Machine code for this processor: an object file, and the name of the function in it."""

    name: str
    machine_code: bytes


def kept(function: Callable[..., Any], kinds: tuple[Any, ...]) -> Code | None:
    """Return the code of a function for arguments of these kinds; None where it has to be made."""
    for folder in _folders(function):
        with suppress(OSError):
            file = (folder / _file_name(function, kinds)).read_bytes()
            digest, content = file[:DIGEST], file[DIGEST:]
            if digest == _digest(function, content):
                name, _, machine_code = content.partition(b"\0")
                return Code(name.decode(), machine_code)
    return None


def keep(function: Callable[..., Any], kinds: tuple[Any, ...], code: Code) -> None:
    """Keep the code of a function in the first folder that takes it, if any does."""
    content = code.name.encode() + b"\0" + code.machine_code
    for folder in _folders(function):
        with suppress(OSError):
            folder.mkdir(parents=True, exist_ok=True)
            file = folder / _file_name(function, kinds)
            file.write_bytes(_digest(function, content) + content)
            return


def _folders(function: Callable[..., Any]) -> Iterator[Path]:
    """Yield where code may be kept; nowhere, for a function that stands in no file."""
    if not Path(function.__code__.co_filename).is_file():
        return
    if given := os.environ.get("FIELDSIM_CACHE"):
        yield Path(given)
        return
    yield PACKAGE / "__pycache__"
    with suppress(RuntimeError):  # there is no home
        users = os.environ.get("LOCALAPPDATA") or os.environ.get("XDG_CACHE_HOME")
        yield (Path(users) if users else Path.home() / ".cache") / "fieldsim"


def _file_name(function: Callable[..., Any], kinds: tuple[Any, ...]) -> str:
    for_what = sha256(repr((kinds, _processor())).encode()).hexdigest()[:16]
    return f"{function.__module__}.{function.__qualname__}-{for_what}.code"


def _digest(function: Callable[..., Any], content: bytes) -> bytes:
    return sha256(repr(_sources(function.__code__.co_filename)).encode() + content).digest()


@cache
def _processor() -> tuple[str, str, str]:
    import llvmlite.binding as llvm

    features = llvm.get_host_cpu_features().flatten()
    return llvm.get_process_triple(), llvm.get_host_cpu_name(), features


@cache
def _sources(own: str) -> tuple[Any, ...]:
    """Return numba's version, and name, time and size of each source that code may come from.

    Numba itself would look at the function's own file only, not at those of its parts.
    """
    rooms = sorted(source for room in ROOMS for source in (PACKAGE / room).glob("*.py"))
    stamps = ((source, source.stat()) for source in (Path(own), *rooms))
    return (
        version("numba"),
        *((source.name, found.st_mtime, found.st_size) for source, found in stamps),
    )
