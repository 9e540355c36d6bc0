"""What a compiled function is given, in the order in which numba's code takes it.

A number stands for itself, a tuple for its parts. An array is the address of its owner and of its
parent (none: nobody counts references), its size, the bytes of an element, its address, its shape
and its strides. Source: numba's `ArrayModel` and `CPUCallConv`, the same from 0.61 to 0.68.
"""

from __future__ import annotations

from collections.abc import Iterator
from ctypes import c_bool, c_double, c_int64, c_void_p
from typing import Any, NamedTuple

import numpy as np

__all__ = ["ArrayKind", "TupleKind", "c_types", "handed_over", "kind_of"]

NUMBERS = {bool: c_bool, int: c_int64, float: c_double}


class ArrayKind(NamedTuple):
    """What code may be made for: arrays of the same kind are handed over to the same code."""

    dtype: np.dtype[Any]
    ndim: int
    contiguous: bool


class TupleKind(NamedTuple):
    """A named tuple: its class, and the kinds of its parts."""

    made_by: type
    parts: tuple[Any, ...]


def kind_of(argument: Any) -> Any:
    """Return the kind of an argument: of array, of tuple, or the type of a number.

    Raises
    ------
    TypeError
        For anything else.

    Examples
    --------
    >>> kind_of(np.zeros((2, 3)))
    ArrayKind(dtype=dtype('float64'), ndim=2, contiguous=True)
    >>> kind_of(np.int64(4))
    <class 'int'>
    """
    if isinstance(argument, np.ndarray):
        return ArrayKind(argument.dtype, argument.ndim, argument.flags.c_contiguous)
    if isinstance(argument, tuple):
        return TupleKind(type(argument), tuple(kind_of(part) for part in argument))
    for number, own in ((bool, np.bool_), (int, np.integer), (float, np.floating)):
        if isinstance(argument, (number, own)):
            return number
    raise TypeError(f"a compiled function takes arrays and numbers, not {type(argument).__name__}")


def c_types(kind: Any) -> Iterator[Any]:
    """Yield the C types by which an argument of a kind is handed over."""
    if isinstance(kind, ArrayKind):
        yield from (c_void_p, c_void_p, c_int64, c_int64, c_void_p)
        yield from [c_int64] * (2 * kind.ndim)
    elif isinstance(kind, TupleKind):
        for part in kind.parts:
            yield from c_types(part)
    else:
        yield NUMBERS[kind]


def handed_over(argument: Any) -> Iterator[Any]:
    """Yield what stands for an argument, in the order of its `c_types`."""
    if isinstance(argument, np.ndarray):
        yield from (None, None, argument.size, argument.itemsize, argument.ctypes.data)
        yield from argument.shape
        yield from argument.strides
    elif isinstance(argument, tuple):
        for part in argument:
            yield from handed_over(part)
    else:
        yield argument
