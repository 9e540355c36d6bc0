"""How the kernel's functions are compiled: the whole of it kept on disk, its parts inlined."""

from __future__ import annotations

from functools import partial
from typing import Any

from numba import config, njit, types
from numba.core import cgutils
from numba.extending import intrinsic

from fieldsim.compiling import compiled_and_kept

__all__ = ["borrowed", "compiled", "inlined"]

compiled = partial(compiled_and_kept, error_model="numpy")
# A part is only called by compiled functions: it needs no way in from Python.
_without_way_in: dict[str, Any] = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
inlined = njit(nogil=True, error_model="numpy", forceinline=True, **_without_way_in)


@intrinsic
def _borrowed(typing_context: Any, arrays: Any) -> Any:  # noqa: ARG001
    def generate(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:  # noqa: ARG001
        (given,) = arguments
        if isinstance(arrays, types.Array):
            return _uncounted(context, builder, arrays, given)
        parts: Any = cgutils.unpack_tuple(builder, given)  # type: ignore[no-untyped-call]
        kept = [
            _uncounted(context, builder, kind, part) if isinstance(kind, types.Array) else part
            for kind, part in zip(arrays, parts, strict=True)
        ]
        return context.make_tuple(builder, arrays, kept)

    return arrays(arrays), generate


def _uncounted(context: Any, builder: Any, kind: Any, value: Any) -> Any:
    """Return an array without the address of its count."""
    array = context.make_array(kind)(context, builder, value)
    array.meminfo = cgutils.get_null_value(array.meminfo.type)  # type: ignore[no-untyped-call]
    return array._getvalue()


def _given(arrays: Any) -> Any:
    return arrays


# An array, or a named tuple with arrays, whose references nobody counts. Counting them wherever one
# of the tuple's arrays is used made the kernel 8 times slower. Who calls a function that borrows
# keeps the arrays alive until it has returned.
borrowed: Any = _given if config.DISABLE_JIT else _borrowed  # type: ignore[attr-defined]
