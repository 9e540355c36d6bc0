"""A function that is compiled and kept, quick to compile."""

from __future__ import annotations

from fieldsim.compiling import compiled_and_kept


@compiled_and_kept
def doubled(number: int) -> int:
    return 2 * number
