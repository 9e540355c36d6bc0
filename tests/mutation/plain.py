"""The kernel as plain Python: a mutant of it then needs no compiling.

To be imported before any module of `fieldsim.work`.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

import numpy as np

from fieldsim import compiled


def called_by_python(function: Callable[..., Any]) -> Callable[..., Any]:
    """Return a function that takes its records as numpy records, whose fields are attributes."""

    @wraps(function)
    def called(*arguments: Any) -> Any:
        with np.errstate(all="ignore"):  # as compiled, with numpy's model of errors
            return function(*map(with_records, arguments))

    return called


def as_it_is(value: Any) -> Any:
    return value


def with_records(value: Any) -> Any:
    """Return arrays of records such that their fields are attributes, also inside of tuples."""
    if isinstance(value, np.ndarray) and value.dtype.names:
        return value.view(np.recarray)
    if isinstance(value, tuple) and hasattr(value, "_make"):
        return value._make(map(with_records, value))
    return value


compiled.compiled = called_by_python
compiled.inlined = as_it_is
