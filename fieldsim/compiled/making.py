"""Machine code made by numba; loading this module loads numba.

References to arrays are not counted (`_nrt`): who calls a compiled function keeps its arrays alive
until it has returned. Counting them made the kernel 8 times slower.
"""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from numba import from_dtype, njit, types
from numba.core.codegen import JITCodeLibrary
from numba.core.compiler import Compiler

from fieldsim.compiled.arguments import ArrayKind, TupleKind
from fieldsim.compiled.kept import Code

__all__ = ["make", "make_part"]

NUMBERS = {bool: types.boolean, int: types.int64, float: types.float64}
OPTIONS: dict[str, Any] = {
    "nogil": True,
    "error_model": "numpy",
    "_nrt": False,
    "no_cpython_wrapper": True,
    "no_cfunc_wrapper": True,
}


def make(function: Callable[..., Any], kinds: tuple[Any, ...]) -> Code:
    """Compile a function for arguments of some kinds.

    Raises
    ------
    numba.core.errors.NumbaError
        Where numba does not know how.
    """
    arguments = tuple(map(_type_of, kinds))
    dispatcher = njit(**OPTIONS)(function)
    with _no_garbage_looked_for():
        dispatcher.compile(arguments)
    found = dispatcher.overloads[arguments]
    return Code(found.fndesc.llvm_func_name, found.library._get_compiled_object())


def make_part(function: Callable[..., Any]) -> Any:
    """Return a function as one that numba puts into those that call it."""
    return njit(**OPTIONS, forceinline=True, pipeline_class=PartCompiler)(function)


def _type_of(kind: Any) -> Any:
    if isinstance(kind, ArrayKind):
        layout: Any = "C" if kind.contiguous else "A"
        return types.Array(from_dtype(kind.dtype), kind.ndim, layout)
    if isinstance(kind, TupleKind):
        return types.BaseTuple.from_types(tuple(map(_type_of, kind.parts)), kind.made_by)
    return NUMBERS[kind]


@contextmanager
def _no_garbage_looked_for() -> Iterator[None]:
    """Leave Python's garbage for later: looking for it took a tenth of the time of compiling."""
    looked_for = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if looked_for:
            gc.enable()


class PartLibrary(JITCodeLibrary):
    """The code of a part, handed on as it is to the function that it becomes a part of.

    Numba would optimize it and make machine code of it, and again of every function that calls it:
    more than a third of the time of compiling the kernel.
    """

    def _optimize_functions(self, ll_module: Any) -> None:
        ll_module.data_layout = self._codegen._data_layout

    def _optimize_final_module(self) -> None:
        pass

    def _finalize_final_module(self) -> None:
        self._finalized = True

    def get_pointer_to_function(self, name: str) -> int:  # noqa: ARG002
        self._ensure_finalized()
        return 0

    @property
    def codegen(self) -> Any:
        """Who is told of a function's globals at its address, of which a part has none."""
        return self

    def set_env(self, *_: Any) -> None:
        pass


class PartCompiler(Compiler):
    """Numba's compiler, with a library of a part's own."""

    def compile_extra(self, func: Any) -> Any:
        self.state.library = PartLibrary(self.state.targetctx.codegen(), func.__qualname__)
        return super().compile_extra(func)
