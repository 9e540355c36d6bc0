"""How the kernel's functions are compiled: cached on disk, without the lock, small ones inlined."""

from __future__ import annotations

from numba import njit

__all__ = ["compiled", "inlined"]

compiled = njit(cache=True, nogil=True)
# An array is handed over as seven values, which costs more than most small functions do: inlining
# them made the kernel 2 times faster on the demo farm.
inlined = njit(cache=True, nogil=True, forceinline=True)
