"""How the kernel's functions are compiled: kept on disk, without the lock, small ones inlined."""

from __future__ import annotations

from functools import partial

from fieldsim.days.compiling import compiled_and_kept

__all__ = ["compiled", "inlined"]

# Counting references to arrays took two thirds of the kernel's time. Numba drops the counting where
# it sees both ends, as a rule in inlined functions that cannot raise (hence numpy's division by
# zero), leave a loop at one place and use their arrays on every path. Measure after a change.
compiled = partial(compiled_and_kept, error_model="numpy")
inlined = partial(compiled_and_kept, error_model="numpy", forceinline=True)
