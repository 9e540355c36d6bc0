"""A function that is compiled and kept, quick to compile."""

from __future__ import annotations

from typing import Any

from fieldsim.compiled import compiled, inlined


@inlined
def twice(number: float) -> float:
    return 2.0 * number


@compiled
def double(numbers: Any) -> None:
    for i in range(numbers.size):
        numbers[i] = twice(numbers[i])
