"""Functions that are compiled: those that Python calls, and the parts that these are made of."""

from __future__ import annotations

import os
from collections.abc import Callable
from ctypes import c_void_p
from functools import cached_property, update_wrapper
from threading import Lock
from typing import Any, TypeVar, cast

from fieldsim.compiled.arguments import handed_over, kind_of
from fieldsim.compiled.kept import keep, kept

__all__ = ["compiled", "inlined"]

Function = TypeVar("Function", bound=Callable[..., Any])

DONE = (0, -2)  # what code says that has come to its end: numba's RETCODE_OK and RETCODE_NONE


class Compiled:
    """A function in machine code, made when it is first called with arguments of a kind."""

    def __init__(self, function: Callable[..., None]) -> None:
        update_wrapper(self, function)
        self.function = function
        self._codes: dict[Any, Callable[..., int]] = {}
        self._making = Lock()

    def __call__(self, *arguments: Any) -> None:
        kinds = tuple(kind_of(argument) for argument in arguments)
        with self._making:
            if kinds not in self._codes:
                self._codes[kinds] = self._code(kinds)
        returned, fault = c_void_p(), c_void_p()
        given = (part for argument in arguments for part in handed_over(argument))
        code = self._codes[kinds](returned, fault, *given)
        if code not in DONE:
            raise RuntimeError(f"{self.function.__name__} failed in compiled code ({code})")

    def _code(self, kinds: tuple[Any, ...]) -> Callable[..., int]:
        from fieldsim.compiled.loading import load

        code = kept(self.function, kinds)
        if code is None:
            from fieldsim.compiled.making import make  # loads numba: seconds are to come anyway

            code = make(self.function, kinds)
            keep(self.function, kinds, code)
        return load(code, kinds)


class Part:
    """A function that compiled ones call: numba is only asked for it while it compiles them."""

    def __init__(self, function: Callable[..., Any]) -> None:
        update_wrapper(self, function)
        self.function = function

    def __call__(self, *arguments: Any) -> Any:
        return self.function(*arguments)

    @cached_property
    def _for_numba(self) -> Any:
        from fieldsim.compiled.making import make_part

        return make_part(self.function)

    @property
    def _numba_type_(self) -> Any:
        """What numba takes this for, by its own protocol."""
        return self._for_numba._numba_type_


def compiled(function: Function) -> Function:
    """Compile a function that fills in arrays; Python's lock is free while it runs.

    Its arguments are arrays, named tuples and numbers. It returns nothing, raises nothing and makes
    no arrays. What it calls is numba's or `inlined`. Its code is kept on disk for the next run if
    there is a folder for that. With ``NUMBA_DISABLE_JIT`` set it stays plain Python.

    Parameters
    ----------
    function : callable

    Returns
    -------
    callable

    Raises
    ------
    TypeError
        When it is called with anything else.

    Examples
    --------
    >>> import numpy as np
    >>> @compiled
    ... def double(numbers):
    ...     for i in range(numbers.size):
    ...         numbers[i] *= 2
    >>> numbers = np.array([1.0, 2.5])
    >>> double(numbers)
    >>> numbers
    array([2., 5.])
    """
    if os.environ.get("NUMBA_DISABLE_JIT", "0") not in ("", "0"):
        return function
    return cast(Function, Compiled(function))


def inlined(function: Function) -> Function:
    """Let a function be a part of compiled ones. Called from Python it is the plain function."""
    return cast(Function, Part(function))
