"""Compiled functions, kept on disk where there is a folder that can be written to.

Loading this module loads numba: import it in the function that runs it, or in a module that does.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any, TypeVar, cast

from numba import config, njit
from numba.core.caching import FunctionCache, IndexDataCacheFile

__all__ = ["compiled_and_kept"]

ROOMS = (".", "work", "days/weather")  # where compiled functions stand
Function = TypeVar("Function", bound=Callable[..., Any])


class KeptWherePossible(FunctionCache):
    """Numba's cache on disk, done without where it is damaged or the disk takes no more.

    What is kept counts for the package's sources as they were: numba itself looks only at the file
    of the function, not at those of the functions that it calls.
    """

    def __init__(self, function: Callable[..., Any]) -> None:
        super().__init__(function)  # type: ignore[no-untyped-call]
        self._cache_file = IndexDataCacheFile(  # type: ignore[no-untyped-call]
            cache_path=self._cache_path,
            filename_base=self._impl.filename_base,
            source_stamp=(self._impl.locator.get_source_stamp(), _stamps()),
        )

    def load_overload(self, *args: Any) -> Any:
        """Return what was kept; None, and it is compiled anew, where it cannot be read."""
        try:
            return super().load_overload(*args)  # type: ignore[no-untyped-call]
        except Exception:  # a damaged file breaks unpickling and loading in many ways
            self.disable()  # type: ignore[no-untyped-call]
            return None

    def save_overload(self, *args: Any) -> None:
        """Keep what was compiled, if the disk takes it."""
        with suppress(OSError):
            super().save_overload(*args)  # type: ignore[no-untyped-call]


@cache
def _stamps() -> tuple[tuple[str, float, int], ...]:
    """Return name, time and size of each source that compiled functions may come from."""
    package = Path(__file__).parent
    sources = sorted(source for room in ROOMS for source in (package / room).glob("*.py"))
    return tuple(
        (source.name, found.st_mtime, found.st_size)
        for source, found in ((source, source.stat()) for source in sources)
    )


def compiled_and_kept(function: Function, **options: Any) -> Function:
    """Compile a function without Python's lock; keep it on disk for the next run if possible.

    Numba's own ``cache=True`` raises where neither the package, nor the home, nor
    ``NUMBA_CACHE_DIR`` can be written to, and where the disk is full.

    Parameters
    ----------
    function : callable
    **options
        As for `numba.njit`.

    Returns
    -------
    callable

    Examples
    --------
    >>> def double(number):
    ...     return 2 * number
    >>> compiled_and_kept(double)(4)
    8
    """
    if config.DISABLE_JIT:  # type: ignore[attr-defined]
        return function
    dispatcher = njit(nogil=True, **options)(function)
    with suppress(RuntimeError, OSError):  # there is no folder to keep it in
        dispatcher._cache = KeptWherePossible(dispatcher.py_func)
    return cast(Function, dispatcher)
