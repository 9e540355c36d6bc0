"""Loops in machine code: compiled by numba once, kept on disk, and then run without numba.

To load numba and what it has kept takes half a second of every run; machine code needs a
hundredth of it. `functions` is the way in, `arguments` says how numbers and arrays are handed over,
`kept` where the code lies on disk, `loading` how it comes to life, `making` how numba makes it.
"""

from fieldsim.compiled.functions import compiled, inlined

__all__ = ["compiled", "inlined"]
