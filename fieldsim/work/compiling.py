"""How the kernel's functions are compiled: cached on disk, without the lock, small ones inlined."""

from __future__ import annotations

from numba import njit

__all__ = ["compiled", "inlined"]

# Counting references to arrays took two thirds of the kernel's time. Numba drops the counting where
# it sees both ends, as a rule in inlined functions that cannot raise (hence numpy's division by
# zero), leave a loop at one place and use their arrays on every path. Measure after a change.
compiled = njit(cache=True, nogil=True, error_model="numpy")
inlined = njit(cache=True, nogil=True, error_model="numpy", forceinline=True)
